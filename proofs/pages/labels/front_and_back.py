"""A mount's front and back side by side, small, so that nobody sticks the label on mirrored."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from proofs.lengths import Edge, Size
from proofs.pages.drawing import (
    Block,
    Line,
    Mark,
    Point,
    Shape,
    Text,
    frame,
    rectangle,
    side_by_side,
    stacked,
)
from proofs.pages.mount_drawing import Corners
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
from proofs.plan.entry.board import Opening
from proofs.plan.entry.mockup import Colour, back_line, label_place
from proofs.plan.entry.planning import Plan

_BETWEEN = 16.0
_ABOVE = 11.0  # room for TOP over a board
_PICTURE: Colour = (226, 224, 220)
_SMALL = Style(REGULAR, 5.2, QUIET)
_TOP = Style(SEMIBOLD, 6)
_NUMBERED = 18.0  # across a picture that has room for its number beside other words
_DOT = 2.0
_ROUND = 48  # places along an oval
_DOTS = (0.6, 1.6)


def front_and_back(
    plan: Plan, label: Label, size: Size | None, width: float, setter: Setter
) -> Block:
    """Return both sides of a mount with their names, ``width`` points wide together.

    ``size`` is that of the label, None for the usual one. A dot marks the same corner of the
    board on both sides.
    """
    each = (width - _BETWEEN) / 2
    scale = each / plan.layout.board.longest.points
    sides = (
        ("front", _front(plan, scale, setter)),
        ("back, from behind", _back(plan, label, size, scale, setter)),
    )
    high = max(side.height for _, side in sides)
    blocks = [
        stacked([Block(high, side.marks), setter.paragraph(name, CAPTION, each)], 3)
        for name, side in sides
    ]
    tops = [setter.paragraph(words, STRONG, width) for words in tops_in_words(plan)]
    return stacked([side_by_side(blocks, each + _BETWEEN), *tops], 2)


def _front(plan: Plan, scale: float, setter: Setter) -> Block:
    board, marks = plan.layout.board, _board(plan.layout.board, scale, setter)
    pictures = zip(plan.parts, plan.layout.pictures, strict=True)
    for number, (part, picture) in enumerate(pictures, 1):
        sight = picture.sight.within(board)
        marks.append(Shape(_area(_corners(sight, scale), picture.is_oval), _PICTURE))
        if picture.face is not None:
            face = _corners(picture.face.within(board), scale)
            marks += _outline(_area(face, picture.is_oval), HAIRLINE)
        marks += _own_top(part.top_edge, _corners(sight, scale), setter)
        if len(plan.parts) > 1:
            marks.append(_numbered(number, _corners(sight, scale), setter))
    marks.append(_dot(3.5, _ABOVE + 3.5))
    return Block(_ABOVE + board.height.points * scale, tuple(marks))


def _back(plan: Plan, label: Label, size: Size | None, scale: float, setter: Setter) -> Block:
    board = plan.layout.board
    marks = _board(board, scale, setter)
    for picture in plan.layout.pictures:
        line = back_line(picture).mirrored(board).within(board)
        area = _area(_corners(line, scale), picture.is_oval)
        marks += _outline(area, 0.7, _DOTS)
    place = label_place(board, size).within(board)
    marks += _label(label, _corners(place, scale), setter)
    marks.append(_dot(board.width.points * scale - 3.5, _ABOVE + 3.5))
    return Block(_ABOVE + board.height.points * scale, tuple(marks))


def _board(board: Size, scale: float, setter: Setter) -> list[Mark]:
    """The board with TOP and an arrow over its upper edge."""
    width, height = board.width.points * scale, board.height.points * scale
    left = (width - setter.wide("TOP", _TOP) - 7) / 2
    words = text_at("TOP", _TOP, left + 7, _ABOVE - 3)
    arrow = Shape(((left + 2.2, 2.5), (left + 4.4, 8), (left, 8)), INK)
    return [words, arrow, *frame(0, _ABOVE, width, height, line=HAIRLINE, colour=QUIET)]


def _label(label: Label, box: Corners, setter: Setter) -> Iterator[Mark]:
    """The label in its place: an arrow, and the entry's number where it has room."""
    left, top, right, bottom = box
    yield rectangle(left, top, right - left, bottom - top, HAIR)
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


def _corners(opening: Opening, scale: float) -> Corners:
    """The edge line as drawn, below the room over the board."""
    place, size = opening.place, opening.size
    left, top = place.x.points * scale, _ABOVE + place.y.points * scale
    return left, top, left + size.width.points * scale, top + size.height.points * scale


def _area(box: Corners, is_oval: bool = False) -> tuple[Point, ...]:
    """The corners of a rectangle, or places along the oval within it."""
    left, top, right, bottom = box
    if not is_oval:
        return (left, top), (right, top), (right, bottom), (left, bottom)
    turns = (2 * math.pi * n / _ROUND for n in range(_ROUND))
    x, y = (left + right) / 2, (top + bottom) / 2
    across, down = (right - left) / 2, (bottom - top) / 2
    return tuple((x + across * math.cos(t), y + down * math.sin(t)) for t in turns)


def _outline(points: Sequence[Point], width: float, dash: tuple[float, ...] = ()) -> Iterator[Line]:
    for start, end in zip(points, (*points[1:], points[0]), strict=True):
        yield Line(start, end, width, QUIET, dash)


def _dot(x: float, y: float) -> Shape:
    return Shape(_area((x - _DOT, y - _DOT, x + _DOT, y + _DOT), is_oval=True), INK)
