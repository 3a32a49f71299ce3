"""What stands round the entries of the proof sheet: masthead, what to mend first, the rules."""

import datetime
from collections.abc import Sequence

from proofs.findings import Status
from proofs.pages.drawing import Block, side_by_side, stacked
from proofs.pages.proof_sheet.entry import EntryBlocks
from proofs.pages.proof_sheet.verdict import name_block, reason, verdict_block
from proofs.pages.typography import (
    ASIDE,
    BODY,
    CAPTION,
    DISPLAY,
    TITLE,
    Setter,
    Style,
    rule,
    sentence,
)
from proofs.plan.checks.outcomes import Outcome
from proofs.records.job import Job
from proofs.records.rules import Rules

_COUNTED = {
    Status.MET: "met",
    Status.AT_RISK: "at risk",
    Status.BROKEN: "against a rule",
    Status.NOT_UNDERSTOOD: "not understood",
    Status.UNREADABLE: "unreadable",
    Status.FAILED: "failed",
    Status.NOT_DONE: "not done",
}
IN_TROUBLE = (Status.NOT_UNDERSTOOD, Status.UNREADABLE, Status.FAILED)
_LINE_GAP = 5.0
_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def masthead(job: Job, outcomes: Sequence[Outcome], setter: Setter) -> Block:
    """Return the head of the first page: what this is, by which rules, and how it went."""
    half = setter.span(2)
    name = setter.paragraph("Proof sheet", DISPLAY, half)
    counts = stacked(
        [
            setter.paragraph(_entries(len(outcomes)), BODY, half),
            setter.paragraph(_counts(outcomes), ASIDE, half),
        ]
    )
    rules = stacked(_rules_lines(job.rules, setter, half))
    left = stacked([name, counts], 5)
    right = rules.at(2 * setter.pitch, 9)
    return Block(max(left.height, rules.height + 9), (*left.marks, *right))


def _rules_lines(rules: Rules | None, setter: Setter, width: float) -> list[Block]:
    caption = setter.paragraph("Rules", CAPTION, width)
    if rules is None:
        return [caption, setter.paragraph("None were checked.", BODY, width)]
    lines = [caption, setter.paragraph(rules.title, BODY, width)]
    lines.append(setter.paragraph(f"Edition: {edition(rules)}", ASIDE, width))
    return lines


def edition(rules: Rules) -> str:
    """Return the edition of some rules and when they were read, for people."""
    parts = [rules.edition] if rules.edition else []
    parts.append(f"read on {in_words(rules.read_on)}" if rules.read_on else "reading date unknown")
    if rules.closing_date:
        parts.append(f"closing date {in_words(rules.closing_date)}")
    return "; ".join(parts)


def in_words(day: datetime.date) -> str:
    """Return a date that nobody reads the wrong way round.

    >>> in_words(datetime.date(2026, 6, 1))
    '1 June 2026'
    """
    return f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def _entries(count: int) -> str:
    return "1 entry" if count == 1 else f"{count} entries"


def _counts(outcomes: Sequence[Outcome]) -> str:
    """How many entries have which verdict, in words."""
    found = [outcome.status for outcome in outcomes]
    counted = [(found.count(status), _COUNTED[status]) for status in Status]
    return " · ".join(f"{count} {words}" for count, words in counted if count)


def trouble_blocks(outcome: Outcome, setter: Setter) -> EntryBlocks:
    """Return an entry that has no mount to show, with its reason and remedy."""
    told = reason(outcome)
    top = stacked([rule(setter.width), verdict_block(outcome, told, setter)], 6)
    return EntryBlocks((stacked([top, name_block(outcome, setter), _where(outcome, setter)], 4),))


def _where(outcome: Outcome, setter: Setter) -> Block:
    entry = outcome.entry
    words = f"File {entry.file}" if entry.file else "No file is named"
    if entry.line is not None:
        words += f"; line {entry.line} of the entries file"
    return setter.paragraph(words, ASIDE, setter.span(3), most=3).indented(setter.pitch)


def heading(text: str, setter: Setter) -> Block:
    """Return a heading between the parts of the sheet."""
    return setter.paragraph(text, TITLE, setter.width)


def closing_blocks(job: Job, version: str, setter: Setter) -> EntryBlocks:
    """Return the end of the sheet: the rules with their reminders, and how it was made."""
    head = stacked([rule(setter.width), heading("Rules and reminders", setter)], 7)
    blocks: list[Block] = []
    if job.rules is None:
        blocks.append(_told(setter, "Rules", "None were checked."))
    else:
        rules = job.rules
        blocks.append(_told(setter, "Rules", rules.title))
        blocks.append(_told(setter, "Edition", sentence(edition(rules))))
        blocks.append(_told(setter, "Source", rules.source))
        if rules.link:
            blocks.append(_told(setter, "Link", rules.link))
        captions = ("Reminders", *("" for _ in rules.reminders[1:]))
        blocks += [_told(setter, c, t) for c, t in zip(captions, rules.reminders, strict=False)]
    blocks += [_told(setter, "Mount", mount.title) for mount in job.mounts[:1]]
    blocks += [_told(setter, "", mount.title) for mount in job.mounts[1:]]
    blocks.append(_told(setter, "Paper", job.paper.title))
    blocks.append(_told(setter, "Lab", job.lab.title))
    blocks.append(_told(setter, "Cutter", job.cutter.title))
    blocks.append(_told(setter, "Made with", f"proofs {version}"))
    return EntryBlocks((head,), _LINE_GAP, tuple(blocks), _LINE_GAP)


def _told(setter: Setter, caption: str, text: str) -> Block:
    """A caption in the first column, the text beside it."""
    quiet: Style = ASIDE
    head = setter.paragraph(caption, quiet, setter.column)
    return side_by_side([head, setter.paragraph(text, BODY, setter.span(3), most=40)], setter.pitch)
