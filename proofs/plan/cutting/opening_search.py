"""The openings that suit prints best, of all that can be cut on the marks."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import ceil

from proofs.findings import Severity
from proofs.lengths import ZERO, Length, Size, total
from proofs.plan.checks.size_checks import badness, cut_findings, seen_pictures
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.cutting.opening_limits import GROWS, Sides, alone
from proofs.plan.cutting.openings import Window, given_windows, innermost, with_windows
from proofs.plan.cutting.rounding import opening_sides, settled
from proofs.plan.cutting.staircases import least_sizes, most_sizes, nearest_between, sides_inside
from proofs.plan.entry.board import Opening
from proofs.plan.entry.layout import limiting_size
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.mounts import WindowKind
from proofs.records.rules import VisibleRule

_SAFE, _POSSIBLE = Severity.AT_RISK, Severity.BROKEN  # findings must stay below this


@dataclass(frozen=True, slots=True)
class _Search:
    """The search for the only opening of a plan, and how to judge it.

    ``exact`` is the same plan before it was rounded to marks, for the middle of its window.
    """

    job: Job
    plan: Plan
    exact: Plan

    def cut_to(self, size: Size) -> Plan:
        """Return the plan with an opening of this size, as near to its middle as marks allow."""
        return with_windows(self.plan, [settled(self.exact, 0, size, marks_of(self.job))])

    @property
    def sides(self) -> Sides:
        """The widths and the heights that the opening can have."""
        return opening_sides(self.plan, marks_of(self.job))


def nearest_openings(job: Job, plan: Plan, planned: Plan, exact: Plan) -> Plan:
    """Return a plan of measured prints with the openings that suit them best.

    ``planned`` is the same before they were measured, and ``exact`` before it was rounded to
    marks. An opening stays as it is if no check is at risk and the mat keeps what the mount wants
    of overlap, paper or gap, to one mark. Otherwise it becomes the nearest to that with which no
    check is at risk; if there is none, the nearest with which none is broken; if there is none
    either, it stays. An opening that is given always stays.
    """
    windows, given = [], given_windows(plan)
    for number, window in enumerate(plan.layout.windows):
        if given[number]:
            windows.append(window)
            continue
        search = _search(job, plan, exact, number)
        _, before = alone(job, planned, number)
        suits = _may_stay(search.job, search.plan, before)
        windows.append(window if suits else _best(search) or window)
    found = with_windows(plan, windows)
    return _summed(job, found, exact) if job.rules and job.rules.visible.sums else found


def _search(job: Job, plan: Plan, exact: Plan, number: int) -> _Search:
    """The search for one of several openings."""
    own, one = alone(job, plan, number)
    return _Search(own, one, alone(job, exact, number)[1])


def _may_stay(job: Job, plan: Plan, planned: Plan) -> bool:
    """Whether the opening of a plan's only window may stay as it is."""
    step = marks_of(job).step
    (wider, higher), before = _beyond(plan, job), max(_beyond(planned, job))
    near = max(wider, higher) <= max(step, before)
    if plan.mount.window != WindowKind.OVERLAP:
        near = near and min(wider, higher) >= -step
    return near and badness(cut_findings(job, plan))[0] < _SAFE


def _beyond(plan: Plan, job: Job) -> tuple[Length, Length]:
    """By how much an opening is wider, and higher, than the mount wants it."""
    size, wanted = innermost(plan)[0].size, _wanted(plan, marks_of(job))
    return size.width - wanted.width, size.height - wanted.height


def _wanted(plan: Plan, marks: Marks) -> Size:
    """The opening, on the marks, that leaves what the mount wants; never less of an overlap."""
    mount, cut = plan.mount, plan.layout.pictures[0].cuts[-1]
    images = Opening.around(picture.image for picture in plan.layout.pictures).size
    limiting, beyond = limiting_size(mount, images), cut.back.size.width - cut.limiting.size.width
    widths, heights = opening_sides(plan, marks)
    overlaps = mount.window == WindowKind.OVERLAP
    return Size(
        _of_sides(limiting.width + beyond, widths, downwards=overlaps),
        _of_sides(limiting.height + beyond, heights, downwards=overlaps),
    )


def _of_sides(length: Length, sides: Sequence[Length], *, downwards: bool) -> Length:
    """The nearest of these sides, or the nearest that is not longer."""
    if downwards:
        return max((side for side in sides if side <= length), default=sides[0])
    return min(sides, key=lambda side: (abs(side.nm - length.nm), side))


def _best(search: _Search) -> Window | None:
    """The only window of a plan as it suits best; None if every opening breaks a check."""
    wanted, levels = _wanted(search.plan, marks_of(search.job)), (_SAFE, _POSSIBLE)
    most = {below: _most(search, below) for below in levels}
    inside = sides_inside(most[_POSSIBLE], *search.sides)
    least = {below: _least(search, below, inside) for below in levels}
    nearest = (nearest_between(wanted, least[a], most[b]) for a, b in product(levels, levels))
    plans = [search.cut_to(size) for size in nearest if size]
    best = min(plans, key=lambda tried: badness(cut_findings(search.job, tried)), default=None)
    return best.layout.windows[0] if best else None


def _least(search: _Search, below: Severity, sides: Sides) -> list[Size]:
    def is_large_enough(size: Size) -> bool:
        found = cut_findings(search.job, search.cut_to(size))
        return all(f.severity < below for f in found if f.code in GROWS)

    return least_sizes(is_large_enough, *sides)


def _most(search: _Search, below: Severity) -> list[Size]:
    def is_small_enough(size: Size) -> bool:
        found = cut_findings(search.job, search.cut_to(size))
        return all(f.severity < below for f in found if f.code not in GROWS)

    return most_sizes(is_small_enough, *search.sides)


def _summed(job: Job, plan: Plan, exact: Plan) -> Plan:
    """The plan with openings enlarged until their longest sides add up to what the rules ask."""
    rule, step = job.rules.visible if job.rules else VisibleRule(), marks_of(job).step
    for number in range(len(plan.layout.windows)):
        seen = seen_pictures(job, plan, rule)
        missing = (rule.longest_least or ZERO) - total(one.smallest.size.longest for one in seen)
        if missing <= ZERO or len(plan.layout.windows) < 2:
            return plan
        if given_windows(plan)[number]:
            continue
        search = _search(job, plan, exact, number)
        size, more = innermost(search.plan)[0].size, step * ceil(Fraction(missing.nm, step.nm))
        wider = Size(size.width + more, size.height)
        higher = Size(size.width, size.height + more)
        wanted = wider if size.width >= size.height else higher
        most = _most(search, _SAFE)
        inside = sides_inside(most, *search.sides)
        found = nearest_between(wanted, _least(search, _SAFE, inside), most)
        windows = list(plan.layout.windows)
        windows[number] = settled(exact, number, found or size, marks_of(job))
        plan = with_windows(plan, windows)
    return plan
