"""The timetable counted back, held to NumPy's own count of business days."""

import datetime
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.errors import UsageError
from proofs.plan.bench.timetable import (
    STEP_WORDS,
    Schedule,
    late_prints,
    prints_wanted,
    scheduled,
    worked_after,
)
from proofs.records.timetables import JobStep, Timetable, WorkDays

FRIDAY, SUNDAY = datetime.date(2026, 10, 16), datetime.date(2026, 10, 18)
USUAL_WEEK = WorkDays()
days = st.dates(datetime.date(2024, 1, 1), datetime.date(2030, 12, 31))
weeks = st.frozensets(st.integers(0, 6), min_size=1)
work_days = st.builds(WorkDays, weeks, st.frozensets(days, max_size=20))
counts = st.tuples(*[st.integers(0, 15)] * len(JobStep))


def timetable(*working_days: int, week: WorkDays = USUAL_WEEK) -> Timetable:
    return Timetable("own", "Own", "made up", working_days, week)


def back(day: datetime.date, count: int, week: WorkDays) -> datetime.date:
    """Return what NumPy counts: the last business day up to ``day``, then ``count`` back."""
    mask = [number in week.weekdays for number in range(7)]
    off = [np.datetime64(d) for d in week.days_off]
    counted = np.busday_offset(
        np.datetime64(day), -count, roll="backward", weekmask=mask, holidays=off
    )
    return datetime.date.fromisoformat(str(counted))


def schedule(closing: datetime.date = SUNDAY) -> Schedule:
    return scheduled(timetable(7, 7, 5, 3, 2, 5), closing)


@given(days, counts, work_days)
def test_every_step_begins_as_many_working_days_back_as_numpy_counts(
    closing: datetime.date, working_days: tuple[int, ...], week: WorkDays
) -> None:
    made = scheduled(timetable(*working_days, week=week), closing)
    assert made.receipt == back(closing, 0, week)
    assert [span.begins for span in made.steps] == [
        back(closing, sum(working_days[n:]), week) for n in range(len(JobStep))
    ]


@given(days, counts, work_days)
def test_a_step_is_over_when_the_next_one_begins(
    closing: datetime.date, working_days: tuple[int, ...], week: WorkDays
) -> None:
    made = scheduled(timetable(*working_days, week=week), closing)
    assert [span.step for span in made.steps] == list(JobStep)
    assert all(one.ends == other.begins for one, other in pairwise(made.steps))
    assert made.steps[-1].ends == made.receipt <= closing


def test_mounts_are_received_on_the_last_working_day_before_a_sunday() -> None:
    assert schedule().receipt == FRIDAY


def test_a_closing_date_before_all_calendars_is_refused_with_the_remedy() -> None:
    with pytest.raises(UsageError, match="29 working days of timetable 'own'; name a later date"):
        schedule(datetime.date(1, 1, 5))


def test_a_day_off_is_not_worked() -> None:
    week = WorkDays(days_off=frozenset({FRIDAY}))
    assert scheduled(timetable(0, 0, 0, 0, 0, 1, week=week), FRIDAY).receipt == FRIDAY.replace(
        day=15
    )


@pytest.mark.parametrize(
    ("today", "steps"),
    [
        (datetime.date(2026, 9, 7), []),
        (datetime.date(2026, 9, 8), [JobStep.STRIP]),
        (datetime.date(2026, 10, 19), list(JobStep)),
    ],
)
def test_steps_that_should_have_begun_are_past(today: datetime.date, steps: list[str]) -> None:
    assert [span.step for span in schedule().past(today)] == steps


def test_a_step_of_no_days_is_never_past() -> None:
    made = scheduled(timetable(0, 0, 0, 0, 0, 0), FRIDAY)
    assert made.past(FRIDAY + datetime.timedelta(days=9)) == ()


def test_every_step_has_its_words() -> None:
    assert list(STEP_WORDS) == list(JobStep)


@given(days, st.integers(0, 15), work_days)
def test_days_ahead_are_counted_as_numpy_counts_them(
    day: datetime.date, count: int, week: WorkDays
) -> None:
    mask = [number in week.weekdays for number in range(7)]
    off = [np.datetime64(d) for d in week.days_off]
    counted = np.busday_offset(
        np.datetime64(day), count, roll="backward", weekmask=mask, holidays=off
    )
    expected = datetime.date.fromisoformat(str(counted)) if count else day
    assert worked_after(day, count, week) == expected


def test_prints_that_are_needed_before_they_can_come_are_named() -> None:
    # Seven working days after Friday, 16 October 2026, are Tuesday, 27 October.
    usual, due = timetable(7, 7, 5, 3, 2, 5), datetime.date(2026, 10, 27)
    assert late_prints(usual, FRIDAY, needed_by=due) == ()
    (too_soon,) = late_prints(usual, FRIDAY, needed_by=due - datetime.timedelta(1))
    assert "needed by 2026-10-26, but are not due before 2026-10-27" in too_soon


# By hand: 5 + 3 + 2 + 5 working days before Friday, 27 November 2026, are three weeks: 6 November.
CLOSING, WANTED = datetime.date(2026, 11, 27), datetime.date(2026, 11, 6)


def test_prints_must_be_there_when_the_step_after_them_begins() -> None:
    assert prints_wanted(timetable(7, 7, 5, 3, 2, 5), CLOSING) == WANTED


def test_a_day_that_is_too_late_for_the_closing_date_is_named_with_the_one_that_is_not() -> None:
    usual = timetable(7, 7, 5, 3, 2, 5)
    assert late_prints(usual, FRIDAY, needed_by=WANTED, closing=CLOSING) == ()
    day = WANTED + datetime.timedelta(days=1)
    (late,) = late_prints(usual, FRIDAY, needed_by=day, closing=CLOSING)
    assert late.startswith("2026-11-07 is too late for the closing date 2026-11-27")
    assert "the prints must be there by 2026-11-06" in late


def test_without_such_a_day_prints_are_compared_with_the_closing_date() -> None:
    # Seven working days after Thursday, 29 October are Monday, 9 November.
    usual = timetable(7, 7, 5, 3, 2, 5)
    assert late_prints(usual, datetime.date(2026, 10, 28), closing=CLOSING) == ()
    (late,) = late_prints(usual, datetime.date(2026, 10, 29), closing=CLOSING)
    assert "must be there by 2026-11-06, but are not due before 2026-11-09" in late


def test_a_closing_date_that_has_passed_asks_nothing_more() -> None:
    usual = timetable(7, 7, 5, 3, 2, 5)
    assert late_prints(usual, CLOSING + datetime.timedelta(days=1), closing=CLOSING) == ()
