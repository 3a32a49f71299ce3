"""Measured prints: the ruler readings kept next to the entries, and what they mean."""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from proofs.commands.mount.record import bench_entry
from proofs.errors import EntriesError
from proofs.findings import Severity
from proofs.lengths import Edge, Size
from proofs.outside.files import (
    is_there,
    keep_before,
    read_bytes,
    refuse_read_only,
    rewrite,
    write_new,
)
from proofs.outside.locks import locked
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.cutting.arrival import ArrivalVerdict
from proofs.plan.cutting.marks import Marks
from proofs.plan.cutting.mount_kinds import BenchEntry, Readings, at_bench
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.ruler_readings import (
    RulerReading,
    by_print,
    read_ruler_readings,
    with_ruler_reading,
)
from proofs.run.json_report import SCHEMA, JsonValue

READINGS = "arrived.csv"
WAITING = "to measure"
_TO_DO = {
    ArrivalVerdict.AS_PLANNED: "cut the planned opening",
    ArrivalVerdict.OTHER: "cut this opening instead of the planned one",
    ArrivalVerdict.AT_RISK: (
        "this is the best opening, but it keeps the rules only if nothing goes wrong"
    ),
    ArrivalVerdict.AGAIN: "no opening suits this print: have it printed again, or change the mount",
}


def load_readings(folder: Path, entries: Sequence[Entry]) -> Readings:
    """Return the readings kept next to the entries; empty if nothing has been measured yet.

    Raises ``EntriesError`` if a row cannot be understood or belongs to no entry.
    """
    path = folder / READINGS
    if not is_there(path):
        return {}
    readings = read_ruler_readings(read_bytes(path), str(path))
    refuse_unknown(readings, entries, str(path))
    return by_print(readings)


def refuse_unknown(readings: Sequence[RulerReading], entries: Sequence[Entry], name: str) -> None:
    """Raise ``EntriesError`` if a reading belongs to none of the entries."""
    known = {entry.number: entry for entry in entries}
    for reading in readings:
        where = f"{name}: line {reading.line}" if reading.line else name
        entry = known.get(reading.number)
        if entry is None:
            shown = ", ".join(list(known)[:12]) + (", ..." if len(known) > 12 else "")
            raise EntriesError(f"{where}: no entry {reading.number!r}; the entries are: {shown}")
        if entry.pictures and reading.picture > len(entry.pictures):
            raise EntriesError(
                f"{where}: entry {entry.number} has no picture {reading.picture};"
                f" it has {len(entry.pictures)}"
            )


def keep_readings(folder: Path, readings: Sequence[RulerReading]) -> str:
    """Write readings into the file next to the entries, and return in words what was done.

    If a reading replaces an earlier one, the earlier file is kept.
    """
    path = folder / READINGS
    with locked(path):
        return _kept(path, readings)


def _kept(path: Path, readings: Sequence[RulerReading]) -> str:
    before = read_bytes(path) if is_there(path) else None
    content = before
    for reading in readings:
        content = with_ruler_reading(content, reading, str(path))
    if content is None or content == before:
        return f"{path}: nothing to change"
    if before is None:
        write_new(path, content)
        return f"{path}: created"
    refuse_read_only(path)
    if content.startswith(before.rstrip(b"\r\n")):
        rewrite(path, content)
        return f"{path}: reading added" if len(readings) == 1 else f"{path}: readings added"
    kept = keep_before(path, before)
    rewrite(path, content)
    return f"{path}: reading changed; the earlier file is kept as {kept.name}"


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
    entries: list[JsonValue] = [{**bench_entry(b), "verdict": verdict_of(b)} for b in benches]
    return {"schema": SCHEMA, "entries": entries}


def bench_lines(bench: BenchEntry, planned: Outcome, marks: Marks) -> list[str]:
    """Return one entry as text: its verdict, its measured sizes, and what to cut."""
    entry, verdict = planned.entry, verdict_of(bench)
    lines = [f"{entry.number:>4}  {verdict.upper():<14} {entry.title}"]
    lines += [f"      {words:<10} {value}" for words, value in _sizes(bench, planned, marks)]
    lines += [f"      {'note':<10} {note}" for note in bench.notes]
    for finding in bench.findings if bench.is_measured else ():
        if finding.severity >= Severity.WARNING:
            lines.append(f"      {finding.severity.word:<10} {finding.message}")
    if bench.verdict:
        lines.append(f"      {'':<10} -> {_TO_DO[bench.verdict]}")
    return lines


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
    for window in layout.windows:
        lines.append(("opening", f"{_on_marks(window[-1].back.size, marks)} at the back"))
    if layout.windows:
        sides = (Edge.TOP, Edge.BOTTOM, Edge.LEFT, Edge.RIGHT)
        widths = ((side, marks.with_unit(getattr(layout.borders_back, side))) for side in sides)
        borders = [f"{side} {width}" for side, width in widths]
        lines.append(("borders", f"{', '.join(borders)}, at the back, seen from the front"))
    return lines


def _on_marks(size: Size, marks: Marks) -> str:
    return f"{marks.number(size.width)} × {marks.with_unit(size.height)}"
