"""The numbers of a mat's cuts: as dimensions around its drawing, or in a table of its windows."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from proofs.lengths import Edge
from proofs.pages.drawing import Block, Line, Mark, across, stacked
from proofs.pages.typography import (
    CAPTION,
    DIMENSION,
    HAIRLINE,
    NUMBER,
    QUIET,
    Setter,
    rule,
    text_at,
)
from proofs.plan.cutting.cut_lines import CUTTING_ORDER, CutLine, cut_lines
from proofs.plan.cutting.marks import Marks
from proofs.plan.cutting.mount_kinds import MatSheet

_ROW = 31.0  # a dimension line with its number above
_SIDE = 80.0  # a dimension line with its number beside it
_GAP = 5.0  # between the board and the first dimension line, and around a number
_TICK = 3.0
_APART = 7.0  # two dimensions in one row that overlap
_MOST_ROWS, _MOST_SIDES = 4, 2


@dataclass(frozen=True, slots=True)
class Dimensions:
    """The dimensions around a drawing: in each row two from opposite edges, outermost first."""

    lines: Sequence[CutLine]
    marks: Marks

    @property
    def across(self) -> list[list[CutLine]]:
        """Those from the left and the right edge, which go above the board."""
        return _rows(self.lines, Edge.LEFT, Edge.RIGHT)

    @property
    def down(self) -> list[list[CutLine]]:
        """Those from the top and the bottom edge, which go on the right of the board."""
        return _rows(self.lines, Edge.TOP, Edge.BOTTOM)

    @property
    def are_few(self) -> bool:
        """Whether there is room for them."""
        return len(self.across) <= _MOST_ROWS and len(self.down) <= _MOST_SIDES

    @property
    def high(self) -> float:
        """The height that they take above the board."""
        return len(self.across) * _ROW + _GAP

    @property
    def wide(self) -> float:
        """The width that they take beside the board."""
        return len(self.down) * _SIDE + _GAP

    def drawn(self, size: tuple[float, float, int], setter: Setter) -> list[Mark]:
        """Return them for a board drawn with this width and height, at this scale."""
        drawn: list[Mark] = []
        for number, row in enumerate(self.across):
            drawn += _above(row, number, (size[0], size[2]), self.marks, setter)
        for number, row in enumerate(self.down):
            drawn += _beside(row, number, size, self.marks)
        return drawn


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


def _above(
    row: Sequence[CutLine], number: int, size: tuple[float, int], marks: Marks, setter: Setter
) -> list[Mark]:
    """Dimensions from the left and the right edge, in one row above the board."""
    width, scale = size
    drawn: list[Mark] = []
    for line, away, start, end, middle in _placed(row, width, scale):
        y = -_GAP - number * _ROW - 2 - away
        text = marks.number(line.at)
        half = setter.wide(text, DIMENSION) / 2
        # The number is inside the board's own width.
        middle = max(half, middle) if line.edge == Edge.LEFT else min(width - half, middle)
        drawn += dimension((start, y), (end, y))
        drawn.append(setter.centred(text, DIMENSION, middle, y - 5))
    return drawn


def _beside(
    row: Sequence[CutLine], number: int, size: tuple[float, float, int], marks: Marks
) -> list[Mark]:
    """Dimensions from the top and the bottom edge, in one row on the right of the board."""
    width, height, scale = size
    drawn: list[Mark] = []
    for line, away, start, end, middle in _placed(row, height, scale):
        x = width + _GAP + number * _SIDE + 2 + away
        drawn += dimension((x, start), (x, end))
        drawn.append(text_at(marks.number(line.at), DIMENSION, x + _GAP + 2, middle + 6))
    return drawn


def _placed(
    row: Sequence[CutLine], whole: float, scale: int
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
