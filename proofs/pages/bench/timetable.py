"""The timetable of a job, counted back from the closing date."""

import datetime
from collections.abc import Iterator

from proofs.pages.drawing import Block, Page
from proofs.pages.flow import (
    READ,
    READ_ALARM,
    READ_ASIDE,
    READ_STRONG,
    Columns,
    FlowPart,
    OnPaper,
    opening_block,
    table_parts,
)
from proofs.pages.typography import Setter
from proofs.plan.bench.timetable import STEP_WORDS, Schedule, Span

_HOW = (
    "Counted back from the closing date, which means receipt, not postmark. The rules of the"
    " exhibition in hand always win; ask your lab and your carrier for their own days."
)
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July", "August", "September"),
    *("October", "November", "December"),
)


def timetable_pages(schedule: Schedule, today: datetime.date, on: OnPaper) -> tuple[Page, ...]:
    """Return the timetable; what should have begun before ``today`` is said plainly."""
    return on.pages(_parts(schedule, today, on.name, on.setter), "Timetable")


def in_full(day: datetime.date) -> str:
    """Return a day for people, the same in every locale.

    >>> in_full(datetime.date(2026, 10, 16))
    'Fri 16 October 2026'
    """
    return f"{_WEEKDAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def lateness(schedule: Schedule, today: datetime.date) -> str:
    """Return in words what is past, and what to do about it; nothing where all is ahead."""
    if schedule.receipt < today:
        return f"The last day of receipt, {in_full(schedule.receipt)}, has passed."
    past = schedule.past(today)
    if not past:
        return ""
    days = (today - past[0].begins).days
    *others, last = (STEP_WORDS[span.step][0].lower() for span in past)
    which = f"{', '.join(others)} and {last}" if others else last
    return (
        f"Late: {which} should have begun already, {'the first ' if others else ''}{days}"
        f" {'day' if days == 1 else 'days'} ago. What is done is done; for the rest, shorten a"
        " step, take a faster carrier, or bring the mounts yourself."
    )


def _parts(
    schedule: Schedule, today: datetime.date, name: str, setter: Setter
) -> Iterator[FlowPart]:
    lines = [(name, READ)] if name else []
    lines.append((f"closing date {in_full(schedule.closing)}", READ_STRONG))
    if schedule.receipt != schedule.closing:
        lines.append((f"nobody works then: received by {in_full(schedule.receipt)}", READ))
    yield FlowPart(opening_block("Timetable", lines, (_HOW, READ), setter))
    late = lateness(schedule, today)
    if late:
        yield FlowPart(setter.paragraph(late, READ_ALARM, setter.span(3)))
    columns = Columns(setter, (1.5, 3.6, 1.3, 2.6, 2.6))
    heads = ("step", "what", "working days", "begins", "over by")
    rows = [_row(span, today, columns) for span in schedule.spans if span.working_days]
    yield from table_parts(columns.head(heads), [*rows, _received(schedule, columns)])


def _row(span: Span, today: datetime.date, columns: Columns) -> Block:
    title, to_do = STEP_WORDS[span.step]
    is_past = span.begins < today
    begins = f"{in_full(span.begins)}: past" if is_past else in_full(span.begins)
    return columns.row(
        [
            (title, READ_STRONG),
            (to_do, READ),
            (str(span.working_days), READ),
            (begins, READ_ALARM if is_past else READ),
            (in_full(span.ends), READ),
        ]
    )


def _received(schedule: Schedule, columns: Columns) -> Block:
    cells = [("Receipt", READ_STRONG), ("the mounts are there", READ), ("", READ), ("", READ_ASIDE)]
    return columns.row([*cells, (in_full(schedule.receipt), READ_STRONG)])
