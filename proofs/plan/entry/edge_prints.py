"""Prints to the edge of their sheet: what of a picture goes into the file, and what is left of it.

The file covers the whole sheet, with the lab's bleed round it, and so has no white. The lab may
trim each side by its ``edge_loss``: what is left even then is the image.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from proofs.lengths import Length, PixelSize, Size, millimetres
from proofs.pixel_areas import Area
from proofs.plan.entry.sizing import crop_box
from proofs.plan.sheets.placing import file_area
from proofs.records.labs import Lab
from proofs.records.mounts import Mount, WindowKind
from proofs.records.size_and_crop import CropPlace, CropWish

_SLIVER = millimetres(1)  # what no eye misses at an edge; common practice, no source
_PAPER_SHOWN = {
    WindowKind.REVEAL: "leaves paper round the image",
    WindowKind.SURROUND: "has its surround printed round the image",
}


@dataclass(frozen=True, slots=True)
class EdgePrint:
    """A print to the edge: its sheet the way the picture hangs, and the file for the lab.

    ``crop`` is the part of the picture that fills the file of ``pixels``, taken from ``place``.
    """

    sheet: Size
    crop: Area
    pixels: PixelSize
    place: CropPlace = CropPlace.CENTRE

    def image_area(self, image: PixelSize) -> Area:
        """Return where the image lies in the file; an odd pixel goes right and below."""
        return Area.of(self.pixels).centred(image)

    def image_crop(self, image: PixelSize) -> Area:
        """Return the part of the picture that is left as the image, in the picture's own pixels."""
        area = self.image_area(image)
        across, down = (
            Fraction(self.crop.width, self.pixels.width),
            Fraction(self.crop.height, self.pixels.height),
        )
        left, right = (round(edge * across) for edge in (area.left, area.right))
        top, bottom = (round(edge * down) for edge in (area.top, area.bottom))
        whole = Area(self.crop.left + left, self.crop.top + top, right - left, bottom - top)
        return Area(whole.left, whole.top, max(1, whole.width), max(1, whole.height))


def edge_print(lab: Lab, size: Size, hung: PixelSize, crop: CropWish | None) -> EdgePrint:
    """Return how a picture fills a sheet of this size, which turns with the picture.

    A picture of another shape needs a crop, unless what hangs over the sheet is no more than the
    lab trims anyway, or than 1 mm: then it is cropped to the sheet. Raises ``ValueError``.
    """
    shape = crop.aspect if crop and crop.aspect else hung.aspect
    place = crop.place if crop else CropPlace.CENTRE
    sheet = _turned_to(size, shape)
    if size not in lab.edge_to_edge and size.turned not in lab.edge_to_edge:
        raise ValueError(f"size: {lab.name!r} does not print {sheet} to the edge; {_offered(lab)}")
    if _overhang(shape, sheet) > max(lab.edge_loss, _SLIVER):
        raise ValueError(
            f"size: a print to the edge of {sheet} has no white, and the picture has another"
            f" shape; write {CropWish(_aspect(sheet).limit_denominator(1000), place)} under crop,"
            " or 'sheet' in place of 'print' for an image with white round it"
        )
    pixels = file_area(lab, sheet).size
    return EdgePrint(sheet, crop_box(hung, CropWish(pixels.aspect, place)), pixels, place)


def refuse_white(mount: Mount, prints: Iterable[EdgePrint | None]) -> None:
    """Raise ``ValueError`` if a mount shows paper, which a print to the edge does not have."""
    why = _PAPER_SHOWN.get(mount.window, "")
    if mount.window == WindowKind.FLOAT and mount.paper:
        why = "shows paper round the image"
    if why and any(prints):
        raise ValueError(
            f"size: a print to the edge has no white, and the mount {mount.name!r} {why};"
            " write another size, or name another mount"
        )


def _turned_to(size: Size, aspect: Fraction) -> Size:
    return size if (size.width >= size.height) == (aspect >= 1) else size.turned


def _aspect(size: Size) -> Fraction:
    return Fraction(size.width.nm, size.height.nm)


def _overhang(aspect: Fraction, sheet: Size) -> Length:
    """How far a picture that covers a sheet hangs over it on each of two opposite sides."""
    half = Fraction(1, 2)
    if aspect > _aspect(sheet):
        return (sheet.height * aspect - sheet.width) * half
    return (sheet.width * (1 / aspect) - sheet.height) * half


def _offered(lab: Lab) -> str:
    if not lab.edge_to_edge:
        return (
            "its profile lists no sheets under edge_to_edge; write 'sheet' in place of 'print' for"
            " the largest image inside the white margin"
        )
    return f"write one of {', '.join(str(sheet) for sheet in lab.edge_to_edge)}"
