"""The check of an entry, and of all entries of a run: one finding for each rule in force."""

import datetime
from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction

from proofs.findings import Finding, Severity, Status
from proofs.lengths import Edge, Size
from proofs.plan.checks.cheaper_sheets import CheaperSheet, cheaper_sheets
from proofs.plan.checks.hidden_checks import hidden_findings
from proofs.plan.checks.mount_checks import met, mount_findings
from proofs.plan.checks.remedies import with_remedies
from proofs.plan.checks.size_checks import size_findings
from proofs.plan.entry.planning import Plan
from proofs.records.cells import Orientation, folded
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.rules import Rules

# The ppi below which a print looks soft, the worst first; common practice, no source.
_SOFT_BELOW = (
    (150, Severity.WARNING, "the print will look soft, seen close up"),
    (180, Severity.WARNING, "the print may look soft, seen close up"),
    (240, Severity.NOTE, "fine detail may look a little soft"),
)
_RULES_DAYS = 365

CHEAPER_SHEET = "cheaper-sheet"
"""The code of the note on a cheaper sheet."""


def status_of(findings: Iterable[Finding]) -> Status:
    """Return the status that findings give an entry whose photograph can be read."""
    worst = max((f.severity for f in findings), default=Severity.MET)
    if worst is Severity.UNREADABLE:
        return Status.UNREADABLE
    return Status(worst.word) if worst >= Severity.AT_RISK else Status.MET


def check(job: Job, plan: Plan) -> tuple[Finding, ...]:
    """Return all findings on one entry by itself, the most serious first."""
    found = _own_findings(job, plan)
    ordered = plan.parts[0].sheet
    cheaper = cheaper_sheet(job, plan, ordered, found) if ordered else None
    return by_severity([*found, cheaper] if cheaper else found)


def cheaper_sheet(
    job: Job, plan: Plan, ordered: Size, findings: Sequence[Finding]
) -> Finding | None:
    """Return a note on a cheaper sheet in place of the one ordered, or None if there is none.

    With it every rule stays met, and nothing is warned of that is not among ``findings``, those on
    the plan as it is.
    """
    if status_of(findings) is not Status.MET or not plan.entry.copies:
        return None
    known = {finding.code for finding in findings if finding.severity >= Severity.WARNING}
    for other in cheaper_sheets(job, plan, ordered):
        found = _own_findings(job, other.plan) if other.cell else findings
        if {finding.code for finding in found if finding.severity >= Severity.WARNING} <= known:
            return _cheaper(other, ordered, job.lab.currency)
    return None


def _cheaper(other: CheaperSheet, ordered: Size, currency: str) -> Finding:
    saving = f"{other.saving:.2f} {currency}".rstrip()
    message = (
        f"an image of {other.image} fits {other.sheet}, a cheaper sheet than {ordered}: it saves"
        f" {saving} a print"
    )
    remedy = f"size: {other.cell}" if other.cell else "deliver it with --cheapest"
    figures = f"{other.saving:.2f}", None, currency or None
    return Finding(CHEAPER_SHEET, Severity.NOTE, message, *figures, remedy)


def _own_findings(job: Job, plan: Plan) -> list[Finding]:
    """All findings on one entry but those on cheaper sheets."""
    found = [*with_remedies(job, plan, size_findings(job, plan))]
    notes = dict.fromkeys(note for part in plan.parts for note in part.facts.notes)
    found += [
        *notes,
        *_resolution(plan),
        *_sheet(job, plan),
        *_edges(job, plan),
        *_turned(plan),
        *hidden_findings(plan),
    ]
    if job.rules:
        found += mount_findings(job.rules, plan)
    return found


