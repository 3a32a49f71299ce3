"""Timetables: the shipped one can be read, and a faulty one is refused with the reason."""

import datetime
import re
import tomllib

import pytest

from proofs.errors import ProfileError
from proofs.records.tables import Table
from proofs.records.timetables import JobStep, Timetable, WorkDays, read_timetable
from tests.workbench import SHIPPED

WHOLE = """
title = 'T'
source = 'S'
weekdays = ['tue', 'sat']
days_off = [2026-12-26]
[working_days]
strip = 1
prints = 2
reserve = 0
bench = 3
drying = 4
shipping = 5
"""
BOXING_DAY = datetime.date(2026, 12, 26)


def timetable(text: str) -> Timetable:
    """Return the timetable of a profile's text."""
    return read_timetable(Table(tomllib.loads(text), "own.toml"), "own")


def test_a_timetable_is_read_completely() -> None:
    days = WorkDays(frozenset({1, 5}), frozenset({BOXING_DAY}))
    assert timetable(WHOLE) == Timetable("own", "T", "S", (1, 2, 0, 3, 4, 5), days)


def test_monday_to_friday_are_working_days_by_default() -> None:
    read = timetable(WHOLE.replace("weekdays = ['tue', 'sat']", ""))
    assert read.work_days.weekdays == frozenset(range(5))


@pytest.mark.parametrize(
    ("line", "instead", "said"),
    [
        ("strip = 1", "", "own.toml: working_days.strip: found nothing; expected a whole number"),
        ("strip = 1", "strip = -1", "own.toml: working_days.strip: found -1; expected a whole"),
        ("strip = 1", "stripe = 1", "unknown key 'stripe'"),
        (
            "'tue'",
            "'Tuesday'",
            "own.toml: weekdays: found ['Tuesday', 'sat']; expected a list of some of",
        ),
        ("[2026-12-26]", "['26 December']", "own.toml: days_off: found ['26 December']; expected"),
        ("[2026-12-26]", "[2026-12-26T10:00:00]", "own.toml: days_off: found "),
        ("[2026-12-26]", "2026-12-26", "own.toml: days_off: found "),
    ],
)
def test_a_faulty_timetable_is_refused(line: str, instead: str, said: str) -> None:
    with pytest.raises(ProfileError, match=re.escape(said)):
        timetable(WHOLE.replace(line, instead))


def test_the_shipped_timetable_has_time_for_every_step() -> None:
    # The figures are common practice, no source: labs and carriers differ.
    read = SHIPPED.timetable("usual")
    assert len(read.working_days) == len(JobStep)
    assert min(read.working_days) > 0


def test_the_shipped_reserve_is_long_enough_to_reprint() -> None:
    days = dict(zip(JobStep, SHIPPED.timetable("usual").working_days, strict=True))
    assert days[JobStep.RESERVE] >= days[JobStep.PRINTS]
