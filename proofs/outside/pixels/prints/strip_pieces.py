"""The pixels of a test strip: steps cut out of prints, greys for all else, and the file."""

from dataclasses import replace
from typing import Any

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.output_space import output_space_of
from proofs.outside.pixels.colour.spaces import built_in_profile
from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.conversion.grey import interpretation, lightness_to_codes
from proofs.outside.pixels.prints.encoding import encoded
from proofs.outside.pixels.resize.print_size import ProfiledImage, reduced
from proofs.plan.entry.sizing import Crop
from proofs.records.labs import Lab, RenderingIntent

Codes = NDArray[Any]

_PREVIEW_QUALITY = 88


def step_codes(base: ProfiledImage, lab: Lab, density: float, crop: Crop) -> Codes:
    """Return a part of a print at a density, pixel for pixel, in the lab's space and depth."""
    image = variant_image(base, lab, density)
    return _codes(image.crop(crop.left, crop.top, crop.width, crop.height))


def whole_codes(small: ProfiledImage, lab: Lab, density: float) -> Codes:
    """Return a small picture at a density in the lab's space and depth."""
    return _codes(variant_image(small, lab, density))


def small_base(base: ProfiledImage, size: PixelSize) -> ProfiledImage:
    """Return the base at the size of a small whole picture."""
    return reduced(base, size)


def grey_codes(lightness: NDArray[np.uint16], lab: Lab) -> Codes:
    """Return L*, 65535 for 100, as neutral greys in the lab's space and depth.

    100 is bare paper, also for a lab that prints with the tint of another paper: a wedge is
    measured from the paper it is on.
    """
    vips.ready()
    image = pyvips.Image.new_from_array(lightness[..., None], interpretation="grey16")
    return _codes(
        lightness_to_codes(image, replace(output_space_of(lab), intent=RenderingIntent.RELATIVE))
    )


def sheet_file(codes: Codes, lab: Lab) -> bytes:
    """Return the file that a lab wants of a whole sheet in its space and depth."""
    vips.ready()
    name = interpretation(codes.shape[2], lab.bits)
    return encoded(pyvips.Image.new_from_array(codes, interpretation=name), lab)


def preview_jpeg(file: bytes, width: int) -> bytes:
    """Return a finished file as a small JPEG in sRGB, ``width`` pixels wide."""
    vips.ready()
    srgb = vips.profile_file(built_in_profile("srgb"))
    small = pyvips.Image.thumbnail_buffer(
        file, width, export_profile=srgb, intent=RenderingIntent.RELATIVE
    )
    if small.bands == 1:
        small = small.bandjoin([small, small])
    return bytes(small.jpegsave_buffer(Q=_PREVIEW_QUALITY, keep="none", subsample_mode="off"))


def _codes(image: pyvips.Image) -> Codes:
    # The library drops the channel of a grey picture, and of a single pixel every side.
    return np.asarray(image.numpy()).reshape(image.height, image.width, image.bands)
