"""The cutting guide: a page for each kind of mount, face down as its cutter sees it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proofs.pages.cutting.limits_table import limits_table
from proofs.pages.cutting.mat_drawing import MatDrawn, mat_drawing, print_drawing
from proofs.pages.cutting.mat_facts import (
    is_oval,
    made_of,
    opening_checks,
    opening_sentences,
    opening_sides,
    other_unit,
    place_words,
    sums,
)
from proofs.pages.cutting.prints_table import (
    on_later_page,
    print_parts,
    print_rows,
    prints_block,
    risks,
)
from proofs.pages.cutting.steps import steps_block
from proofs.pages.drawing import Block, across, stacked
from proofs.pages.flow import Chapter, FlowPart, PageLayout
from proofs.pages.headings import page_head
from proofs.pages.stamp import stamp_words
from proofs.pages.typography import (
    BODY,
    CAPTION,
    FIGURE_STRONG,
    NUMBER,
    Setter,
    rule,
)
from proofs.pages.wording import board_thickness, mat_name
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.cutting.mount_kinds import MatSheet, MountKind, overrun
from proofs.records.job import Job

_GUIDE = "Cutting guide"
_ON_PAGE = 7  # prints with room on the page of their mount; more have pages of their own
_GAP, _MOST_GAP = 8.0, 30.0  # between the blocks of a page, as far apart as fills it
_BESIDE = 16.0  # between the drawing and the steps
_STEPS_WIDE = (214.0, 190.0, 166.0)  # what lets the drawing be largest is taken
_LEAST_HIGH = 200.0  # a drawing that would be less high has a page of its own
_LEAST_SMALL = 80.0  # the longer side of the backing with its print

TURN = (
    "The mat is face down, as you cut it: left and right are those of the back. To see the front,"
    " turn it over like a page, so that T stays at the top."
)
TURN_READY = (
    "The mat is face down: left and right are those of the back. To see the front, turn it over"
    " like a page, so that T stays at the top."
)
KNIFE = (
    "Knife: use a fresh blade, on scrap board over a steady, well-lit table. Hold the straightedge"
    " down with your fingers well behind its edge. Draw the blade past you, never towards the hand"
    " that holds, in several light strokes rather than one hard one. Cover the blade whenever you"
    " put it down; old blades go into a closed tin. The instructions of the cutter's maker and the"
    " rules of your workshop come first."
)


def cutting_guide(job: Job, kinds: Sequence[MountKind], layout: PageLayout) -> list[Chapter]:
    """Return the guide, each mat on a page with the stamp of its own kind of mount.

    The prints of a kind with more than its page has room for are in ``further_prints``.
    """
    return [
        Chapter(
            tuple(parts),
            stamp_words(kind.unmeasured, len(kind.entries), layout.setter),
            title=_GUIDE,
        )
        for kind in kinds
        for parts in _chapters(job, kind, len(kinds), layout)
    ]


def _chapters(
    job: Job, kind: MountKind, count: int, layout: PageLayout
) -> Iterator[Sequence[FlowPart]]:
    """What begins a page of its own: each mat, or a note that nothing is cut; then the prints."""
    marks, setter = marks_of(job), layout.setter
    name = f"Mount {kind.number} of {count}"
    rows = [row for bench in kind.entries for row in print_rows(bench, marks, setter)]
    fits = len(rows) <= _ON_PAGE
    table = prints_block(kind, rows, setter) if fits else on_later_page(len(rows), setter)
    prints = stacked([table, *risks(kind, setter)], 3)
    for mat in kind.mats:
        page = _MatPage(job, kind, mat, layout)
        head, listed = _head(kind, name, mat, setter, marks), () if mat.place else (prints,)
        yield from page.parts(head, listed, _further(name, "To check", setter))
    if not kind.mats:
        blocks = [_head(kind, name, None, setter, marks), _uncut(kind, marks, setter), prints]
        yield _spread(blocks, layout.room)


def further_prints(job: Job, kinds: Sequence[MountKind], setter: Setter) -> list[FlowPart]:
    """Return the tables of prints that have no room on the page of their mount."""
    marks, parts = marks_of(job), list[FlowPart]()
    for kind in kinds:
        rows = [row for bench in kind.entries for row in print_rows(bench, marks, setter)]
        if len(rows) > _ON_PAGE:
            parts += print_parts(kind, rows, setter)
    return parts


@dataclass(frozen=True, slots=True)
class _MatPage:
    """The page of one mat."""

    job: Job
    kind: MountKind
    mat: MatSheet
    layout: PageLayout

    def parts(
        self, head: Block, prints: Sequence[Block], again: Block
    ) -> Iterator[Sequence[FlowPart]]:
        """Yield the page, or two if its drawing would be too small: one for what is checked.

        The caution goes with the drawing, for there the knife is used; a mat that is cut already
        needs none.
        """
        room = self.layout.room
        caution = [] if self.kind.is_ready_cut else [_knife(self.layout.setter)]
        others = sum(block.height + _GAP for block in (head, *prints, *caution))
        body = self._body(room - others, with_limits=True)
        if body:
            yield _spread([head, body, *prints, *caution], room)
            return
        others = sum(block.height + _GAP for block in (head, *caution))
        body = self._body(room - others, with_limits=False)
        limits = self._limits(self.layout.setter.width)
        yield _spread([head, *([body] if body else []), *caution], room)
        yield [FlowPart(block, _GAP) for block in (again, limits, *prints)]

    def _body(self, height: float, *, with_limits: bool) -> Block | None:
        """The drawing with the limits below it, and the steps beside; None without room for it.

        The column of the steps is as wide as lets the drawing be largest.
        """
        trials = [self._columns(height, wide, with_limits=with_limits) for wide in _STEPS_WIDE]
        fitting = [trial for trial in trials if trial is not None]
        return min(fitting, key=lambda trial: trial[0].scale)[1] if fitting else None

    def _columns(
        self, height: float, wide: float, *, with_limits: bool
    ) -> tuple[MatDrawn, Block] | None:
        """The drawing, and both columns as a block, the right one this wide."""
        setter, marks, kind, mat = self.layout.setter, marks_of(self.job), self.kind, self.mat
        width, numbers = setter.width - wide - _BESIDE, other_unit(mat, marks)
        caption = setter.paragraph(f"1 : 10.0 · {numbers}", CAPTION, width)
        below = [self._limits(width)] if with_limits else []
        room = height - caption.height - 4 - sum(block.height + _GAP for block in below)
        right = self._steps(wide, height)
        if room < _LEAST_HIGH or right.height > height:
            return None
        past = overrun(self.job, kind.mount, mat)
        drawn = mat_drawing(
            mat, marks, setter, room=(width, room), overrun=past, is_oval=is_oval(kind)
        )
        note = setter.paragraph(f"1 : {drawn.scale:g} · {numbers}", CAPTION, width)
        left = stacked([stacked([drawn.block, note], 4), *below], _GAP)
        return drawn, across([left, right], (0, width + _BESIDE))

    def _limits(self, width: float) -> Block:
        """What the openings may measure, and the sums of borders and opening."""
        setter, kind, mat, marks = self.layout.setter, self.kind, self.mat, marks_of(self.job)
        sides = opening_sides(kind, mat, marks)
        said = [(line, NUMBER) for line in opening_sentences(kind, mat, marks)]
        if not sides:
            said.insert(0, ("The opening may measure", CAPTION))
        lines = [(line, FIGURE_STRONG) for line in opening_checks(kind, mat, marks)]
        lines += [("Adds up to the board", CAPTION)]
        lines += [(line, FIGURE_STRONG) for line in sums(mat, marks)]
        blocks = [limits_table(sides, setter, width)] if sides else [rule(width)]
        blocks += [setter.stack(said, width, gap=2)] if said else []
        return stacked([*blocks, setter.stack(lines, width)], 5)

    def _steps(self, wide: float, height: float) -> Block:
        """The steps, and below them the backing with its print, as large as has room."""
        setter, kind, mat = self.layout.setter, self.kind, self.mat
        steps = steps_block(self.job, kind, mat, setter, wide)
        if mat.place:
            return steps
        words = setter.paragraph(place_words(kind.mount), CAPTION, wide)
        left = height - steps.height - words.height - 13
        board = kind.board
        side = left * board.longest.nm / board.height.nm
        small = print_drawing(kind, setter, max(_LEAST_SMALL, min(side, wide)))
        return stacked([steps, stacked([words, small], 3)], 10)


def _spread(blocks: Sequence[Block], room: float) -> list[FlowPart]:
    """Blocks down a page, their gaps widened so that they fill it."""
    taken = sum(block.height for block in blocks)
    gap = (room - 0.1 - taken) / max(len(blocks) - 1, 1)  # less what adding up may be off
    return [FlowPart(block, min(max(gap, _GAP), _MOST_GAP)) for block in blocks]


def _knife(setter: Setter) -> Block:
    return setter.paragraph(KNIFE, BODY, setter.width)


def _further(name: str, what: str, setter: Setter) -> Block:
    """The head of a further page of a kind."""
    return page_head(setter, above=name, name=what, right="")


def _head(kind: MountKind, name: str, mat: MatSheet | None, setter: Setter, marks: Marks) -> Block:
    """The head of a kind's page: which side it shows, how many to make, and of what."""
    count = len(kind.entries)
    which = f" · {mat_name(mat.place, len(kind.mats))}" if mat and len(kind.mats) > 1 else ""
    top = page_head(
        setter,
        above=f"{name}{which} · {kind.mount.title}",
        name="BACK" if mat else "Nothing to cut",
        right=f"{'take' if kind.is_ready_cut else 'make'} {count}",
        strong=bool(mat),
    )
    if mat is None:
        return top
    board = setter.paragraph(made_of(mat, marks), FIGURE_STRONG, setter.width)
    turn = TURN_READY if kind.is_ready_cut else TURN
    return stacked([top, board, setter.paragraph(turn, BODY, setter.width)], 3)


def _uncut(kind: MountKind, marks: Marks, setter: Setter) -> Block:
    """A mount without a window: its backing, and the place of a print on it."""
    mount, board = kind.mount, kind.board
    facts = [
        ("This mount has no window: only the board is cut to size.", BODY),
        (f"Board {marks.size(board)}", FIGURE_STRONG),
        (f"Backing {mount.backing_colour}, {board_thickness(mount.backing)}", FIGURE_STRONG),
        (place_words(mount), BODY),
    ]
    drawing = print_drawing(kind, setter, setter.span(3))
    return across([drawing, setter.stack(facts, setter.column, gap=6)], (0, 3 * setter.pitch))
