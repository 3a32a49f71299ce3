"""A scan or a photograph as linear light, for measurements."""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import linear_light, spaces
from proofs.outside.pixels.colour.output_space import OutputSpace
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import converted
from proofs.outside.pixels.source.decode import Photograph, decode

_LONGEST_PX = 4000  # of the scan that is measured: 340 ppi over the length of A4
_SRGB_16_BIT = OutputSpace(spaces.built_in_profile("srgb"), 16)


def scan_luminance(path: Path) -> NDArray[np.float32]:
    """Return the luminance of each pixel of a picture file, linear from 0 to 1, upright.

    An embedded profile is applied. Large pictures are reduced by a whole factor, to at most 4000
    pixels on the longer side. Raises ``PhotographError`` for a file that cannot be read.
    """
    return luminance(srgb_codes_of(decode(path)))


def srgb_codes_of(photograph: Photograph) -> NDArray[np.uint16]:
    """Return the pixels as 16-bit sRGB codes; a grey picture has one channel.

    A profile is applied; large pictures are reduced as for ``scan_luminance``.
    """
    vips.ready()
    image = linear_light.to_16_bits(photograph.image)
    factor = -(-max(image.width, image.height) // _LONGEST_PX)
    if factor > 1:
        image = image.shrink(factor, factor)
    base = ProfiledImage(image.copy_memory(), photograph.profile, photograph.black)
    return np.asarray(converted(base, _SRGB_16_BIT, 0.0).numpy())


def luminance(codes: NDArray[np.uint16]) -> NDArray[np.float32]:
    """Return the luminance, linear from 0 to 1, of the codes of ``srgb_codes_of``."""
    table = spaces.srgb_to_linear(np.linspace(0, 1, linear_light.CODES)).astype(np.float32)
    if codes.ndim == 2:
        return np.asarray(table[codes])
    weights = spaces.rgb_to_xyz(spaces.SRGB)[1]
    light = np.zeros(codes.shape[:2], dtype=np.float32)
    for channel, weight in enumerate(weights):
        light += np.float32(weight) * table[codes[..., channel]]
    return light
