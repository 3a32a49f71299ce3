"""The timetable of a job, counted back from the closing date."""

import datetime
from collections.abc import Iterator

from proofs.pages.drawing import Block
from proofs.pages.flow import FlowPart, PageLayout
from proofs.pages.headings import opening_block
from proofs.pages.table import Columns, table_parts
from proofs.pages.typography import ALARM, BODY, FIGURE_STRONG, STRONG
from proofs.pages.wording import counted, short_weekday, with_weekday
from proofs.plan.bench.timetable import STEP_WORDS, Schedule, ScheduledStep

_HOW = (
    "Counted back from the closing date, which means receipt, not postmark. The rules of the"
    " exhibition in hand always win. Ask your lab and your carrier how long they take."
)


NO_COUNTRY = (
    "Public holidays are not known and count as working days: name your country in the timetable"
    " profile, or the days under days_off."
)
"""What to say of a timetable without a country."""
_MOST_NAMED = 8  # of the days off on the page


def days_not_worked(schedule: Schedule) -> str:
    """Return in words which days are not counted, and where public holidays are from."""
    days = [short_weekday(n) for n in range(7) if n not in schedule.work_days.weekdays]
    off, public = schedule.days_off, schedule.work_days.public
    named = ", ".join(_day_off(day, name) for day, name in off[:_MOST_NAMED])
    more = f" and {len(off) - _MOST_NAMED} more" if len(off) > _MOST_NAMED else ""
    listed = [*days, f"{named}{more}"] if off else days
    known = NO_COUNTRY
    if public:
        known = f"Public holidays are those of {public.place}, as {public.source} lists them."
    return f"Days not worked: {', '.join(listed) or 'none'}. {known}"


def _day_off(day: datetime.date, name: str) -> str:
    return f"{with_weekday(day)} ({name})" if name else with_weekday(day)


def lateness(schedule: Schedule, today: datetime.date) -> str:
    """Return in words what is late, and what to do about it; blank if nothing is."""
    if schedule.receipt < today:
        return f"The last day of receipt, {with_weekday(schedule.receipt)}, has passed."
    past = schedule.past(today)
    if not past:
        return ""
    days = counted((today - past[0].begins).days, "day")
    *others, last = (STEP_WORDS[span.step][0].lower() for span in past)
    which = f"{', '.join(others)} and {last}" if others else last
    return (
        f"Late: {which} should have begun already, {'the first ' if others else ''}{days} ago."
        " Skip the steps that are already done. To gain time on the rest, shorten a step, use a"
        " faster carrier, or deliver the mounts yourself."
    )


def timetable_parts(
    schedule: Schedule, today: datetime.date, layout: PageLayout
) -> Iterator[FlowPart]:
    """Yield the timetable; steps that should have begun before ``today`` are marked late."""
    setter = layout.setter
    lines = [(layout.name, BODY)] if layout.name else []
    lines.append((f"closing date {with_weekday(schedule.closing)}", STRONG))
    if schedule.receipt != schedule.closing:
        words = f"not a working day: to be received by {with_weekday(schedule.receipt)}"
        lines.append((words, BODY))
    how = [(_HOW, BODY), (days_not_worked(schedule), STRONG)]
    yield FlowPart(opening_block("Timetable", lines, how, setter))
    late = lateness(schedule, today)
    if late:
        yield FlowPart(setter.paragraph(late, ALARM, setter.width))
    columns = Columns(setter, (1.5, 3.6, 1.3, 2.6, 2.6))
    heads = ("step", "what to do", "working days", "begins", "done by")
    rows = [_row(span, today, columns) for span in schedule.steps if span.working_days]
    yield from table_parts(columns.head(heads), [*rows, _received(schedule, columns)])


def _row(span: ScheduledStep, today: datetime.date, columns: Columns) -> Block:
    title, to_do = STEP_WORDS[span.step]
    is_late = span.begins < today
    begins = with_weekday(span.begins)
    return columns.row(
        [
            (title, STRONG),
            (to_do, BODY),
            (str(span.working_days), BODY),
            (f"{begins}: late", ALARM) if is_late else (begins, BODY),
            (with_weekday(span.ends), BODY),
        ]
    )


def _received(schedule: Schedule, columns: Columns) -> Block:
    cells = [("Receipt", STRONG), ("the mounts have arrived", BODY), ("", BODY), ("", BODY)]
    return columns.row([*cells, (with_weekday(schedule.receipt), FIGURE_STRONG)])
