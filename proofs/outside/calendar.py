"""The timetable as a calendar file (iCalendar, RFC 5545)."""

import datetime

from icalendar import Calendar, Event

from proofs.outside.files import sha256_of_bytes
from proofs.plan.bench.timetable import STEP_WORDS, Schedule

_DAY = datetime.timedelta(days=1)


def timetable_ics(schedule: Schedule, *, exhibition: str) -> bytes:
    """Return the calendar: an event of whole days for each step, and one for the closing date.

    The same timetable gives the same bytes. RFC 5545 requires the moment when each event was
    made (DTSTAMP); here that is the start of the first step's day, because the current time
    would change the file every time. An event's UID depends on exhibition, closing date and step,
    so that a calendar replaces its events when the file is imported again.
    """
    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", "-//proofs//timetable//EN")
    for span in schedule.steps:
        if span.working_days:
            title, to_do = STEP_WORDS[span.step]
            # A step ends on the first day of the next one: DTEND is exclusive.
            event = _event(schedule, exhibition, span.step, (span.begins, span.ends))
            event.add("summary", f"{title}: {exhibition}")
            event.add("description", f"{to_do}; done by {span.ends}")
            calendar.add_component(event)
    days = (schedule.receipt, schedule.receipt + _DAY)
    closing = _event(schedule, exhibition, "closing", days)
    closing.add("summary", f"Last day of receipt: {exhibition}")
    closing.add("description", f"closing date {schedule.closing}: receipt, not postmark")
    calendar.add_component(closing)
    return bytes(calendar.to_ical(sorted=False))


def _event(
    schedule: Schedule, exhibition: str, step: str, days: tuple[datetime.date, datetime.date]
) -> Event:
    """An event from the first of two days up to the second, exclusive."""
    key = "\n".join((exhibition, schedule.closing.isoformat(), step))
    stamp = datetime.datetime.combine(
        schedule.steps[0].begins, datetime.time(), tzinfo=datetime.UTC
    )
    event = Event()
    event.add("uid", f"{sha256_of_bytes(key.encode())[:32]}@proofs")
    event.add("dtstamp", stamp)
    event.add("dtstart", days[0])
    event.add("dtend", days[1])
    event.add("transp", "TRANSPARENT")  # a step blocks no other appointments
    return event
