"""Images laid on a printed surround, in the lab's space and depth."""

from collections.abc import Sequence

import numpy as np
import pyvips

from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.spaces import built_in_profile
from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.resize.print_size import ProfiledImage
from proofs.pixel_areas import Area
from proofs.plan.entry.mockup import Colour
from proofs.plan.sheets.printed_pieces import PrintAreas
from proofs.records.labs import Lab


def on_surround(
    sheet: PrintAreas, images: Sequence[pyvips.Image], lab: Lab, colours: tuple[Colour, Colour]
) -> pyvips.Image:
    """Return the whole print: its images, pixel for pixel, on the surround.

    ``colours`` are those of the surround and of the keyline, as sRGB codes.
    """
    vips.ready()
    surround, keyline = (_ink(colour, images[0], lab) for colour in colours)
    whole = _area(images[0], sheet.size, surround)
    for line in sheet.keylines:
        whole = _laid(whole, _area(images[0], PixelSize(line.width, line.height), keyline), line)
    for image, place in zip(images, sheet.images, strict=True):
        whole = _laid(whole, image, place)
    return whole


def _laid(whole: pyvips.Image, part: pyvips.Image, place: Area) -> pyvips.Image:
    return whole.insert(part, place.left, place.top)


def _area(like: pyvips.Image, size: PixelSize, ink: list[float]) -> pyvips.Image:
    """A plain area of the kind of a picture."""
    plain = pyvips.Image.black(size.width, size.height, bands=like.bands) + ink
    return plain.cast(like.format).copy(interpretation=like.interpretation)


def _ink(colour: Colour, like: pyvips.Image, lab: Lab) -> list[float]:
    """A colour in the lab's codes; a lab that prints grey gets its lightness."""
    codes = np.array([[colour]], np.uint16) * 257
    picture = pyvips.Image.new_from_array(codes, interpretation="rgb16")
    printed = variant_image(ProfiledImage(picture, built_in_profile("srgb")), lab, 0.0)
    return [float(code) for code in printed(0, 0)[: like.bands]]
