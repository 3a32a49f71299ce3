"""The verdict on an entry in words, and its other findings."""

from proofs.findings import Finding, Severity, Status
from proofs.pages.drawing import Block, Shape, across, rectangle
from proofs.pages.typography import (
    ACCENT,
    ALARM,
    BODY,
    FIGURE_ALARM,
    FIGURE_STRONG,
    INK,
    STRONG,
    Setter,
)
from proofs.pages.wording import sentence
from proofs.plan.checks.outcomes import Outcome

_VERDICTS = {
    Status.MET: "Met",
    Status.AT_RISK: "At risk",
    Status.BROKEN: "Breaks a rule",
    Status.NOT_UNDERSTOOD: "Row not understood",
    Status.UNREADABLE: "Cannot be read",
    Status.FAILED: "Failed",
    Status.NOT_DONE: "Not done",
}
_FIRST = ("longest-side", "visible-area", "border", "overlap-left", "reveal-left", "board")
_MOST_LINES = 14  # of one text; report.json holds all of it
_LEVEL = 2.1  # brings the words of the reason onto the line of the verdict
_SIGN = 11.0  # the width kept for the sign before a verdict


def ruling_of(outcome: Outcome) -> Finding | None:
    """Return the finding that decides the verdict: the gravest, else the first rule."""
    grave = [f for f in outcome.findings if f.severity >= Severity.AT_RISK]
    if grave:
        return max(grave, key=lambda f: f.severity)
    for code in _FIRST:
        for finding in outcome.findings:
            if finding.code == code:
                return finding
    return None


def verdict_words(outcome: Outcome) -> str:
    """Return the verdict in a word or two, and whether the entry is printed if that is in doubt."""
    words = _VERDICTS[outcome.status]
    if outcome.status == Status.BROKEN:
        words += ", printed anyway" if outcome.is_printed else ", not printed"
    return words


def is_grave(outcome: Outcome) -> bool:
    """Return whether an entry needs a decision before it can be printed."""
    return outcome.status != Status.MET


def reason_and_fix(outcome: Outcome) -> tuple[str, str]:
    """Return the reason for a verdict and what to do about it, blank if nothing is to be done."""
    ruling = ruling_of(outcome)
    if outcome.status == Status.NOT_DONE:
        return "The run ended before this entry was made.", "run the command again"
    if ruling is None:
        return "No rule was checked.", ""
    return sentence(ruling.message), ruling.remedy


def verdict_block(outcome: Outcome, setter: Setter, *, most: int = _MOST_LINES) -> Block:
    """Return the verdict in the first column, and its reason and remedy beside it.

    A text takes at most ``most`` lines.
    """
    grave = is_grave(outcome)
    words, (reason, fix) = verdict_words(outcome), reason_and_fix(outcome)
    lines = [(reason, BODY)] + ([(f"Fix: {fix}", STRONG)] if fix else [])
    columns = [
        setter.paragraph(words, FIGURE_ALARM if grave else FIGURE_STRONG, setter.column - _SIGN),
        setter.stack(lines, setter.span(3), most=most).lowered(_LEVEL),
    ]
    body = across(columns, (_SIGN, setter.pitch))
    return Block(body.height, (verdict_sign(grave=grave), *body.marks))


def verdict_sign(*, grave: bool) -> Shape:
    """Return a small square for what needs attention, a thin bar for what does not.

    It stands before words in a FIGURE style.
    """
    if grave:
        return rectangle(0, 4.6, 6.2, 6.2, ACCENT)
    return rectangle(0, 7.4, 6.2, 1.0, INK)


def further_blocks(outcome: Outcome, setter: Setter, width: float) -> tuple[Block, ...]:
    """Return all other findings that are not met, one block for each."""
    ruling = ruling_of(outcome)
    found = [f for f in outcome.findings if f is not ruling and f.severity > Severity.MET]
    given = ruling.remedy if ruling else ""
    return tuple(_further(setter, finding, given, width) for finding in found)


def _further(setter: Setter, finding: Finding, given: str, width: float) -> Block:
    """One finding, without its remedy if the top of the entry already gives it."""
    style = ALARM if finding.severity >= Severity.AT_RISK else STRONG
    word = finding.severity.word.replace("-", " ").capitalize()
    text = sentence(finding.message)
    if finding.remedy and finding.remedy != given:
        text += f". Fix: {finding.remedy}"
    return setter.stack([(word, style), (text, BODY)], width, most=_MOST_LINES)
