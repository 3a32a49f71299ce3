"""When each step of a job must begin, counted back from the day the mounts must arrive."""

import datetime
from dataclasses import dataclass

from proofs.errors import UsageError
from proofs.records.timetables import JobStep, Timetable, WorkDays

STEP_WORDS = {
    JobStep.STRIP: ("Test strip", "order it, let it dry, choose the steps"),
    JobStep.PRINTS: ("Prints", "order them, wait for them, measure them"),
    JobStep.RESERVE: ("Reserve", "time to have one print made again"),
    JobStep.BENCH: ("Bench", "cut the mats, mount, label"),
    JobStep.DRYING: ("Drying", "lie flat under weight"),
    JobStep.SHIPPING: ("Shipping", "hand in the parcel on the first day"),
}
"""The name of each step on pages, and what is done in it."""

_DAY = datetime.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class ScheduledStep:
    """One step, from the day it ``begins`` to the day it ``ends``, on which the next one begins."""

    step: JobStep
    working_days: int
    begins: datetime.date
    ends: datetime.date


@dataclass(frozen=True, slots=True)
class Schedule:
    """The steps in their order.

    ``closing`` is the last day of receipt that the rules state, and ``receipt`` the last working
    day up to it, when somebody is there to take in a parcel. ``work_days`` are those counted.
    """

    closing: datetime.date
    receipt: datetime.date
    steps: tuple[ScheduledStep, ...]
    work_days: WorkDays

    @property
    def days_off(self) -> tuple[tuple[datetime.date, str], ...]:
        """The dates left out, besides days of the week, from the first step to the closing date.

        Each has the name of the public holiday, blank if the timetable names the day itself.
        """
        first = min((span.begins for span in self.steps), default=self.receipt)
        public = self.work_days.public
        names = {**(public.names if public else {}), **dict.fromkeys(self.work_days.days_off, "")}
        weekdays = self.work_days.weekdays
        return tuple(
            (day, name)
            for day, name in sorted(names.items())
            if first <= day <= self.closing and day.weekday() in weekdays
        )

    def past(self, today: datetime.date) -> tuple[ScheduledStep, ...]:
        """Return the steps that should have begun before ``today``."""
        return tuple(s for s in self.steps if s.working_days and s.begins < today)


def scheduled(timetable: Timetable, closing: datetime.date) -> Schedule:
    """Return the steps counted back from a closing date of receipt.

    A step of n working days begins n working days before it must be over. Raises ``UsageError``
    if the calendar does not go back that far.
    """
    try:
        return _counted_back(timetable, closing)
    except OverflowError as error:
        days = sum(timetable.working_days)
        raise UsageError(
            f"closing date {closing}: the calendar ends before the {days} working days of"
            f" timetable {timetable.name!r}; name a later date, or a timetable of fewer days"
        ) from error


def _counted_back(timetable: Timetable, closing: datetime.date) -> Schedule:
    receipt = last_worked(closing, timetable.work_days)
    steps: list[ScheduledStep] = []
    ends = receipt
    for step, days in reversed(list(zip(JobStep, timetable.working_days, strict=True))):
        begins = worked_before(ends, days, timetable.work_days)
        steps.append(ScheduledStep(step, days, begins, ends))
        ends = begins
    return Schedule(closing, receipt, tuple(reversed(steps)), timetable.work_days)


def last_worked(day: datetime.date, work_days: WorkDays) -> datetime.date:
    """Return the day itself if it is a working day, otherwise the last working day before it."""
    while not work_days.is_worked(day):
        day -= _DAY
    return day


def worked_before(day: datetime.date, count: int, work_days: WorkDays) -> datetime.date:
    """Return the day that is this many working days before a working day."""
    for _ in range(count):
        day = last_worked(day - _DAY, work_days)
    return day


def worked_after(day: datetime.date, count: int, work_days: WorkDays) -> datetime.date:
    """Return the working day that is this many working days after a day."""
    for _ in range(count):
        day += _DAY
        while not work_days.is_worked(day):
            day += _DAY
    return day


def late_prints(
    timetable: Timetable,
    today: datetime.date,
    *,
    needed_by: datetime.date | None = None,
    closing: datetime.date | None = None,
) -> tuple[str, ...]:
    """Return what to say if prints ordered today come after they are needed, or are asked too late.

    ``needed_by`` is the day that is asked of the lab. For the ``closing`` date of receipt the
    prints must be there when the timetable's next step begins; a date that has passed asks nothing.
    """
    days = timetable.working_days[list(JobStep).index(JobStep.PRINTS)]
    due, found = worked_after(today, days, timetable.work_days), []
    allowed = f"the timetable {timetable.name!r} allows {days} working days for them"
    if needed_by is not None and needed_by < due:
        found.append(
            f"the prints are needed by {needed_by}, but are not due before {due}: {allowed}; ask"
            " the lab, or order express"
        )
    if closing is None or closing < today:
        return tuple(found)
    wanted = prints_wanted(timetable, closing)
    if needed_by is not None and needed_by > wanted:
        found.append(
            f"{needed_by} is too late for the closing date {closing}: by the timetable"
            f" {timetable.name!r} the prints must be there by {wanted}; ask for that day, or name a"
            " timetable of shorter steps with --timetable"
        )
    elif needed_by is None and wanted < due:
        found.append(
            f"for the closing date {closing} the prints must be there by {wanted}, but are not due"
            f" before {due}: {allowed}; ask the lab, or order express"
        )
    return tuple(found)


def prints_wanted(timetable: Timetable, closing: datetime.date) -> datetime.date:
    """Return the day by which the prints must be there, for the mounts to arrive in time."""
    steps = scheduled(timetable, closing).steps
    return next(span.ends for span in steps if span.step == JobStep.PRINTS)