def by_severity(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings, the most serious first, otherwise in their order."""
    return tuple(sorted(findings, key=lambda f: -f.severity))


def _resolution(plan: Plan) -> list[Finding]:
    # Sizes are rounded to whole nanometres: without rounding, 240 ppi could come out just below.
    ppi = round(min(part.own_ppi for part in plan.parts), 3)
    words = f"{ppi:.0f} pixels per inch at print size"
    for limit, severity, more in _SOFT_BELOW:
        if ppi < limit:
            message = f"{words}, below {limit}: {more}"
            return [Finding("resolution", severity, message, round(ppi, 1), float(limit), "ppi")]
    return [met("resolution", words, round(ppi, 1), float(_SOFT_BELOW[-1][0]), unit="ppi")]


def _sheet(job: Job, plan: Plan) -> list[Finding]:
    sheets = [part.sheet for part in plan.parts]
    if all(sheets) or not job.lab.sheets:
        return []
    needed = plan.layout.pictures[sheets.index(None)].paper_needed
    message = f"no paper sheet of {job.lab.name!r} is large enough: it needs {needed} and a margin"
    return [Finding("sheet", Severity.WARNING, message, str(needed))]


def _edges(job: Job, plan: Plan) -> list[Finding]:
    """What the lab may take off prints to the edge: by trimming, and by enlarging too much."""
    found, lab = [], job.lab
    for part, edge in ((part, part.edge) for part in plan.parts if part.edge):
        lost = lab.edge_loss + edge.sheet.longest * Fraction(str(lab.scale_error)) * Fraction(1, 2)
        which = f"picture {plan.parts.index(part) + 1} is " if len(plan.parts) > 1 else ""
        message = (
            f"{which}printed to the edge of {edge.sheet}: the lab may take up to {lost} off each"
            " side of the picture, so keep what matters away from its edges"
        )
        found.append(Finding("edges", Severity.NOTE, message, lost.mm, None, "mm"))
    return found


def _turned(plan: Plan) -> list[Finding]:
    """A board asked for one way up with a picture turned the other way is probably a slip."""
    entry, turned = plan.entry, [part for part in plan.parts if part.top_edge != Edge.TOP]
    if entry.board is None or len(plan.parts) > 1 or not turned:
        return []
    size = turned[0].image.size
    if size.width == size.height:
        return []
    hangs = Orientation.PORTRAIT if size.is_portrait else Orientation.LANDSCAPE
    if hangs == entry.board:
        return []
    message = f"a {entry.board} board, but top_edge turns the picture to {hangs}"
    remedy = f"board: {hangs}, or another top_edge"
    return [
        Finding("board-against-turn", Severity.WARNING, message, hangs, entry.board, None, remedy)
    ]


def run_findings(
    job: Job, plans: Sequence[Plan], entries: Sequence[Entry]
) -> dict[str, tuple[Finding, ...]]:
    """Return, by entry number, the findings that depend on the other entries of a run.

    ``entries`` are all entries of the run: one whose photograph cannot be read still counts in
    its category.
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
        title, own_files = plan.entry.title, dict.fromkeys(part.file for part in plan.parts)
        mine += [_repeated("file", file) for file in own_files if files[file] > 1]
        if titles[folded(title)] > 1:
            mine.append(_repeated("title", title))
    return {number: tuple(findings) for number, findings in found.items()}


def rules_age(rules: Rules | None, today: datetime.date) -> tuple[str, ...]:
    """Return warnings about rules that were read long ago or whose closing date has passed."""
    if rules is None:
        return ()
    warnings = []
    if rules.read_on and (today - rules.read_on).days > _RULES_DAYS:
        warnings.append(
            f"rules {rules.name!r} were read on {rules.read_on}, over twelve months ago:"
            " read them again and set read_on"
        )
    if rules.closing_date and rules.closing_date < today:
        warnings.append(f"the closing date of {rules.name!r}, {rules.closing_date}, has passed")
    return tuple(warnings)


def _count(category: str, count: int, most: int) -> Finding:
    if not category:
        message = f"no category is named; at most {most} entries are allowed in each"
        return Finding("category-count", Severity.NOTE, message, None, most, "entries")
    if count <= most:
        return met("category-count", f"{count} in {category!r}, at most {most}", count, most)
    message = f"{count} in {category!r}, but at most {most} are allowed"
    remedy = f"leave out {count - most} of them, or move them to another category"
    return Finding("category-count", Severity.BROKEN, message, count, most, "entries", remedy)


def _repeated(kind: str, value: str) -> Finding:
    message = f"the {kind} {value!r} is entered twice"
    return Finding(f"same-{kind}", Severity.WARNING, message, value)
