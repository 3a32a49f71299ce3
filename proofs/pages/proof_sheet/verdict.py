"""The verdict on an entry in words, its name, and what else was found."""

from proofs.findings import Finding, Remedy, Severity, Status
from proofs.pages.drawing import Block, Shape, rectangle, stacked
from proofs.pages.typography import (
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
    sentence,
)
from proofs.plan.checks.outcomes import Outcome

VERDICTS = {
    Status.MET: "Met",
    Status.AT_RISK: "At risk",
    Status.BROKEN: "Breaks a rule",
    Status.NOT_UNDERSTOOD: "Row not understood",
    Status.UNREADABLE: "Cannot be read",
    Status.FAILED: "Failed",
    Status.NOT_DONE: "Not done",
}
_TOLD_FIRST = ("longest-side", "visible-area", "border", "overlap-left", "reveal-left", "board")
_MOST_LINES = 14  # of one text; report.json holds all of it
_CAPTION_DROP = 1.5  # brings the small words onto the baseline of the category
_SIGN = 9.0  # the width kept for the sign before a verdict


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
    grave = outcome.status != Status.MET
    words = [setter.paragraph(VERDICTS[outcome.status], ALARM if grave else STRONG, _word(setter))]
    if outcome.status == Status.BROKEN:
        note = "printed all the same" if outcome.is_printed else "not printed"
        words.append(setter.paragraph(note, ALARM, _word(setter)))
    sign = _sign(grave)
    verdict = stacked(words).indented(_SIGN)
    width = setter.span(3)
    text = sentence(told.message) if told else "No rule was checked."
    if outcome.status == Status.NOT_DONE:
        told, text = None, "The run ended before this entry was made."
    lines = [setter.paragraph(text, BODY, width, most=_MOST_LINES)]
    if told and told.remedy:
        lines.append(
            setter.paragraph(f"To mend it: {told.remedy.text}", ASIDE, width, most=_MOST_LINES)
        )
    beside_it = stacked(lines).indented(setter.pitch)
    height = max(verdict.height, beside_it.height)
    return Block(height, (sign, *verdict.marks, *beside_it.marks))


def _word(setter: Setter) -> float:
    return setter.column - _SIGN


def _sign(grave: bool) -> Shape:
    """A small full square for what needs a hand, a thin bar for what does not."""
    if grave:
        return rectangle(0, 3.1, 5.2, 5.2, ACCENT)
    return rectangle(0, 5.3, 5.2, 0.9, INK)


def name_block(outcome: Outcome, setter: Setter, aside: str = "") -> Block:
    """Return number, title and category; ``aside`` stands small at the category's right."""
    entry = outcome.entry
    number = setter.paragraph(entry.number, NUMBER, setter.column, most=3)
    title = [setter.paragraph(entry.title, TITLE, setter.span(3), most=12)]
    if entry.category or aside:
        category = setter.paragraph(entry.category, ASIDE, setter.span(2), most=3)
        words = setter.paragraph(aside, CAPTION, setter.column).indented(2 * setter.pitch)
        height = max(category.height, words.height)
        title.append(Block(height, (*category.marks, *words.at(0, _CAPTION_DROP))))
    name = stacked(title, 1).indented(setter.pitch)
    return Block(max(number.height, name.height), number.marks + name.marks)


def also_blocks(outcome: Outcome, told: Finding | None, setter: Setter) -> tuple[Block, ...]:
    """Return all else that was found and is not met, a block each."""
    found = [f for f in outcome.findings if f is not told and f.severity > Severity.MET]
    said = told.remedy if told else None
    return tuple(_also_one(setter, finding, said) for finding in found)


def _also_one(setter: Setter, finding: Finding, said_before: Remedy | None) -> Block:
    """One finding; the remedy that stands at the top of the entry is not told again."""
    style: Style = ALARM if finding.severity >= Severity.AT_RISK else ASIDE
    word = finding.severity.word.replace("-", " ").capitalize()
    head = setter.paragraph(word, style, setter.column)
    text = sentence(finding.message)
    if finding.remedy and finding.remedy != said_before:
        text += f". To mend it: {finding.remedy.text}"
    said = setter.paragraph(text, BODY, setter.span(3), most=_MOST_LINES)
    return Block(max(head.height, said.height), (*head.marks, *said.indented(setter.pitch).marks))
