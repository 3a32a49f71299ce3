"""A mount drawn to scale: board, bevel, paper, and the picture in its window."""

import math
from collections.abc import Sequence

from proofs.lengths import Size
from proofs.pages.drawing import (
    Block,
    Corners,
    Mark,
    Placed,
    Shape,
    filled,
    frame,
    rectangle,
    sides,
)
from proofs.pages.typography import HAIR
from proofs.plan.entry.board import Cut, Opening
from proofs.plan.entry.mockup import (
    PAPER,
    Bevel,
    Box,
    Colour,
    bevel_colours,
    board_colour,
    front_colour,
    is_dark,
    on_mockup,
    seen,
)
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import BevelKind, WindowKind, WindowShape

SCALES = (2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 30, 32, 40, 50, 60, 80, 100, 150, 200)
_EDGE = 0.3  # the line round a board, which a white one needs on white paper
_NO_PICTURE = (226, 224, 220)

_LARGEST = 181.0  # a board of 20 in at 1:8 is the largest drawing
GAP, ROW_GAP = 10.0, 22.0  # the row's gap holds the words below each drawing


def fitting_scale(board: Size, count: int, row_width: float, most_height: float) -> int:
    """Return the scale, 1 to this number, at which ``count`` mounts in rows have room."""
    for scale in SCALES:
        if _fits(board, scale, count, (row_width, most_height)):
            return scale
    return SCALES[-1]


def _fits(board: Size, scale: int, count: int, room: tuple[float, float]) -> bool:
    row_width, most_height = room
    if board.longest.points / scale > _LARGEST:
        return False
    columns = per_row(board, scale, row_width)
    rows = math.ceil(count / columns) if columns else 0
    return columns > 0 and rows * (board.height.points / scale + ROW_GAP) <= most_height


def per_row(board: Size, scale: int, row_width: float) -> int:
    """Return how many drawings of a board fit side by side."""
    return int((row_width + GAP + 0.01) // (board.width.points / scale + GAP))


def mount_drawing(plan: Plan, scale: int, mockup: str | None, *, paper: Colour = PAPER) -> Block:
    """Return the mount of one step; without a mock-up its pictures are grey areas.

    ``paper`` is the colour of the paper that is seen round a picture.
    """
    layout, ground = plan.layout, front_colour(plan)
    if plan.mount.window == WindowKind.SURROUND and ground == PAPER:
        ground = paper
    width, height = layout.board.width.points / scale, layout.board.height.points / scale
    marks: list[Mark] = [rectangle(0, 0, width, height, ground)]
    for cuts in layout.windows:
        marks += _window(plan, cuts, scale, paper)
    for n in range(len(layout.pictures)):
        marks += _print(plan, n, scale, paper)
        marks += _picture(plan, n, scale, mockup)
    if not is_dark(front_colour(plan)):
        marks += frame(0, 0, width, height, line=_EDGE, colour=HAIR)
    return Block(height, tuple(marks))


def _window(plan: Plan, cuts: Sequence[Cut], scale: int, paper: Colour) -> Sequence[Mark]:
    """The bevels of a window from the top mat inwards, and what is seen inside them."""
    mount, board, marks = plan.mount, plan.layout.board, list[Mark]()
    inside = [board_colour(mat.colour) for mat in mount.inner]
    inside.append(board_colour(mount.backing_colour) if mount.window == WindowKind.FLOAT else paper)
    cores = [mat.core_colour for mat in mount.mats]
    for cut, core, colour in zip(cuts, cores, inside, strict=True):
        face = corners(cut.face.within(board), scale)
        limit = corners(cut.limiting.within(board), scale)
        if mount.bevel == BevelKind.ORDINARY:
            marks += _bevel(face, limit, bevel_colours(core))
        marks.append(filled(limit, colour))
    return marks


def _print(plan: Plan, n: int, scale: int, paper: Colour) -> Sequence[Mark]:
    """What is seen of the print around its image: its paper, or a keyline."""
    picture, mount, board = plan.layout.pictures[n], plan.mount, plan.layout.board
    if picture.paper_edge is not None:
        return (filled(corners(picture.paper_edge.within(board), scale), paper),)
    if mount.keyline:
        line = picture.image.grown(mount.keyline).within(board)
        return (filled(corners(line, scale), board_colour(mount.keyline_colour)),)
    return ()


def corners(opening: Opening, scale: float) -> Corners:
    """Return left, top, right and bottom of an edge line, as drawn."""
    left, top = opening.place.x.points / scale, opening.place.y.points / scale
    right = left + opening.size.width.points / scale
    return left, top, right, top + opening.size.height.points / scale


def _picture(plan: Plan, n: int, scale: int, mockup: str | None) -> Sequence[Mark]:
    """The picture as the mock-up shows it; an oval one with the mat in its corners."""
    sight = seen(plan.layout, n)
    face = plan.layout.pictures[n].face
    if mockup is not None and face is not None and plan.mount.shape != WindowShape.RECTANGLE:
        sight = face.within(plan.layout.board)
    left, top, right, bottom = corners(sight, scale)
    if right <= left or bottom <= top:
        return ()
    if mockup is None:
        return (filled((left, top, right, bottom), _NO_PICTURE),)
    return (Placed(mockup, left, top, right - left, bottom - top, whole_pixels(sight)),)


def whole_pixels(sight: Opening) -> Box:
    """Return the whole pixels of a mock-up inside an edge line.

    A pixel that the edge crosses shows some of the mat, so it is left out.
    """
    box = on_mockup(sight)
    left, top = math.ceil(box.left - 1e-6), math.ceil(box.top - 1e-6)
    right, bottom = math.floor(box.right + 1e-6), math.floor(box.bottom + 1e-6)
    return Box(left, top, max(right, left + 1), max(bottom, top + 1))


def _bevel(outer: Corners, inner: Corners, colours: Bevel) -> Sequence[Mark]:
    """The four faces over one plain area, so that nothing shows through where they meet."""
    left, top, right, bottom = outer
    in_left, in_top, in_right, in_bottom = inner
    around = ((left, top), (right, top), (right, bottom), (left, bottom))
    within = ((in_left, in_top), (in_right, in_top), (in_right, in_bottom), (in_left, in_bottom))
    faces = [
        Shape((start, end, inner_end, inner_start), colour)
        for (start, end), (inner_start, inner_end), colour in zip(
            sides(around),
            sides(within),
            (colours.top, colours.right, colours.bottom, colours.left),
            strict=True,
        )
    ]
    return (filled(outer, colours.left), *faces)
