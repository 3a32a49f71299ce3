"""What is wrong with a mount, drawn into it: the length or the border that the rules ask for."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.findings import Finding, Severity
from proofs.lengths import Length, millimetres
from proofs.pages.drawing import Line, Mark, Text, frame, rectangle
from proofs.pages.sheet_mount import Corners, corners
from proofs.pages.sheet_text import ACCENT, SEMIBOLD, Setter, Style
from proofs.plan.mockup import Colour, front_colour, seen
from proofs.plan.planning import Plan

_LABEL_SIZE = 5.6
_AWAY = 5.0  # points between the picture's window and the dimension line
_TICK = 2.2
_LINE = 0.6
_DASH = (2.4, 1.8)
_DARK: Colour = (228, 132, 108)  # the accent, light enough to be read on a black mat
_TINT, _DARK_TINT = (238, 205, 196), (92, 54, 46)
_SIDES = ("longest-side", "shortest-side", "longest-side-most", "shortest-side-most")
_OUTLINED = ("visible-area", "overlap-left", "reveal-left")


@dataclass(frozen=True, slots=True)
class _Pencil:
    """Where and how to draw: the plan at its scale, the ink that shows on its board."""

    setter: Setter
    plan: Plan
    scale: int

    @property
    def is_dark(self) -> bool:
        return sum(front_colour(self.plan)) < 3 * 110

    @property
    def ink(self) -> Colour:
        return _DARK if self.is_dark else ACCENT

    @property
    def board(self) -> tuple[float, float]:
        size = self.plan.layout.board
        return size.width.points / self.scale, size.height.points / self.scale

    @property
    def sight(self) -> Corners:
        return corners(seen(self.plan.layout), self.scale)

    @property
    def face(self) -> Corners:
        lying = self.plan.layout.pictures[0]
        return corners(lying.face or lying.image, self.scale)

    def line(self, start: tuple[float, float], end: tuple[float, float]) -> Line:
        return Line(start, end, _LINE, self.ink)

    def drawn(self, length: Length) -> float:
        return length.points / self.scale


def wrong_marks(
    setter: Setter, plan: Plan, scale: int, findings: Sequence[Finding]
) -> tuple[Mark, ...]:
    """Return what to draw over a mount for the findings that are broken or at risk."""
    pencil = _Pencil(setter, plan, scale)
    marks: list[Mark] = []
    for finding in findings:
        if finding.severity not in (Severity.AT_RISK, Severity.BROKEN):
            continue
        if finding.code in _SIDES:
            marks += _side(pencil, finding)
        elif finding.code in ("border", "mount-border"):
            marks += _border(pencil, finding)
        elif finding.code in _OUTLINED:
            marks += _outlined(pencil, pencil.sight)
        elif finding.code == "board":
            marks += _outlined(pencil, (0, 0, *pencil.board))
    return tuple(marks)


def _outlined(pencil: _Pencil, box: Corners) -> Sequence[Mark]:
    left, top, right, bottom = box
    return frame(left, top, right - left, bottom - top, line=_LINE * 1.5, colour=pencil.ink)


def _side(pencil: _Pencil, finding: Finding) -> Sequence[Mark]:
    """The length asked for, as a dimension line beside the side that is judged."""
    sight, limit = pencil.plan.layout.pictures[0].sight.size, finding.limit
    if not isinstance(limit, float):
        return ()
    asked = millimetres(repr(limit))
    is_wide = sight.width >= sight.height
    words = f"{'at most' if finding.code.endswith('-most') else 'at least'} {asked}"
    if is_wide == finding.code.startswith("longest"):
        return _across(pencil, pencil.drawn(asked), words)
    return _down(pencil, pencil.drawn(asked), words)


def _across(pencil: _Pencil, length: float, words: str) -> Sequence[Mark]:
    left, _, right, _ = pencil.sight
    width, height = pencil.board
    y = min(pencil.face[3] + _AWAY, height - 2 * _LABEL_SIZE)
    start, end, ticked = _ends((left + right) / 2, length, width)
    marks: list[Mark] = [pencil.line((start, y), (end, y))]
    if ticked:
        marks += [pencil.line((x, y - _TICK), (x, y + _TICK)) for x in (start, end)]
    wide = _wide(pencil, words)
    if wide > width - 4:
        words, wide = _shorter(pencil, words)
    x = max(2.0, min((left + right - wide) / 2, width - wide - 2))
    return (*marks, _words(pencil, words, (x, y + _LABEL_SIZE * 1.35)))


def _down(pencil: _Pencil, length: float, words: str) -> Sequence[Mark]:
    _, top, _, bottom = pencil.sight
    width, height = pencil.board
    x = min(pencil.face[2] + _AWAY, width - 2 * _LABEL_SIZE)
    start, end, ticked = _ends((top + bottom) / 2, length, height)
    marks: list[Mark] = [pencil.line((x, start), (x, end))]
    if ticked:
        marks += [pencil.line((x - _TICK, y), (x + _TICK, y)) for y in (start, end)]
    wide = _wide(pencil, words)
    if wide > height - 4:
        words, wide = _shorter(pencil, words)
    y = min(height - 2.0, max((top + bottom + wide) / 2, wide + 2))
    return (*marks, _words(pencil, words, (x + _LABEL_SIZE * 1.3, y), angle=90))


def _ends(middle: float, length: float, most: float) -> tuple[float, float, bool]:
    """Where a length round ``middle`` starts and ends, moved or cut so that it stays on the board.

    The last value is whether it is whole, so that its ends are ends.
    """
    if length > most:
        return 0.0, most, False
    start = max(0.0, min(middle - length / 2, most - length))
    return start, start + length, True


def _border(pencil: _Pencil, finding: Finding) -> Sequence[Mark]:
    """The borders that are too narrow, tinted; a dashed line where the least border would end."""
    if not isinstance(finding.limit, float):
        return ()
    asked = millimetres(repr(finding.limit))
    borders, (width, height) = pencil.plan.layout.borders_face, pencil.board
    marks: list[Mark] = []
    for border, box, line in zip(
        (borders.top, borders.right, borders.bottom, borders.left),
        _bands(pencil),
        _least_lines(pencil, pencil.drawn(asked)),
        strict=True,
    ):
        if border == borders.least:
            marks += [*_tinted(pencil, box), line]
    words = f"at least {asked}"
    wide = _wide(pencil, words)
    if wide > width - 8:
        words, wide = _shorter(pencil, words)
    return (*marks, _words(pencil, words, ((width - wide) / 2, height - 4)))


def _bands(pencil: _Pencil) -> tuple[Corners, ...]:
    """The four borders as areas: top, right, bottom, left."""
    (width, height), (left, top, right, bottom) = pencil.board, pencil.face
    return (
        (0, 0, width, top),
        (right, 0, width, height),
        (0, bottom, width, height),
        (0, 0, left, height),
    )


def _least_lines(pencil: _Pencil, least: float) -> tuple[Line, ...]:
    """Dashed lines where the least border would end: top, right, bottom, left."""
    width, height = pencil.board
    ends = (
        ((0.0, least), (width, least)),
        ((width - least, 0.0), (width - least, height)),
        ((0.0, height - least), (width, height - least)),
        ((least, 0.0), (least, height)),
    )
    return tuple(Line(start, end, _LINE, pencil.ink, _DASH) for start, end in ends)


def _tinted(pencil: _Pencil, box: Corners) -> Sequence[Mark]:
    left, top, right, bottom = box
    if right <= left or bottom <= top:
        return ()
    tint = _DARK_TINT if pencil.is_dark else _TINT
    return (rectangle(left, top, right - left, bottom - top, tint),)


def _wide(pencil: _Pencil, words: str) -> float:
    return pencil.setter.wide(words, Style(SEMIBOLD, _LABEL_SIZE))


def _shorter(pencil: _Pencil, words: str) -> tuple[str, float]:
    """The words without centimetres, which stand in the text as well."""
    inches_only = words.partition(" (")[0]
    return inches_only, _wide(pencil, inches_only)


def _words(pencil: _Pencil, words: str, place: tuple[float, float], angle: int = 0) -> Text:
    return Text(*place, words, SEMIBOLD, _LABEL_SIZE, pencil.ink, angle)
