"""A season by hand: who is away when, what the calendar lists, and how results are summed up."""

import datetime

from proofs.plan.bench.timetable import scheduled
from proofs.plan.season.exhibitions import (
    Away,
    Event,
    Exhibition,
    away_of,
    calendar,
    counted_results,
    season_pictures,
)
from proofs.records.entries import EntryResult
from proofs.records.timetables import JobStep
from tests.plan.season.seasons import TWO_MONTHS, at
from tests.workbench import SHIPPED

CLOSING = datetime.date(2030, 3, 15)  # a Friday
USUAL = SHIPPED.timetable("usual")


def test_mounts_are_away_from_the_first_day_of_shipping_until_they_are_back() -> None:
    schedule, back = scheduled(USUAL, CLOSING), datetime.date(2030, 5, 2)
    # By hand: the usual timetable ships five working days ahead, on the Friday before.
    assert away_of(schedule, back, TWO_MONTHS) == Away(datetime.date(2030, 3, 8), back, False)


def test_where_rules_do_not_say_when_they_are_back_a_time_is_assumed() -> None:
    away = away_of(scheduled(USUAL, CLOSING), None, TWO_MONTHS)
    # By hand: 60 days after 15 March are 14 May.
    assert (away.last, away.is_assumed) == (datetime.date(2030, 5, 14), True)


def test_two_absences_share_the_days_on_which_both_are_away() -> None:
    spring = Away(datetime.date(2030, 3, 8), datetime.date(2030, 5, 14), False)
    may = Away(datetime.date(2030, 5, 14), datetime.date(2030, 6, 1), False)
    june = Away(datetime.date(2030, 5, 15), datetime.date(2030, 6, 1), False)
    assert spring.shared(may) == (may.first, spring.last)
    assert spring.shared(june) is None


def test_a_picture_is_listed_once_with_everywhere_it_is_shown() -> None:
    autumn, winter = at("autumn", "pier", "reeds"), at("winter", "dunes", "pier")
    pictures = season_pictures([autumn, winter])
    assert [[s.exhibition.name for s in p.showings] for p in pictures] == [
        ["autumn", "winter"],
        ["autumn"],
        ["winter"],
    ]
    assert [showing.number for showing in pictures[0].showings] == ["1", "2"]


def test_a_picture_on_a_board_of_several_is_told_by_its_place() -> None:
    (first, second) = season_pictures([at("autumn", "pier | reeds")])
    assert [p.showings[0].number for p in (first, second)] == ["1/1", "1/2"]
    assert [p.file for p in (first, second)] == ["pier", "reeds"]


def test_the_calendar_is_in_the_order_of_the_days() -> None:
    schedule = scheduled(USUAL, CLOSING)
    one = Exhibition("autumn", "", (), (), (), schedule, away_of(schedule, None, TWO_MONTHS))
    undated = Exhibition("some day", "", (), (), ())
    events = calendar([undated, one])
    assert events == tuple(sorted(events, key=lambda event: event.day))
    assert [event.step for event in events] == [*JobStep, None, None]
    assert events[-2:] == (
        Event(CLOSING, "autumn", "closes"),
        Event(datetime.date(2030, 5, 14), "autumn", "back"),
    )


def test_results_are_counted_whatever_their_capitals() -> None:
    found = [
        EntryResult("Accepted", "Bronze"),
        EntryResult("accepted"),
        EntryResult("declined"),
        EntryResult(),
    ]
    results, awards = counted_results(found)
    assert dict(results) == {"accepted": 2, "declined": 1, "open": 1}
    assert dict(awards) == {"bronze": 1}
