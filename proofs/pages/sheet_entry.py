"""One entry on the proof sheet: verdict, title, its mounts to scale, and the facts."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.densities import signed
from proofs.findings import Finding, Severity
from proofs.pages.drawing import Block, Mark, Shape, beside, rectangle, stacked
from proofs.pages.sheet_facts import facts_block, facts_columns
from proofs.pages.sheet_mount import GAP, fitting_scale, mount_drawing, per_row
from proofs.pages.sheet_text import (
    ACCENT,
    ALARM,
    ASIDE,
    BODY,
    CAPTION,
    INK,
    NUMBER,
    STRONG,
    TITLE,
    Setter,
    Style,
    rule,
    sentence,
)
from proofs.pages.sheet_wrong import wrong_marks
from proofs.plan.outcomes import Outcome, Step
from proofs.plan.planning import Plan
from proofs.records.job import Job

VERDICTS = {
    "met": "Met",
    "at-risk": "At risk",
    "broken": "Breaks a rule",
    "not-understood": "Row not understood",
    "unreadable": "Cannot be read",
    "failed": "Failed",
    "not-done": "Not done",
}
_TOLD_FIRST = ("longest-side", "visible-area", "border", "overlap-left", "reveal-left", "board")
_ROW_HEIGHT, _FULL_HEIGHT = 222.0, 470.0  # room for the drawings of an entry, in points
_MOST_IN_A_ROW = 12  # steps for which half a page is enough
_MOST_LINES = 14  # of one text; report.json holds all of it
_SIDE_BY_SIDE = 2  # as many mounts leave room for the facts beside them


@dataclass(frozen=True, slots=True)
class EntryBlocks:
    """The parts of an entry in their order; a page may end only between two of them."""

    parts: tuple[Block, ...]
    gap: float = 11.0

    @property
    def height(self) -> float:
        """The height of the whole entry."""
        return stacked(self.parts, self.gap).height


def entry_blocks(job: Job, outcome: Outcome, plan: Plan, setter: Setter) -> EntryBlocks:
    """Return an entry set in the width of the sheet."""
    told = reason(outcome)
    steps = outcome.steps or tuple(Step(v, v == plan.chosen) for v in plan.variants)
    head = _head(outcome, told, setter)
    if len(steps) <= _SIDE_BY_SIDE:
        mounts = _mounts(outcome, plan, steps, setter, setter.span(2))
        facts = _facts(job, outcome, plan, setter, 2).indented(2 * setter.pitch)
        body = Block(max(mounts.height, facts.height), mounts.marks + facts.marks)
        return EntryBlocks((head, body, *_also(outcome, told, setter)))
    mounts = _mounts(outcome, plan, steps, setter, setter.width)
    facts = _facts(job, outcome, plan, setter, 4)
    return EntryBlocks((head, mounts, facts, *_also(outcome, told, setter)))


def reason(outcome: Outcome) -> Finding | None:
    """Return the one finding that the verdict rests on: the gravest, else the first rule."""
    grave = [f for f in outcome.findings if f.severity >= Severity.AT_RISK]
    if grave:
        return max(grave, key=lambda f: f.severity)
    for code in _TOLD_FIRST:
        for finding in outcome.findings:
            if finding.code == code:
                return finding
    return None


def verdict_block(outcome: Outcome, told: Finding | None, setter: Setter) -> Block:
    """Return the verdict in the first column, and its reason and remedy beside it."""
    grave = outcome.status != "met"
    words = [setter.paragraph(VERDICTS[outcome.status], ALARM if grave else STRONG, _word(setter))]
    if outcome.status == "broken":
        note = "printed all the same" if outcome.is_printed else "not printed"
        words.append(setter.paragraph(note, ALARM, _word(setter)))
    sign = _sign(grave)
    verdict = stacked(words).indented(_SIGN)
    width = setter.span(3)
    text = sentence(told.message) if told else _without_finding(outcome)
    lines = [setter.paragraph(text, BODY, width, most=_MOST_LINES)]
    if told and told.remedy:
        lines.append(
            setter.paragraph(f"To mend it: {told.remedy.text}", ASIDE, width, most=_MOST_LINES)
        )
    beside_it = stacked(lines).indented(setter.pitch)
    height = max(verdict.height, beside_it.height)
    return Block(height, (sign, *verdict.marks, *beside_it.marks))


_SIGN = 9.0


def _word(setter: Setter) -> float:
    return setter.column - _SIGN


def _sign(grave: bool) -> Shape:
    """A small full square for what needs a hand, a thin bar for what does not."""
    if grave:
        return rectangle(0, 3.1, 5.2, 5.2, ACCENT)
    return rectangle(0, 5.3, 5.2, 0.9, INK)


def _without_finding(outcome: Outcome) -> str:
    if outcome.status == "not-done":
        return "The run ended before this entry was made."
    return "No rule was checked."


def _head(outcome: Outcome, told: Finding | None, setter: Setter) -> Block:
    """Verdict, then number, title and category."""
    return stacked(
        [_topped(verdict_block(outcome, told, setter), setter), name_block(outcome, setter)], 7
    )


def _topped(block: Block, setter: Setter) -> Block:
    """The block below a hairline."""
    return stacked([rule(setter.width), block], 6)


def name_block(outcome: Outcome, setter: Setter) -> Block:
    """Return number, title and category."""
    entry = outcome.entry
    number = setter.paragraph(entry.number, NUMBER, setter.column, most=3)
    title = [setter.paragraph(entry.title, TITLE, setter.span(3), most=12)]
    if entry.category:
        title.append(setter.paragraph(entry.category, ASIDE, setter.span(3), most=3))
    name = stacked(title, 1).indented(setter.pitch)
    return Block(max(number.height, name.height), number.marks + name.marks)


def _mounts(
    outcome: Outcome, plan: Plan, steps: Sequence[Step], setter: Setter, width: float
) -> Block:
    """The mounts of all steps in rows, each with its letter, and the scale in words."""
    board = plan.layout.board
    room = _ROW_HEIGHT if len(steps) <= _MOST_IN_A_ROW else _FULL_HEIGHT
    scale = fitting_scale(board, len(steps), width, room)
    drawn = board.width.points / scale
    cells = [_cell(outcome, plan, step, scale, setter) for step in steps]
    wrong = wrong_marks(setter, plan, scale, outcome.findings)
    cells[0] = Block(cells[0].height, cells[0].marks + wrong)
    columns = max(1, per_row(board, scale, width))
    rows = [
        beside(cells[start : start + columns], drawn + GAP)
        for start in range(0, len(cells), columns)
    ]
    words = f"Drawn at 1:{scale}; 1 in on this page = {scale} in of board"
    return stacked([stacked(rows, 8), setter.paragraph(words, CAPTION, width)], 4)


def _cell(outcome: Outcome, plan: Plan, step: Step, scale: int, setter: Setter) -> Block:
    """One mount with its step's letter and density below; a bar marks the chosen one."""
    mount = mount_drawing(plan, scale, step.mockup)
    width = plan.layout.board.width.points / scale
    bar: tuple[Mark, ...] = (rectangle(0, 2.2, width, 1.4, INK),) if step.is_chosen else ()
    letter = setter.paragraph(step.variant.step, STRONG, width)
    start = setter.wide(step.variant.step, STRONG) + 5
    density = signed(step.variant.density).replace("-", "−")
    style, words = (STRONG if step.is_chosen else BODY), f"{density} D{_standing(outcome, step)}"
    said = setter.paragraph(words, style, width - start, most=2).indented(start)
    label = Block(max(letter.height, said.height), letter.marks + said.marks)
    return stacked([mount, Block(3.6, bar), label], 1)


