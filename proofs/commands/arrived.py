"""What the ruler readings of delivered prints mean: what to cut, or to print again."""

from collections.abc import Iterable, Mapping, Sequence

from proofs.findings import Severity
from proofs.lengths import Borders, Edge
from proofs.pages.columns import cut_to, in_columns
from proofs.pages.wording import mat_name
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.cutting.arrival import TRIM_FIRST, ArrivalVerdict
from proofs.plan.cutting.marks import Marks
from proofs.plan.cutting.mount_kinds import REACH, BenchEntry, Readings, at_bench
from proofs.plan.entry.board import Layout, Opening
from proofs.plan.entry.layout import mat_board
from proofs.plan.entry.trims import trims
from proofs.records.job import Job
from proofs.records.mounts import WindowKind
from proofs.run.json_report import SCHEMA, JsonValue, bench_record
from proofs.run.printable import printable

WAITING = "to measure"
_TITLE = 30  # columns
_TO_DO = {
    ArrivalVerdict.AS_PLANNED: "cut the planned opening",
    ArrivalVerdict.OTHER: "cut this opening instead of the planned one",
    ArrivalVerdict.AT_RISK: (
        "this is the best opening, but it keeps the rules only if nothing goes wrong"
    ),
    ArrivalVerdict.AGAIN: "no opening suits this print: have it printed again, or change the mount",
}
_TO_DO_GIVEN = {
    ArrivalVerdict.AS_PLANNED: "mount it behind the opening that is given",
    ArrivalVerdict.AT_RISK: (
        "mount it behind the opening that is given, which keeps the rules only if nothing goes"
        " wrong, or take another mat"
    ),
    ArrivalVerdict.AGAIN: (
        "this print does not suit the opening that is given: have it printed again, or take"
        " another mat"
    ),
}
_TO_DO_BARE = {
    ArrivalVerdict.AS_PLANNED: "mount it in its place",
    ArrivalVerdict.AT_RISK: (
        "mount it in its place, which keeps the rules only if nothing goes wrong"
    ),
    ArrivalVerdict.AGAIN: "have this print made again, or change the mount",
}


def verdict_of(bench: BenchEntry) -> str:
    """Return ``to measure``, or the verdict on the prints that were measured."""
    return bench.verdict or WAITING


def arrived_benches(
    job: Job, outcomes: Sequence[Outcome], readings: Readings
) -> Mapping[str, BenchEntry]:
    """Return each planned entry with its readings taken into account, by number."""
    plans = [outcome.plan for outcome in outcomes if outcome.plan]
    return {plan.entry.number: at_bench(job, plan, readings) for plan in plans}


def arrived_record(benches: Iterable[BenchEntry]) -> dict[str, JsonValue]:
    """Return these entries as a JSON record."""
    entries: list[JsonValue] = [{**bench_record(b), "verdict": verdict_of(b)} for b in benches]
    return {"schema": SCHEMA, "entries": entries}


def bench_table(benches: Sequence[BenchEntry], marks: Marks) -> list[str]:
    """Return a line for each entry: its verdict, its image, and the opening to cut at the back.

    Below it is what needs a decision: notes, warnings, and what to do unless all is as planned.
    """
    rows = [_row(bench, marks) for bench in benches]
    if not rows:
        return []
    head, *lines = in_columns([(" no", "title", "verdict", "image", "opening"), *rows])
    table = [head]
    for line, bench in zip(lines, benches, strict=True):
        is_plain = bench.verdict in (None, ArrivalVerdict.AS_PLANNED) and not bench.notes
        table += [line, *_trim_lines(bench), *_decisions(bench, is_plain=is_plain)]
    return table


def _row(bench: BenchEntry, marks: Marks) -> tuple[str, ...]:
    entry, layout = bench.plan.entry, bench.plan.layout
    images = " + ".join(marks.size(picture.image.size) for picture in layout.pictures)
    backs = " + ".join(marks.size(window[-1].back.size) for window in layout.windows)
    title = cut_to(printable(entry.title), _TITLE)
    return f"{printable(entry.number):>3}", title, verdict_of(bench), images, backs or "-"


