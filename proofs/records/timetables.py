"""How many working days each step of a job takes, and which days are worked."""

import datetime
from dataclasses import dataclass

from proofs.records.tables import Table

STEPS = ("strip", "prints", "reserve", "bench", "drying", "shipping")
WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_USUAL_WEEK = frozenset(range(5))


@dataclass(frozen=True, slots=True)
class WorkDays:
    """The days that are worked: some of each week, but for ``days_off``.

    ``weekdays`` counts from Monday, which is 0.
    """

    weekdays: frozenset[int] = _USUAL_WEEK
    days_off: frozenset[datetime.date] = frozenset()

    def is_worked(self, day: datetime.date) -> bool:
        """Return whether anyone works on that day."""
        return day.weekday() in self.weekdays and day not in self.days_off


@dataclass(frozen=True, slots=True)
class Timetable:
    """The working days of each of ``STEPS``, in their order."""

    name: str
    title: str
    source: str
    working_days: tuple[int, ...]
    work_days: WorkDays = WorkDays()


def read_timetable(table: Table, name: str) -> Timetable:
    """Return the timetable that a profile describes.

    Raises ``ProfileError`` with the key, what was found and what is expected.
    """
    steps = table.table("working_days")
    timetable = Timetable(
        name=name,
        title=table.text("title"),
        source=table.text("source"),
        working_days=tuple(steps.count(step, least=0) for step in STEPS),
        work_days=WorkDays(_weekdays(table), frozenset(table.dates("days_off"))),
    )
    steps.done()
    table.done()
    return timetable


def _weekdays(table: Table) -> frozenset[int]:
    names = table.texts("weekdays")
    if not names:
        return _USUAL_WEEK
    if not set(names) <= set(WEEK):
        raise table.wrong("weekdays", 'some of "mon", "tue", "wed", "thu", "fri", "sat", "sun"')
    return frozenset(WEEK.index(name) for name in names)
