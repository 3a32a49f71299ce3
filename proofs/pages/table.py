"""Tables that run on from page to page, numbered lists, and what is ticked or filled in."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from proofs.pages.drawing import Block, Line, across, frame, side_by_side, stacked
from proofs.pages.flow import BETWEEN, FlowPart
from proofs.pages.typography import (
    BODY,
    CAPTION,
    HAIR,
    HAIRLINE,
    QUIET,
    STRONG,
    Setter,
    Style,
    Words,
    rule,
)

CLOSE = 4.0
_GUTTER = 10.0
_TICK = 9.0
_STEPS_APART, _NUMBER_WIDE = 3.0, 14.0


@dataclass(frozen=True, slots=True)
class Columns:
    """A table's columns: the share of the width that each takes, gutters not counted.

    ``close`` is the room above and below the words of a row.
    """

    setter: Setter
    shares: tuple[float, ...]
    close: float = CLOSE

    @property
    def widths(self) -> list[float]:
        """The width of each column."""
        room = self.setter.width - (len(self.shares) - 1) * _GUTTER
        return [room * share / sum(self.shares) for share in self.shares]

    @property
    def lefts(self) -> list[float]:
        """The left edge of each column."""
        return [sum(self.widths[:n]) + n * _GUTTER for n in range(len(self.shares))]

    def row(self, cells: Sequence[Words | Block], *, most: int = 3) -> Block:
        """Return one row below a thin line; a text takes at most ``most`` lines."""
        blocks = [
            cell if isinstance(cell, Block) else self.setter.paragraph(*cell, width, most=most)
            for cell, width in zip(cells, self.widths, strict=True)
        ]
        row = across(blocks, self.lefts)
        marks = (*rule(self.setter.width).marks, *row.at(0, self.close))
        return Block(row.height + 2 * self.close, marks)

    def head(self, words: Sequence[str]) -> Block:
        """Return the head of the table."""
        cells = [
            self.setter.paragraph(text, CAPTION, width, most=2)
            for text, width in zip(words, self.widths, strict=True)
        ]
        height = max(cell.height for cell in cells)
        level = [Block(height, cell.at(0, height - cell.height)) for cell in cells]
        return Block(height + 2, across(level, self.lefts).marks)


def table_parts(head: Block, rows: Iterable[Block], *, gap: float = BETWEEN) -> list[FlowPart]:
    """Return a table: its head stays with its first row, and is repeated on every page."""
    first, *rest = rows
    return [
        FlowPart(stacked([head, first]), gap),
        *(FlowPart(row, 0, again=head) for row in rest),
    ]


def listed(lines: Sequence[str], setter: Setter, style: Style = BODY) -> Block:
    """Return numbered steps in two columns, down the left one first."""
    width = setter.span(2)
    rows = [_step(number, line, setter, (style, width)) for number, line in enumerate(lines, 1)]
    halves = [
        (stacked(rows[:n], _STEPS_APART), stacked(rows[n:], _STEPS_APART))
        for n in range(1, len(rows) + 1)
    ]
    best = min(halves, key=lambda both: max(block.height for block in both))
    return side_by_side(best, 2 * setter.pitch)


def _step(number: int, line: str, setter: Setter, set_in: tuple[Style, float]) -> Block:
    style, width = set_in
    words = setter.paragraph(line, style, width - _NUMBER_WIDE)
    return across([setter.paragraph(str(number), STRONG, _NUMBER_WIDE), words], (0, _NUMBER_WIDE))


def tick_box() -> Block:
    """Return a small box to tick."""
    return Block(_TICK + 2, frame(0, 2, _TICK, _TICK, line=0.6, colour=QUIET))


def blank(width: float) -> Block:
    """Return a line to write on."""
    return Block(12, (Line((0, 11), (width, 11), HAIRLINE, HAIR),))


def named_blanks(names: Sequence[str], setter: Setter, width: float) -> Block:
    """Return lines to write on, side by side, each with its name in front."""
    each = width / len(names)
    return side_by_side([_named_blank(name, setter, each - 10) for name in names], each)


def _named_blank(name: str, setter: Setter, width: float) -> Block:
    words = setter.paragraph(name, BODY, width, most=1)
    start = setter.wide(name, BODY) + 4
    line = Line((start, words.height - 1), (width, words.height - 1), HAIRLINE, QUIET)
    return Block(words.height + 4, (*words.marks, line))
