"""A mount's front and back side by side, small, to show where the label goes on the back."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from proofs.lengths import Edge, Size
from proofs.pages.drawing import (
    Block,
    Corners,
    Line,
    Mark,
    Point,
    Shape,
    Text,
    filled,
    frame,
    oval,
    side_by_side,
    sides,
    stacked,
)
from proofs.pages.mount_drawing import corners
from proofs.pages.typography import (
    CAPTION,
    HAIR,
    HAIRLINE,
    INK,
    QUIET,
    REGULAR,
    SEMIBOLD,
    STRONG,
    Setter,
    Style,
    text_at,
)
from proofs.plan.bench.labels import Label, tops_in_words
from proofs.plan.entry.mockup import Colour, back_line, label_place
from proofs.plan.entry.planning import Plan

_BETWEEN = 16.0
_ABOVE = 11.0  # room for TOP over a board
_PICTURE: Colour = (226, 224, 220)
_SMALL = Style(REGULAR, 5.2, QUIET)
_TOP = Style(SEMIBOLD, 6)
_NUMBERED = 18.0  # across a picture that has room for its number beside other words
_DOT = 2.0
_ROUND = 48  # points along an oval
_DOTS = (0.6, 1.6)


def front_and_back(
    plan: Plan, label: Label, size: Size | None, width: float, setter: Setter
) -> Block:
    """Return both sides of a mount with their names, ``width`` points wide together.

    ``size`` is that of the label, None for the usual one. A dot marks the same corner of the
    board on both sides.
    """
    each = (width - _BETWEEN) / 2
    scale = plan.layout.board.longest.points / each
    both = (
        ("front", _front(plan, scale, setter)),
        ("back, from behind", _back(plan, label, size, scale, setter)),
    )
    blocks = [
        stacked([side.lowered(_ABOVE), setter.paragraph(name, CAPTION, each)], 3)
        for name, side in both
    ]
    tops = setter.stack([(words, STRONG) for words in tops_in_words(plan)], width, gap=2)
    return stacked([side_by_side(blocks, each + _BETWEEN), tops], 2)


def _front(plan: Plan, scale: float, setter: Setter) -> Block:
    board, marks = plan.layout.board, _board(plan.layout.board, scale, setter)
    pictures = zip(plan.parts, plan.layout.pictures, strict=True)
    for number, (part, picture) in enumerate(pictures, 1):
        sight = corners(picture.sight.within(board), scale)
        marks.append(Shape(_area(sight, picture.is_oval), _PICTURE))
        if picture.face is not None:
            face = corners(picture.face.within(board), scale)
            marks += _outline(_area(face, picture.is_oval), HAIRLINE)
        marks += _own_top(part.top_edge, sight, setter)
        if len(plan.parts) > 1:
            marks.append(_numbered(number, sight, setter))
    marks.append(_dot(3.5))
    return Block(board.height.points / scale, tuple(marks))


def _back(plan: Plan, label: Label, size: Size | None, scale: float, setter: Setter) -> Block:
    board = plan.layout.board
    marks = _board(board, scale, setter)
    for picture in plan.layout.pictures:
        line = back_line(picture).mirrored(board).within(board)
        marks += _outline(_area(corners(line, scale), picture.is_oval), 0.7, _DOTS)
    marks += _label(label, corners(label_place(board, size).within(board), scale), setter)
    marks.append(_dot(board.width.points / scale - 3.5))
    return Block(board.height.points / scale, tuple(marks))


def _board(board: Size, scale: float, setter: Setter) -> list[Mark]:
    """The board with TOP and an arrow above its upper edge."""
    width, height = board.width.points / scale, board.height.points / scale
    left = (width - setter.wide("TOP", _TOP) - 7) / 2
    words = text_at("TOP", _TOP, left + 7, -3)
    arrow = Shape(((left + 2.2, -8.5), (left + 4.4, -3), (left, -3)), INK)
    return [words, arrow, *frame(0, 0, width, height, line=HAIRLINE, colour=QUIET)]


def _label(label: Label, box: Corners, setter: Setter) -> Iterator[Mark]:
    """The label in its place: an arrow, and the entry's number if it has room."""
    left, top, right, bottom = box
    yield filled(box, HAIR)
    yield from _outline(_area(box), HAIRLINE)
    middle, high = left + (bottom - top) * 0.35, bottom - top
    half = high * 0.2
    tip = (middle, top + high * 0.15)
    yield Shape((tip, (middle + half, top + high * 0.5), (middle - half, top + high * 0.5)), INK)
    yield Line((middle, top + high * 0.45), (middle, bottom - high * 0.15), high * 0.12, INK)
    style = Style(SEMIBOLD, min(6.0, high * 0.5))
    start = middle + half + 1.5
    if start + setter.wide(label.number, style) <= right - 1:
        y = (top + bottom + style.size * 0.7) / 2
        yield text_at(label.number, style, start, y)


def _own_top(top_edge: Edge, sight: Corners, setter: Setter) -> Iterator[Text]:
    """Which edge is the file's top, for a turned picture with room for the words."""
    left, top, right, bottom = sight
    words = "file's top"
    wide = setter.wide(words, _SMALL)
    middle_x, middle_y = (left + right) / 2, (top + bottom) / 2
    places = {
        Edge.LEFT: (right - 2, middle_y + wide / 2, 90),
        Edge.RIGHT: (left + 2, middle_y - wide / 2, -90),
        Edge.BOTTOM: (middle_x - wide / 2, bottom - 2, 0),
    }
    along, across = bottom - top, right - left
    if top_edge == Edge.BOTTOM:
        along, across = across, along
    if top_edge in places and wide <= along - 2 and across >= _NUMBERED:
        x, y, angle = places[top_edge]
        yield replace(text_at(words, _SMALL, x, y), angle=angle)


def _numbered(number: int, sight: Corners, setter: Setter) -> Text:
    """The number of one of several pictures, in its middle."""
    left, top, right, bottom = sight
    y = (top + bottom + _SMALL.size * 0.7) / 2
    return setter.centred(str(number), _SMALL, (left + right) / 2, y)


def _area(box: Corners, is_oval: bool = False) -> tuple[Point, ...]:
    """The corners of a rectangle, or points along the oval within it."""
    left, top, right, bottom = box
    return (
        oval(box, _ROUND)
        if is_oval
        else ((left, top), (right, top), (right, bottom), (left, bottom))
    )


def _outline(points: Sequence[Point], width: float, dash: tuple[float, ...] = ()) -> Iterator[Line]:
    return (Line(start, end, width, QUIET, dash) for start, end in sides(points))


def _dot(x: float) -> Shape:
    """A dot near the upper edge of the board."""
    return Shape(oval((x - _DOT, 3.5 - _DOT, x + _DOT, 3.5 + _DOT), _ROUND), INK)
