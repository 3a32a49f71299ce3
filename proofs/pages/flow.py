"""Pages that run on: blocks set one below the other, page after page, and tables among them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from proofs.lengths import Size, millimetres
from proofs.pages.drawing import Block, Line, Mark, Page, frame, stacked
from proofs.pages.proof_sheet.sheet import PAPERS
from proofs.pages.stamp import stamp as framed
from proofs.pages.typography import (
    ACCENT,
    CAPTION,
    DISPLAY,
    HAIR,
    HAIRLINE,
    QUIET,
    REGULAR,
    SEMIBOLD,
    Measure,
    Setter,
    Style,
    baseline,
    rule,
)

READ = Style(REGULAR, 9)
READ_STRONG = Style(SEMIBOLD, 9)
READ_ASIDE = Style(REGULAR, 9, QUIET)
READ_ALARM = Style(SEMIBOLD, 9, ACCENT)
"""Larger than on the proof sheet: these lie on the bench and are read at arm's length."""

BETWEEN, CLOSE = 14.0, 4.0
MARGIN = millimetres(15).points
TOP, BOTTOM = 48.0, 54.0  # a page begins below its stamp
_GUTTER = 10.0
_TICK = 8.0

Words = tuple[str, Style]


@dataclass(frozen=True, slots=True)
class FlowPart:
    """A block of a running page, and how far it stays from the one above.

    ``again`` is set once more above a block that begins a page: the head of a table.
    """

    block: Block
    gap: float = BETWEEN
    again: Block | None = None


@dataclass(frozen=True, slots=True)
class OnPaper:
    """What is the same for all running pages of a job: the paper, ``a4`` or ``letter``, and type.

    ``name`` is the exhibition's, for the foot; ``stamp`` stands at the head of every page.
    """

    paper: str
    measure: Measure
    name: str = ""
    stamp: str = ""

    @property
    def setter(self) -> Setter:
        """The setter for the width of this paper."""
        return setter_for(self.paper, self.measure)

    def pages(self, parts: Iterable[FlowPart], title: str) -> tuple[Page, ...]:
        """Return the parts on pages, each part whole on one."""
        return running_pages(
            parts, self.setter, paper=self.paper, title=title, name=self.name, stamp=self.stamp
        )


def setter_for(paper: str, measure: Measure) -> Setter:
    """Return the setter for the width of this paper, ``a4`` or ``letter``."""
    return Setter(measure, PAPERS[paper].width.points - 2 * MARGIN)


def running_pages(
    parts: Iterable[FlowPart],
    setter: Setter,
    *,
    paper: str,
    title: str = "",
    name: str = "",
    stamp: str = "",
) -> tuple[Page, ...]:
    """Return the parts on pages, each part whole on one.

    ``title`` and ``name`` stand at the foot of every page, ``stamp`` at its head.
    """
    size, foot = PAPERS[paper], " · ".join(filter(None, (title, name)))
    pages = _paged(parts, size.height.points - TOP - BOTTOM)
    return tuple(
        _page(size, marks, f"{number} of {len(pages)}", setter, (foot, stamp))
        for number, marks in enumerate(pages, 1)
    )


def _paged(parts: Iterable[FlowPart], height: float) -> list[list[Mark]]:
    pages: list[list[Mark]] = [[]]
    y = 0.0
    for part in parts:
        gap = part.gap if pages[-1] else 0.0
        if pages[-1] and y + gap + part.block.height > height:
            pages.append([])
            y, gap = 0.0, 0.0
            if part.again is not None:
                pages[-1] += part.again.at(MARGIN, TOP)
                y, gap = part.again.height, part.gap
        pages[-1] += part.block.at(MARGIN, TOP + y + gap)
        y += gap + part.block.height
    return pages


