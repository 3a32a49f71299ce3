"""What is wrong with a mount, drawn into it: the length or the border that the rules ask for."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from proofs.findings import Finding, Severity
from proofs.lengths import Length, millimetres
from proofs.pages.drawing import Corners, Line, Mark, Text, filled, frame
from proofs.pages.mount_drawing import corners
from proofs.pages.typography import ACCENT, SEMIBOLD, Setter, Style
from proofs.plan.checks.limits import LENGTH, VISIBLE_LIMITS
from proofs.plan.entry.board import Picture
from proofs.plan.entry.mockup import PAPER, Colour, front_colour, is_dark, seen
from proofs.plan.entry.planning import Plan

_SIZE = 7.5  # of its writing, in points
_LINE = 0.6
_ON_DARK: Colour = (228, 132, 108)  # the accent, light enough to be read on a black mat
_TINT: Colour = (238, 205, 196)
_DARK_TINT: Colour = (92, 54, 46)
_AWAY = 5.0  # points between the window and the dimension line beside it
_TICK = 2.2
_DASH = (2.4, 1.8)
_HALO = 1.2
_SIDES = {limit.code for limit in VISIBLE_LIMITS if limit.measure.quantity is LENGTH}
_BORDERS = ("border", "mount-border")
_OUTLINED = ("visible-area", "overlap-left", "reveal-left")
DRAWN_CODES = frozenset({*_SIDES, *_BORDERS, *_OUTLINED, "board"})
"""The codes of the findings that are drawn, if they are at risk or broken."""


@dataclass(frozen=True, slots=True)
class Pencil:
    """Draws over the mount of ``plan``, which is shown ``scale`` times smaller."""

    setter: Setter
    plan: Plan
    scale: int

    @property
    def ink(self) -> Colour:
        """The colour of its lines and words."""
        return _ON_DARK if is_dark(front_colour(self.plan.mount)) else ACCENT

    @property
    def tint(self) -> Colour:
        """The colour of areas it marks."""
        return _DARK_TINT if is_dark(front_colour(self.plan.mount)) else _TINT

    @property
    def board(self) -> tuple[float, float]:
        """Width and height of the board, as drawn."""
        size = self.plan.layout.board
        return self.drawn(size.width), self.drawn(size.height)

    @property
    def sights(self) -> tuple[Corners, ...]:
        """What is seen of each picture, as drawn."""
        layout = self.plan.layout
        return tuple(corners(seen(layout, n), self.scale) for n in range(len(layout.pictures)))

    @property
    def face(self) -> Corners:
        """The bounds of all openings at the face, or without any, of the prints, as drawn."""
        layout = self.plan.layout
        borders, board = layout.borders_face, layout.board
        right, bottom = board.width - borders.right, board.height - borders.bottom
        left, top = self.drawn(borders.left), self.drawn(borders.top)
        return left, top, self.drawn(right), self.drawn(bottom)

    def drawn(self, length: Length) -> float:
        """Return how long a length is on the page."""
        return length.points / self.scale

    def line(
        self, start: tuple[float, float], end: tuple[float, float], dash: tuple[float, ...] = ()
    ) -> Line:
        """Return a line."""
        return Line(start, end, _LINE, self.ink, dash)

    def outline(self, box: Corners) -> tuple[Mark, ...]:
        """Return the outline of a box."""
        left, top, right, bottom = box
        return frame(left, top, right - left, bottom - top, line=_LINE * 1.5, colour=self.ink)

    def area(self, box: Corners) -> tuple[Mark, ...]:
        """Return a tinted area; none if the box has no area."""
        left, top, right, bottom = box
        return (filled(box, self.tint),) if left < right and top < bottom else ()

    def fitted(self, words: str, room: float) -> tuple[str, float]:
        """Return words and their width, in inches only if both units are too wide."""
        style = Style(SEMIBOLD, _SIZE)
        if self.setter.wide(words, style) > room:
            words = words.partition(" (")[0]
        return words, self.setter.wide(words, style)

    def words(self, words: str, place: tuple[float, float], angle: int = 0) -> Text:
        """Return words written at a place."""
        return Text(*place, words, SEMIBOLD, _SIZE, self.ink, angle)


def wrong_marks(pencil: Pencil, findings: Sequence[Finding]) -> tuple[Mark, ...]:
    """Return what to draw over a mount for the findings that are broken or at risk."""
    marks: list[Mark] = []
    drawn: set[str] = set()
    for finding in findings:
        if finding.severity not in (Severity.AT_RISK, Severity.BROKEN):
            continue
        if finding.code in _SIDES:
            marks += _side(pencil, finding)
        elif finding.code in _BORDERS and drawn.isdisjoint(_BORDERS):
            marks += _border(pencil, finding)
        elif finding.code in _OUTLINED:
            marks += [mark for sight in pencil.sights for mark in pencil.outline(sight)]
        elif finding.code == "board":
            marks += pencil.outline((0, 0, *pencil.board))
        drawn.add(finding.code)
    return tuple(marks)


def _side(pencil: Pencil, finding: Finding) -> Sequence[Mark]:
    """The length asked for, as a dimension line beside the side that is judged."""
    judged, limit = _judged(pencil.plan.layout.pictures, finding), finding.limit
    if judged is None or not isinstance(limit, float):
        return ()
    drawn, sight = pencil.sights[judged], pencil.plan.layout.pictures[judged].sight.size
    asked = millimetres(repr(limit))
    is_wide = sight.width >= sight.height
    words = f"{'at most' if finding.code.endswith('-most') else 'at least'} {asked}"
    is_across = is_wide == finding.code.startswith("longest")
    return _dimension(pencil, drawn, pencil.drawn(asked), words, is_across=is_across)


def _judged(pictures: Sequence[Picture], finding: Finding) -> int | None:
    """The number of the picture whose side was measured; none if sides were added up."""
    name = finding.code.partition("-")[0]
    sides = [getattr(picture.sight.size, name).mm for picture in pictures]
    return sides.index(finding.measured) if finding.measured in sides else None


def _dimension(
    pencil: Pencil, sight: Corners, length: float, words: str, *, is_across: bool
) -> Sequence[Mark]:
    """A dimension line below what is seen or, if it is not across, on its right."""
    first = 0 if is_across else 1
    along, other = pencil.board[first], pencil.board[1 - first]
    middle = (sight[first] + sight[first + 2]) / 2
    at = min(pencil.face[3 - first] + _AWAY, other - 2 * _SIZE)
    start, end, ticked = _ends(middle, length, along)
    lines = [((start, at), (end, at))]
    if ticked:
        lines += [((x, at - _TICK), (x, at + _TICK)) for x in (start, end)]
    words, wide = pencil.fitted(words, along - 4)
    left = max(2.0, min(middle - wide / 2, along - wide - 2))
    if is_across:
        written = pencil.words(words, (left, at + _SIZE * 1.35))
        return (*(pencil.line(a, b) for a, b in lines), written)
    written = pencil.words(words, (at + _SIZE * 1.3, left + wide), angle=90)
    return (*(pencil.line(a[::-1], b[::-1]) for a, b in lines), written)


def _ends(middle: float, length: float, most: float) -> tuple[float, float, bool]:
    """Where a length around ``middle`` starts and ends, moved or cut to stay on the board.

    The last value is whether it is whole.
    """
    if length > most:
        return 0.0, most, False
    start = max(0.0, min(middle - length / 2, most - length))
    return start, start + length, True


def _border(pencil: Pencil, finding: Finding) -> Sequence[Mark]:
    """The borders that are too narrow, tinted; a dashed line where the least border would end."""
    if not isinstance(finding.limit, float):
        return ()
    asked = millimetres(repr(finding.limit))
    borders = pencil.plan.layout.borders_face
    areas: list[Mark] = []
    lines: list[Mark] = []
    narrow: list[Corners] = []
    for border, box, line in zip(
        (borders.top, borders.right, borders.bottom, borders.left),
        _bands(pencil),
        _least_lines(pencil, pencil.drawn(asked)),
        strict=True,
    ):
        if str(border) == str(borders.least):
            areas += pencil.area(box)
            # The line crosses mat and picture alike, so it has a light line below it.
            lines += [replace(line, dash=(), width=_HALO, colour=PAPER), line]
            narrow.append(box)
    return (*areas, *lines, *_border_words(pencil, narrow[-1], f"at least {asked}"))


def _border_words(pencil: Pencil, band: Corners, words: str) -> Sequence[Mark]:
    """The rule in words, along the middle of a narrow border, on a tint of its own."""
    left, top, right, bottom = band
    (width, height), deep = pencil.board, _SIZE * 1.5
    if bottom - top > right - left:
        words, wide = pencil.fitted(words, height - 8)
        x = max(1.0, min((left + right - deep) / 2, width - deep - 1))
        y = (height - wide) / 2
        ground = pencil.area((x, y - 2, x + deep, y + wide + 2))
        return *ground, pencil.words(words, (x + deep * 0.74, y + wide), angle=90)
    words, wide = pencil.fitted(words, width - 8)
    x, y = (width - wide) / 2, max(1.0, min((top + bottom - deep) / 2, height - deep - 1))
    ground = pencil.area((x - 2, y, x + wide + 2, y + deep))
    return *ground, pencil.words(words, (x, y + deep * 0.74))


def _bands(pencil: Pencil) -> tuple[Corners, ...]:
    """The four borders as areas: top, right, bottom, left."""
    (width, height), (left, top, right, bottom) = pencil.board, pencil.face
    return (
        (0, 0, width, top),
        (right, 0, width, height),
        (0, bottom, width, height),
        (0, 0, left, height),
    )


def _least_lines(pencil: Pencil, least: float) -> tuple[Line, ...]:
    """Dashed lines where the least border would end: top, right, bottom, left."""
    width, height = pencil.board
    ends = (
        ((0.0, least), (width, least)),
        ((width - least, 0.0), (width - least, height)),
        ((0.0, height - least), (width, height - least)),
        ((least, 0.0), (least, height)),
    )
    return tuple(pencil.line(start, end, _DASH) for start, end in ends)
