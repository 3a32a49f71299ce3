"""A mat as its cutter sees it, face down, to scale, with one number for each cut."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from proofs.lengths import Edge, Length, Size
from proofs.pages.cutting.dimensions import Dimensions, dimension, numbers_table
from proofs.pages.cutting.prints_table import is_placed_by_paper
from proofs.pages.drawing import Block, Line, Mark, Shape, filled, frame, oval, rectangle, sides
from proofs.pages.mount_drawing import corners
from proofs.pages.typography import (
    CAPTION,
    DIMENSION,
    HAIR,
    INK,
    QUIET,
    TITLE,
    Setter,
    Style,
    text_at,
)
from proofs.plan.cutting.cut_lines import CutLine
from proofs.plan.cutting.marks import Marks
from proofs.plan.cutting.mount_kinds import MatSheet, MountKind
from proofs.plan.entry.mockup import Colour
from proofs.plan.entry.trims import trims

_OVAL_LINES = 120
_CUT = 1.1  # how wide a cut is drawn
_BOARD: Colour = (244, 242, 238)
_FALLS_OUT: Colour = (255, 255, 255)


@dataclass(frozen=True, slots=True)
class MatDrawn:
    """A mat as it is drawn: the drawing, its width, and its scale, 1 to that number."""

    block: Block
    width: float
    scale: float


def mat_drawing(
    mat: MatSheet,
    marks: Marks,
    setter: Setter,
    *,
    room: tuple[float, float],
    overrun: Length,
    is_oval: bool = False,
) -> MatDrawn:
    """Return a mat seen from the back, as large as a room of this width and height allows.

    Distances from the left and the right edge are above the board, those from the top and the
    bottom on its borders, or beside it if they have no room there. If all these would be too many,
    a table below lists them window by window.
    """
    around = Dimensions(mat.lines, marks, setter)
    if not around.are_few:
        table = numbers_table(mat, marks, setter, room[0])
        return _with_table(mat, table, setter, room, (overrun.points, is_oval))
    scale, on_board = 0.0, True
    for on_board in (True, False):
        side = 0.0 if on_board else around.beside
        scale = _scale(mat.board, room[0] - side, room[1] - around.high)
        sized = around.fitted(mat.board.width.points / scale)
        if sized.have_room_on(mat.board.width.points / scale, scale):
            break
    width, height = mat.board.width.points / scale, mat.board.height.points / scale
    drawn = _board(mat, setter, scale, is_oval=is_oval, numbered=False)
    if not is_oval:
        drawn += _cuts(mat.lines, mat.board, scale, overrun.points / scale)
    drawn += sized.drawn((width, height, scale), on_board=on_board)
    whole = width if on_board else width + sized.beside
    block = Block(sized.high + height, tuple(mark.moved(0, sized.high) for mark in drawn))
    return MatDrawn(block, whole, scale)


def _with_table(
    mat: MatSheet,
    table: Block,
    setter: Setter,
    room: tuple[float, float],
    cut: tuple[float, bool],
) -> MatDrawn:
    """A mat of many windows: they are numbered, and the table below has the numbers of each.

    ``cut`` says how far cuts run past a corner, and whether the windows are oval.
    """
    past, is_oval = cut
    scale = _scale(mat.board, room[0], room[1] - table.height - 8)
    height = mat.board.height.points / scale
    drawn = _board(mat, setter, scale, is_oval=is_oval, numbered=True)
    if not is_oval:
        drawn += _cuts(mat.lines, mat.board, scale, past / scale)
    block = Block(height + 8 + table.height, (*drawn, *table.at(0, height + 8)))
    return MatDrawn(block, room[0], scale)


def _scale(board: Size, width: float, height: float) -> float:
    """The scale, in tenths, at which a board fits a room."""
    least = max(board.width.points / max(width, 1.0), board.height.points / max(height, 1.0))
    return math.ceil(least * 10 - 1e-6) / 10


def _board(
    mat: MatSheet, setter: Setter, scale: float, *, is_oval: bool, numbered: bool
) -> list[Mark]:
    """The mat with the pieces that fall out of it; the edge of an oval is drawn here too."""
    width, height = mat.board.width.points / scale, mat.board.height.points / scale
    marks: list[Mark] = [rectangle(0, 0, width, height, _BOARD)]
    marks += frame(0, 0, width, height, line=0.6, colour=QUIET)
    for number, back in enumerate(mat.backs, 1):
        left, top, right, bottom = corners(back.mirrored(mat.board), scale)
        if is_oval:
            outline = oval((left, top, right, bottom), _OVAL_LINES)
            marks.append(Shape(outline, _FALLS_OUT))
            marks += [Line(start, end, _CUT, INK) for start, end in sides(outline)]
        else:
            marks.append(filled((left, top, right, bottom), _FALLS_OUT))
        inside = "opening" if mat.is_ready_cut else "falls out"
        words, style = (str(number), TITLE) if numbered else (inside, CAPTION)
        y = (top + bottom) / 2 + style.size / 3
        if numbered or setter.wide(words, style) < right - left - 2 * _CUT:
            marks.append(setter.centred(words, style, (left + right) / 2, y))
    above = min((back.place.y.points / scale for back in mat.backs), default=height)
    return [*marks, *_top_mark(width, above, setter)]


def _top_mark(width: float, border: float, setter: Setter) -> list[Mark]:
    """T and an arrowhead in the middle of the upper edge, no larger than the border there."""
    middle, share = width / 2, max(0.3, min(1.0, border / 28))
    style = Style(DIMENSION.weight, DIMENSION.size * share)
    tip, foot, half = 3 * share, 9 * share, 4 * share
    return [
        Shape(((middle, tip), (middle + half, foot), (middle - half, foot)), INK),
        setter.centred("T", style, middle, 24 * share),
    ]


def _cuts(lines: Sequence[CutLine], board: Size, scale: float, past: float) -> list[Mark]:
    """Every cut, with its overcut."""
    drawn: list[Mark] = []
    for line in lines:
        upright = line.edge in (Edge.LEFT, Edge.RIGHT)
        whole = board.width if upright else board.height
        at = line.at if line.edge in (Edge.LEFT, Edge.TOP) else whole - line.at
        place = at.points / scale
        for stroke in line.strokes:
            start, end = stroke.start.points / scale - past, stroke.end.points / scale + past
            ends = ((place, start), (place, end)) if upright else ((start, place), (end, place))
            drawn.append(Line(*ends, _CUT, INK))
    return drawn


def print_drawing(kind: MountKind, setter: Setter, width: float) -> Block:
    """Return the backing from the front, small, with the two distances that place a print.

    They run to the edge of the paper if that is seen, otherwise to the image. What a given opening
    leaves of an image beyond the board is trimmed off.
    """
    board, pictures = kind.board, kind.entries[0].plan.layout.pictures
    scale = board.longest.points / width
    wide, high = board.width.points / scale, board.height.points / scale
    marks: list[Mark] = [
        rectangle(0, 0, wide, high, _BOARD),
        *frame(0, 0, wide, high, line=0.6, colour=QUIET),
    ]
    plan = kind.entries[0].plan
    edges = [t.edge for t in trims(plan)] if is_placed_by_paper(kind.mount) else []
    boxes = [corners(picture.image.within(board), scale) for picture in pictures]
    for left, top, right, bottom in (corners(edge, scale) for edge in edges):
        marks.append(rectangle(left, top, right - left, bottom - top, _FALLS_OUT))
        marks += frame(left, top, right - left, bottom - top, line=0.6, colour=QUIET)
    marks += [filled(box, HAIR) for box in boxes]
    left, top, right, bottom = corners(edges[0], scale) if edges else boxes[0]
    middle = (left + right) / 2
    marks += dimension((middle, 0), (middle, top))
    marks += dimension((0, bottom - 4), (left, bottom - 4))
    marks.append(text_at("from top", CAPTION, middle + 5, top / 2 + 2))
    marks.append(text_at("from left", CAPTION, 4, bottom + 7))
    marks.append(setter.centred("FRONT", CAPTION, middle, (top + bottom) / 2 + 2))
    return Block(high, tuple(marks))
