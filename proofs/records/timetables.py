"""The working days that each step of a job takes, and which days are working days."""

import datetime
import enum
from collections.abc import Mapping
from dataclasses import dataclass, field

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
class PublicHolidays:
    """The public holidays of a country, or of a part of it: the name of each by its day.

    ``country`` and ``subdivision`` are codes of ISO 3166; ``source`` is what lists the days. A
    profile names the place only; there are no days before they have been looked up.
    """

    country: str
    subdivision: str = ""
    source: str = ""
    names: Mapping[datetime.date, str] = field(default_factory=dict)

    @property
    def place(self) -> str:
        """The place as its codes, such as ``GB-SCT``."""
        return f"{self.country}-{self.subdivision}" if self.subdivision else self.country


@dataclass(frozen=True, slots=True)
class WorkDays:
    """The working days: some weekdays, counted from Monday as 0, except days off and holidays.

    ``public`` is None if the profile names no country: its holidays then count as working days.
    """

    weekdays: frozenset[int] = _MONDAY_TO_FRIDAY
    days_off: frozenset[datetime.date] = frozenset()
    public: PublicHolidays | None = None

    def is_worked(self, day: datetime.date) -> bool:
        """Return whether a day is a working day."""
        is_holiday = self.public is not None and day in self.public.names
        return day.weekday() in self.weekdays and day not in self.days_off and not is_holiday


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
        working_days=tuple(steps.count(step.value, least=0, most=_MOST_DAYS) for step in JobStep),
        work_days=WorkDays(
            _weekdays(table), frozenset(table.dates("days_off")), _public_holidays(table)
        ),
    )
    table.refuse_unknown()
    return timetable


def _weekdays(table: Table) -> frozenset[int]:
    names = table.choices("weekdays", _WEEK)
    return frozenset(_WEEK.index(name) for name in names) or _MONDAY_TO_FRIDAY


def _public_holidays(table: Table) -> PublicHolidays | None:
    country, subdivision = table.text("country", default=""), table.text("subdivision", default="")
    if subdivision and not country:
        table.refuse("subdivision", "a key country beside it, such as 'GB'", rests_on=["country"])
    return PublicHolidays(country, subdivision) if country else None
