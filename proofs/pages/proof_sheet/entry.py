"""One entry on the proof sheet: verdict, title, its mounts to scale, and the facts."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.densities import signed
from proofs.findings import Finding
from proofs.pages.drawing import Block, Mark, rectangle, side_by_side, stacked
from proofs.pages.proof_sheet.columns import facts_block
from proofs.pages.proof_sheet.facts import facts_columns
from proofs.pages.proof_sheet.mount import GAP, fitting_scale, mount_drawing, per_row
from proofs.pages.proof_sheet.not_printed import wrong_marks
from proofs.pages.proof_sheet.pencil import Pencil
from proofs.pages.proof_sheet.verdict import also_blocks, name_block, reason, verdict_block
from proofs.pages.typography import BODY, CAPTION, GUTTER, INK, STRONG, Setter, rule
from proofs.plan.checks.outcomes import Outcome, StepOutcome, Tones
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job

_ROW_HEIGHT, _FULL_HEIGHT = 222.0, 470.0  # room for the drawings of an entry, in points
_MOST_IN_A_ROW = 12  # steps for which half a page is enough
_SIDE_BY_SIDE = 2  # as many mounts leave room for the facts beside them


@dataclass(frozen=True, slots=True)
class EntryBlocks:
    """The parts of an entry in their order; a page may end only between two of them.

    ``lines`` are set closer together, below the parts.
    """

    parts: tuple[Block, ...]
    gap: float = 9.0
    lines: tuple[Block, ...] = ()
    line_gap: float = 3.0

    @property
    def whole(self) -> Block:
        """All of the entry in one."""
        return stacked((stacked(self.parts, self.gap), *self._lines()), 0)

    def _lines(self) -> tuple[Block, ...]:
        gaps = (self.gap, *(self.line_gap for _ in self.lines[1:]))
        return tuple(
            Block(gap + line.height, line.at(0, gap))
            for gap, line in zip(gaps, self.lines, strict=False)
        )


def entry_blocks(job: Job, outcome: Outcome, plan: Plan, setter: Setter) -> EntryBlocks:
    """Return an entry set in the width of the sheet."""
    told = reason(outcome)
    steps = outcome.steps or tuple(StepOutcome(v, v == plan.chosen) for v in plan.variants)
    width = setter.span(2) if len(steps) <= _SIDE_BY_SIDE else setter.width
    scale = _scale(plan, len(steps), width)
    head = _head(outcome, told, setter, f"1:{scale}; 1 in on this page = {scale} in of board")
    mounts = _mounts(outcome, plan, steps, setter, width)
    if len(steps) <= _SIDE_BY_SIDE:
        facts = _facts(job, outcome, plan, setter, 2).indented(2 * setter.pitch)
        body = Block(max(mounts.height, facts.height), mounts.marks + facts.marks)
        return EntryBlocks((head, body), lines=also_blocks(outcome, told, setter))
    facts = _facts(job, outcome, plan, setter, 4)
    return EntryBlocks((head, mounts, facts), lines=also_blocks(outcome, told, setter))


def _head(outcome: Outcome, told: Finding | None, setter: Setter, aside: str) -> Block:
    """Verdict, then number, title and category, with the scale at the far end."""
    verdict = stacked([rule(setter.width), verdict_block(outcome, told, setter)], 6)
    return stacked([verdict, name_block(outcome, setter, aside)], 6)


def _mounts(
    outcome: Outcome, plan: Plan, steps: Sequence[StepOutcome], setter: Setter, width: float
) -> Block:
    """The mounts of all steps in rows, each with its letter, and the scale in words."""
    board, scale = plan.layout.board, _scale(plan, len(steps), width)
    drawn = board.width.points / scale
    cells = [_cell(outcome, plan, step, scale, setter) for step in steps]
    wrong = wrong_marks(Pencil(setter, plan, scale), outcome.findings)
    cells[0] = Block(cells[0].height, cells[0].marks + wrong)
    columns = max(1, per_row(board, scale, width))
    on_grid = drawn <= setter.column and columns * setter.pitch <= width + GUTTER + 0.01
    pitch = setter.pitch if on_grid else drawn + GAP
    rows = [
        side_by_side(cells[start : start + columns], pitch)
        for start in range(0, len(cells), columns)
    ]
    return stacked(rows, 8)


def _scale(plan: Plan, steps: int, width: float) -> int:
    room = _ROW_HEIGHT if steps <= _MOST_IN_A_ROW else _FULL_HEIGHT
    return fitting_scale(plan.layout.board, steps, width, room)


def _cell(outcome: Outcome, plan: Plan, step: StepOutcome, scale: int, setter: Setter) -> Block:
    """One mount with its step's letter and density below; a bar marks the chosen one."""
    mount = mount_drawing(plan, scale, step.mockup)
    width = plan.layout.board.width.points / scale
    bar: tuple[Mark, ...] = (rectangle(0, 2.2, width, 1.4, INK),) if step.is_chosen else ()
    letter = setter.paragraph(step.variant.step, STRONG, width)
    start = setter.wide(step.variant.step, STRONG) + 5
    density = signed(step.variant.density).replace("-", "−")
    style, words = (STRONG if step.is_chosen else BODY), f"{density} D{_standing(outcome, step)}"
    said = setter.paragraph(words, style, width - start, most=4).indented(start)
    label = Block(max(letter.height, said.height), letter.marks + said.marks)
    tones = [setter.paragraph(_measured(step.tones), CAPTION, width)] if step.tones else []
    return stacked([mount, Block(3.6, bar), label, *tones], 1)


def _measured(tones: Tones) -> str:
    """What a step reached and what it lost, in a few words; no bare paper needs no word."""
    words = f"reached {tones.density_reached:+.3f}; blocked {tones.blocked_share:.1%}"
    bare = f"{tones.bare_share:.1%}"
    if bare != "0.0%":
        words += f", bare {bare}"
    return words.replace("-", "−").replace("%", " %")


def _standing(outcome: Outcome, step: StepOutcome) -> str:
    """What became of a step, in words."""
    if step.is_chosen:
        return "; chosen"
    undecided = not any(s.is_chosen for s in outcome.steps)
    if undecided and step.variant.is_plain and outcome.is_printed:
        return "; printed, undecided"
    return ""


def _facts(job: Job, outcome: Outcome, plan: Plan, setter: Setter, columns: int) -> Block:
    facts = facts_columns(job, outcome, plan, columns=columns)
    return side_by_side([facts_block(setter, column) for column in facts], setter.pitch)
