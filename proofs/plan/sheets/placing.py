"""A print on a paper sheet of the lab, in whole pixels of the lab's file."""

from dataclasses import dataclass

from proofs.lengths import PixelSize, Size
from proofs.pixel_areas import Area, pixels_at_least, size_in_pixels
from proofs.records.labs import Lab


@dataclass(frozen=True, slots=True)
class Placing:
    """The place of the image in the file.

    ``sheet`` is the same way up as the image; ``file`` is the sheet with the lab's bleed round
    it. Everything printed is inside ``free``, within the lab's white margin. With ``is_to_edge``
    the picture fills the file instead, and ``image`` is what the lab leaves of it at least.
    """

    sheet: Size
    ppi: int
    file: PixelSize
    free: Area
    image: Area
    is_to_edge: bool = False

    @property
    def picture(self) -> Area:
        """What of the file the picture covers."""
        return Area.of(self.file) if self.is_to_edge else self.image


def file_area(lab: Lab, sheet: Size) -> Area:
    """Return the area of a whole file for a sheet, with the lab's bleed round it."""
    trimmed, bleed = size_in_pixels(sheet, lab.ppi), pixels_at_least(lab.bleed, lab.ppi)
    return Area(0, 0, trimmed.width + 2 * bleed, trimmed.height + 2 * bleed)


def place(lab: Lab, sheet: Size, image: PixelSize) -> Placing:
    """Return the place of an image in the middle of a sheet; an odd pixel goes right and below.

    Raises ``ValueError`` if it would cover any of the lab's margin.
    """
    file, bleed = file_area(lab, sheet), pixels_at_least(lab.bleed, lab.ppi)
    free = file.grown(-bleed - pixels_at_least(lab.white, lab.ppi))
    lying = file.centred(image)
    if not free.holds(lying):
        raise ValueError(f"a sheet of {sheet} is too small for {image} and the lab's margin")
    return Placing(sheet, lab.ppi, file.size, free, lying)


def place_to_edge(lab: Lab, sheet: Size, image: PixelSize) -> Placing:
    """Return the place of the image of a print to the edge, whose picture covers the whole file.

    Raises ``ValueError`` if the image is larger than the file.
    """
    file = file_area(lab, sheet)
    lying = file.centred(image)
    if not file.holds(lying):
        raise ValueError(f"a sheet of {sheet} is too small for {image}")
    return Placing(sheet, lab.ppi, file.size, lying, lying, is_to_edge=True)
