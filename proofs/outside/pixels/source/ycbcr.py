"""TIFF pictures stored as luminance and colour differences without JPEG, back to RGB.

The library turns such numbers into RGB where they lie inside JPEG or where the differences
are thinned out; otherwise it hands them out as they are, pink and green.
Source: TIFF 6.0, sections 20 and 21 (from memory).
"""

from dataclasses import dataclass

import numpy as np
import pyvips

from proofs.outside.pixels.colour.icc import Floats
from proofs.outside.pixels.colour.linear_light import matrix_rows
from proofs.outside.pixels.source.tiff_directories import Directory, first_number

_PLANES, _COEFFICIENTS, _BLACK_AND_WHITE = 284, 529, 532
_APART = 2
_TELEVISION = (0.299, 0.587, 0.114)  # ITU-R BT.601: what holds where the file says nothing


@dataclass(frozen=True, slots=True)
class YCbCrEncoding:
    """How RGB became luminance and two differences.

    ``shares`` of red, green and blue make luminance; ``blacks`` and ``whites`` are the codes of
    the least and the full range of the three channels, ``most`` the highest code there is.
    """

    shares: tuple[float, ...]
    blacks: tuple[float, ...]
    whites: tuple[float, ...]
    most: int

    def to_rgb(self) -> tuple[Floats, Floats]:
        """Return the matrix from these codes to RGB codes, and what to add afterwards."""
        red, green, blue = self.shares
        half = self.most // 2
        ranges = np.array([self.most, half, half])
        scale = ranges / (np.array(self.whites) - np.array(self.blacks))
        plain = np.array(
            [
                [1, 0, 2 - 2 * red],
                [1, -(2 - 2 * blue) * blue / green, -(2 - 2 * red) * red / green],
                [1, 2 - 2 * blue, 0],
            ]
        )
        matrix = plain * scale
        return matrix, -matrix @ np.array(self.blacks)


def ycbcr_encoding(page: Directory, bits: int) -> YCbCrEncoding:
    """Return what a TIFF page of luminance and differences says of them, or the usual.

    Raises ``ValueError`` where its numbers make no colours, or lie in planes of their own, which
    the library mixes up.
    """
    if first_number(page, _PLANES) == _APART:
        raise ValueError("its luminance and colour differences lie in planes of their own")
    most, middle = 2**bits - 1, 2 ** (bits - 1)
    usual = (0, most, middle, most, middle, most)
    shares = _numbers(page, _COEFFICIENTS, _TELEVISION)
    ends = _numbers(page, _BLACK_AND_WHITE, usual)
    if max(ends) <= most // 2:  # writers put the ends of 8 bits beside 16
        ends = usual
    if min(shares) <= 0 or any(a == b for a, b in zip(ends[::2], ends[1::2], strict=True)):
        raise ValueError("its luminance and colour differences make no colours")
    return YCbCrEncoding(shares, ends[::2], ends[1::2], most)


def ycbcr_to_rgb(numbers: pyvips.Image, how: YCbCrEncoding) -> pyvips.Image:
    """Return RGB codes of the same depth."""
    matrix, offset = how.to_rgb()
    plain = numbers.copy(interpretation="multiband").recomb(matrix_rows(matrix))
    codes = plain.linear([1, 1, 1], [float(v) for v in offset]).rint()
    return codes.cast(numbers.format)


def _numbers(page: Directory, tag: int, usual: tuple[float, ...]) -> tuple[float, ...]:
    found = page.get(tag, ())
    return found if len(found) == len(usual) and not isinstance(found, bytes) else usual
