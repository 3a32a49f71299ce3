"""The visible size beside its limits, as numbers for a bar: where it lies, and how sure that is."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from proofs.lengths import Size
from proofs.plan.checks.limits import VISIBLE_LIMITS, Measure, Quantity, Seen, VisibleLimit
from proofs.plan.checks.size_checks import seen_pictures
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.rules import VisibleRule


@dataclass(frozen=True, slots=True)
class Gauge:
    """A measure of what is seen, its limits, and the range that tolerances leave it.

    Numbers are whole nanometres, or whole square nanometres; ``low`` and ``high`` are the worst
    cases. ``least`` and ``most`` are None without such a limit; at least one is there.
    ``codes`` are those of the findings on these limits.
    """

    name: str
    codes: tuple[str, ...]
    quantity: Quantity
    value: int
    low: int
    high: int
    least: int | None = None
    most: int | None = None

    @property
    def nearest(self) -> int:
        """The limit with the least to spare."""
        if self.most is None:
            return self.least or 0
        if self.least is None or self.most - self.value < self.value - self.least:
            return self.most
        return self.least


def gauges(job: Job, plan: Plan, measured: Sequence[Size] = ()) -> tuple[Gauge, ...]:
    """Return a gauge for each measure that the rules limit.

    ``measured`` are the visible sizes of the finished files, one for each picture; without them
    the planned sizes count.
    """
    if job.rules is None:
        return ()
    rule = job.rules.visible
    seen = _measured(seen_pictures(job, plan, rule), measured)
    limits: dict[str, list[VisibleLimit]] = {}
    for limit in VISIBLE_LIMITS:
        if limit.bound(rule) is not None:
            limits.setdefault(limit.measure.words, []).append(limit)
    return tuple(_gauge(rule, found, seen) for found in limits.values())


def _measured(seen: Sequence[Seen], measured: Sequence[Size]) -> list[Seen]:
    """What is seen, with the sizes of the files; where paper counts too, it stays as planned."""
    if not measured:
        return list(seen)
    pairs = zip(seen, measured, strict=True)
    return [one if one.has_paper else replace(one, size=size) for one, size in pairs]


def _gauge(rule: VisibleRule, limits: Sequence[VisibleLimit], seen: Sequence[Seen]) -> Gauge:
    measure = limits[0].measure
    counted = seen if rule.sums and measure.adds_up else [_worst(measure, limits[0], seen)]
    bounds = {limit.is_least: limit.bound(rule) for limit in limits}
    return Gauge(
        name=measure.words,
        codes=tuple(limit.code for limit in limits),
        quantity=measure.quantity,
        value=sum(measure.of(one) for one in counted),
        low=sum(measure.of(one.smallest) for one in counted),
        high=sum(measure.of(one.largest) for one in counted),
        least=bounds.get(True),
        most=bounds.get(False),
    )


def _worst(measure: Measure, limit: VisibleLimit, seen: Sequence[Seen]) -> Seen:
    """The picture that decides, where each counts by itself."""
    if limit.is_least:
        return min(seen, key=lambda one: measure.of(one.smallest))
    return max(seen, key=lambda one: measure.of(one.largest))
