"""The exhibitions of a season, and the pictures that are shown there."""

import datetime
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from proofs.lengths import Unit
from proofs.plan.bench.timetable import Schedule
from proofs.plan.checks.outcomes import Outcome
from proofs.records.cells import folded
from proofs.records.entries import EntryResult
from proofs.records.timetables import JobStep

OPEN = "open"
"""Counts the entries of which nobody has written what became of them."""


@dataclass(frozen=True, slots=True)
class Away:
    """The days on which the mounts of an exhibition are not at home, the first and the last.

    With ``is_assumed`` the rules do not say when they come back.
    """

    first: datetime.date
    last: datetime.date
    is_assumed: bool

    def shared(self, other: "Away") -> tuple[datetime.date, datetime.date] | None:
        """Return the first and the last day that are in both, or None."""
        first, last = max(self.first, other.first), min(self.last, other.last)
        return (first, last) if first <= last else None


@dataclass(frozen=True, slots=True)
class Exhibition:
    """One exhibition of a season: its name among the others, its entries, and its days.

    ``outcomes`` and ``results`` are of the same entries. ``pictures`` holds for each the identity
    of each of its pictures: equal for files that are the same. ``schedule`` and ``away`` are None
    if no closing date is known. ``unit`` is that of its rules.
    """

    name: str
    title: str
    outcomes: tuple[Outcome, ...]
    results: tuple[EntryResult, ...]
    pictures: tuple[tuple[str, ...], ...]
    schedule: Schedule | None = None
    away: Away | None = None
    unit: Unit = Unit.IN


@dataclass(frozen=True, slots=True)
class Showing:
    """A picture at an exhibition: an entry, and which of its pictures it is, counted from 0."""

    exhibition: Exhibition
    outcome: Outcome
    result: EntryResult
    picture: int
    identities: tuple[str, ...]

    @property
    def number(self) -> str:
        """The entry's number, with the place of the picture if the board has several."""
        number = self.outcome.entry.number
        return f"{number}/{self.picture + 1}" if len(self.identities) > 1 else number


@dataclass(frozen=True, slots=True)
class SeasonPicture:
    """One picture, and everywhere it is shown, in the order of the exhibitions."""

    showings: tuple[Showing, ...]

    @property
    def title(self) -> str:
        """The title under which it is shown first."""
        return self.showings[0].outcome.entry.title

    @property
    def file(self) -> str:
        """Its file, as the entry that shows it first names it."""
        first = self.showings[0]
        return first.outcome.entry.pictures[first.picture].file


@dataclass(frozen=True, slots=True)
class Event:
    """A day of the calendar: what begins or happens then at which exhibition.

    ``step`` is None on the closing date and on the day when the mounts are back.
    """

    day: datetime.date
    exhibition: str
    what: str
    step: JobStep | None = None


def away_of(schedule: Schedule, returns: datetime.date | None, assumed: datetime.timedelta) -> Away:
    """Return when mounts are away: from the first day of shipping to the day they are back.

    Unless ``returns`` is known they are taken to be back so long after the closing date.
    """
    ships = next(step.begins for step in schedule.steps if step.step is JobStep.SHIPPING)
    return Away(ships, returns or schedule.closing + assumed, is_assumed=returns is None)


def season_pictures(exhibitions: Sequence[Exhibition]) -> tuple[SeasonPicture, ...]:
    """Return every picture of the season once, in the order in which it is first entered."""
    found: dict[str, list[Showing]] = {}
    for showing in _showings(exhibitions):
        found.setdefault(showing.identities[showing.picture], []).append(showing)
    return tuple(SeasonPicture(tuple(showings)) for showings in found.values())


def _showings(exhibitions: Iterable[Exhibition]) -> Iterator[Showing]:
    for one in exhibitions:
        for outcome, result, files in zip(one.outcomes, one.results, one.pictures, strict=True):
            for n in range(len(files)):
                yield Showing(one, outcome, result, n, files)


def calendar(exhibitions: Sequence[Exhibition]) -> tuple[Event, ...]:
    """Return what begins, closes and comes back when, in the order of the days."""
    events = (event for one in exhibitions if one.schedule for event in _events(one, one.schedule))
    return tuple(sorted(events, key=lambda event: event.day))


def _events(exhibition: Exhibition, schedule: Schedule) -> Iterator[Event]:
    for step in schedule.steps:
        if step.working_days:
            yield Event(step.begins, exhibition.name, "begins", step.step)
    yield Event(schedule.closing, exhibition.name, "closes")
    if exhibition.away:
        yield Event(exhibition.away.last, exhibition.name, "back")


def counted_results(results: Iterable[EntryResult]) -> tuple[Counter[str], Counter[str]]:
    """Return how many entries have each result and each award, whatever their capitals."""
    found = list(results)
    return (
        Counter(folded(one.result) or OPEN for one in found),
        Counter(folded(one.award) for one in found if one.award),
    )
