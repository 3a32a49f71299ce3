"""Public holidays, held to the library's own calendars and to days that governments published."""

import datetime
import tomllib
from importlib.metadata import version
from pathlib import Path

import holidays
import numpy as np
import pytest

from proofs.errors import ProfileError
from proofs.outside.profiles import profile_folders
from proofs.outside.public_holidays import with_public_holidays
from proofs.pages.bench.timetable import days_not_worked
from proofs.plan.bench.timetable import scheduled
from proofs.records.tables import Table
from proofs.records.timetables import Timetable, read_timetable

PLACES = [("GB", "SCT"), ("DE", "BY"), ("JP", "")]
TEXT = """
title = 'T'
source = 'made up'
country = '{}'
subdivision = '{}'
working_days = {{ strip = 5, prints = 5, reserve = 5, bench = 5, drying = 2, shipping = 5 }}
"""


def timetable(country: str, subdivision: str = "") -> Timetable:
    text = TEXT.format(country, subdivision)
    return read_timetable(Table(tomllib.loads(text), "own.toml"), "own")


@pytest.mark.parametrize("place", PLACES)
def test_days_are_counted_back_as_numpy_counts_them_with_the_librarys_calendar(
    place: tuple[str, str],
) -> None:
    country, subdivision = place
    calendar = holidays.country_holidays(country, subdiv=subdivision or None, years=[2025, 2026])
    off = [np.datetime64(day) for day in sorted(calendar)]
    closing = datetime.date(2026, 1, 9)
    made = scheduled(with_public_holidays(timetable(*place), closing), closing)
    begins = np.busday_offset(np.datetime64(closing), -27, roll="backward", holidays=off)
    assert made.steps[0].begins == datetime.date.fromisoformat(str(begins))
    first = made.steps[0].begins
    skipped = [day for day in sorted(calendar) if first <= day <= closing and day.weekday() < 5]
    assert [day for day, _ in made.days_off] == skipped
    assert skipped


def test_easter_is_not_worked_in_england() -> None:
    # Good Friday and Easter Monday of 2026 are 3 and 6 April (bank holidays as the government of
    # the United Kingdom publishes them; from memory). The five working days before Tuesday, 7
    # April, are thus 2 and 1 April, 31, 30 and 27 March; without a country the last is 31 March.
    closing = datetime.date(2026, 4, 7)
    own = timetable("GB", "ENG")
    made = scheduled(with_public_holidays(own, closing), closing)
    assert made.steps[5].begins == datetime.date(2026, 3, 27)
    assert made.steps[4].begins == datetime.date(2026, 3, 25)  # two of drying before that
    assert scheduled(own, closing).steps[5].begins == datetime.date(2026, 3, 31)
    words = days_not_worked(made)
    assert "Fri 3 April 2026 (Good Friday), Mon 6 April 2026 (Easter Monday)" in words
    assert words.endswith(f"those of GB-ENG, as holidays {version('holidays')} lists them.")


@pytest.mark.parametrize("year", [1, 1900, 9999])
def test_the_ends_of_the_calendar_are_no_trouble(year: int) -> None:
    made = with_public_holidays(timetable("GB"), datetime.date(year, 6, 1))
    assert made.work_days.public is not None
    assert made.work_days.public.source.startswith("holidays ")


@pytest.mark.parametrize(
    ("place", "words"),
    [
        (("XX", ""), "country: 'XX' is not known; write its two letters of ISO 3166"),
        (("gb", ""), "country: 'gb' is not known; did you mean 'GB'"),
        (("GB", "Scotland"), "subdivision: 'Scotland' is not known; they are ENG, NIR, SCT, WLS"),
        (("GB", "SCO"), "subdivision: 'SCO' is not known; did you mean 'SCT'"),
        (("", "SCT"), "subdivision: found 'SCT'; expected a key country beside it"),
    ],
)
def test_a_place_that_nothing_is_known_of_is_refused(
    tmp_path: Path, place: tuple[str, str], words: str
) -> None:
    (tmp_path / "timetables").mkdir()
    (tmp_path / "timetables" / "own.toml").write_text(TEXT.format(*place))
    with pytest.raises(ProfileError, match=words):
        profile_folders(tmp_path).timetable("own")
