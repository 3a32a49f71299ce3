"""The ruler readings of delivered prints, kept next to the entries in ``arrived.csv``."""

from collections.abc import Sequence
from pathlib import Path

from proofs.errors import EntriesError
from proofs.outside.files import (
    is_there,
    read_bytes,
    rewrite,
    rewrite_keeping,
    write_new,
)
from proofs.outside.locks import locked
from proofs.plan.cutting.mount_kinds import Readings
from proofs.records.entries import Entry
from proofs.records.ruler_readings import (
    RulerReading,
    by_print,
    read_ruler_readings,
    with_ruler_reading,
)
from proofs.run.text_report import first_few

READINGS = "arrived.csv"


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
            raise EntriesError(
                f"{where}: no entry {reading.number!r}; the entries are: {first_few(known)}"
            )
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
        return _written(path, readings)


def _written(path: Path, readings: Sequence[RulerReading]) -> str:
    before = read_bytes(path) if is_there(path) else None
    content = before
    for reading in readings:
        content = with_ruler_reading(content, reading, str(path))
    if content is None or content == before:
        return f"{path}: nothing to change"
    if before is None:
        write_new(path, content)
        return f"{path}: created"
    if content.startswith(before.rstrip(b"\r\n")):
        rewrite(path, content)
        return f"{path}: reading added" if len(readings) == 1 else f"{path}: readings added"
    kept = rewrite_keeping(path, content, before)
    return f"{path}: reading changed; the earlier file is kept as {kept.name}"
