"""The calendar file, read back by another library (vobject) and held to RFC 5545."""

import datetime
from typing import Any

import pytest
import vobject

from proofs.outside.calendar import timetable_ics
from proofs.plan.bench.timetable import scheduled
from proofs.records.timetables import JobStep, Timetable
from tests.workbench import SHIPPED

CLOSING = datetime.date(2026, 10, 18)
NO_DAYS = Timetable("none", "None", "made up", (0,) * len(JobStep))
SCHEDULE = scheduled(SHIPPED.timetable("usual"), CLOSING)
NAMES = [
    "Spring prints",
    "Prints; of, all \\ kinds\nand two lines",
    "Ἄνεμος καὶ ἄμμος " * 12,
]
names = pytest.mark.parametrize("name", NAMES, ids=["plain", "signs", "long"])


def events(name: str) -> list[Any]:
    """Return the events that vobject reads."""
    calendar = vobject.readOne(timetable_ics(SCHEDULE, exhibition=name).decode())
    assert calendar.version.value == "2.0"
    return list(calendar.vevent_list)


@names
def test_another_library_reads_every_step_with_its_days(name: str) -> None:
    spans = [(span.begins, span.ends) for span in SCHEDULE.steps]
    receipt = (SCHEDULE.receipt, SCHEDULE.receipt + datetime.timedelta(days=1))
    assert [(e.dtstart.value, e.dtend.value) for e in events(name)] == [*spans, receipt]


@names
def test_another_library_reads_the_exhibition_as_written(name: str) -> None:
    assert all(event.summary.value.endswith(f": {name}") for event in events(name))


def test_receipt_is_told_apart_from_the_postmark() -> None:
    last = events("Spring prints")[-1]
    assert last.summary.value.startswith("Last day of receipt")
    assert last.description.value == "closing date 2026-10-18: receipt, not postmark"


def test_the_same_timetable_gives_the_same_bytes() -> None:
    assert timetable_ics(SCHEDULE, exhibition="A") == timetable_ics(SCHEDULE, exhibition="A")


def test_no_event_carries_the_clock() -> None:
    # RFC 5545, 3.8.7.2, wants DTSTAMP in UTC; here it is the start of the first step.
    begins = SCHEDULE.steps[0].begins
    (stamp,) = {event.dtstamp.value for event in events("A")}
    assert stamp.utctimetuple()[:6] == (*begins.timetuple()[:3], 0, 0, 0)


def test_every_event_has_a_uid_of_its_own_that_goes_by_date_and_exhibition() -> None:
    own, other = events("A"), events("B")
    later = scheduled(SHIPPED.timetable("usual"), datetime.date(2026, 11, 1))
    uids = [event.uid.value for event in (*own, *other)]
    assert len(set(uids)) == len(uids)
    assert not any(uid.encode() in timetable_ics(later, exhibition="A") for uid in uids)


@names
def test_lines_end_and_are_folded_as_rfc_5545_asks(name: str) -> None:
    # RFC 5545, 3.1: CRLF at the end, at most 75 octets before it.
    content = timetable_ics(SCHEDULE, exhibition=name)
    lines = content.split(b"\r\n")
    assert content.count(b"\n") == content.count(b"\r\n")
    assert max(map(len, lines)) <= 75


def test_a_step_of_no_days_is_no_event() -> None:
    content = timetable_ics(scheduled(NO_DAYS, CLOSING), exhibition="A")
    assert content.count(b"BEGIN:VEVENT") == 1
