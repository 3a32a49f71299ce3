"""The label on the back of a mount: arrow and TOP, title, category, organiser's box."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.lengths import millimetres
from proofs.pages.drawing import Block, Mark, Shape, frame, rectangle
from proofs.pages.setting import LineWidth, kept, wrapped
from proofs.pages.typography import (
    BODY,
    CAPTION,
    HAIRLINE,
    INK,
    QUIET,
    REGULAR,
    SEMIBOLD,
    Measure,
    Style,
    baseline,
    rule,
    set_lines,
)
from proofs.plan.bench.labels import READ_POINTS, Label, RequiredLine

Modules = Sequence[Sequence[bool]]
"""A square code, row by row: true where it is dark."""

_USUAL = (360.0, 216.0)  # 5 x 3 in, in points; sizes below are those on such a label
_PAD = 11.0
_ARROW = 58.0
_TOP = 28.0
_GAP = 15.0
_FOOT, _FOOT_SHARE = 58.0, 0.3  # at most, and of the height
_BETWEEN = 7.0
_NUMBER_SHARE = 0.35  # of the line that number and category share
_LARGEST = 30.0
_HEAD_SHARE = 0.2  # at most, of the height
_ADDRESS = 10.0  # at most, on every label
_ORGANISER = 112.0
_SMALLER = 0.96
_LEAST = 0.5  # no line that the rules ask for needs smaller type
_MODULE_LEAST = millimetres("0.25").points  # for a telephone; common practice, no source


@dataclass(frozen=True, slots=True)
class LabelRoom:
    """A rectangle on the label, in points from its top left."""

    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class LabelFace:
    """A label as drawn; ``title_points`` is the size of type that its title could have.

    ``has_whole_title`` is False if the title is cut off. ``module_points`` is the side of one
    module of its code, None if it has no code.
    """

    block: Block
    title_points: float
    has_whole_title: bool = True
    module_points: float | None = None

    @property
    def is_read_from_afar(self) -> bool:
        """Whether the title is read with ease from 1 m."""
        return self.title_points >= READ_POINTS

    @property
    def has_fine_code(self) -> bool:
        """Whether its code is too fine for most telephones."""
        return self.module_points is not None and self.module_points < _MODULE_LEAST


def label_face(
    label: Label, width: float, height: float, measure: Measure, *, code: Modules = ()
) -> LabelFace:
    """Return a label of this size, in points.

    Long texts are set smaller, on more lines, but a title never smaller than other text of a page:
    what still finds no room is cut off with an ellipsis. Where there is room for it, type is large
    enough to be read from 1 m, on a small label too.
    """
    unit = min(width / _USUAL[0], height / _USUAL[1])
    pad, left = _PAD * unit, (_PAD + _ARROW + _GAP) * unit
    across = width - left - pad
    foot = min(_FOOT, height * _FOOT_SHARE)
    line = Style(REGULAR, READ_POINTS).leading
    head = LabelRoom(left, pad, across, min(line, height * _HEAD_SHARE))
    title_top = head.top + head.height + _BETWEEN * unit
    foot_top = height - pad - foot
    title = LabelRoom(left, title_top, across, foot_top - title_top - _BETWEEN * unit)
    largest = Style(REGULAR, max(_LARGEST * unit, READ_POINTS))
    style, lines = fitted((label.title,), largest, title, measure, least=BODY.size)
    is_whole = lines == _lines((label.title,), style, title.width, measure)
    marks: list[Mark] = [
        *_arrow(unit, measure),
        *_heading(label, head, unit, measure),
        *set_lines(lines, style).at(title.left, title.top),
        *_feet(label.required, LabelRoom(left, foot_top, across, foot), unit, measure, code),
    ]
    module = foot / len(code) if code else None
    return LabelFace(Block(height, tuple(marks)), style.size, is_whole, module)


def fitted(
    texts: tuple[str, ...],
    largest: Style,
    room: LabelRoom,
    measure: Measure,
    *,
    least: float = _LEAST,
) -> tuple[Style, tuple[str, ...]]:
    """Return the largest style in which all texts fit a room, and their lines.

    In type of ``least`` points the lines that find no room are cut off; one always stands.
    """
    style, lines = largest, _lines(texts, largest, room.width, measure)
    while len(lines) * style.leading > room.height and style.size > least:
        style = Style(style.weight, max(least, _next_smaller(style.size)), style.colour)
        lines = _lines(texts, style, room.width, measure)
    most = max(1, int(room.height / style.leading))
    if len(lines) > most:
        lines = kept(lines, most, room.width, _line_width(style, measure))
    return style, lines


def _next_smaller(size: float) -> float:
    """The next size to try; the size that is read from afar is never skipped."""
    smaller = size * _SMALLER
    return READ_POINTS if smaller < READ_POINTS < size else smaller


def _lines(texts: tuple[str, ...], style: Style, width: float, measure: Measure) -> tuple[str, ...]:
    """The texts broken into lines, their blanks as they were entered."""
    line_width = _line_width(style, measure)
    return tuple(
        line for text in texts for line in wrapped(text, width, line_width, blanks_kept=True)
    )


def _line_width(style: Style, measure: Measure) -> LineWidth:
    return lambda line: measure(line, style.weight, style.size)


def _arrow(unit: float, measure: Measure) -> tuple[Mark, ...]:
    """A large arrow and TOP below it, down the left side."""
    style = Style(SEMIBOLD, _TOP * unit)
    pad, middle = _PAD * unit, (_PAD + _ARROW / 2) * unit
    foot = _USUAL[1] * unit - pad
    tip, neck, half = pad, pad + 44 * unit, _ARROW / 2 * unit
    shaft, end = 9 * unit, foot - style.size * 1.05
    points = (
        *((middle, tip), (middle + half, neck), (middle + shaft, neck), (middle + shaft, end)),
        *((middle - shaft, end), (middle - shaft, neck), (middle - half, neck)),
    )
    left = middle - measure("TOP", style.weight, style.size) / 2
    words = set_lines(("TOP",), style)
    return Shape(points, INK), *words.at(left, foot - baseline(style))


def _heading(label: Label, room: LabelRoom, unit: float, measure: Measure) -> tuple[Mark, ...]:
    """Number at the left, category and place at the right, on one baseline if they fit."""
    number = LabelRoom(room.left, room.top, room.width * _NUMBER_SHARE, room.height)
    largest, least = Style(SEMIBOLD, READ_POINTS), CAPTION.size
    style, lines = fitted((label.number,), largest, number, measure, least=least)
    marks = set_lines(lines, style).at(number.left, number.top)
    taken = max(measure(line, style.weight, style.size) for line in lines) + 12 * unit
    rest = LabelRoom(room.left + taken, room.top, room.width - taken, room.height)
    largest = Style(REGULAR, READ_POINTS)
    style, lines = fitted((label.entered,), largest, rest, measure, least=least)
    for place, line in enumerate(lines):
        x = room.left + room.width - measure(line, style.weight, style.size)
        marks += set_lines((line,), style).at(x, rest.top + place * style.leading)
    return marks


def _feet(
    required: Sequence[RequiredLine], room: LabelRoom, unit: float, measure: Measure, code: Modules
) -> tuple[Mark, ...]:
    """The organiser's box, what the rules ask for, and the code."""
    wide = _ORGANISER * unit
    box = frame(room.left, room.top, wide, room.height, line=HAIRLINE, colour=QUIET)
    lines = _lines(("organiser's number",), CAPTION, wide - 5 * unit, measure)
    words = set_lines(lines, CAPTION)
    marks = (*box, *words.at(room.left + 4 * unit, room.top + 2 * unit))
    right = room.left + room.width
    if code:
        marks += _code(code, right - room.height, room.top, room.height)
        right -= room.height + _BETWEEN * unit
    left = room.left + wide + _BETWEEN * unit
    if required:
        marks += _required_lines(
            required, LabelRoom(left, room.top, right - left, room.height), unit, measure
        )
    return marks


