"""The page of an entry, or half a page: everything in its place."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.pages.drawing import Block, Mark, across, stacked
from proofs.pages.flow import PageLayout
from proofs.pages.proof_sheet.entry_facts import fact_blocks
from proofs.pages.proof_sheet.entry_frame import (
    ASIDE,
    GAP,
    EntryFrame,
    MountPlace,
    entry_frame,
    fill_in_block,
    fill_in_line,
    fitted,
    narrow_head,
)
from proofs.pages.proof_sheet.entry_head import head_block
from proofs.pages.proof_sheet.life_size import life_size_block
from proofs.pages.proof_sheet.step_grid import steps_of
from proofs.pages.proof_sheet.steps_drawn import steps_block
from proofs.pages.proof_sheet.verdict import further_blocks
from proofs.pages.proof_sheet.whole_mount import whole_mount
from proofs.pages.typography import Setter
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job

_LINE_GAP = 4.0
_MOST_SPREAD = 14.0  # what may be added to each gap so that the page is filled


@dataclass(frozen=True, slots=True)
class EntryPage:
    """The page of an entry; ``left_over`` are findings that had no room on it."""

    block: Block
    left_over: tuple[Block, ...]


def entry_page(
    job: Job, outcome: Outcome, plan: Plan, layout: PageLayout, *, compact: bool, place: int
) -> EntryPage:
    """Return the page of an entry at its ``place`` in the run, half a page if ``compact``."""
    with_part = outcome.life_size is not None and not compact
    frame = entry_frame(job, outcome, plan, layout, compact=compact, with_part=with_part)
    setter = layout.setter
    steps = steps_block(outcome, plan, frame.grid, setter)
    composer = _Composer(job, outcome, plan, frame, setter)
    if frame.drawing and frame.place == MountPlace.ABOVE:
        head = narrow_head(job, outcome, plan, frame.drawing, setter, place=place)
        return composer.above(head, steps)
    head = head_block(job, outcome, plan, setter, place=place)
    if compact:
        return composer.compact(head, steps)
    is_beside = frame.place == MountPlace.BESIDE
    return composer.beside(head, steps) if is_beside else composer.below(head, steps)


@dataclass(frozen=True, slots=True)
class _Composer:
    """Puts the blocks of one page into their places."""

    job: Job
    outcome: Outcome
    plan: Plan
    frame: EntryFrame
    setter: Setter

    def compact(self, head: Block, steps: Block) -> EntryPage:
        """Head, steps, and one line to fill in."""
        blanks = fill_in_line(self.outcome, self.plan, self.setter)
        further = further_blocks(self.outcome, self.setter, self.setter.width)
        return EntryPage(self._spread([head, steps, blanks]), further)

    def below(self, head: Block, steps: Block) -> EntryPage:
        """The mount at the foot, with what is to fill in and to know beside it."""
        mount, width = self._mount()
        start = width + ASIDE
        room = self._height_at_foot(head, steps, mount)
        info, left_over = self._info(self.setter.width - start, room)
        foot = across([mount, info], (0, start))
        return EntryPage(self._spread([head, steps, *self._part(), foot]), left_over)

    def beside(self, head: Block, steps: Block) -> EntryPage:
        """The mount on the right of the steps, with what is to fill in and to know below it."""
        mount, _ = self._mount()
        left, used = self.setter.width - self.frame.column, head.height + self.frame.gap
        used += self.frame.row + self.frame.gap if self.frame.row else 0
        room = self.frame.room - used - mount.height - self.frame.gap
        info, left_over = self._info(self.frame.column, room)
        column = stacked([mount, info], self.frame.gap)
        body = across([steps, column], (0, left))
        return EntryPage(self._spread([head, body, *self._part()]), left_over)

    def above(self, head: Block, steps: Block) -> EntryPage:
        """The mount beside the head, and what is to fill in and to know beside the steps."""
        mount, wide = self._mount()
        top = across([head, mount], (0, self.setter.width - wide))
        start, used = self.frame.grid.width + ASIDE, top.height + self.frame.gap
        used += self.frame.row + self.frame.gap if self.frame.row else 0
        info, left_over = self._info(self.setter.width - start, self.frame.room - used)
        body = across([steps, info], (0, start))
        return EntryPage(self._spread([top, body, *self._part()]), left_over)

    def _mount(self) -> tuple[Block, float]:
        drawing = self.frame.drawing
        if drawing is None:
            return Block(0), 0.0
        steps = steps_of(self.outcome, self.plan)
        shown = next((s for s in steps if s.variant == self.plan.printed), steps[0])
        return whole_mount(self.job, self.outcome, drawing, self.setter, shown), drawing.width

    def _part(self) -> list[Block]:
        if not self.frame.row:
            return []
        return [life_size_block(self.outcome, self.plan, self.setter)]

    def _height_at_foot(self, head: Block, steps: Block, mount: Block) -> float:
        """The height of what is beside the mount: as high as the mount, or all that is left."""
        used = head.height + steps.height + 2 * self.frame.gap
        used += self.frame.row + self.frame.gap if self.frame.row else 0
        return max(mount.height, self.frame.room - used)

    def _info(self, width: float, room: float) -> tuple[Block, tuple[Block, ...]]:
        """Blanks, findings and facts, as many as have room, and the findings that have none.

        The facts are in the report too, so findings come first.
        """
        blanks = fill_in_block(self.outcome, self.plan, width, self.setter)
        room -= blanks.height + GAP
        further = further_blocks(self.outcome, self.setter, width)
        count = fitted(further, room, _LINE_GAP)
        used = sum(block.height + _LINE_GAP for block in further[:count])
        facts = fact_blocks(self.outcome, self.plan, self.setter, width)
        shown = [*further[:count], *facts[: fitted(facts, room - used, _LINE_GAP)]]
        info = stacked([blanks, *([stacked(shown, _LINE_GAP)] if shown else [])], GAP)
        return info, further[count:]

    def _spread(self, blocks: Sequence[Block]) -> Block:
        """The blocks down the page, the room that is left shared among their gaps."""
        gap = self.frame.gap
        high = sum(block.height for block in blocks) + gap * (len(blocks) - 1)
        more = min(_MOST_SPREAD, max(0.0, self.frame.room - high) / max(1, len(blocks) - 1))
        marks: list[Mark] = []
        y = 0.0
        for block in blocks:
            marks += block.at(0, y)
            y += block.height + gap + more
        return Block(self.frame.room, tuple(marks))
