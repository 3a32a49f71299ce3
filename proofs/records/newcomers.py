"""Pictures that no row names yet: entries for bare files, rows for an entries file."""

import unicodedata
from collections.abc import Sequence

from proofs.records.entries import Entry, EntryTable, PictureWish, title_from
from proofs.records.headings import COLUMNS

_MOST_DIGITS = 9  # a number longer than this is a code and is not counted on


def entries_of_files(files: Sequence[str]) -> EntryTable:
    """Return an entry a picture, numbered from 1, titled from its name, all else the default.

    >>> [(e.number, e.title) for e in entries_of_files(["old_pier.jpg", "b.tif"]).entries]
    [('1', 'old pier'), ('2', 'b')]
    """
    entries = (
        Entry(number=str(place), title=title_from(file), pictures=(PictureWish(file),))
        for place, file in enumerate(files, 1)
    )
    return EntryTable(None, tuple(entries))


def new_entries(
    files: Sequence[str], *, after: EntryTable | None = None
) -> tuple[tuple[str, ...], ...]:
    """Return a row for every picture not yet named, with its number, title and file.

    Without ``after`` a whole new table, the header first. With it the rows alone, in the
    order of its columns, the numbers going on after the largest; names are the same when
    they are so in Unicode's form NFC, and capitals count.
    """
    columns = (after.columns if after else ()) or COLUMNS
    old = after.entries if after else ()
    named = {_key(picture.file) for e in old for picture in e.pictures}
    # A name may hold a stroke itself: its row stands in need of a rename, not of a second row.
    named |= {_key("|".join(picture.file for picture in e.pictures)) for e in old}
    missing: dict[str, str] = {}
    for file in files:
        if _key(file) not in named:
            missing.setdefault(_key(file), file)
    last, digits = _largest(old)
    rows = []
    for number, file in enumerate(missing.values(), last + 1):
        # A blank that opens a name would be taken for a slip of the hand; ./ holds it.
        cell = f"./{file}" if file != file.lstrip() else file
        cells = {"number": str(number).zfill(digits), "title": title_from(file), "file": cell}
        rows.append(tuple(cells.get(column, "") for column in columns))
    return tuple(rows) if after else (COLUMNS, *rows)


def _key(file: str) -> str:
    """What two names of one file have in common; a blank at the end is lost in a cell."""
    return unicodedata.normalize("NFC", file).replace("\\", "/").rstrip()


def _largest(entries: Sequence[Entry]) -> tuple[int, int]:
    """The largest number among the entries, and how many digits it is written with."""
    written = [e.number for e in entries if e.number.isascii() and e.number.isdigit()]
    counted = [number for number in written if len(number) <= _MOST_DIGITS]
    return max(((int(number), len(number)) for number in counted), default=(0, 0))
