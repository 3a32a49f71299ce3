"""The corners of a mount's openings, and the parts of a board that show them at full size."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from proofs.lengths import NM_PER_MM, ZERO, Length, Place, Size, millimetres
from proofs.plan.cutting.templates import EdgeLine, edges_of
from proofs.plan.cutting.tiling import BEYOND
from proofs.plan.entry.board import Layout, Opening

SIDES = millimetres(18)
"""How much of both sides is shown from a corner inwards: enough to lay a ruler along."""

_OUTSIDE = millimetres(3)  # shown outside the outermost line at a corner
_MARK_IN = millimetres(6)  # of a register mark, from the edge of its part
_CORNERS = {
    (-1, -1): "top left",
    (1, -1): "top right",
    (-1, 1): "bottom left",
    (1, 1): "bottom right",
}
_ENDS = {(0, -1): "top", (-1, 0): "left", (1, 0): "right", (0, 1): "bottom"}
"""The ends of an oval's axes, by the direction in which each lies from its middle."""


@dataclass(frozen=True, slots=True)
class Corner:
    """One corner of a picture's openings, or one end of an oval's axes.

    ``shown`` is what must be seen of it. ``across`` and ``down`` say on which side of the opening
    it lies: -1 for left or top, 1 for right or bottom, 0 for neither. ``picture`` counts from 0.
    """

    picture: int
    name: str
    shown: Opening
    across: int
    down: int


@dataclass(frozen=True, slots=True)
class CornerPart:
    """A part of a board with its corners, the one it is placed by first, and its register marks.

    Each mark is a whole number of millimetres from the board's top left; marks of neighbours are
    in line with each other, and in the border next to the corner.
    """

    area: Opening
    corners: tuple[Corner, ...]
    marks: tuple[Place, ...] = ()

    @property
    def corner(self) -> Corner:
        """The corner that it is placed by."""
        return self.corners[0]


def corner_parts(layout: Layout, room: Size) -> tuple[CornerPart, ...]:
    """Return parts of this size that show every corner, row by row.

    A part reaches to the edges of the board wherever it is large enough, so that it can be laid
    on the board by them.
    """
    parts: list[CornerPart] = []
    for corner in corners_of(layout):
        for n, part in enumerate(parts):
            if _holds(part.area, corner.shown):
                parts[n] = replace(part, corners=(*part.corners, corner))
                break
        else:
            parts.append(CornerPart(Opening(room, _placed(corner, layout.board, room)), (corner,)))
    return tuple(replace(part, marks=tuple(_marks(part, parts, layout.board))) for part in parts)


def edges_shown(part: CornerPart, board: Size) -> int:
    """Return how many edges of the board a part shows."""
    area = part.area
    shown = (
        area.left < ZERO,
        area.top < ZERO,
        area.right > board.width,
        area.bottom > board.height,
    )
    return sum(shown)


def corners_of(layout: Layout) -> tuple[Corner, ...]:
    """Return the corners of all pictures, the upper ones first, from left to right."""
    found = [
        corner
        for n, picture in enumerate(layout.pictures)
        for corner in _corners(n, list(edges_of(picture)))
    ]
    found.sort(key=lambda corner: (corner.down > 0, corner.shown.left))
    return tuple(found)


def _corners(picture: int, edges: Sequence[EdgeLine]) -> Iterator[Corner]:
    is_oval = any(edge.is_oval for edge in edges)
    lines = [edge.line for edge in edges]
    for (across, down), name in (_ENDS if is_oval else _CORNERS).items():
        left, right = _range([(line.left, line.right) for line in lines], across)
        top, bottom = _range([(line.top, line.bottom) for line in lines], down)
        shown = Opening(Size(right - left, bottom - top), Place(left, top))
        yield Corner(picture, name, shown, across, down)


def _range(ends: Sequence[tuple[Length, Length]], side: int) -> tuple[Length, Length]:
    """From where to where a part must show lines that have these ends, along one side."""
    near, far = [start for start, _ in ends], [end for _, end in ends]
    if side < 0:
        return min(near) - _OUTSIDE, max(near) + SIDES
    if side > 0:
        return min(far) - SIDES, max(far) + _OUTSIDE
    middle = (near[0] + far[0]) // 2
    return middle - SIDES, middle + SIDES


def _placed(corner: Corner, board: Size, room: Size) -> Place:
    shown = corner.shown
    return Place(
        _start((shown.left, shown.right), corner.across, board.width, room.width),
        _start((shown.top, shown.bottom), corner.down, board.height, room.height),
    )


def _start(needed: tuple[Length, Length], side: int, whole: Length, room: Length) -> Length:
    """Where a part begins along one side: at the board's edge, or as near to it as it can."""
    least, most = -BEYOND, whole + BEYOND - room
    if side < 0:
        return max(least, needed[1] - room)
    if side > 0:
        return min(most, needed[0])
    return (needed[0] + needed[1] - room) // 2


def _holds(area: Opening, shown: Opening) -> bool:
    inside = area.left <= shown.left and area.top <= shown.top
    return inside and shown.right <= area.right and shown.bottom <= area.bottom


def _marks(part: CornerPart, parts: Sequence[CornerPart], board: Size) -> Iterator[Place]:
    """A mark near each edge of a part that lies on the board, in the border beside its corner."""
    area, corner = part.area, part.corner
    alike = [other for other in parts if other.corner.picture == corner.picture]
    row = [other for other in alike if other.corner.down == corner.down]
    column = [other for other in alike if other.corner.across == corner.across]
    x = _in_border(
        [(o.area.left, o.area.right, o.corner.shown.left, o.corner.shown.right) for o in column],
        corner.across,
        board.width,
    )
    y = _in_border(
        [(o.area.top, o.area.bottom, o.corner.shown.top, o.corner.shown.bottom) for o in row],
        corner.down,
        board.height,
    )
    for edge in (area.left + _MARK_IN, area.right - _MARK_IN):
        if _MARK_IN < edge < board.width - _MARK_IN:
            yield Place(_whole_mm(edge), y)
    for edge in (area.top + _MARK_IN, area.bottom - _MARK_IN):
        if _MARK_IN < edge < board.height - _MARK_IN:
            yield Place(x, _whole_mm(edge))


def _in_border(
    found: Sequence[tuple[Length, Length, Length, Length]], side: int, whole: Length
) -> Length:
    """The middle of the border that all of these parts show, along one side of the board.

    Each has the two ends of a part, and those of what it must show.
    """
    starts, ends, near, far = zip(*found, strict=True)
    if side < 0:
        between = max(ZERO, *starts), min(near)
    elif side > 0:
        between = max(far), min(whole, *ends)
    else:
        between = max(starts), min(ends)
    return _whole_mm((between[0] + between[1]) // 2)


def _whole_mm(length: Length) -> Length:
    return millimetres(length.nm // NM_PER_MM)
