"""The marks ticked off by hand, kept next to the entries in ``spotted.csv``."""

from collections.abc import Sequence
from pathlib import Path

from proofs.errors import EntriesError
from proofs.outside.files import is_there, read_bytes
from proofs.records.entries import Entry
from proofs.records.spotted import Tick, read_ticks
from proofs.run.text_report import first_few

SPOTTED = "spotted.csv"


def load_ticks(folder: Path, entries: Sequence[Entry]) -> tuple[Tick, ...]:
    """Return the ticks kept next to the entries; none if there is no such file.

    Raises ``EntriesError`` if a row cannot be understood or belongs to no picture.
    """
    path = folder / SPOTTED
    if not is_there(path):
        return ()
    ticks = read_ticks(read_bytes(path), str(path))
    known = {entry.number: entry for entry in entries}
    for tick in ticks:
        where, entry = f"{path}: line {tick.line}", known.get(tick.number)
        if entry is None:
            raise EntriesError(
                f"{where}: no entry {tick.number!r}; the entries are: {first_few(known)}"
            )
        if entry.pictures and tick.picture > len(entry.pictures):
            raise EntriesError(
                f"{where}: entry {entry.number} has no picture {tick.picture};"
                f" it has {len(entry.pictures)}"
            )
    return ticks
