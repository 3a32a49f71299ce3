"""The sizes at which a finished opening passes: how small it may be for the rules, how large.

Rules may speak of the longest side or of the area, so width and height cannot be judged one by
one. What passes is stated as pairs: an opening passes if it is at least as wide and as high as
one of the least sizes, and no wider and no higher than one of the most sizes.

A finished opening has been measured, so its largest size allows for no error of cutting, only for
that of placing the print, and for the lab's scale until the print has been measured. The least
size keeps the error of cutting in reserve, because the organiser's ruler may read less. If that
leaves no size, the least is stated without the reserve, and says so.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import product

from proofs.findings import Finding, Severity
from proofs.lengths import NM_PER_INCH, NM_PER_MM, ZERO, Length, Size, Unit, total
from proofs.plan.checks.limits import COVER_LIMITS, LEAST_SIZES, SHEET_LIMIT
from proofs.plan.checks.size_checks import cut_findings
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.openings import innermost, opened
from proofs.plan.cutting.rounding import opening_sides
from proofs.plan.cutting.staircases import (
    Suits,
    largest_of,
    least_sizes,
    most_sizes,
    sides_inside,
    smallest_of,
)
from proofs.plan.entry.layout import on_board
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job

Sides = tuple[Sequence[Length], Sequence[Length]]

_COVERS = (*COVER_LIMITS.values(), SHEET_LIMIT)
_OWN_BORDER, _AREA = "mount-border", "visible-area"
_WHY = {limit.code: limit.reason for limit in _COVERS} | {_OWN_BORDER: "for the mount's border"}
_FOR_THE_RULE, _SPARE = "for the rule", ", with nothing to spare"
_AREA_STEPS = {Unit.IN: NM_PER_INCH**2 // 10, Unit.MM: 100 * NM_PER_MM**2}
_PAPER_SEEN = tuple(limit.code for limit in _COVERS if limit.larger_opening_helps)
GROWS = (*LEAST_SIZES, *_PAPER_SEEN)
"""The codes of the findings that a larger opening mends; a smaller one mends all others."""


@dataclass(frozen=True, slots=True)
class OpeningLimits:
    """The sizes at the back at which one opening passes.

    ``least`` are the smallest sizes and ``most`` the largest; nothing passes if either is empty.
    A side without a least has zero there, and one without a most has the side of the ``board``.
    ``least_square_nm`` is the least area, width times height; None if no rule asks for one. The
    reasons, for width and height, end a sentence.
    """

    board: Size
    least: tuple[Size, ...]
    most: tuple[Size, ...]
    least_why: tuple[str, str] = ("", "")
    most_why: tuple[str, str] = ("", "")
    least_square_nm: int | None = None

    def passes(self, size: Size) -> bool:
        """Return whether an opening of this size passes."""
        return (
            any(size.holds(least) for least in self.least)
            and any(most.holds(size) for most in self.most)
            and size.square_nm >= (self.least_square_nm or 0)
        )


@dataclass(frozen=True, slots=True)
class MountLimits:
    """The limits of all openings of a mount.

    ``sides_least`` and ``sides_most`` are limits for the longest sides of all openings together;
    None unless the rules add them up.
    """

    windows: tuple[OpeningLimits, ...]
    sides_least: Length | None = None
    sides_most: Length | None = None

    def passes(self, sizes: Sequence[Size]) -> bool:
        """Return whether openings of these sizes pass, one for each window."""
        together = total(size.longest for size in sizes)
        return (
            all(w.passes(size) for w, size in zip(self.windows, sizes, strict=True))
            and (self.sides_least is None or together >= self.sides_least)
            and (self.sides_most is None or together <= self.sides_most)
        )


@dataclass(frozen=True, slots=True)
class _Errors:
    """The jobs whose errors count: ``rules`` for least sizes of the rules, ``cover`` for all else.

    ``words`` follow the reason of a least size.
    """

    rules: Job
    cover: Job
    words: str


def mount_limits(job: Job, plan: Plan) -> MountLimits:
    """Return the limits of the openings of a plan on the marks; the limits are on them too."""
    windows = tuple(_limits(*alone(job, plan, n)) for n in range(len(plan.layout.windows)))
    return MountLimits(windows, *_sides_together(job, plan, windows))


def common_limits(found: Sequence[MountLimits]) -> MountLimits:
    """Return the limits that keep all of these, for mounts that are cut alike."""
    windows = zip(*(limits.windows for limits in found), strict=True)
    return MountLimits(
        tuple(reduce(_both, same) for same in windows),
        max((f.sides_least for f in found if f.sides_least is not None), default=None),
        min((f.sides_most for f in found if f.sides_most is not None), default=None),
    )


def alone(job: Job, plan: Plan, window: int) -> tuple[Job, Plan]:
    """Return a plan with the pictures of one window only, and the job to judge it by.

    Rules that add up the pictures of a board do not judge one of several windows.
    """
    layout = plan.layout
    cuts = layout.windows[window]
    held = [n for n, picture in enumerate(layout.pictures) if picture.cuts == cuts]
    one = replace(
        plan,
        parts=tuple(plan.parts[n] for n in held),
        layout=on_board(layout.board, tuple(layout.pictures[n] for n in held)),
    )
    if job.rules and job.rules.visible.sums and len(layout.windows) > 1:
        visible = replace(job.rules.visible, longest_least=None, longest_most=None)
        job = replace(job, rules=replace(job.rules, visible=visible))
    return job, one


def _both(one: OpeningLimits, other: OpeningLimits) -> OpeningLimits:
    areas = [a for a in (one.least_square_nm, other.least_square_nm) if a is not None]
    return replace(
        one,
        least=smallest_of(a.united(b) for a, b in product(one.least, other.least)),
        most=largest_of(a.shared(b) for a, b in product(one.most, other.most)),
        least_square_nm=max(areas, default=None),
    )


def _limits(job: Job, plan: Plan) -> OpeningLimits:
    """The limits of the only window of a plan, with as much in reserve as leaves any size."""
    cut = replace(job, cutter=replace(job.cutter, cut=ZERO))
    exact_cutter = replace(job.cutter, cut=ZERO, placing=ZERO, reading=ZERO)
    exact = replace(job, cutter=exact_cutter, lab=replace(job.lab, scale_error=0.0))
    levels = (_Errors(job, cut, ""), _Errors(cut, cut, _SPARE), _Errors(exact, exact, _SPARE))
    found = (_at_level(errors, plan) for errors in levels)
    nothing = OpeningLimits(plan.layout.board, (), ())
    return next((limits for limits in found if limits), nothing)


def _at_level(errors: _Errors, plan: Plan) -> OpeningLimits | None:
    """The limits of the only window of a plan by these errors; None if no size passes."""
    sides = opening_sides(plan, marks_of(errors.rules))
    as_planned = {f.code for f in cut_findings(errors.cover, plan)}

    def too_large(size: Size) -> list[Finding]:
        found = cut_findings(errors.cover, opened(plan, size))
        own = [f for f in found if f.code == _OWN_BORDER and f.code not in as_planned]
        return own + [f for f in _bad(found) if f.code not in GROWS]

    def too_small(size: Size) -> list[Finding]:
        tried = opened(plan, size)
        rules = [f for f in _bad(cut_findings(errors.rules, tried)) if f.code in LEAST_SIZES]
        return rules + [f for f in _bad(cut_findings(errors.cover, tried)) if f.code in _PAPER_SEEN]

    def has_area(size: Size) -> bool:
        return all(f.code != _AREA for f in too_small(size))

    most = most_sizes(lambda size: not too_large(size), *sides)
    # An opening beyond the image shows all of it, and then other errors count.
    inside = sides_inside(most, *sides)
    found = least_sizes(lambda size: all(f.code == _AREA for f in too_small(size)), *inside)
    least = [low for low in found if any(high.holds(low) for high in most)]
    if not any(has_area(high) for high in most if any(high.holds(low) for low in least)):
        return None
    first, last = (Size(sides[0][n], sides[1][n]) for n in (0, -1))
    board = plan.layout.board
    return OpeningLimits(
        board,
        tuple(_free_sides(size, first, Size(ZERO, ZERO)) for size in least),
        tuple(_free_sides(size, last, board) for size in most),
        _reasons(least[0], inside, too_small, onward=-1, words=errors.words),
        _reasons(most[0], sides, too_large, onward=1),
        _least_area(errors.rules, has_area, inside, least, most),
    )


def _least_area(
    job: Job, has_area: Suits, sides: Sides, least: Sequence[Size], most: Sequence[Size]
) -> int | None:
    """The area above that of every size that has too little, though its sides pass."""
    if job.rules is None or job.rules.visible.least_square_nm is None:
        return None
    too_little = most_sizes(lambda size: not has_area(size), *sides)
    inside = (a.shared(b) for a, b in product(too_little, most))
    areas = [size.square_nm for size in inside if any(size.holds(low) for low in least)]
    step = _AREA_STEPS[job.rules.unit]
    return (max(areas) // step + 1) * step if areas else None


def _sides_together(
    job: Job, plan: Plan, windows: Sequence[OpeningLimits]
) -> tuple[Length | None, Length | None]:
    """What the longest sides of all openings must add up to, and may add up to at most."""
    pictures = plan.layout.pictures
    if job.rules is None or not job.rules.visible.sums or len(windows) < 2:
        return None, None
    rule, marks = job.rules.visible, marks_of(job)
    shown = [one.print_seen if rule.counts_paper else one.sight for one in pictures]
    if any(one.limiting != seen for one, seen in zip(pictures, shown, strict=True)):
        return None, None  # the images count, whatever the openings measure
    backs = total(back.size.longest for back in innermost(plan))
    beyond = backs - total(seen.size.longest for seen in shown)
    highest = total(max(s.longest for s in one.most) if one.most else ZERO for one in windows)
    reserve = 2 * len(pictures) * job.cutter.cut
    least = most = None
    if rule.longest_least is not None:
        least = marks.above(rule.longest_least + beyond + reserve)
        if least > highest:
            least = min(marks.above(rule.longest_least + beyond), max(backs, rule.longest_least))
    if rule.longest_most is not None:
        most = marks.below(rule.longest_most + beyond)
    return least, most


def _bad(findings: Iterable[Finding]) -> list[Finding]:
    return [finding for finding in findings if finding.severity > Severity.WARNING]


def _free_sides(size: Size, end: Size, free: Size) -> Size:
    """A size whose sides that nothing limits, since they are the last to try, are these instead."""
    return Size(
        free.width if size.width == end.width else size.width,
        free.height if size.height == end.height else size.height,
    )


def _reasons(
    size: Size,
    sides: Sides,
    judge: Callable[[Size], list[Finding]],
    *,
    onward: int,
    words: str = "",
) -> tuple[str, str]:
    """Why width and height must stop here: what is found one mark onward."""
    widths, heights = sides
    across, down = widths.index(size.width) + onward, heights.index(size.height) + onward
    wider = Size(widths[across], size.height) if 0 <= across < len(widths) else size
    higher = Size(size.width, heights[down]) if 0 <= down < len(heights) else size
    return _why(judge(wider), words), _why(judge(higher), words)


def _why(against: Iterable[Finding], words: str) -> str:
    """The reason to put first: that of the mount before that of the rules."""
    first = min(against, key=lambda finding: finding.code not in _WHY, default=None)
    return _WHY.get(first.code, _FOR_THE_RULE + words) if first else ""
