"""What the proof sheet says of the whole run: how it went, by which rules, how it was made."""

from collections.abc import Iterator, Sequence
from itertools import chain, repeat

from proofs import __version__
from proofs.findings import Status
from proofs.pages.drawing import Block, across, side_by_side, stacked
from proofs.pages.flow import FlowPart
from proofs.pages.typography import (
    ASIDE,
    BODY,
    CAPTION,
    DISPLAY,
    TITLE,
    Setter,
    rule,
)
from proofs.pages.wording import counted, in_words, sentence
from proofs.plan.checks.outcomes import Outcome
from proofs.records.job import Job
from proofs.records.rules import Rules

_NO_RULES = "No rules were checked."
_COUNTED = {
    Status.MET: "met",
    Status.AT_RISK: "at risk",
    Status.BROKEN: "breaking a rule",
    Status.NOT_UNDERSTOOD: "not understood",
    Status.UNREADABLE: "unreadable",
    Status.FAILED: "failed",
    Status.NOT_DONE: "not done",
}
_LINE_GAP = 3.0
_DROP = 7.0  # brings the rules down towards the words below the title
_MOST_LINES = 40


def masthead(job: Job, outcomes: Sequence[Outcome], setter: Setter) -> Block:
    """Return the head of the first page: by which rules, and how it went."""
    found = [outcome.status for outcome in outcomes]
    counts = [(found.count(status), _COUNTED[status]) for status in Status]
    lines = (
        (counted(len(outcomes), "entry", "entries"), BODY),
        (" · ".join(f"{count} {words}" for count, words in counts if count), ASIDE),
    )
    rules = [(_NO_RULES, BODY)]
    if job.rules:
        rules = [(job.rules.title, BODY), (f"Edition: {_edition(job.rules)}", ASIDE)]
    half = setter.span(2)
    left = [setter.paragraph("Proof sheet", DISPLAY, half), setter.stack(lines, half, most=4)]
    right = setter.stack([("Rules", CAPTION), *rules], half, gap=1).lowered(_DROP)
    return across([stacked(left, 2), right], (0, 2 * setter.pitch))


def _edition(rules: Rules) -> str:
    """The edition of some rules and when they were read."""
    parts = [rules.edition] if rules.edition else []
    parts.append(f"read on {in_words(rules.read_on)}" if rules.read_on else "reading date unknown")
    if rules.closing_date:
        parts.append(f"closing date {in_words(rules.closing_date)}")
    return "; ".join(parts)


def closing_parts(job: Job, setter: Setter, gap: float) -> Iterator[FlowPart]:
    """Yield the end of the sheet: the rules with their reminders, and how it was made."""
    heading = setter.paragraph("Rules and reminders", TITLE, setter.width)
    yield FlowPart(stacked([rule(setter.width), heading], 7), gap, keeps_next=True)
    *lines, last = _closing_lines(job)
    for caption, text in lines:
        yield _line(caption, text, setter, keeps_next=True)
    yield _line(*last, setter, keeps_next=False)


def _closing_lines(job: Job) -> Iterator[tuple[str, str]]:
    """Captions, blank if they would be repeated, each with its text."""
    rules = job.rules
    if rules is None:
        yield "Rules", _NO_RULES
    else:
        yield "Rules", rules.title
        yield "Edition", sentence(_edition(rules))
        yield "Source", rules.source
        if rules.link:
            yield "Link", rules.link
        yield from zip(chain(["Reminders"], repeat("")), rules.reminders, strict=False)
    titles = (mount.title for mount in job.mounts)
    yield from zip(chain(["Mount"], repeat("")), titles, strict=False)
    yield "Paper", job.paper.title
    yield from (("", f"{name}: {paper.title}") for name, paper in job.lab_papers)
    yield "Lab", job.lab.title
    yield "Cutter", job.cutter.title
    yield "Made with", f"proofs {__version__}"


def _line(caption: str, text: str, setter: Setter, *, keeps_next: bool) -> FlowPart:
    head = setter.paragraph(caption, ASIDE, setter.column)
    words = setter.paragraph(text, BODY, setter.span(3), most=_MOST_LINES)
    return FlowPart(side_by_side([head, words], setter.pitch), _LINE_GAP, keeps_next=keeps_next)