def _trim_lines(bench: BenchEntry) -> list[str]:
    return [f"      {'trim':<10} to {trim.words}" for trim in trims(bench.plan)]


def _decisions(bench: BenchEntry, *, is_plain: bool) -> list[str]:
    lines = [f"      {'note':<10} {note}" for note in bench.notes]
    lines += _serious_lines(bench)
    if bench.verdict and not is_plain:
        lines.append(f"      {'':<10} -> {_to_do(bench, bench.verdict)}")
    return lines


def _serious_lines(bench: BenchEntry) -> list[str]:
    """The warnings and worse that count before the prints are measured, or after."""
    return [
        f"      {finding.severity.word:<10} {finding.message}"
        for finding in bench.findings
        if (bench.is_measured or finding.code == REACH) and finding.severity >= Severity.WARNING
    ]


def bench_lines(bench: BenchEntry, planned: Outcome, marks: Marks) -> list[str]:
    """Return one entry as text: its verdict, its measured sizes, and what to cut."""
    entry, verdict = planned.entry, verdict_of(bench)
    lines = [f"{entry.number:>4}  {verdict.upper():<14} {entry.title}"]
    lines += [f"      {words:<10} {value}" for words, value in _sizes(bench, planned, marks)]
    return [*lines, *_decisions(bench, is_plain=False)]


def _to_do(bench: BenchEntry, verdict: ArrivalVerdict) -> str:
    """What to do with a measured entry; a sheet that is known to be too large is trimmed first."""
    words = _TO_DO if bench.plan.layout.windows else _TO_DO_BARE
    words = _TO_DO_GIVEN if bench.is_given else words
    to_trim = verdict != ArrivalVerdict.AGAIN and any(n.startswith(TRIM_FIRST) for n in bench.notes)
    return f"trim it first, then {words[verdict]}" if to_trim else words[verdict]


def _sizes(bench: BenchEntry, planned: Outcome, marks: Marks) -> list[tuple[str, str]]:
    layout = bench.plan.layout
    lines: list[tuple[str, str]] = []
    before = planned.plan.layout.pictures if planned.plan else ()
    for picture, old in zip(layout.pictures, before, strict=True):
        image, was = str(picture.image.size), str(old.image.size)
        size = f"{image}, planned {was}" if bench.is_measured else f"{was} planned"
        lines.append(("image", size))
    if not bench.is_measured:
        sheets = dict.fromkeys(str(part.sheet) for part in bench.plan.parts if part.sheet)
        lines += [("sheet", sheet) for sheet in sheets]
    lines += [("trim", f"to {trim.words}") for trim in trims(bench.plan)]
    for place in range(len(layout.windows[0]) if layout.windows else 0):
        lines += _mat_lines(layout, place, marks)
    if not layout.windows:
        what = "image" if bench.plan.mount.window == WindowKind.SURROUND else "print"
        lines.append(("borders", f"{_four(layout.borders_face, marks)}, to the edge of the {what}"))
    return lines


def _mat_lines(layout: Layout, place: int, marks: Marks) -> list[tuple[str, str]]:
    """The openings of one mat, and the borders round all of them on its own board."""
    count, backs = len(layout.windows[0]), [window[place].back for window in layout.windows]
    which = f", {mat_name(place, count)}" if count > 1 else ""
    lines = [("opening", f"{marks.size(back.size)} at the back{which}") for back in backs]
    own = Opening.around(backs).borders_in(mat_board(layout.board, place))
    borders = f"{_four(own, marks)}, at the back, seen from the front{which}"
    return [*lines, ("borders", borders)]


def _four(borders: Borders, marks: Marks) -> str:
    sides = (Edge.TOP, Edge.BOTTOM, Edge.LEFT, Edge.RIGHT)
    return ", ".join(f"{side} {marks.with_unit(getattr(borders, side))}" for side in sides)
