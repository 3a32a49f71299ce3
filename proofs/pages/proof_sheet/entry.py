"""One entry on the proof sheet: verdict, title, its mounts to scale, and the facts."""

from collections.abc import Iterator, Sequence

from proofs.densities import signed
from proofs.findings import Finding
from proofs.pages.drawing import Block, Mark, across, in_rows, rectangle, side_by_side, stacked
from proofs.pages.facts import facts_block
from proofs.pages.flow import FlowPart
from proofs.pages.headings import entry_head
from proofs.pages.mount_drawing import GAP, fitting_scale, mount_drawing, per_row
from proofs.pages.proof_sheet.entry_facts import facts_columns
from proofs.pages.proof_sheet.faults_drawn import Pencil, wrong_marks
from proofs.pages.proof_sheet.verdict import further_blocks, ruling_of, verdict_block
from proofs.pages.typography import ASIDE, BODY, CAPTION, COLUMNS, GUTTER, INK, STRONG, Setter, rule
from proofs.pages.wording import typeset
from proofs.plan.checks.outcomes import Outcome, StepOutcome, Tones
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job

_ROW_HEIGHT, _FULL_HEIGHT = 222.0, 470.0  # room for the drawings of an entry, in points
_MOST_IN_A_ROW = 12  # steps for which half a page is enough
_FEW = 2  # mounts that leave room for the facts beside them
_BETWEEN, _LINE_GAP = 9.0, 3.0


def entry_parts(
    job: Job, outcome: Outcome, plan: Plan, setter: Setter, *, gap: float
) -> Iterator[FlowPart]:
    """Yield the parts of an entry, which share a page wherever one can hold them."""
    ruling = ruling_of(outcome)
    steps = outcome.steps or tuple(StepOutcome(v, v == plan.chosen) for v in plan.variants)
    width = setter.span(2) if len(steps) <= _FEW else setter.width
    scale = _scale(plan, len(steps), width)
    aside = f"1:{scale}; 1 in on this page = {scale} in of board"
    head = stacked([_verdict(outcome, ruling, setter), entry_head(outcome.entry, setter, aside)], 6)
    facts = _facts(job, outcome, plan, setter, 2 if len(steps) <= _FEW else COLUMNS)
    body = [_mounts(outcome, plan, steps, setter, width), facts]
    if len(steps) <= _FEW:
        body = [across(body, (0, 2 * setter.pitch))]
    yield FlowPart(head, gap, keeps_next=True)
    blocks = [*body, *further_blocks(outcome, ruling, setter)]
    for n, block in enumerate(blocks, 1):
        above = _BETWEEN if n <= len(body) + 1 else _LINE_GAP
        yield FlowPart(block, above, keeps_next=n < len(blocks))


def trouble_part(outcome: Outcome, setter: Setter, gap: float) -> FlowPart:
    """Return an entry that has no mount to show, with its reason and remedy."""
    entry = outcome.entry
    words = f"File {entry.file}" if entry.file else "No file is named"
    if entry.line is not None:
        words += f"; line {entry.line} of the entries file"
    where = setter.paragraph(words, ASIDE, setter.span(3), most=3).indented(setter.pitch)
    top = _verdict(outcome, ruling_of(outcome), setter)
    return FlowPart(stacked([top, entry_head(entry, setter), where], 4), gap)


def _verdict(outcome: Outcome, ruling: Finding | None, setter: Setter) -> Block:
    return stacked([rule(setter.width), verdict_block(outcome, ruling, setter)], 6)


def _mounts(
    outcome: Outcome, plan: Plan, steps: Sequence[StepOutcome], setter: Setter, width: float
) -> Block:
    """The mounts of all steps in rows, each with its letter."""
    board, scale = plan.layout.board, _scale(plan, len(steps), width)
    drawn = board.width.points / scale
    cells = [_cell(outcome, plan, step, scale, setter) for step in steps]
    wrong = wrong_marks(Pencil(setter, plan, scale), outcome.findings)
    cells[0] = Block(cells[0].height, cells[0].marks + wrong)
    columns = max(1, per_row(board, scale, width))
    on_grid = drawn <= setter.column and columns * setter.pitch <= width + GUTTER + 0.01
    pitch = setter.pitch if on_grid else drawn + GAP
    return stacked(in_rows(cells, columns, pitch), 8)


def _scale(plan: Plan, steps: int, width: float) -> int:
    room = _ROW_HEIGHT if steps <= _MOST_IN_A_ROW else _FULL_HEIGHT
    return fitting_scale(plan.layout.board, steps, width, room)


def _cell(outcome: Outcome, plan: Plan, step: StepOutcome, scale: int, setter: Setter) -> Block:
    """One mount with its step's letter and density below; a bar marks the chosen one."""
    mount = mount_drawing(plan, scale, step.mockup)
    width = plan.layout.board.width.points / scale
    bar: tuple[Mark, ...] = (rectangle(0, 2.2, width, 1.4, INK),) if step.is_chosen else ()
    start = setter.wide(step.variant.step, STRONG) + 5
    density = typeset(signed(step.variant.density))
    style, words = (STRONG if step.is_chosen else BODY), f"{density} D{_standing(outcome, step)}"
    letter = setter.paragraph(step.variant.step, STRONG, width)
    label = across([letter, setter.paragraph(words, style, width - start, most=4)], (0, start))
    tones = [setter.paragraph(_measured(step.tones), CAPTION, width)] if step.tones else []
    return stacked([mount, Block(3.6, bar), label, *tones], 1)


def _measured(tones: Tones) -> str:
    """What a step reached and what it lost; bare paper only if there is some."""
    words = f"reached {tones.density_reached:+.3f}; blocked {tones.blocked_share:.1%}"
    bare = f"{tones.bare_share:.1%}"
    return typeset(words if bare == "0.0%" else f"{words}, bare {bare}")


def _standing(outcome: Outcome, step: StepOutcome) -> str:
    """Whether a step is chosen, or printed because none is."""
    if step.is_chosen:
        return "; chosen"
    undecided = not any(s.is_chosen for s in outcome.steps)
    if undecided and step.variant.is_plain and outcome.is_printed:
        return "; printed, undecided"
    return ""


def _facts(job: Job, outcome: Outcome, plan: Plan, setter: Setter, columns: int) -> Block:
    facts = facts_columns(job, outcome, plan, columns=columns)
    return side_by_side([facts_block(setter, column) for column in facts], setter.pitch)
