"""TIFF images stored as YCbCr without JPEG compression, converted to RGB.

The library converts YCbCr inside a JPEG, or with subsampled chroma. Any other it returns
unconverted, which looks pink and green.
Source: TIFF 6.0, sections 20 and 21 (from memory).
"""

from dataclasses import dataclass

import numpy as np
import pyvips

from proofs.outside.pixels.colour.icc import Floats
from proofs.outside.pixels.colour.linear_light import matrix_rows
from proofs.outside.pixels.source.tiff_directories import Directory, first_number
from proofs.outside.pixels.source.tiff_tags import SEPARATE_PLANES, Tag

_BT_601 = (0.299, 0.587, 0.114)  # ITU-R BT.601: TIFF's default


@dataclass(frozen=True, slots=True)
class YCbCrEncoding:
    """How RGB became YCbCr.

    ``coefficients`` are the shares of red, green and blue in luma; ``blacks`` and ``whites`` are
    the codes for zero and full scale of the three channels, ``most`` is the highest code.
    """

    coefficients: tuple[float, ...]
    blacks: tuple[float, ...]
    whites: tuple[float, ...]
    most: int

    def to_rgb(self) -> tuple[Floats, Floats]:
        """Return the matrix from these codes to RGB codes, and the offset to add afterwards."""
        red, green, blue = self.coefficients
        half = self.most // 2
        ranges = np.array([self.most, half, half])
        scale = ranges / (np.array(self.whites) - np.array(self.blacks))
        full_scale = np.array(
            [
                [1, 0, 2 - 2 * red],
                [1, -(2 - 2 * blue) * blue / green, -(2 - 2 * red) * red / green],
                [1, 2 - 2 * blue, 0],
            ]
        )
        matrix = full_scale * scale
        return matrix, -matrix @ np.array(self.blacks)


def ycbcr_encoding(page: Directory, bits: int) -> YCbCrEncoding:
    """Return the encoding that a YCbCr page of a TIFF declares, or the default one.

    Raises ``ValueError`` if its numbers make no colours, or if the channels are in separate
    planes, which the library mixes up.
    """
    if first_number(page, Tag.PLANAR_CONFIGURATION) == SEPARATE_PLANES:
        raise ValueError("its luma and colour differences are in separate planes")
    most, middle = 2**bits - 1, 2 ** (bits - 1)
    full_range = (0, most, middle, most, middle, most)
    coefficients = _numbers(page, Tag.YCBCR_COEFFICIENTS, _BT_601)
    references = _numbers(page, Tag.REFERENCE_BLACK_WHITE, full_range)
    if max(references) <= most // 2:  # some writers use 8-bit references with 16-bit samples
        references = full_range
    blacks, whites = references[::2], references[1::2]
    if min(coefficients) <= 0 or any(a == b for a, b in zip(blacks, whites, strict=True)):
        raise ValueError("its numbers for luma and colour differences make no colours")
    return YCbCrEncoding(coefficients, blacks, whites, most)


def ycbcr_to_rgb(samples: pyvips.Image, encoding: YCbCrEncoding) -> pyvips.Image:
    """Return RGB codes of the same depth."""
    matrix, offset = encoding.to_rgb()
    rgb = samples.copy(interpretation="multiband").recomb(matrix_rows(matrix))
    codes = rgb.linear([1, 1, 1], [float(v) for v in offset]).rint()
    return codes.cast(samples.format)


def _numbers(page: Directory, tag: int, default: tuple[float, ...]) -> tuple[float, ...]:
    found = page.get(tag, ())
    return found if len(found) == len(default) and not isinstance(found, bytes) else default
