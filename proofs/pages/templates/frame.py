"""The frame of a template's page: a rule along each axis, the room between, and the foot."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from proofs.lengths import Length, Size, inches, millimetres
from proofs.pages.drawing import Block, Line, Mark, frame, rectangle, stacked, turned
from proofs.pages.ruler import rule_block
from proofs.pages.templates.tile import STROKES
from proofs.pages.typography import (
    BODY,
    CAPTION,
    HAIR,
    HAIRLINE,
    INK,
    QUIET,
    SMALL_ALARM,
    STRONG,
    Setter,
    Style,
)
from proofs.plan.cutting.templates import LineKind
from proofs.plan.entry.board import Opening
from proofs.plan.sheets.strip_sheet import RULE_HEIGHT
from proofs.records.page_sizes import PAGE_SIZES

_RULES = {"a4": (7, 200), "letter": (8, 200)}
"""The lengths of the rules, in inches and in millimetres: as far as most printers print."""

WHOLE_FOOT, CORNERS_FOOT = millimetres(17), millimetres(27)  # more words go with corners
_GAP = millimetres(1)
_MAP_WIDTH = 54.0
_KEY_WIDTH = 112.0
_SAMPLE = 26.0

_KEY = (
    (LineKind.BOARD, "edge of the board"),
    (LineKind.BACK, "opening at the back"),
    (LineKind.FACE, "opening at the face"),
    (LineKind.PAPER, "edge of the print"),
    (LineKind.IMAGE, "edge of the image"),
)


@dataclass(frozen=True, slots=True)
class PageFrame:
    """A page of a template, upright or lengthwise: its rules, the room between, and its foot."""

    size: Size
    in_long: int
    mm_long: int
    foot: Length

    @property
    def edge(self) -> Length:
        """The margin along all edges: half of what the rule leaves of the short side."""
        rule = max(inches(self.in_long), millimetres(self.mm_long))
        return Length((self.size.shortest - rule).nm // 2)

    @property
    def nought(self) -> Length:
        """The distance from the page's left and top to the room between the rules."""
        return self.edge + RULE_HEIGHT + _GAP

    @property
    def room(self) -> Size:
        """How much of a board one page can show."""
        width = self.size.width - self.nought - self.edge
        height = self.size.height - self.nought - self.edge - self.foot - _GAP
        return Size(width, height)

    @property
    def foot_top(self) -> float:
        """Where the foot begins, in points from the top."""
        return (self.size.height - self.edge - self.foot).points


def page_frames(name: str, foot_high: Length) -> tuple[PageFrame, PageFrame]:
    """Return the page upright and lengthwise, for ``a4`` or ``letter``, with a foot so high."""
    size, (in_long, mm_long) = PAGE_SIZES[name], _RULES[name]
    upright = PageFrame(size, in_long, mm_long, foot_high)
    return upright, replace(upright, size=size.turned)


def rules_along(page: PageFrame, setter: Setter) -> tuple[Mark, ...]:
    """Return the two rules; the one along the page's short side takes the corner."""
    block = rule_block(setter, in_long=page.in_long, mm_long=page.mm_long)
    edge, nought = page.edge.points, page.nought.points
    upright = page.size.is_portrait
    across = block.at(edge if upright else nought, edge)
    down = Block(0, turned(block)).at(edge, nought if upright else edge)
    return (*across, *down)


@dataclass(frozen=True, slots=True)
class TemplateNotes:
    """The words at the foot of one page: heading, lines below, and stamp, blank for none.

    ``left_out`` says which entries have no template, blank if all have one.
    ``kinds`` are the kinds of line on the template, for the key.
    """

    heading: str
    board: Size
    lines: tuple[str, ...]
    left_out: str
    stamp: str
    kinds: frozenset[LineKind]


def foot(
    page: PageFrame, notes: TemplateNotes, areas: Sequence[Opening], setter: Setter
) -> tuple[Mark, ...]:
    """Return the page map, the words, and the key to the lines."""
    left, width = page.nought.points, page.room.width.points
    top = page.foot_top
    words_left = left + _MAP_WIDTH + 10
    words_width = width - _MAP_WIDTH - _KEY_WIDTH - 26
    return (
        *_page_map(notes.board, areas, page.foot.points - 6).at(left, top),
        *_words(notes, words_width, page.foot.points, setter).at(words_left, top - 2),
        *_key(notes.kinds, setter).at(left + width - _KEY_WIDTH, top - 1),
    )


def _page_map(board: Size, areas: Sequence[Opening], height: float) -> Block:
    """The board, small, with what is on this page filled."""
    scale = min(_MAP_WIDTH / board.width.points, height / board.height.points)
    marks: list[Mark] = []
    for area in areas:
        shown = area.within(board)
        left, top = shown.left.points * scale, shown.top.points * scale
        wide, high = shown.size.width.points * scale, shown.size.height.points * scale
        marks.append(rectangle(left, top, wide, high, HAIR))
    width, high = board.width.points * scale, board.height.points * scale
    marks += frame(0, 0, width, high, line=HAIRLINE, colour=QUIET)
    return Block(height, tuple(marks))


def _words(notes: TemplateNotes, width: float, height: float, setter: Setter) -> Block:
    """The heading, the stamp at its right, and the lines below, small if they have no room."""
    usual = _words_in(BODY, notes, width, setter)
    return usual if usual.height <= height else _words_in(CAPTION, notes, width, setter)


def _words_in(style: Style, notes: TemplateNotes, width: float, setter: Setter) -> Block:
    stamp = setter.paragraph(notes.stamp, SMALL_ALARM, width)
    stamp_width = setter.wide(notes.stamp, SMALL_ALARM)
    heading = setter.paragraph(notes.heading, STRONG, width - stamp_width - 8, most=1)
    top = Block(heading.height, (*heading.marks, *stamp.at(width - stamp_width, 1.2)))
    lines = [(line, style, 9) for line in notes.lines]
    lines += [(notes.left_out, SMALL_ALARM, 1)] if notes.left_out else []
    return stacked([top, *(setter.paragraph(*line[:2], width, most=line[2]) for line in lines)])


def _key(kinds: frozenset[LineKind], setter: Setter) -> Block:
    rows = []
    for kind, words in (named for named in _KEY if named[0] in kinds):
        row = setter.paragraph(words, CAPTION, _KEY_WIDTH).indented(_SAMPLE + 6)
        rows.append(Block(row.height, (*row.marks, _sample(kind, row.height / 2))))
    return stacked(rows, 0.6)


def _sample(kind: LineKind, y: float) -> Line:
    width, dash = STROKES[kind]
    return Line((0, y), (_SAMPLE, y), width, INK, dash)
