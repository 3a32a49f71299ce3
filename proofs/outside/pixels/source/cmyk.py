"""Pictures in inks: into the wide working space, and how dark their darkest tone is."""

import numpy as np
import pyvips

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc, spaces

_DARKEST_BLACK = 50.0  # the colour engine takes no lighter tone for a black (Little CMS)


def cmyk_to_rgb(image: pyvips.Image, profile: bytes) -> pyvips.Image:
    """Return a CMYK picture of 8 or 16 bits as 16-bit RGB in the wide working space.

    Colours keep their places, black too; ``black_point_of`` tells what black point compensation
    has to take to 0 later on.
    """
    return image.copy(interpretation="cmyk").icc_transform(
        vips.profile_file(spaces.built_in_profile("wide")),
        input_profile=vips.profile_file(profile),
        intent="relative",
        depth=16,
    )


def black_point_of(profile: bytes) -> float:
    """Return the L* of the darkest tone of a profile's device, 0 to 50.

    For inks it is the tone that the perceptual table prints for black, since all four inks at
    full strength are more than paper takes; without such a table, and for other devices, the
    tone of all channels at their darkest. Source: ISO 18619:2015 (from memory).
    """
    header = icc.read_header(profile)
    if header.space != "CMYK":
        return _lightness(_spot([0] * header.channels), profile)
    if not {"B2A0", "B2A1"} <= icc.tags(profile).keys():
        return _lightness(_spot([255] * 4), profile)
    black = pyvips.Image.black(1, 1, bands=3).cast("float").copy(interpretation="lab")
    inks = black.icc_export(
        output_profile=vips.profile_file(profile), intent="perceptual", depth=16
    )
    return _lightness(inks, profile)


def _spot(codes: list[int]) -> pyvips.Image:
    array = np.array(codes, dtype=np.uint8)[None, None]
    name = {1: "b-w", 3: "srgb", 4: "cmyk"}[len(codes)]
    return pyvips.Image.new_from_array(array, interpretation=name)


def _lightness(spot: pyvips.Image, profile: bytes) -> float:
    lab = spot.icc_import(input_profile=vips.profile_file(profile), intent="relative", pcs="lab")
    return min(max(float(lab.getpoint(0, 0)[0]), 0.0), _DARKEST_BLACK)
