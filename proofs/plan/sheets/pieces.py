"""The prints that a lab makes of one entry: a picture each, or several on one piece of paper."""

from dataclasses import dataclass, replace

from proofs.lengths import Length, PixelSize, Place, Size
from proofs.pixel_areas import Area
from proofs.plan.entry.board import Opening, Picture
from proofs.plan.entry.planning import Plan
from proofs.plan.sheets.strips import pixels
from proofs.plan.sheets.surround import SurroundSheet, surround_sheet
from proofs.records.mounts import WindowKind


@dataclass(frozen=True, slots=True)
class PrintedPiece:
    """One print: its pictures, counted from 0, and how it lies on the board.

    ``lying`` is the picture, or one outline round several. ``together`` says where they lie on
    the print where it is more than the picture alone, else None.
    """

    pictures: tuple[int, ...]
    lying: Picture
    pixels: PixelSize
    together: SurroundSheet | None = None


def pieces_of(plan: Plan, ppi: int) -> tuple[PrintedPiece, ...]:
    """Return the prints of an entry, in the order of its pictures.

    Pictures in one window lie on one print, and so do all of those with a printed surround.
    """
    numbers = tuple(range(len(plan.parts)))
    if plan.mount.window == WindowKind.SURROUND:
        sheet = surround_sheet(plan, ppi)
        return (PrintedPiece(numbers, _whole_board(plan), sheet.size, sheet),)
    if plan.layout.has_common_window:
        return (_group(plan, numbers, ppi),)
    pictures = plan.layout.pictures
    return tuple(PrintedPiece((n,), pictures[n], plan.parts[n].pixels) for n in numbers)


def _whole_board(plan: Plan) -> Picture:
    """The print that is stuck on the whole board, and reaches over it on all sides."""
    first, board = plan.layout.pictures[0], plan.layout.board
    paper = first.paper_needed
    beyond = Length((board.width - paper.width).nm // 2)
    return replace(first, image=Opening(paper, Place(beyond, beyond)))


def _group(plan: Plan, numbers: tuple[int, ...], ppi: int) -> PrintedPiece:
    """The pictures in one window, with the white between them."""
    images = [picture.image for picture in plan.layout.pictures]
    left, top = min(i.place.x for i in images), min(i.place.y for i in images)
    right, bottom = max(i.right for i in images), max(i.bottom for i in images)
    whole = Opening(Size(right - left, bottom - top), Place(left, top))
    areas = tuple(
        Area(
            pixels(image.place.x - left, ppi),
            pixels(image.place.y - top, ppi),
            part.pixels.width,
            part.pixels.height,
        )
        for image, part in zip(images, plan.parts, strict=True)
    )
    size = PixelSize(max(a.right for a in areas), max(a.bottom for a in areas))
    lying = replace(plan.layout.pictures[0], image=whole)
    return PrintedPiece(numbers, lying, size, SurroundSheet(size, areas, ()))
