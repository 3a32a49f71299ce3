"""The working days that each step of a job takes, and which days are working days."""

import datetime
import enum
from dataclasses import dataclass

from proofs.records.tables import Profile, Table

_WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_MOST_DAYS = 250  # working days of a step: a year
_MONDAY_TO_FRIDAY = frozenset(range(5))


class JobStep(enum.StrEnum):
    """A step of a job, in the order of work."""

    STRIP = "strip"
    PRINTS = "prints"
    RESERVE = "reserve"
    BENCH = "bench"
    DRYING = "drying"
    SHIPPING = "shipping"


@dataclass(frozen=True, slots=True)
class WorkDays:
    """The working days: some weekdays, counted from Monday as 0, except ``days_off``."""

    weekdays: frozenset[int] = _MONDAY_TO_FRIDAY
    days_off: frozenset[datetime.date] = frozenset()

    def is_worked(self, day: datetime.date) -> bool:
        """Return whether a day is a working day."""
        return day.weekday() in self.weekdays and day not in self.days_off


@dataclass(frozen=True, slots=True)
class Timetable(Profile):
    """The number of working days for each ``JobStep``, in their order."""

    working_days: tuple[int, ...]
    work_days: WorkDays = WorkDays()


def read_timetable(table: Table, name: str) -> Timetable:
    """Return the timetable that a profile describes."""
    steps = table.table("working_days")
    timetable = Timetable(
        *table.heading(name),
        working_days=tuple(steps.count(step, least=0, most=_MOST_DAYS) for step in JobStep),
        work_days=WorkDays(_weekdays(table), frozenset(table.dates("days_off"))),
    )
    table.refuse_unknown()
    return timetable


def _weekdays(table: Table) -> frozenset[int]:
    names = table.choices("weekdays", _WEEK)
    return frozenset(_WEEK.index(name) for name in names) or _MONDAY_TO_FRIDAY
