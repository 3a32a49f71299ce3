"""Whole print files composed from images: on a surround, on a lab's sheet, or for a test strip.

All in the lab's colour space and bit depth.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.output_space import output_space_of
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.colour.spaces import built_in_profile
from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.conversion.grey import lightness_to_codes
from proofs.pixel_areas import Area
from proofs.plan.entry.mockup import Colour
from proofs.plan.sheets.placing import Placing
from proofs.plan.sheets.printed_pieces import PrintAreas
from proofs.records.labs import Lab, RenderingIntent

Codes = NDArray[Any]
Greys = NDArray[np.uint16]

_WHITE = 65535


def on_surround(
    sheet: PrintAreas, images: Sequence[pyvips.Image], lab: Lab, colours: tuple[Colour, Colour]
) -> pyvips.Image:
    """Return the whole print: its images, pixel for pixel, on the surround.

    ``colours`` are those of the surround and of the keyline, as sRGB codes.
    """
    vips.ready()
    surround, keyline = (_lab_codes(colour, images[0], lab) for colour in colours)
    whole = _plain(images[0], sheet.size, surround)
    for line in sheet.keylines:
        plain = _plain(images[0], PixelSize(line.width, line.height), keyline)
        whole = whole.insert(plain, line.left, line.top)
    for image, place in zip(images, sheet.images, strict=True):
        whole = whole.insert(image, place.left, place.top)
    return whole


def _plain(like: pyvips.Image, size: PixelSize, codes: list[float]) -> pyvips.Image:
    """A plain area in the format of an image."""
    plain = pyvips.Image.black(size.width, size.height, bands=like.bands) + codes
    return plain.cast(like.format).copy(interpretation=like.interpretation)


def _lab_codes(colour: Colour, like: pyvips.Image, lab: Lab) -> list[float]:
    """A colour in the lab's codes; for a lab that prints grey, its lightness."""
    image = vips.image_of_codes(np.array([[colour]], np.uint16) * 257)
    printed = variant_image(ProfiledImage(image, built_in_profile("srgb")), lab, 0.0)
    return [float(code) for code in printed(0, 0)[: like.bands]]


def on_lab_sheet(
    image: pyvips.Image, lab: Lab, placing: Placing, margin_marks: Sequence[tuple[Area, Greys]]
) -> pyvips.Image:
    """Return an image, already in the lab's space, in its place on the white sheet.

    ``margin_marks`` are printed around it, as L* with 65535 for 100. The image's own pixels do not
    change.
    """
    vips.ready()
    area = placing.picture
    sheet = image.embed(
        area.left,
        area.top,
        placing.file.width,
        placing.file.height,
        extend="background",
        background=white_codes(lab),
    )
    for place, greys in margin_marks:
        mark = vips.image_of_codes(grey_codes(greys, lab))
        sheet = sheet.insert(mark, place.left, place.top)
    return sheet


def white_codes(lab: Lab) -> list[int]:
    """Return the codes of bare paper in a lab's files."""
    white = grey_codes(np.full((1, 1), _WHITE, np.uint16), lab)
    return [int(code) for code in white[0, 0]]


def grey_codes(lightness: Greys, lab: Lab) -> Codes:
    """Return L*, 65535 for 100, as neutral greys in the lab's space and bit depth.

    An L* of 100 is bare paper, even for a lab that simulates the tint of another paper: a wedge is
    measured relative to the paper it is printed on.
    """
    vips.ready()
    image = vips.image_of_codes(lightness[..., None])
    space = replace(output_space_of(lab), intent=RenderingIntent.RELATIVE)
    return _array(lightness_to_codes(image, space))


def print_codes(base: ProfiledImage, lab: Lab, density: float, crop: Area | None = None) -> Codes:
    """Return the codes of an image, or of a part of it, at a density in the lab's space."""
    image = variant_image(base, lab, density)
    if crop is not None:
        image = image.crop(crop.left, crop.top, crop.width, crop.height)
    return _array(image)


def _array(image: pyvips.Image) -> Codes:
    # The library leaves out the channel axis of a grey image, and all axes of a single pixel.
    return np.asarray(image.numpy()).reshape(image.height, image.width, image.bands)
