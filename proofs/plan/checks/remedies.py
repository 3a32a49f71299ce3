"""What to do about a limit that is not met: a size on the ruler's marks, found with the checks.

A remedy is offered only if it meets every limit on the size, and the mount keeps its overlap and
its border. Where the opening is given, a larger image shows no more: the remedy is another opening,
of a mat to buy or to cut.
"""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from proofs.findings import Finding, Severity
from proofs.lengths import Length, Size, Unit, half_up, inches, millimetres, shown
from proofs.plan.checks.limits import COVER_LIMITS, LEAST_SIZES, VISIBLE_LIMITS
from proofs.plan.checks.size_checks import size_findings
from proofs.plan.entry.facts import PhotoFacts
from proofs.plan.entry.in_openings import OffBoardError
from proofs.plan.entry.planning import Plan, plan_entry, resized
from proofs.plan.entry.sizing import last_that
from proofs.plan.entry.tolerances import covers
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.size_and_crop import SizeKind, SizeWish

_MOST_STEPS = 4096
_COVER_REMEDIES = {limit.code: limit.remedy for limit in COVER_LIMITS.values()}
_SIDES = {limit.code: limit.measure.side for limit in VISIBLE_LIMITS}


def with_remedies(job: Job, plan: Plan, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return size findings with a remedy for each limit that is not met, if there is one."""
    return tuple(
        finding
        if finding.severity is Severity.MET
        else replace(finding, remedy=_remedy(job, *_shape(plan), finding.code))
        for finding in findings
    )


def _shape(plan: Plan) -> tuple[Entry, tuple[PhotoFacts, ...]]:
    """What decides a remedy: entries and pictures that differ in nothing else share theirs."""
    own = plan.entry
    entry = Entry(
        number="-",
        title="",
        pictures=tuple(replace(part.wish, file="-", look_at=None) for part in plan.parts),
        sizes=own.sizes,
        arrangement=own.arrangement,
        board=own.board,
        mount=own.mount,
        paper=own.paper,
    )
    return entry, tuple(PhotoFacts(part.facts.pixels, bits=8, channels=3) for part in plan.parts)


def step_of(job: Job) -> tuple[Length, Unit]:
    """Return the step that remedies are rounded to, and its unit: 1/16 in, or 1 mm."""
    if job.unit == Unit.MM:
        return millimetres(1), Unit.MM
    return inches("1/16"), Unit.IN


@lru_cache(maxsize=1024)  # a season of entries has few shapes, and a search takes 20 ms
def _remedy(job: Job, entry: Entry, facts: tuple[PhotoFacts, ...], code: str) -> str:
    plan = plan_entry(job, entry, *facts)
    if code in _COVER_REMEDIES:
        return _cover_remedy(job, plan, code)
    side = _SIDES.get(code, SizeKind.LONG)
    most = last_that(lambda n: _leaves_borders(job, plan, side, n), _MOST_STEPS)
    if code in LEAST_SIZES:
        # The first number of marks that meets the least sizes is one above the last that does not.
        found = 1 + last_that(
            lambda n: not _all_met(job, _stepped(job, plan, side, n), LEAST_SIZES), most
        )
    else:
        found = last_that(lambda n: _maximums_met(job, _stepped(job, plan, side, n)), most)
    better = _stepped(job, plan, side, found) if 0 < found < _MOST_STEPS else None
    return _size_remedy(better) if better and _all_met(job, better) else ""


def _stepped(job: Job, plan: Plan, side: SizeKind, steps: int) -> Plan | None:
    """The plan whose opening, or whole image if all of it is seen, measures ``steps`` marks.

    None if there is no such plan.
    """
    try:
        return resized(job, plan, *_wishes(job, plan, side, steps))
    except ValueError:
        return None


def _leaves_borders(job: Job, plan: Plan, side: SizeKind, steps: int) -> bool:
    """Whether given openings of that size leave borders on the board; others always do."""
    if all(part.image.opening is None for part in plan.parts):
        return True
    try:
        resized(job, plan, *_wishes(job, plan, side, steps))
    except OffBoardError:
        return False
    except ValueError:  # too small to show anything
        return True
    return True


def _wishes(job: Job, plan: Plan, side: SizeKind, steps: int) -> list[SizeWish]:
    """The sizes to ask for.

    Pictures with a size each keep their proportions: the first measures ``steps`` marks, and
    each of the others comes to the nearest mark. The other side of a given opening does too.
    """
    step, unit = step_of(job)
    count = len(plan.entry.sizes)
    openings = [part.image.opening for part in plan.parts[:count]]
    shown = [
        opening.size if opening else picture.sight.size
        for opening, picture in zip(openings, plan.layout.pictures, strict=False)
    ]
    first = getattr(shown[0], f"{side}est").nm

    def on_marks(length: Length) -> Length:
        return max(1, half_up(Fraction(steps * length.nm, first))) * step

    wishes = []
    for opening, size in zip(openings, shown, strict=True):
        if opening is None:
            length = on_marks(getattr(size, f"{side}est")) + 2 * plan.mount.overlap
            wishes.append(SizeWish(side, length, unit=unit))
        else:
            box = Size(on_marks(size.width), on_marks(size.height))
            wishes.append(SizeWish(SizeKind.OPENING, box=box, unit=unit))
    return wishes


def _all_met(job: Job, plan: Plan | None, codes: tuple[str, ...] | None = None) -> bool:
    if plan is None:
        return False
    found = size_findings(job, plan)
    return all(f.severity is Severity.MET for f in found if codes is None or f.code in codes)


def _maximums_met(job: Job, plan: Plan | None) -> bool:
    """Whether all maximums are met; an image too small to be seen meets them."""
    if plan is None:
        return True
    found = size_findings(job, plan)
    return all(f.severity is Severity.MET for f in found if f.code not in LEAST_SIZES)


def _size_remedy(plan: Plan) -> str:
    cell = " | ".join(str(wish) for wish in plan.entry.sizes)
    if any(part.image.opening for part in plan.parts):
        return f"size: {cell}; that takes another mat, to buy or to cut"
    side = f"{plan.entry.sizes[0].kind}est"
    images = [str(getattr(part.image.size, side)) for part in plan.parts]
    if len(images) > 1:
        return f"size: {cell}; the images' {side} sides are {', '.join(images)}"
    text, picture = f"size: {cell}; image {images[0]}", plan.layout.pictures[0]
    if picture.back is not None:
        text += f", back opening {getattr(picture.back.size, side)}"
    return f"{text} on its {side} side"


def _cover_remedy(job: Job, plan: Plan, code: str) -> str:
    """The least overlap, paper or gap of which something is left after tolerances."""
    step, unit = step_of(job)
    slack = max(cover.slack for cover in covers(job, plan.mount, plan.layout))
    marks = slack.nm // step.nm + 1
    return _COVER_REMEDIES[code].format(shown(marks * step, unit))
