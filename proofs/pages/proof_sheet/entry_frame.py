"""Where everything is on the page of an entry: the steps as large as the page lets them be.

The worker that makes the small pictures asks the same frame for their sizes.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import partial

from proofs.lengths import millimetres
from proofs.pages.drawing import Block, across, stacked
from proofs.pages.flow import PageLayout
from proofs.pages.mount_drawing import SCALES
from proofs.pages.proof_sheet.entry_head import head_block
from proofs.pages.proof_sheet.life_size import row_height
from proofs.pages.proof_sheet.step_grid import (
    MAT,
    MORE,
    StepGrid,
    best_grid,
    changing_losses,
    shown_box,
    steps_of,
)
from proofs.pages.proof_sheet.to_fill_in import choice_block, ruler_block
from proofs.pages.proof_sheet.whole_mount import MountDrawing, mount_at
from proofs.pages.typography import Setter
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job

GAP, LEAST_GAP = 11.0, 8.0
"""Between the parts of a page, and where the steps would be too small otherwise."""
BETWEEN_ENTRIES = 22.0  # of two on one page, with a thin line in the middle
ASIDE = 8.5  # between a column or a drawing and what is beside it
_USUAL = 181.0  # points: a board of 20 in at 1:8
_ALWAYS = (8, 217.0)  # the usual scale of boards up to 24 in, which are this long at it
_MOST = 300.0  # the longest side of a board that is enlarged to fill the page
_LEAST_COLUMN = 150.0  # beside the steps
_LEAST_INFO = 190.0  # the width that words beside the mount need
_WANTED = {4: millimetres(55).points, 6: millimetres(40).points}  # by the most steps


class MountPlace(StrEnum):
    """Where the mount is drawn: beside the steps, below them, or above them beside the head."""

    BESIDE = "beside"
    BELOW = "below"
    ABOVE = "above"


@dataclass(frozen=True, slots=True)
class EntryFrame:
    """The page of an entry: its head, the grid of its steps, and the drawing of its mount.

    ``drawing`` is None on a compact page, and ``row`` the height of the parts at life size, 0
    without them.
    """

    room: float
    head: Block
    grid: StepGrid
    row: float
    drawing: MountDrawing | None = None
    place: MountPlace = MountPlace.BELOW
    gap: float = GAP

    @property
    def column(self) -> float:
        """The width of the mount's column beside the steps."""
        is_beside = self.drawing and self.place == MountPlace.BESIDE
        return _column(self.drawing) if self.drawing and is_beside else 0.0


def entry_frame(
    job: Job, outcome: Outcome, plan: Plan, layout: PageLayout, *, compact: bool, with_part: bool
) -> EntryFrame:
    """Return the frame of an entry's page, half a page if ``compact``.

    ``with_part`` is whether its steps show a part at life size.
    """
    setter, head = layout.setter, head_block(job, outcome, plan, layout.setter)
    steps, box = steps_of(outcome, plan), shown_box(plan)
    band = MAT + (MORE if changing_losses(steps) else 0.0)
    if compact:
        room = (layout.room - BETWEEN_ENTRIES) / 2
        high = room - head.height - 2 * GAP - fill_in_line(outcome, plan, setter).height
        return EntryFrame(room, head, best_grid(box, len(steps), (setter.width, high), band), 0.0)
    row = row_height(plan) if with_part else 0.0
    finder = _Finder(
        job,
        outcome,
        plan,
        setter,
        EntryFrame(layout.room, head, StepGrid(len(steps), 1, 1.0, box, band), row),
    )
    return finder.largest()


def fill_in_block(outcome: Outcome, plan: Plan, width: float, setter: Setter) -> Block:
    """Return the room for the ruler's readings and for the choice."""
    steps = steps_of(outcome, plan)
    return stacked([ruler_block(plan, setter, width), choice_block(steps, setter, width)], GAP / 2)


def fill_in_line(outcome: Outcome, plan: Plan, setter: Setter) -> Block:
    """Return the same room side by side, across the page."""
    half = (setter.width - ASIDE) / 2
    steps = steps_of(outcome, plan)
    return across(
        [ruler_block(plan, setter, half), choice_block(steps, setter, half)], (0, half + ASIDE)
    )


def narrow_head(
    job: Job,
    outcome: Outcome,
    plan: Plan,
    drawing: MountDrawing,
    setter: Setter,
    *,
    place: int | None = None,
) -> Block:
    """Return the head of an entry in the width that the drawing of its mount leaves beside it."""
    narrow = replace(setter, width=setter.width - drawing.width - ASIDE)
    return head_block(job, outcome, plan, narrow, place=place, is_narrow=True)


