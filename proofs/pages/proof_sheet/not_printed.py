"""What is wrong with a mount, drawn into it: the length or the border that the rules ask for."""

from collections.abc import Sequence
from dataclasses import replace

from proofs.findings import Finding, Severity
from proofs.lengths import millimetres
from proofs.pages.drawing import Line, Mark
from proofs.pages.proof_sheet.mount import Corners
from proofs.pages.proof_sheet.pencil import SIZE, Pencil
from proofs.plan.entry.board import Picture
from proofs.plan.entry.mockup import PAPER

_AWAY = 5.0  # points between the window and the dimension line beside it
_TICK = 2.2
_DASH = (2.4, 1.8)
_HALO = 1.2
_SIDES = ("longest-side", "shortest-side", "longest-side-most", "shortest-side-most")
_BORDERS = ("border", "mount-border")
_OUTLINED = ("visible-area", "overlap-left", "reveal-left")


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
    if is_wide == finding.code.startswith("longest"):
        return _across(pencil, drawn, pencil.drawn(asked), words)
    return _down(pencil, drawn, pencil.drawn(asked), words)


def _judged(pictures: Sequence[Picture], finding: Finding) -> int | None:
    """The picture whose side was measured; none where sides were added up."""
    name = finding.code.partition("-")[0]
    sides = [getattr(picture.sight.size, name).mm for picture in pictures]
    return sides.index(finding.measured) if finding.measured in sides else None


def _across(pencil: Pencil, sight: Corners, length: float, words: str) -> Sequence[Mark]:
    left, _, right, _ = sight
    width, height = pencil.board
    y = min(pencil.face[3] + _AWAY, height - 2 * SIZE)
    start, end, ticked = _ends((left + right) / 2, length, width)
    marks: list[Mark] = [pencil.line((start, y), (end, y))]
    if ticked:
        marks += [pencil.line((x, y - _TICK), (x, y + _TICK)) for x in (start, end)]
    words, wide = pencil.fitted(words, width - 4)
    x = max(2.0, min((left + right - wide) / 2, width - wide - 2))
    return (*marks, pencil.words(words, (x, y + SIZE * 1.35)))


def _down(pencil: Pencil, sight: Corners, length: float, words: str) -> Sequence[Mark]:
    _, top, _, bottom = sight
    width, height = pencil.board
    x = min(pencil.face[2] + _AWAY, width - 2 * SIZE)
    start, end, ticked = _ends((top + bottom) / 2, length, height)
    marks: list[Mark] = [pencil.line((x, start), (x, end))]
    if ticked:
        marks += [pencil.line((x - _TICK, y), (x + _TICK, y)) for y in (start, end)]
    words, wide = pencil.fitted(words, height - 4)
    y = min(height - 2.0, max((top + bottom + wide) / 2, wide + 2))
    return (*marks, pencil.words(words, (x + SIZE * 1.3, y), angle=90))


def _ends(middle: float, length: float, most: float) -> tuple[float, float, bool]:
    """Where a length round ``middle`` starts and ends, moved or cut so that it stays on the board.

    The last value is whether it is whole, so that its ends are ends.
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
            # The line runs over mat and picture alike, so it lies on a light one of its own.
            lines += [replace(line, dash=(), width=_HALO, colour=PAPER), line]
            narrow.append(box)
    return (*areas, *lines, *_border_words(pencil, narrow[-1], f"at least {asked}"))


def _border_words(pencil: Pencil, band: Corners, words: str) -> Sequence[Mark]:
    """What the rules ask for, along the middle of a narrow border, on a tint of its own."""
    left, top, right, bottom = band
    (width, height), deep = pencil.board, SIZE * 1.5
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
