"""One line for each entry, in columns that fit a terminal."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from proofs.densities import signed
from proofs.findings import Status
from proofs.lengths import Size, Unit, shown
from proofs.pages.columns import cut_to, display_width
from proofs.plan.checks.on_ruler import read_size
from proofs.plan.checks.outcomes import Outcome, PrintFile, StepOutcome
from proofs.plan.checks.room import Room, least_room
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.rules import VisibleRule
from proofs.run.printable import printable

_GAP = "  "
_LEAST_TITLE = 15  # columns: with less, titles can no longer be told apart
_SHORT_TITLE, _GOOD_TITLE = 20, 40
_OPEN = "-"


@dataclass(frozen=True, slots=True)
class TableLine:
    """A line of the table; its verdict stands apart, so that it can be coloured."""

    before: str
    verdict: str = ""
    after: str = ""
    status: Status | None = None

    def __str__(self) -> str:
        return f"{self.before}{self.verdict}{self.after}".rstrip()


@dataclass(frozen=True, slots=True)
class _Row:
    """The cells of a line: of an entry, or of one of its further pictures."""

    number: str
    title: str
    verdict: str
    visible: str
    sheet: str = ""
    step: str = ""
    room: str = ""
    status: Status | None = None


_HEAD = _Row("no", "title", "verdict", "visible", "sheet", "step", "to spare")


def entry_table(job: Job, outcomes: Sequence[Outcome], width: int) -> list[list[TableLine]]:
    """Return the head of the table, then the lines of each entry, at most ``width`` columns wide.

    Visible sizes are in both units where there is room for them, else in that of the rules.
    From 80 columns on there is room for all cells, and for 15 columns of each title.
    """
    unit = job.unit
    rows = [_rows(job, outcome, (unit, _other(unit))) for outcome in outcomes]
    if not _fits(rows, width, _GOOD_TITLE):
        rows = [_rows(job, outcome, (unit,)) for outcome in outcomes]
    if not _fits(rows, width, _SHORT_TITLE):
        rows = [[_compact(row) for row in entry] for entry in rows]
    return _lines([[_HEAD], *rows], width)


def _compact(row: _Row) -> _Row:
    visible, sheet = (text.replace(" × ", "×") for text in (row.visible, row.sheet))
    return replace(row, visible=visible, sheet=sheet)


def _other(unit: Unit) -> Unit:
    return Unit.MM if unit == Unit.IN else Unit.IN


def _rows(job: Job, outcome: Outcome, units: Sequence[Unit]) -> list[_Row]:
    """The rows of an entry: one for each of its pictures, the first with the verdict."""
    entry, verdict, status = outcome.entry, outcome.status.words, outcome.status
    number, title, plan = printable(entry.number), printable(entry.title), outcome.plan
    if plan is None:
        return [_Row(number, title, verdict, "", status=status)]
    sights, rule = _sights(outcome, plan), job.rules.visible if job.rules else VisibleRule()
    room = least_room(outcome.findings) if status == Status.MET else None
    rows = []
    for n, (sight, part) in enumerate(zip(sights, plan.parts, strict=True)):
        visible = _both(sight, units, rule)
        sheet = shown_size(part.sheet, units[0]) if part.sheet else "none"
        if n == 0:
            cells = (number, title, verdict, visible, sheet)
            rows.append(_Row(*cells, _step(plan), _room(room), status))
        else:
            rows.append(_Row("", f"  picture {n + 1}", "", visible, sheet))
    return rows


def _sights(outcome: Outcome, plan: Plan) -> list[Size]:
    """The visible size of each picture: as measured in its print file, else as planned."""
    files = _printed(outcome.steps)
    planned = [picture.sight.size for picture in plan.layout.pictures]
    return [file.measured_sight for file in files] if len(files) == len(planned) else planned


def _printed(steps: Iterable[StepOutcome]) -> Sequence[PrintFile]:
    return next((step.print_files for step in steps if step.print_files), ())


def _both(size: Size, units: Sequence[Unit], rule: VisibleRule) -> str:
    first, *rest = (read_size(size, rule, unit) for unit in units)
    return first + "".join(f" ({text})" for text in rest)


def shown_size(size: Size, unit: Unit) -> str:
    """Return a size of paper in one unit.

    >>> from proofs.lengths import inches
    >>> shown_size(Size(inches(20), inches(16)), Unit.IN)
    '20 × 16 in'
    """
    in_unit = Unit.CM if unit == Unit.MM else unit
    width, height = (shown(side, in_unit) for side in (size.width, size.height))
    return f"{width.rpartition(' ')[0]} × {height}"


def _step(plan: Plan) -> str:
    step = plan.chosen
    return f"{step.step} {signed(step.density)}" if step else _OPEN


def _room(room: Room | None) -> str:
    return room.word if room else ""


def _fits(rows: Sequence[Sequence[_Row]], width: int, title: int) -> bool:
    cells = [row for each in rows for row in each]
    longest = max((display_width(row.title) for row in cells), default=0)
    return _room_for_title(_widths([_HEAD, *cells]), width) >= min(longest, title)


def _widths(rows: Sequence[_Row]) -> dict[str, int]:
    names = ("number", "visible", "sheet", "step", "room")
    widths = {name: max(display_width(getattr(row, name)) for row in rows) for name in names}
    # Nothing follows the verdict of an entry that cannot be understood: it may be longer.
    verdicts = (display_width(row.verdict) for row in rows if row.visible)
    return widths | {"verdict": max(verdicts)}


def _room_for_title(widths: dict[str, int], width: int) -> int:
    return width - sum(widths.values()) - len(_GAP) * len(widths)


def _lines(entries: Sequence[Sequence[_Row]], width: int) -> list[list[TableLine]]:
    rows = [row for entry in entries for row in entry]
    widths = _widths(rows)
    longest = max(display_width(row.title) for row in rows)
    title = min(max(_LEAST_TITLE, _room_for_title(widths, width)), longest)
    return [[_line(row, widths, title) for row in entry] for entry in entries]


def _line(row: _Row, widths: dict[str, int], title: int) -> TableLine:
    before = row.number.rjust(widths["number"]) + _GAP + _padded(row.title, title) + _GAP
    verdict = row.verdict.ljust(widths["verdict"])
    cells = [_padded(getattr(row, name), widths[name]) for name in ("visible", "sheet", "step")]
    after = _GAP + _GAP.join([*cells, row.room])
    return TableLine(before, verdict, after.rstrip(), row.status)


def _padded(text: str, width: int) -> str:
    shown = cut_to(text, width)
    return shown + " " * (width - display_width(shown))
