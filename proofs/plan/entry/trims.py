"""The size that a print's paper is trimmed to where no mat covers its edge, and its place."""

from dataclasses import dataclass

from proofs.lengths import Borders, Size
from proofs.plan.entry.board import Opening
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import WindowKind


@dataclass(frozen=True, slots=True)
class Trim:
    """The trimmed paper of one print.

    ``edge`` is its outline on the board, ``margins`` are the distances from there to the image,
    ``sheet`` is the paper before it is trimmed, None if it is not known.
    """

    edge: Opening
    margins: Borders
    sheet: Size | None

    @property
    def is_to_do(self) -> bool:
        """Whether the sheet is larger than the trimmed paper on any side."""
        size, sheet = self.edge.size, self.sheet
        return sheet is not None and not size.holds(sheet)

    @property
    def is_done(self) -> bool:
        """Whether the sheet is known to be no larger than the trimmed paper."""
        return self.sheet is not None and not self.is_to_do

    @property
    def words(self) -> str:
        """The size, and where the cuts lie, counted from the edges of the image."""
        return f"{self.edge.size}: {_places(self.margins)}"


def trims(plan: Plan) -> tuple[Trim, ...]:
    """Return the trim of each print, in the order of the pictures; none if mats cover all edges.

    All pictures with a printed surround are one print, which ends with the board.
    """
    layout, window = plan.layout, plan.mount.window
    images = [picture.image for picture in layout.pictures]
    if window == WindowKind.SURROUND:
        images, edges = [Opening.around(images)], [Opening(layout.board)]
    elif window in (WindowKind.FLOAT, WindowKind.NONE):
        edges = [picture.outline for picture in layout.pictures]
    else:
        return ()
    parts = plan.parts[: len(images)]
    return tuple(
        # The lab trims a print to the edge: nothing is left to do.
        Trim(edge, image.borders_in(edge), edge.size if part.edge else part.sheet)
        for edge, image, part in zip(edges, images, parts, strict=True)
    )


def picture_trims(plan: Plan) -> tuple[Trim | None, ...]:
    """Return the trim of the print that each picture is on; None where a mat covers its edge."""
    count, found = len(plan.layout.pictures), trims(plan)
    if not found:
        return (None,) * count
    return found if len(found) == count else found * count


def _places(margins: Borders) -> str:
    sides = (margins.top, margins.right, margins.bottom, margins.left)
    if not any(sides):
        return "along the image"
    if len(set(sides)) == 1:
        return f"{margins.top} outside the image on each side"
    if margins.top == margins.bottom and margins.left == margins.right:
        return f"{margins.top} above and below the image, {margins.left} at its sides"
    named = zip(("above", "right of", "below", "left of"), sides, strict=True)
    return f"{', '.join(f'{side} {where}' for where, side in named)} the image"
