"""The numbers of a mat's cuts: as dimensions around its drawing, or in a table of its windows."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest

from proofs.lengths import Edge
from proofs.pages.drawing import Block, Line, Mark, across, stacked
from proofs.pages.typography import (
    CAPTION,
    CUT_NUMBER,
    DIMENSION,
    HAIRLINE,
    NUMBER,
    QUIET,
    SEMIBOLD,
    Setter,
    Style,
    rule,
    text_at,
)
from proofs.plan.cutting.cut_lines import CUTTING_ORDER, CutLine, cut_lines
from proofs.plan.cutting.marks import Marks
from proofs.plan.cutting.mount_kinds import MatSheet

_ROW_MORE = 13.0  # what a row takes besides its number: the line, and room round it
_GAP = 5.0  # between the board and the first dimension line, and around a number
_TICK = 3.0
_APART = 7.0  # two dimensions in one row that overlap
_MOST_ROWS, _MOST_SIDES = 4, 2
_CAPITAL = 0.72  # how high a figure is, of the size of its type
_INSET = 9.0  # of a dimension line inside the board, from its left edge
_CLEAR = 12.0  # kept free on either side of the middle, where T is
_STYLES = (CUT_NUMBER, Style(SEMIBOLD, 21), DIMENSION)  # the largest that has room is taken


@dataclass(frozen=True, slots=True)
class Dimensions:
    """The dimensions around a drawing: in each row two from opposite edges, outermost first."""

    lines: Sequence[CutLine]
    marks: Marks
    setter: Setter
    style: Style = CUT_NUMBER

    @property
    def across(self) -> list[list[CutLine]]:
        """Those from the left and the right edge, which go above the board."""
        return _rows(self.lines, Edge.LEFT, Edge.RIGHT)

    @property
    def down(self) -> list[list[CutLine]]:
        """Those from the top and the bottom edge."""
        return _rows(self.lines, Edge.TOP, Edge.BOTTOM)

    @property
    def are_few(self) -> bool:
        """Whether there is room for them."""
        return len(self.across) <= _MOST_ROWS and len(self.down) <= _MOST_SIDES

    @property
    def row(self) -> float:
        """The height of a dimension line with its number above."""
        return self.style.size * _CAPITAL + _ROW_MORE

    @property
    def side(self) -> float:
        """The width of a dimension line with its number beside it."""
        return max(self._wide(line) for row in self.down for line in row) + 2 * _GAP + 2

    @property
    def high(self) -> float:
        """The height that they take above the board."""
        return len(self.across) * self.row + _GAP

    @property
    def beside(self) -> float:
        """The width that they take beside the board, if they are not on it."""
        return len(self.down) * self.side + _GAP

    def have_room_on(self, width: float, scale: float) -> bool:
        """Return whether those from top and bottom have room on the borders of the board."""
        if [len(row) for row in self.down] != [2]:
            return False
        widest = max(map(self._wide, self.down[0]))
        least = min(line.at.points for line in self.down[0]) / scale
        free = width / 2 - _CLEAR - _INSET - 2 * _GAP
        return widest <= free and least >= self.style.size * _CAPITAL + 2 * _GAP

    def fitted(self, width: float) -> "Dimensions":
        """Return the same with numbers as large as a board drawn so wide has room for."""
        for style in _STYLES:
            sized = replace(self, style=style)
            rows = (sum(map(sized._wide, row)) for row in self.across)
            if max(rows, default=0.0) + 2 * _GAP <= width:
                return sized
        return replace(self, style=_STYLES[-1])

    def drawn(self, size: tuple[float, float, float], *, on_board: bool) -> list[Mark]:
        """Return them for a board drawn with this width and height, at this scale."""
        drawn: list[Mark] = []
        for number, row in enumerate(self.across):
            drawn += self._above(row, number, size[0], size[2])
        for number, row in enumerate(self.down):
            x = _INSET if on_board else size[0] + _GAP + number * self.side + 2
            drawn += self._upright(row, x, size[1], size[2])
        return drawn

    def _wide(self, line: CutLine) -> float:
        return self.setter.wide(self.marks.number(line.at), self.style)

    def _above(
        self, row: Sequence[CutLine], number: int, width: float, scale: float
    ) -> Iterator[Mark]:
        """Dimensions from the left and the right edge, in one row above the board."""
        for line, away, start, end, middle in _placed(row, width, scale):
            y = -_GAP - number * self.row - 2 - away
            half = self._wide(line) / 2
            # The number is inside the board's own width.
            is_left = line.edge == Edge.LEFT
            at = max(half, middle) if is_left else min(width - half, middle)
            yield from dimension((start, y), (end, y))
            yield self.setter.centred(self.marks.number(line.at), self.style, at, y - 5)

    def _upright(
        self, row: Sequence[CutLine], left: float, height: float, scale: float
    ) -> Iterator[Mark]:
        """Dimensions from the top and the bottom edge, along one line."""
        for line, away, start, end, middle in _placed(row, height, scale):
            x = left + away
            y = middle + self.style.size * _CAPITAL / 2
            yield from dimension((x, start), (x, end))
            yield text_at(self.marks.number(line.at), self.style, x + _GAP + 2, y)


def numbers_table(mat: MatSheet, marks: Marks, setter: Setter, width: float) -> Block:
    """Return the numbers window by window, if they are too many for dimensions."""
    columns = (0.0, *(width * share for share in (0.16, 0.37, 0.58, 0.79)))
    heads = [setter.paragraph(f"from {edge}", CAPTION, width) for edge in CUTTING_ORDER]
    heads.insert(0, setter.paragraph("window", CAPTION, width))
    rows = [across(heads, columns)]
    for number, back in enumerate(mat.backs, 1):
        at = {line.edge: line.at for line in cut_lines(mat.board, [back])}
        words = (str(number), *(marks.number(at[edge]) for edge in CUTTING_ORDER))
        cells = [setter.paragraph(word, NUMBER, width) for word in words]
        rows.append(across(cells, columns))
    return stacked([rule(width), *rows], 1)


def dimension(start: tuple[float, float], end: tuple[float, float]) -> list[Mark]:
    """Return a thin line with a tick at each end."""
    across, down = (_TICK, 0.0) if start[0] == end[0] else (0.0, _TICK)
    ticks = [
        Line((px - across, py - down), (px + across, py + down), HAIRLINE, QUIET)
        for px, py in (start, end)
    ]
    return [Line(start, end, HAIRLINE, QUIET), *ticks]


def _rows(lines: Sequence[CutLine], near: Edge, far: Edge) -> list[list[CutLine]]:
    """The lines in rows of dimensions: the outermost from both edges, then the next inwards."""
    pairs = zip_longest(*([line for line in lines if line.edge == edge] for edge in (near, far)))
    return [[line for line in pair if line] for pair in pairs]


def _placed(
    row: Sequence[CutLine], whole: float, scale: float
) -> Iterator[tuple[CutLine, float, float, float, float]]:
    """Each line with its distance from its row, its start and end, and where its number goes.

    Two dimensions that overlap are drawn apart, with each number clear of the other line.
    """
    lengths = [line.at.points / scale for line in row]
    overlap = sum(lengths) > whole
    free = max(whole - max(lengths), 0) if overlap else whole
    for place, (line, length) in enumerate(zip(row, lengths, strict=True)):
        middle, is_near = min(length, free) / 2, line.edge in (Edge.LEFT, Edge.TOP)
        start = 0.0 if is_near else whole - length
        away = _APART * place if overlap else 0.0
        yield line, away, start, start + length, middle if is_near else whole - middle
