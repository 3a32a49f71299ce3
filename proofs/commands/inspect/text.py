"""An inspection in words: a line for each entry, what needs a decision, and the end of the run."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from proofs.errors import ExitCode
from proofs.inspection.inspected import InspectedEntry
from proofs.pages.columns import cut_to, display_width, filled
from proofs.pages.inspection.results import result_of, seen_in
from proofs.pages.wording import counted
from proofs.run.entry_table import TableLine
from proofs.run.printable import printable
from proofs.run.text_report import closing_line

_GAP = "  "
_SHORT_TITLE, _SHORT_MARKS = 15, 25  # columns: with less, they can no longer be told apart
_NONE = "-"


@dataclass(frozen=True, slots=True)
class _Row:
    """The cells of a line; those of an entry that was not looked at end with the result."""

    number: str
    title: str
    result: str
    marks: str = ""
    share: str = ""


_HEAD = _Row("no", "title", "result", "to look at", "searched")


def look_table(
    entries: Sequence[InspectedEntry], width: int, *, is_cut: bool = True
) -> list[list[TableLine]]:
    """Return the head of the table, then the lines of each entry, at most ``width`` columns wide.

    A board of several pictures has a line for each of them. Unless ``is_cut``, lines are as wide as
    it takes to state all marks, which are stated nowhere else.
    """
    rows = [list(_rows(entry)) for entry in entries]
    every = [_HEAD, *(row for each in rows for row in each)]
    longest = max(display_width(row.marks) for row in every)
    widths = _widths(every, width, least_marks=_SHORT_MARKS if is_cut else longest)
    table = [
        [_line(row, widths, entry) for row in each]
        for entry, each in zip(entries, rows, strict=True)
    ]
    return [[_line(_HEAD, widths, None)], *table]


def _widths(rows: Sequence[_Row], width: int, *, least_marks: int) -> _Row:
    """The widths of the columns, each as a blank cell; titles and marks share what is left."""

    def widest(cells: Iterable[str]) -> int:
        return max(map(display_width, cells))

    # Nothing follows the result of an entry that was not looked at: it may be longer.
    result = widest(row.result for row in rows if row.share)
    number, share = widest(r.number for r in rows), widest(r.share for r in rows)
    title, marks = widest(r.title for r in rows), widest(r.marks for r in rows)
    left = width - number - result - share - 4 * len(_GAP)
    if title + marks > left:
        marks = min(marks, max(least_marks, left - min(title, 2 * _SHORT_TITLE)))
        title = min(title, max(_SHORT_TITLE, left - marks))
    return _Row(*(" " * wide for wide in (number, title, result, marks, share)))


def _line(row: _Row, widths: _Row, entry: InspectedEntry | None) -> TableLine:
    before = f"{row.number.rjust(len(widths.number))}{_GAP}{_cell(row.title, widths.title)}{_GAP}"
    status = entry.outcome.status if entry and row.result else None
    if not row.share:
        return TableLine(before, row.result, status=status)
    after = f"{_GAP}{_cell(row.marks, widths.marks)}{_GAP}{row.share}"
    return TableLine(before, _cell(row.result, widths.result), after, status)


def _cell(text: str, blank: str) -> str:
    return filled(cut_to(text, len(blank)), len(blank))


def _rows(entry: InspectedEntry) -> Iterator[_Row]:
    outcome = entry.outcome
    number, title = printable(outcome.entry.number), printable(outcome.entry.title)
    if not entry.pictures:
        yield _Row(number, title, outcome.status.words)
    for n, picture in enumerate(entry.pictures):
        share = f"{picture.look.inspection.searched_share * 100:.0f} %"
        seen = seen_in(picture) or _NONE
        first = (number, title, result_of(entry)) if n == 0 else ("", f"  picture {n + 1}", "")
        yield _Row(*first, seen, share)


def closing_lines(entries: Sequence[InspectedEntry], code: ExitCode) -> list[str]:
    """Return the counts of the run, and why it ends with this code."""
    counts = Counter(result_of(entry) for entry in entries)
    words = {"look": "to look at"}
    listed = ", ".join(f"{n} {words.get(result, result)}" for result, n in counts.items())
    lines = [f"{counted(len(entries), 'entry', 'entries')}: {listed}"]
    outcomes = [entry.outcome for entry in entries]
    return [*lines, *filter(None, [closing_line(outcomes, code)])]