def _required_lines(
    required: Sequence[RequiredLine], room: LabelRoom, unit: float, measure: Measure
) -> tuple[Mark, ...]:
    """The known lines in one size of type, and below them a rule for each line to write on."""
    known = tuple(line.words for line in required if line.words)
    blank = [line for line in required if not line.words]
    each = room.height / len(required)
    marks: tuple[Mark, ...] = ()
    if known:
        rest = LabelRoom(room.left, room.top, room.width, each * len(known))
        style, lines = fitted(known, Style(REGULAR, _ADDRESS), rest, measure)
        marks += set_lines(lines, style).at(rest.left, rest.top)
    for number, line in enumerate(blank, len(known)):
        top = room.top + number * each
        caption = set_lines((line.caption,), CAPTION)
        marks += caption.at(room.left, top)
        marks += rule(room.width, QUIET).at(room.left, top + each - 3 * unit)
    return marks


def _code(code: Modules, left: float, top: float, side: float) -> tuple[Mark, ...]:
    """The dark modules; adjacent ones in a row are one rectangle."""
    module = side / len(code)
    marks = []
    for row, line in enumerate(code):
        start = 0
        for column in range(1, len(line) + 1):
            if column < len(line) and line[column] == line[start]:
                continue
            if line[start]:
                wide = (column - start) * module
                place = left + start * module, top + row * module
                marks.append(rectangle(*place, wide, module, INK))
            start = column
    return tuple(marks)
