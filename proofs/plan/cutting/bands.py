"""The sizes that a finished opening may have: the least for the rules, the most that is safe.

A finished opening has been measured, so its largest size allows for no error of cutting, only for
that of placing the print, and for the lab's scale until the print has been measured. The least
size includes the error of cutting as a reserve, because the organiser's ruler may read less. If
that leaves no size, the least is stated without the reserve, and its reason says so.
"""

from dataclasses import dataclass, replace

from proofs.findings import Finding, Severity
from proofs.lengths import ZERO, Length, Size
from proofs.plan.checks.limits import COVER_LIMITS, LEAST_SIZES, SHEET_LIMIT
from proofs.plan.checks.size_checks import cut_findings
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.openings import innermost, with_windows
from proofs.plan.entry.planning import Plan
from proofs.plan.entry.sizing import Side, last_that
from proofs.records.job import Job

_COVERS = (*COVER_LIMITS.values(), SHEET_LIMIT)
_COVER = {limit.code: limit.reason for limit in _COVERS}
_PAPER_SEEN = tuple(limit.code for limit in _COVERS if limit.larger_opening_helps)


@dataclass(frozen=True, slots=True)
class Band:
    """The least and the most that one side of an opening may measure at the back; None: no limit.

    ``least_why`` and ``most_why`` are the reasons, as the end of a sentence.
    """

    least: Length | None
    least_why: str
    most: Length | None
    most_why: str


def bands(job: Job, plan: Plan, window: int) -> tuple[Band, Band]:
    """Return the bands of the width and the height of one window's innermost opening.

    ``plan`` is on the marks, and so are the limits.
    """
    return _band(job, plan, window, "width"), _band(job, plan, window, "height")


def common_band(found: list[Band]) -> Band:
    """Return the band of the sizes that are in all of these bands."""
    lows = [(b.least, b.least_why) for b in found if b.least is not None]
    highs = [(b.most, b.most_why) for b in found if b.most is not None]
    least, least_why = max(lows, key=lambda low: low[0], default=(None, ""))
    most, most_why = min(highs, key=lambda high: high[0], default=(None, ""))
    return Band(least, least_why, most, most_why)


def _band(job: Job, plan: Plan, window: int, side: Side) -> Band:
    exact = _without_cut_error(job)
    plan = _other_settled(exact, plan, window, side)
    step = marks_of(job).step
    high = _most_steps(exact, plan, window, side)
    above = _too_large(exact, _opened(plan, window, side, step * (high + 1)))
    most = step * high if above else None
    least, why = _least(job, plan, window, side)
    if why and (least is None or (most is not None and most < least)):
        least, why = _least(exact, plan, window, side)
        if least is not None and (most is None or least <= most):
            why = f"{why}, with nothing to spare"
    return Band(least, why if least is not None else "", most, _why(above))


def _without_cut_error(job: Job) -> Job:
    return replace(job, cutter=replace(job.cutter, cut=ZERO))


def _least(job: Job, plan: Plan, window: int, side: Side) -> tuple[Length | None, str]:
    """The least that one side of an opening may measure, and the reason.

    None without a reason if nothing limits it. None with a reason if no size is large enough,
    because the print itself or the other side is too small.
    """
    step, board = marks_of(job).step, getattr(plan.layout.board, side)

    def found(steps: int) -> tuple[Finding, ...]:
        return _too_small(job, _opened(plan, window, side, step * steps))

    whole = board.nm // step.nm
    low = last_that(lambda n: bool(found(n)), whole)
    below = found(low)
    return (step * (low + 1) if below and low < whole else None), _why(below)


def _most_steps(job: Job, plan: Plan, window: int, side: Side) -> int:
    """The most steps that one side of an opening may measure; the whole board if unlimited."""
    step, board = marks_of(job).step, getattr(plan.layout.board, side)

    def is_safe(steps: int) -> bool:
        return not _too_large(job, _opened(plan, window, side, step * steps))

    return last_that(is_safe, board.nm // step.nm)


def _other_settled(job: Job, plan: Plan, window: int, side: Side) -> Plan:
    """The plan with the opening's other side so small that only this side decides."""
    if not _too_large(job, plan):
        return plan
    step = marks_of(job).step
    other: Side = "height" if side == "width" else "width"
    narrow = _opened(plan, window, side, step)
    most = step * _most_steps(job, narrow, window, other)
    opening = innermost(plan)[window]
    return _opened(plan, window, other, min(most, getattr(opening.size, other)))


def _opened(plan: Plan, window: int, side: Side, wanted: Length) -> Plan:
    """The plan with one side of one opening cut to another size, with the same centre."""
    old = innermost(plan)[window]
    size = Size(wanted, old.size.height) if side == "width" else Size(old.size.width, wanted)
    windows = list(plan.layout.windows)
    *upper, lowest = windows[window]  # the mats above are already cut
    windows[window] = (*upper, lowest.moved_to(old.centred(size)))
    return with_windows(plan, windows)


def _too_small(job: Job, plan: Plan) -> tuple[Finding, ...]:
    """The findings on an opening that is too small; those of the rules include a reserve."""
    rules = [f for f in _bad(job, plan) if f.code in LEAST_SIZES]
    return (*rules, *(f for f in _bad(_without_cut_error(job), plan) if f.code in _PAPER_SEEN))


def _too_large(exact: Job, plan: Plan) -> tuple[Finding, ...]:
    """The findings on an opening that is too large."""
    return tuple(f for f in _bad(exact, plan) if f.code not in (*LEAST_SIZES, *_PAPER_SEEN))


def _bad(job: Job, plan: Plan) -> tuple[Finding, ...]:
    return tuple(f for f in cut_findings(job, plan) if f.severity > Severity.WARNING)


def _why(against: tuple[Finding, ...]) -> str:
    first = min(against, key=lambda finding: finding.code not in _COVER, default=None)
    return _COVER.get(first.code, "for the rule") if first else ""
