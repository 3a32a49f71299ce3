"""The verdict on an entry in words, and its other findings."""

from proofs.findings import Finding, Severity, Status
from proofs.pages.drawing import Block, Shape, across, rectangle
from proofs.pages.headings import captioned
from proofs.pages.typography import ACCENT, ALARM, ASIDE, BODY, INK, STRONG, Setter
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
_SIGN = 9.0  # the width kept for the sign before a verdict


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


def verdict_block(outcome: Outcome, ruling: Finding | None, setter: Setter) -> Block:
    """Return the verdict in the first column, and its reason and remedy beside it."""
    grave = outcome.status != Status.MET
    words = [(_VERDICTS[outcome.status], ALARM if grave else STRONG)]
    if outcome.status == Status.BROKEN:
        words.append(("printed anyway" if outcome.is_printed else "not printed", ALARM))
    text = sentence(ruling.message) if ruling else "No rule was checked."
    if outcome.status == Status.NOT_DONE:
        ruling, text = None, "The run ended before this entry was made."
    lines = [(text, BODY)]
    if ruling and ruling.remedy:
        lines.append((f"Fix: {ruling.remedy}", ASIDE))
    columns = [
        setter.stack(words, setter.column - _SIGN),
        setter.stack(lines, setter.span(3), most=_MOST_LINES),
    ]
    body = across(columns, (_SIGN, setter.pitch))
    return Block(body.height, (_sign(grave), *body.marks))


def _sign(grave: bool) -> Shape:
    """A small square for what needs attention, a thin bar for what does not."""
    if grave:
        return rectangle(0, 3.1, 5.2, 5.2, ACCENT)
    return rectangle(0, 5.3, 5.2, 0.9, INK)


def further_blocks(outcome: Outcome, ruling: Finding | None, setter: Setter) -> tuple[Block, ...]:
    """Return all other findings that are not met, one block for each."""
    found = [f for f in outcome.findings if f is not ruling and f.severity > Severity.MET]
    given = ruling.remedy if ruling else ""
    return tuple(_further(setter, finding, given) for finding in found)


def _further(setter: Setter, finding: Finding, given: str) -> Block:
    """One finding, without its remedy if the top of the entry already gives it."""
    style = ALARM if finding.severity >= Severity.AT_RISK else ASIDE
    word = finding.severity.word.replace("-", " ").capitalize()
    text = sentence(finding.message)
    if finding.remedy and finding.remedy != given:
        text += f". Fix: {finding.remedy}"
    return captioned((word, style), [(text, BODY)], setter, most=_MOST_LINES)
