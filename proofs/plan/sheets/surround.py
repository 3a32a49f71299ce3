"""A print with its surround, in whole pixels of the lab's file: the image, and lines round it.

The sheet is the board and 1/8 in more on each side, to be trimmed after it is stuck down.
"""

from dataclasses import dataclass

from proofs.lengths import Length, PixelSize
from proofs.pixel_areas import Area
from proofs.plan.entry.planning import Plan
from proofs.plan.sheets.strips import pixels


@dataclass(frozen=True, slots=True)
class SurroundSheet:
    """The whole print, its images in the plan's order, and the keyline's outside round each."""

    size: PixelSize
    images: tuple[Area, ...]
    keylines: tuple[Area, ...]


def surround_sheet(plan: Plan, ppi: int) -> SurroundSheet:
    """Return where all lies on the print of a mount whose surround is printed.

    Every image has exactly the pixels that it has in the plan.
    """
    board, paper = plan.layout.board, plan.layout.pictures[0].paper_needed
    beyond = Length((paper.width - board.width).nm // 2)
    images = tuple(
        Area(
            pixels(picture.image.place.x + beyond, ppi),
            pixels(picture.image.place.y + beyond, ppi),
            part.pixels.width,
            part.pixels.height,
        )
        for part, picture in zip(plan.parts, plan.layout.pictures, strict=True)
    )
    line = pixels(plan.mount.keyline, ppi)
    return SurroundSheet(
        size=PixelSize(pixels(paper.width, ppi), pixels(paper.height, ppi)),
        images=images,
        keylines=tuple(
            Area(a.left - line, a.top - line, a.width + 2 * line, a.height + 2 * line)
            for a in images
            if line
        ),
    )