def _column(drawing: MountDrawing) -> float:
    return max(drawing.width, _LEAST_COLUMN)


@dataclass(frozen=True, slots=True)
class _Finder:
    """Finds the arrangement of one page."""

    job: Job
    outcome: Outcome
    plan: Plan
    setter: Setter
    bare: EntryFrame

    def largest(self) -> EntryFrame:
        """The frame with the largest steps, and of those the one with the largest mount.

        The mount is at its usual scale, and at a smaller one only if the steps were too small.
        """
        usual = next(n for n, scale in enumerate(SCALES) if self._is_usual(scale))
        frames = [self._best(SCALES[usual])]
        close = replace(self, bare=replace(self.bare, gap=LEAST_GAP))
        tried = [partial(close._best, SCALES[usual]), partial(close._above, SCALES[usual])]
        tried += [partial(close._best, scale) for scale in SCALES[usual + 1 : usual + 4]]
        for arrange in tried:
            if frames[-1].grid.longest_side >= self._wanted():
                break
            frames.append(arrange())
        best = max(frames, key=lambda frame: round(frame.grid.longest_side, 3))
        for scale in reversed(SCALES[:usual]):
            if best.drawing is None or best.drawing.scale > SCALES[usual]:
                break
            if best.place == MountPlace.ABOVE:
                break
            larger = self._best(scale)
            if self._longest(scale) > _MOST or larger.grid.scale > best.grid.scale * 1.0001:
                break
            best = larger
        return best

    def _wanted(self) -> float:
        return next((mm for most, mm in _WANTED.items() if self.bare.grid.count <= most), 0.0)

    def _is_usual(self, scale: int) -> bool:
        always, most = _ALWAYS
        longest = self._longest(scale)
        return longest <= _USUAL or (scale == always and longest <= most)

    def _longest(self, scale: int) -> float:
        return self.plan.layout.board.longest.points / scale

    def _best(self, scale: int) -> EntryFrame:
        found = self._frames(mount_at(self.job, self.outcome, self.plan, scale, self.setter))
        return max(found, key=_preferred)

    def _frames(self, drawing: MountDrawing) -> Iterator[EntryFrame]:
        """The mount below the steps, and beside them if there is room."""
        bare, setter = self.bare, self.setter
        row = bare.row + bare.gap if bare.row else 0.0
        high = bare.room - bare.head.height - bare.gap - row
        info = setter.width - drawing.width - ASIDE
        if info >= _LEAST_INFO or drawing.scale == SCALES[-1]:
            needed = self._fill_in(max(info, _LEAST_INFO))
            below = high - bare.gap - max(drawing.height, needed)
            yield self._frame(drawing, (setter.width, below), MountPlace.BELOW)
        column = _column(drawing)
        if drawing.height + bare.gap + self._fill_in(column) <= high:
            room = (setter.width - column - ASIDE, high)
            yield self._frame(drawing, room, MountPlace.BESIDE)
        elif info < _LEAST_INFO:
            below = high - bare.gap - drawing.height
            yield self._frame(drawing, (setter.width, below), MountPlace.BELOW)

    def _above(self, scale: int) -> EntryFrame:
        """The mount beside the head, and what is to fill in beside the steps."""
        bare, setter = self.bare, self.setter
        drawing = mount_at(self.job, self.outcome, self.plan, scale, setter)
        head = narrow_head(self.job, self.outcome, self.plan, drawing, setter)
        row = bare.row + bare.gap if bare.row else 0.0
        high = bare.room - max(head.height, drawing.height) - bare.gap - row
        room = (setter.width - _LEAST_COLUMN - ASIDE, high)
        found = self._frame(drawing, room, MountPlace.ABOVE)
        needed = self._fill_in(setter.width - found.grid.width - ASIDE)
        return found if needed <= high else self._best(scale)

    def _fill_in(self, width: float) -> float:
        return fill_in_block(self.outcome, self.plan, width, self.setter).height

    def _frame(
        self, drawing: MountDrawing, room: tuple[float, float], place: MountPlace
    ) -> EntryFrame:
        bare = self.bare.grid
        grid = best_grid(bare.box, bare.count, room, bare.band)
        return replace(self.bare, grid=grid, drawing=drawing, place=place)


def _preferred(frame: EntryFrame) -> tuple[float, bool]:
    """Larger steps first; of equal ones the mount beside them."""
    return round(frame.grid.longest_side, 3), frame.place == MountPlace.BESIDE


def fitted(blocks: Sequence[Block], height: float, gap: float) -> int:
    """Return how many blocks, one below the other, have room in a height."""
    used, count = 0.0, 0
    for block in blocks:
        used += block.height + (gap if count else 0)
        if used > height + 0.01:
            break
        count += 1
    return count
