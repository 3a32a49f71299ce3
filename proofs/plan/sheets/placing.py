"""A print on a paper sheet of the lab, in whole pixels of the lab's file."""

from dataclasses import dataclass

from proofs.lengths import PixelSize, Size
from proofs.pixel_areas import Area, pixels_at_least, size_in_pixels
from proofs.records.labs import Lab


@dataclass(frozen=True, slots=True)
class Placing:
    """The place of the image in the file.

    ``sheet`` is the same way up as the image; ``file`` is the sheet with the lab's bleed round
    it. Everything printed is inside ``free``, within the lab's white margin.
    """

    sheet: Size
    ppi: int
    file: PixelSize
    free: Area
    image: Area


def place(lab: Lab, sheet: Size, image: PixelSize) -> Placing:
    """Return the place of an image in the middle of a sheet; an odd pixel goes right and below.

    Raises ``ValueError`` if it would cover any of the lab's margin.
    """
    trimmed, bleed = size_in_pixels(sheet, lab.ppi), pixels_at_least(lab.bleed, lab.ppi)
    file = Area(0, 0, trimmed.width + 2 * bleed, trimmed.height + 2 * bleed)
    free = file.grown(-bleed - pixels_at_least(max(lab.margin, lab.edge_loss), lab.ppi))
    lying = file.centred(image)
    if not free.holds(lying):
        raise ValueError(f"a sheet of {sheet} is too small for {image} and the lab's margin")
    return Placing(sheet, lab.ppi, file.size, free, lying)
