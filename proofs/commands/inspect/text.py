"""An inspection in words: a line for each entry, what needs a decision, and the end of the run."""

from collections import Counter
from collections.abc import Iterator, Sequence

from proofs.errors import ExitCode
from proofs.inspection.inspected import InspectedEntry
from proofs.pages.columns import cut_to, display_width, filled
from proofs.pages.inspection.results import result_of, seen_in
from proofs.pages.wording import counted
from proofs.run.entry_table import TableLine
from proofs.run.printable import printable
from proofs.run.text_report import closing_line

_HEAD = ("no", "title", "result", "to look at", "searched")
_GAP = "  "
_LEAST_TITLE = 15  # columns
_NONE = "-"


def look_table(entries: Sequence[InspectedEntry], width: int) -> list[list[TableLine]]:
    """Return the head of the table, then the lines of each entry, at most ``width`` columns wide.

    A board of several pictures has a line for each of them.
    """
    rows = [list(_rows(entry)) for entry in entries]
    cells = [_HEAD, *(row for each in rows for row in each)]
    widths = [max(display_width(row[n]) for row in cells) for n in range(len(_HEAD))]
    others = sum(widths) - widths[1] + len(_GAP) * (len(_HEAD) - 1)
    widths[1] = min(widths[1], max(_LEAST_TITLE, width - others))
    table = [
        [_line(row, widths, entry) for row in each]
        for entry, each in zip(entries, rows, strict=True)
    ]
    return [[_line(_HEAD, widths, None)], *table]


def _line(row: Sequence[str], widths: Sequence[int], entry: InspectedEntry | None) -> TableLine:
    _, title, result, *rest = (
        filled(cut_to(cell, wide), wide) for cell, wide in zip(row, widths, strict=True)
    )
    before = f"{row[0].rjust(widths[0])}{_GAP}{title}{_GAP}"
    status = entry.outcome.status if entry and row[2] else None
    return TableLine(before, result, _GAP + _GAP.join(rest), status)


def _rows(entry: InspectedEntry) -> Iterator[tuple[str, str, str, str, str]]:
    outcome = entry.outcome
    number, title = printable(outcome.entry.number), printable(outcome.entry.title)
    if not entry.pictures:
        yield number, title, outcome.status.words, "", ""
        return
    for n, picture in enumerate(entry.pictures):
        share = f"{picture.look.inspection.searched_share * 100:.0f} %"
        seen = seen_in(picture) or _NONE
        if n == 0:
            yield number, title, result_of(entry), seen, share
        else:
            yield "", f"  picture {n + 1}", "", seen, share


def closing_lines(entries: Sequence[InspectedEntry], code: ExitCode) -> list[str]:
    """Return the counts of the run, and why it ends with this code."""
    counts = Counter(result_of(entry) for entry in entries)
    words = {"look": "to look at"}
    listed = ", ".join(f"{n} {words.get(result, result)}" for result, n in counts.items())
    lines = [f"{counted(len(entries), 'entry', 'entries')}: {listed}"]
    outcomes = [entry.outcome for entry in entries]
    return [*lines, *filter(None, [closing_line(outcomes, code)])]
