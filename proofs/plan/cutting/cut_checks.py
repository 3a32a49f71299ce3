"""What speaks against a mount as it is to be cut: rules, what the mat covers, the sheet's edge."""

from collections.abc import Iterable

from proofs.findings import Finding, Severity
from proofs.lengths import ZERO, Length
from proofs.plan.checks.sizes_checked import left_finding, size_findings
from proofs.plan.cutting.recut import HALF, between
from proofs.plan.entry.planning import Plan, Tolerances, tolerances
from proofs.records.job import Job
from proofs.records.mounts import WindowKind

COVER = ("overlap-left", "reveal-left", "gap-left")
_WORDS = {
    WindowKind.OVERLAP: ("overlap-left", "overlap", "the paper's edge may show beside"),
    WindowKind.REVEAL: ("reveal-left", "paper round the image", "the mat may hide"),
    WindowKind.FLOAT: ("gap-left", "gap round the print", "the mat may touch"),
}
_SPOILT = {
    WindowKind.OVERLAP: "the image is {twice} smaller than its opening: paper shows",
    WindowKind.REVEAL: "the mat hides {once} of the image, and no paper is left beside it",
    WindowKind.FLOAT: "the opening is {twice} smaller than the print: the mat lies on it",
}


def cut_findings(job: Job, plan: Plan) -> tuple[Finding, ...]:
    """Return what rules, mat and sheet say to a plan as it is to be cut."""
    found = [f for f in size_findings(job, plan) if f.code not in COVER]
    return (*found, *_cover(plan, tolerances(job, plan)), *_sheet_left(job, plan))


def harm(findings: Iterable[Finding]) -> tuple[int, int]:
    """Return how bad findings are: the worst of them, then all together.

    >>> harm([Finding("a", Severity.MET, ""), Finding("b", Severity.AT_RISK, "")])
    (3, 3)
    """
    found = [int(f.severity) for f in findings if f.severity > Severity.NOTE]
    return max(found, default=0), sum(found)


def _cover(plan: Plan, slack: Tolerances) -> list[Finding]:
    """What the mat hides, or leaves, where it does so least, of all pictures."""
    if not plan.layout.windows:
        return []
    kind = plan.mount.window
    left = min(_left(plan, n) for n in range(len(plan.layout.pictures)))
    code, words, risk = _WORDS[kind]
    if left > ZERO:
        return [left_finding(code, words, risk, left, slack)]
    message = _SPOILT[kind].format(once=-left, twice=-2 * left)
    return [Finding(code, Severity.BROKEN, message, left.mm, 0.0, "mm")]


def _left(plan: Plan, number: int) -> Length:
    picture = plan.layout.pictures[number]
    if plan.mount.window == WindowKind.OVERLAP:
        return picture.hidden
    if picture.paper_edge:
        return between(picture.paper_edge, picture.cuts[-1].limiting).least
    return picture.seen_paper.least


def _sheet_left(job: Job, plan: Plan) -> list[Finding]:
    """Whether each sheet reaches behind the mat where its paper is seen."""
    if plan.mount.window != WindowKind.REVEAL:
        return []
    slack = job.cutter.placing + job.cutter.cut
    behind = min(_behind(plan, n) for n in range(len(plan.parts)))
    left = behind - slack
    if left > ZERO:
        message = f"{behind} of the sheet lies behind the mat; {left} is left after tolerances"
        return [Finding("sheet-left", Severity.MET, message, left.mm, 0.0, "mm")]
    severity = Severity.AT_RISK if behind > ZERO else Severity.BROKEN
    message = f"{behind} of the sheet lies behind the mat, and tolerances take {slack}: its edge"
    return [Finding("sheet-left", severity, f"{message} may show", left.mm, 0.0, "mm")]


def _behind(plan: Plan, number: int) -> Length:
    picture = plan.layout.pictures[number]
    sheet, back = plan.parts[number].sheet or picture.paper_needed, picture.cuts[-1].back.size
    return min(sheet.width - back.width, sheet.height - back.height) * HALF