def _page(
    size: Size, marks: Sequence[Mark], count: str, setter: Setter, said: tuple[str, str]
) -> Page:
    """A page with the words at its foot, and the stamp at its head."""
    width, height = size.width.points, size.height.points
    foot, stamp = said
    around: list[Mark] = [setter.placed(count, CAPTION, width - MARGIN, height - 30)]
    if foot:
        words = setter.paragraph(foot, CAPTION, setter.span(3), most=1)
        around += words.at(MARGIN, height - 30 - baseline(CAPTION))
    around += framed(stamp, setter, MARGIN)
    line = rule(setter.width).at(MARGIN, height - 42)
    return Page(width, height, (*marks, *line, *around))


def opening_block(title: str, lines: Sequence[Words], beside: Words, setter: Setter) -> Block:
    """Return the head of a first page: its name with a few lines below, and words beside."""
    half = setter.span(2)
    name = [setter.paragraph(title, DISPLAY, half)]
    left = stacked([*name, *(setter.paragraph(*line, half, most=3) for line in lines)], 2)
    right = setter.paragraph(*beside, half)
    return Block(max(left.height, right.height + 9), left.marks + right.at(2 * setter.pitch, 9))


@dataclass(frozen=True, slots=True)
class Columns:
    """A table's columns: the share of the width that each takes, the gutters left out."""

    setter: Setter
    shares: tuple[float, ...]

    def places(self) -> tuple[tuple[float, float], ...]:
        """Return left edge and width of each column."""
        room = self.setter.width - (len(self.shares) - 1) * _GUTTER
        widths = [room * share / sum(self.shares) for share in self.shares]
        lefts = [sum(widths[:n]) + n * _GUTTER for n in range(len(widths))]
        return tuple(zip(lefts, widths, strict=True))

    def row(self, cells: Sequence[Words | Block], *, most: int = 3) -> Block:
        """Return one row below a thin line; a text is set in at most so many lines."""
        marks: list[Mark] = list(rule(self.setter.width).marks)
        height = 0.0
        for cell, (left, width) in zip(cells, self.places(), strict=True):
            block = cell if isinstance(cell, Block) else self._set(cell, width, most)
            marks += block.at(left, CLOSE)
            height = max(height, block.height)
        return Block(height + 2 * CLOSE, tuple(marks))

    def head(self, words: Sequence[str]) -> Block:
        """Return the head of the table."""
        cells = [
            self._set((text, CAPTION), width, 2)
            for text, (_, width) in zip(words, self.places(), strict=True)
        ]
        height = max(cell.height for cell in cells)
        marks = [
            mark
            for cell, (left, _) in zip(cells, self.places(), strict=True)
            for mark in cell.at(left, height - cell.height)
        ]
        return Block(height + 2, tuple(marks))

    def _set(self, words: Words, width: float, most: int) -> Block:
        return self.setter.paragraph(*words, width, most=most)


def table_parts(head: Block, rows: Iterable[Block], *, gap: float = BETWEEN) -> list[FlowPart]:
    """Return a table: its head stays with its first row, and comes again on every page."""
    first, *rest = rows
    return [
        FlowPart(stacked([head, first]), gap),
        *(FlowPart(row, 0, again=head) for row in rest),
    ]


def listed(lines: Iterable[str], setter: Setter, *, width: float) -> Block:
    """Return steps in words, each with its number."""
    rows = []
    for number, line in enumerate(lines, 1):
        words = setter.paragraph(line, READ, width - 16).indented(16)
        figure = setter.paragraph(str(number), READ_STRONG, 16)
        rows.append(Block(words.height, figure.marks + words.marks))
    return stacked(rows, 3)


def tick() -> Block:
    """Return a small box to tick."""
    return Block(_TICK + 2, frame(0, 2, _TICK, _TICK, line=0.6, colour=QUIET))


def blank(width: float) -> Block:
    """Return a line to write on."""
    return Block(12, (Line((0, 11), (width, 11), HAIRLINE, HAIR),))


def counted(number: int, one: str, many: str) -> str:
    """Return a number with its noun.

    >>> counted(1, "sheet", "sheets"), counted(3, "sheet", "sheets")
    ('1 sheet', '3 sheets')
    """
    return f"{number} {one if number == 1 else many}"
