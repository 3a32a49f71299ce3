"""The prints of one entry in whole pixels: one for each picture, or several on one print.

With a printed surround the print is as large as the board and 1/8 in more on each side, to be
trimmed after it is stuck down.
"""

from dataclasses import dataclass, replace

from proofs.lengths import PixelSize
from proofs.pixel_areas import Area, pixels, size_in_pixels
from proofs.plan.entry.board import Opening, Picture
from proofs.plan.entry.edge_prints import EdgePrint
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import WindowKind


@dataclass(frozen=True, slots=True)
class PrintAreas:
    """A whole print, its images in the plan's order, and the keyline's outside round each."""

    size: PixelSize
    images: tuple[Area, ...]
    keylines: tuple[Area, ...] = ()


@dataclass(frozen=True, slots=True)
class PrintedPiece:
    """One print: its pictures, counted from 0, and its place on the board.

    ``lying`` is the picture, or one with an image that encloses several. ``areas`` has the places
    of the images on a print that is more than its picture; otherwise it is None. ``pixels`` are
    those of the image, also of one that is printed to the edge of its sheet.
    """

    pictures: tuple[int, ...]
    lying: Picture
    pixels: PixelSize
    areas: PrintAreas | None = None
    edge: EdgePrint | None = None


def pieces_of(plan: Plan, ppi: int) -> tuple[PrintedPiece, ...]:
    """Return the prints of an entry, in the order of its pictures.

    All pictures in one window are on one print, and so are all those with a printed surround.
    """
    numbers = tuple(range(len(plan.parts)))
    pictures = plan.layout.pictures
    if plan.mount.window == WindowKind.SURROUND:
        lying, areas = _whole_board(plan), surround_areas(plan, ppi)
    elif plan.layout.has_common_window:
        lying = Opening.around(picture.image for picture in pictures)
        images = _images(plan, lying, ppi)
        areas = PrintAreas(Area.around(images).size, images)
    else:
        return tuple(
            PrintedPiece((n,), pictures[n], part.pixels, edge=part.edge)
            for n, part in enumerate(plan.parts)
        )
    return (PrintedPiece(numbers, replace(pictures[0], image=lying), areas.size, areas),)


def surround_areas(plan: Plan, ppi: int) -> PrintAreas:
    """Return the places of images and keylines on the print of a mount with a printed surround.

    Every image has exactly the pixels that it has in the plan.
    """
    whole = _whole_board(plan)
    images = _images(plan, whole, ppi)
    line = pixels(plan.mount.keyline, ppi)
    return PrintAreas(
        size=size_in_pixels(whole.size, ppi),
        images=images,
        keylines=tuple(area.grown(line) for area in images if line),
    )


def _whole_board(plan: Plan) -> Opening:
    """The print that covers the whole board, and reaches beyond it on all sides."""
    return Opening(plan.layout.board).centred(plan.layout.pictures[0].paper_needed)


def _images(plan: Plan, lying: Opening, ppi: int) -> tuple[Area, ...]:
    """The images on a print that lies here on the board."""
    return tuple(
        Area.of(part.pixels, pixels(image.left, ppi), pixels(image.top, ppi))
        for part, picture in zip(plan.parts, plan.layout.pictures, strict=True)
        for image in [picture.image.counted_from(lying)]
    )
