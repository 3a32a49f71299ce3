"""A mount's front and back side by side, small, to show where the label goes on the back."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from proofs.lengths import Edge, Size
from proofs.pages.drawing import (
    Block,
    Corners,
    Line,
    Mark,
    Placed,
    Point,
    Shape,
    filled,
    frame,
    oval,
    side_by_side,
    sides,
    stacked,
)
from proofs.pages.mount_drawing import WHOLE, Shown, corners, mount_drawing
from proofs.pages.typography import (
    CAPTION,
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
from proofs.plan.bench.labels import Label, Labelled, tops_in_words
from proofs.plan.entry.mockup import (
    Colour,
    back_line,
    front_colour,
    is_dark,
    label_place,
    seen,
)

_BETWEEN = 16.0
_ABOVE = 11.0  # room for TOP over a board
_PLATE: Colour = (255, 255, 255)
_SMALL = Style(REGULAR, 7.5, INK)
_TOP = Style(SEMIBOLD, 7.5)
_NUMBERED = 18.0  # across a picture that has room for its number beside other words
_DOT = 2.0
_ROUND = 48  # points along an oval
_DOTS = (0.6, 1.6)


def front_and_back(
    labelled: Labelled,
    size: Size | None,
    width: float,
    setter: Setter,
    *,
    height: float | None = None,
) -> Block:
    """Return both sides of a mount with their names, ``width`` points wide together.

    ``size`` is that of the label, None for the usual one. A dot marks the same corner of the
    board on both sides. The front shows its pictures as they hang, the back shows them faint, as
    if it could be seen through. If a ``height`` is given and both are larger one above the other,
    that is how they stand.
    """
    each, plan = (width - _BETWEEN) / 2, labelled.plan
    board = plan.layout.board
    scale = board.longest.points / each
    upright = max(board.width.points / width, board.height.points / _high(height, setter))
    is_stacked = upright < scale
    scale = min(scale, upright)
    both = (
        ("front", _front(labelled, scale, setter)),
        ("back, from behind", _back(labelled, size, scale, setter)),
    )
    blocks = [
        stacked([side.lowered(_ABOVE), setter.paragraph(name, CAPTION, width)], 3)
        for name, side in both
    ]
    tops = setter.stack([(words, STRONG) for words in tops_in_words(plan)], width, gap=2)
    both_sides = stacked(blocks, 3) if is_stacked else side_by_side(blocks, each + _BETWEEN)
    return stacked([both_sides, tops], 2)


def _high(height: float | None, setter: Setter) -> float:
    """How high one of two boards may be, one above the other; next to nothing without a limit."""
    if height is None:
        return 0.1
    words = _ABOVE + 3 + setter.paragraph("front", CAPTION, 99).height
    return max(0.1, (height - 5) / 2 - words)  # two gaps


def _front(labelled: Labelled, scale: float, setter: Setter) -> Block:
    plan = labelled.plan
    board = plan.layout.board
    shown = [Shown(picture.front) for picture in labelled.pictures]
    marks = [*mount_drawing(plan, scale, shown).marks, *_board(board, scale, setter)]
    for number, part in enumerate(plan.parts, 1):
        sight = corners(seen(plan.layout, number - 1), scale)
        marks += _own_top(part.top_edge, sight, setter)
        if len(plan.parts) > 1:
            marks += _numbered(number, sight, setter)
    marks.append(_dot(3.5, is_light=is_dark(front_colour(plan.mount))))
    return Block(board.height.points / scale, tuple(marks))


def _back(labelled: Labelled, size: Size | None, scale: float, setter: Setter) -> Block:
    plan, label = labelled.plan, labelled.label
    board = plan.layout.board
    marks = _board(board, scale, setter)
    for n, thumbnail in enumerate(labelled.pictures):
        left, top, right, bottom = corners(seen(plan.layout, n).mirrored(board), scale)
        marks.append(Placed(thumbnail.back, left, top, right - left, bottom - top, WHOLE))
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
    yield filled(box, _PLATE)
    yield from _outline(_area(box), HAIRLINE)
    middle, high = left + (bottom - top) * 0.35, bottom - top
    half = high * 0.2
    tip = (middle, top + high * 0.15)
    yield Shape((tip, (middle + half, top + high * 0.5), (middle - half, top + high * 0.5)), INK)
    yield Line((middle, top + high * 0.45), (middle, bottom - high * 0.15), high * 0.12, INK)
    style = Style(SEMIBOLD, _SMALL.size)
    start, is_high_enough = middle + half + 1.5, style.size * 0.7 + 2 <= high
    if is_high_enough and start + setter.wide(label.number, style) <= right - 1:
        y = (top + bottom + style.size * 0.7) / 2
        yield text_at(label.number, style, start, y)


def _own_top(top_edge: Edge, sight: Corners, setter: Setter) -> Iterator[Mark]:
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
        yield _plate(x, y, wide, angle)
        yield replace(text_at(words, _SMALL, x, y), angle=angle)


def _numbered(number: int, sight: Corners, setter: Setter) -> Iterator[Mark]:
    """The number of one of several pictures, in its middle."""
    left, top, right, bottom = sight
    y = (top + bottom + _SMALL.size * 0.7) / 2
    text = setter.centred(str(number), _SMALL, (left + right) / 2, y)
    yield _plate(text.x, y, setter.wide(str(number), _SMALL), 0)
    yield text


def _plate(x: float, y: float, wide: float, angle: int) -> Shape:
    """White paper behind words on a picture; they start here, and may be turned."""
    up, down, beside = _SMALL.size * 0.85, _SMALL.size * 0.3, 1.5
    if angle == 0:
        return filled((x - beside, y - up, x + wide + beside, y + down), _PLATE)
    if angle > 0:  # read upwards
        return filled((x - up, y - wide - beside, x + down, y + beside), _PLATE)
    return filled((x - down, y - beside, x + up, y + wide + beside), _PLATE)


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


def _dot(x: float, *, is_light: bool = False) -> Shape:
    """A dot near the upper edge of the board, light on a dark board."""
    box = (x - _DOT, 3.5 - _DOT, x + _DOT, 3.5 + _DOT)
    return Shape(oval(box, _ROUND), _PLATE if is_light else INK)
