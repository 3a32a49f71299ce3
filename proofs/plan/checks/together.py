"""What is found only when all entries of a run are seen together."""

import datetime
from collections import Counter
from collections.abc import Sequence

from proofs.findings import Finding, Remedy, Severity
from proofs.plan.checks.rules_checked import folded, met
from proofs.plan.entry.planning import Plan
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.rules import Rules

_RULES_DAYS = 365


def together_findings(
    job: Job, plans: Sequence[Plan], entries: Sequence[Entry]
) -> dict[str, tuple[Finding, ...]]:
    """Return, by entry number, what is found only when all entries are seen together.

    ``entries`` are all of the run: one whose photograph cannot be read still takes its place
    in a category.
    """
    found: dict[str, list[Finding]] = {plan.entry.number: [] for plan in plans}
    most = job.rules.most_per_category if job.rules else None
    counts = Counter(folded(entry.category) for entry in entries)
    files = Counter(part.file for plan in plans for part in plan.parts)
    titles = Counter(folded(plan.entry.title) for plan in plans)
    for plan in plans:
        mine = found[plan.entry.number]
        if most is not None:
            mine.append(_count(plan.entry.category, counts[folded(plan.entry.category)], most))
        mine += [_twice("same-file", "file", f) for f in _files(plan) if files[f] > 1]
        if titles[folded(plan.entry.title)] > 1:
            mine.append(_twice("same-title", "title", plan.entry.title))
    return {number: tuple(findings) for number, findings in found.items()}


def _files(plan: Plan) -> list[str]:
    """The files of an entry, each once."""
    return list(dict.fromkeys(part.file for part in plan.parts))


def rules_age(rules: Rules | None, today: datetime.date) -> tuple[str, ...]:
    """Return what to say about rules read long ago, or past their closing date."""
    if rules is None:
        return ()
    said = []
    if rules.read_on and (today - rules.read_on).days > _RULES_DAYS:
        said.append(
            f"rules {rules.name!r} were read on {rules.read_on}, over twelve months ago:"
            " read them again and set read_on"
        )
    if rules.closing_date and rules.closing_date < today:
        said.append(f"the closing date of {rules.name!r}, {rules.closing_date}, has passed")
    return tuple(said)


def _count(category: str, count: int, most: int) -> Finding:
    if not category:
        message = f"no category is named; at most {most} entries are allowed in each"
        return Finding("category-count", Severity.NOTE, message, None, most, "entries")
    if count <= most:
        return met("category-count", f"{count} in {category!r}, at most {most}", count, most)
    message = f"{count} in {category!r}, but at most {most} are allowed"
    remedy = Remedy(f"leave out {count - most} of them, or move them to another category")
    return Finding("category-count", Severity.BROKEN, message, count, most, "entries", remedy)


def _twice(code: str, what: str, value: str) -> Finding:
    places = "more than one entry" if what == "title" else "more than one place"
    message = f"the {what} {value!r} stands in {places}"
    return Finding(code, Severity.WARNING, message, value)
