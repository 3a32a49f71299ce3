"""CMYK images in the wide working space, and the L* of a device's black."""

from functools import lru_cache

import numpy as np
import pyvips

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc, spaces

_LIGHTEST_BLACK = 50.0  # the colour engine accepts no lighter black point (Little CMS)


def cmyk_to_rgb(image: pyvips.Image, profile: bytes) -> pyvips.Image:
    """Return a CMYK image of 8 or 16 bits as 16-bit RGB in the wide working space.

    Colours do not change, and neither does black: black point compensation maps the
    ``black_point_of`` a profile to 0 later on.
    """
    return image.copy(interpretation="cmyk").icc_transform(
        vips.profile_file(spaces.built_in_profile("wide")),
        input_profile=vips.profile_file(profile),
        intent="relative",
        depth=16,
    )


@lru_cache(maxsize=32)  # the pictures of a run share few profiles
def black_point_of(profile: bytes) -> float:
    """Return the L* of the darkest tone of a profile's device, 0 to 50.

    For CMYK this is the tone that the perceptual table prints for black, because paper cannot
    take all four inks at full strength. Without such a table, and for other devices, it is the
    tone of all channels at their darkest. Source: ISO 18619:2015 (from memory).
    """
    header = icc.read_header(profile)
    if header.colour_space != "CMYK":
        return _lightness(_pixel([0] * header.channels), profile)
    if not {"B2A0", "B2A1"} <= icc.tags(profile).keys():
        return _lightness(_pixel([255] * 4), profile)
    black = pyvips.Image.black(1, 1, bands=3).cast("float").copy(interpretation="lab")
    pixel = black.icc_export(
        output_profile=vips.profile_file(profile), intent="perceptual", depth=16
    )
    return _lightness(pixel, profile)


def _pixel(codes: list[int]) -> pyvips.Image:
    return vips.image_of_codes(np.array([[codes]], dtype=np.uint8))


def _lightness(pixel: pyvips.Image, profile: bytes) -> float:
    file = vips.profile_file(profile)
    cielab = pixel.icc_import(input_profile=file, intent="relative", pcs="lab")
    return min(max(float(cielab.getpoint(0, 0)[0]), 0.0), _LIGHTEST_BLACK)
