"""A print on a sheet of the lab, in whole pixels of the file that the lab gets."""

from dataclasses import dataclass

from proofs.lengths import PixelSize, Size
from proofs.pixel_areas import Area, pixels_at_least, size_in_pixels
from proofs.records.labs import Lab


@dataclass(frozen=True, slots=True)
class Placing:
    """Where the image lies in the file.

    ``sheet`` lies as the image does; ``file`` is the sheet with the lab's bleed round it.
    ``free`` is what the lab's white margin leaves: all that is printed lies inside it.
    """

    sheet: Size
    ppi: int
    file: PixelSize
    free: Area
    image: Area


def place(lab: Lab, sheet: Size, image: PixelSize) -> Placing:
    """Return an image in the middle of a sheet; an odd pixel is left over right and below.

    Raises ``ValueError`` where the lab's margin would come out narrower by so much as a pixel.
    """
    trimmed, bleed = size_in_pixels(sheet, lab.ppi), pixels_at_least(lab.bleed, lab.ppi)
    file = Area(0, 0, trimmed.width + 2 * bleed, trimmed.height + 2 * bleed)
    free = file.grown(-bleed - pixels_at_least(max(lab.margin, lab.edge_loss), lab.ppi))
    lying = file.centred(image)
    if not free.holds(lying):
        raise ValueError(f"{image} and the lab's margin are more than a sheet of {sheet}")
    return Placing(sheet, lab.ppi, file.size, free, lying)