def _standing(outcome: Outcome, step: Step) -> str:
    """What became of a step, in words."""
    if step.is_chosen:
        return ", chosen"
    undecided = not any(s.is_chosen for s in outcome.steps)
    if undecided and step.variant.is_plain and outcome.is_printed:
        return ", printed while undecided"
    return ""


def _facts(job: Job, outcome: Outcome, plan: Plan, setter: Setter, columns: int) -> Block:
    facts = facts_columns(job, outcome, plan, columns=columns)
    return beside([facts_block(setter, column) for column in facts], setter.pitch)


def _also(outcome: Outcome, told: Finding | None, setter: Setter) -> tuple[Block, ...]:
    """All else that was found and is not met, a block each."""
    found = [f for f in outcome.findings if f is not told and f.severity > Severity.MET]
    return tuple(_also_one(setter, finding) for finding in found)


def _also_one(setter: Setter, finding: Finding) -> Block:
    style: Style = ALARM if finding.severity >= Severity.AT_RISK else ASIDE
    word = setter.paragraph(finding.severity.word.replace("-", " "), style, setter.column)
    text = sentence(finding.message)
    if finding.remedy:
        text += f". To mend it: {finding.remedy.text}"
    said = setter.paragraph(text, BODY, setter.span(3), most=_MOST_LINES)
    return Block(max(word.height, said.height), (*word.marks, *said.indented(setter.pitch).marks))
