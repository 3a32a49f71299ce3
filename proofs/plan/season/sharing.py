"""What two exhibitions can share of a picture: its print, its mount; and what clashes in time."""

import datetime
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from proofs.lengths import Length, Size, millimetres
from proofs.plan.entry.planning import Plan
from proofs.plan.season.exhibitions import Exhibition, SeasonPicture, Showing

_ALIKE = millimetres("0.5")  # half a mark of a metric ruler: nobody sees that two prints differ


@dataclass(frozen=True, slots=True)
class Reuse:
    """A picture at two exhibitions: whether one print, and one mount, can serve both.

    ``print_differs`` and ``mount_differs`` say what is different; blank where one serves both, as
    far as that alone goes. ``is_open`` if a step is still to be chosen. ``clash`` are the days on
    which both need it; None if there are none, or if days are not known.
    """

    first: Showing
    second: Showing
    print_differs: tuple[str, ...]
    mount_differs: tuple[str, ...]
    is_open: bool
    clash: tuple[datetime.date, datetime.date] | None
    has_dates: bool

    @property
    def shares_print(self) -> bool:
        """Whether one print serves both, one after the other."""
        return not self.print_differs and self.has_dates and self.clash is None

    @property
    def shares_mount(self) -> bool:
        """Whether the whole mount serves both, one after the other."""
        return self.shares_print and not self.mount_differs


@dataclass(frozen=True, slots=True)
class AlikeMounts:
    """Entries of several exhibitions whose mounts are cut alike, whatever their pictures.

    ``needed`` is how many are away at the same time at most.
    """

    showings: tuple[Showing, ...]
    needed: int

    @property
    def plan(self) -> Plan:
        """The plan of the first of them."""
        plan = self.showings[0].outcome.plan
        if plan is None:
            raise ValueError("only entries with a plan have a mount")
        return plan


def reuses(pictures: Sequence[SeasonPicture]) -> tuple[Reuse, ...]:
    """Return each picture at each two exhibitions that show it and have a plan for it."""
    return tuple(found for picture in pictures for found in _reuses(picture))


def _reuses(picture: SeasonPicture) -> Iterator[Reuse]:
    for first, second in combinations(picture.showings, 2):
        plans = first.outcome.plan, second.outcome.plan
        if first.exhibition.name == second.exhibition.name or plans[0] is None or plans[1] is None:
            continue
        away = first.exhibition.away, second.exhibition.away
        yield Reuse(
            first,
            second,
            tuple(_print_differs(plans[0], first.picture, plans[1], second.picture)),
            tuple(_mount_differs(plans[0], first, plans[1], second)),
            is_open=not (plans[0].chosen and plans[1].chosen),
            clash=away[0].shared(away[1]) if away[0] and away[1] else None,
            has_dates=bool(away[0] and away[1]),
        )


def _print_differs(one: Plan, n: int, other: Plan, m: int) -> Iterator[str]:
    """What of the prints of a picture is different."""
    first, second = one.parts[n], other.parts[m]
    if (first.crop, first.top_edge) != (second.crop, second.top_edge):
        yield "crop"
    if not _alike(first.image.size, second.image.size):
        yield "size"
    if one.paper_words != other.paper_words:
        yield "paper"
    if one.printed.density != other.printed.density:
        yield "density"


def _mount_differs(one: Plan, first: Showing, other: Plan, second: Showing) -> Iterator[str]:
    """What of the mounts is different; all pictures on a board belong to its mount."""
    if first.identities != second.identities:
        yield "pictures"
    if one.layout.board != other.layout.board:
        yield "board"
    if one.mount.mats != other.mount.mats:
        yield "mats"
    backs = ((plan.mount.backing, plan.mount.backing_colour) for plan in (one, other))
    if len(set(backs)) > 1:
        yield "backing"
    if one.mount.window != other.mount.window or not _same_windows(one, other):
        yield "opening"


def _same_windows(one: Plan, other: Plan) -> bool:
    windows = [
        [cut.back for window in plan.layout.windows for cut in window] for plan in (one, other)
    ]
    return len(windows[0]) == len(windows[1]) and all(
        _alike(a.size, b.size) and _near(a.left, b.left) and _near(a.top, b.top)
        for a, b in zip(*windows, strict=True)
    )


def _alike(one: Size, other: Size) -> bool:
    return _near(one.width, other.width) and _near(one.height, other.height)


def _near(one: Length, other: Length) -> bool:
    return abs(one.nm - other.nm) <= _ALIKE.nm


def alike_mounts(exhibitions: Sequence[Exhibition]) -> tuple[AlikeMounts, ...]:
    """Return the mounts with openings that entries of several exhibitions have alike."""
    alike: dict[object, list[Showing]] = defaultdict(list)
    for exhibition in exhibitions:
        rows = zip(exhibition.outcomes, exhibition.results, exhibition.pictures, strict=True)
        for outcome, result, files in rows:
            plan = outcome.plan
            if plan and plan.layout.windows:
                mount = plan.mount
                key = plan.layout.board, plan.layout.windows, mount.mats, mount.backing
                alike[key].append(Showing(exhibition, outcome, result, 0, files))
    return tuple(
        AlikeMounts(tuple(found), _most_at_once([one.exhibition for one in found]))
        for found in alike.values()
        if len({one.exhibition.name for one in found}) > 1
    )


def _most_at_once(exhibitions: Sequence[Exhibition]) -> int:
    """How many mounts are away on one day at most; one without dates is always away."""
    undated = sum(one.away is None for one in exhibitions)
    spans = [one.away for one in exhibitions if one.away]
    return undated + max(
        (sum(span.first <= day.first <= span.last for span in spans) for day in spans), default=0
    )
