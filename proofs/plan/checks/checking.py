"""What the rules, the mount and the lab say to a plan: one finding for every rule in force."""

from collections.abc import Iterable

from proofs.findings import Finding, Remedy, Severity, Status
from proofs.lengths import Edge
from proofs.plan.checks.remedies import with_remedies
from proofs.plan.checks.rules_checked import met, mount_findings
from proofs.plan.checks.size_checks import size_findings
from proofs.plan.entry.planning import Plan
from proofs.records.cells import Orientation
from proofs.records.job import Job

_PPI_WARNINGS = (150, 180, 240)  # common practice, no source


def status_of(findings: Iterable[Finding]) -> Status:
    """Return the status that findings give an entry whose photograph can be read."""
    worst = max((f.severity for f in findings), default=Severity.MET)
    if worst is Severity.UNREADABLE:
        return Status.UNREADABLE
    return Status(worst.word) if worst >= Severity.AT_RISK else Status.MET


def check(job: Job, plan: Plan) -> tuple[Finding, ...]:
    """Return every finding on one entry by itself, the gravest first."""
    found = [*with_remedies(job, plan, size_findings(job, plan))]
    notes = dict.fromkeys(note for part in plan.parts for note in part.facts.notes)
    found += [*notes, *_resolution(plan), *_sheet(job, plan), *_turned(plan)]
    if job.rules:
        found += mount_findings(job.rules, plan)
    return gravest_first(found)


def gravest_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings, the gravest first, else in the order they came."""
    return tuple(sorted(findings, key=lambda f: -f.severity))


def _resolution(plan: Plan) -> list[Finding]:
    # Sizes are whole nanometres: exactly 240 must not come out a hair less.
    ppi = round(min(part.own_ppi for part in plan.parts), 3)
    words = f"{ppi:.0f} pixels an inch at print size"
    strong, warn, note = _PPI_WARNINGS
    if ppi >= note:
        return [met("resolution", words, round(ppi, 1), float(note), "ppi")]
    severity, limit, more = Severity.NOTE, note, "fine detail may look a little soft"
    if ppi < strong:
        severity, limit, more = Severity.WARNING, strong, "the print will look soft, seen close up"
    elif ppi < warn:
        severity, limit, more = Severity.WARNING, warn, "the print may look soft, seen close up"
    message = f"{words}, below {limit}: {more}"
    return [Finding("resolution", severity, message, round(ppi, 1), float(limit), "ppi")]


def _sheet(job: Job, plan: Plan) -> list[Finding]:
    sheets = [part.sheet for part in plan.parts]
    if all(sheets) or not job.lab.sheets:
        return []
    needed = plan.layout.pictures[sheets.index(None)].paper_needed
    message = f"no stock sheet of {job.lab.name!r} carries it: it needs {needed} and a margin"
    return [Finding("sheet", Severity.WARNING, message, str(needed))]


def _turned(plan: Plan) -> list[Finding]:
    """A board asked for one way and a picture turned the other are likely to be a slip."""
    entry, turned = plan.entry, [part for part in plan.parts if part.top_edge != Edge.TOP]
    if entry.board is None or len(plan.parts) > 1 or not turned:
        return []
    size = turned[0].image.size
    if size.width == size.height:
        return []
    lies = Orientation.PORTRAIT if size.is_portrait else Orientation.LANDSCAPE
    if lies == entry.board:
        return []
    message = f"a {entry.board} board for a picture that its top edge turns to {lies}"
    remedy = Remedy(f"board: {lies}, or another top_edge")
    return [
        Finding("board-against-turn", Severity.WARNING, message, lies, entry.board, None, remedy)
    ]
