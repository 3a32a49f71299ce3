"""Pictures that have no row yet: entries for them, or new rows for the entries file."""

import unicodedata
from collections.abc import Sequence

from proofs.findings import Finding, Severity
from proofs.records.columns import COLUMNS
from proofs.records.entries import Entry, EntryTable, PictureWish, title_from

_MOST_DIGITS = 9  # a longer number is a code, so numbering does not continue from it


def entries_for_files(files: Sequence[str]) -> EntryTable:
    """Return one entry for each picture, numbered from 1 and titled by its file name.

    >>> [(e.number, e.title) for e in entries_for_files(["old_pier.jpg", "b.tif"]).entries]
    [('1', 'old pier'), ('2', 'b')]
    """
    return EntryTable(tuple(_entry(str(place), file) for place, file in enumerate(files, 1)))


def _entry(number: str, file: str) -> Entry:
    """The entry of a picture; a name that is not text cannot be printed, kept or compared."""
    plain = file.encode("utf-8", "backslashreplace").decode()
    faults: tuple[Finding, ...] = ()
    if plain != file:
        found = f"the file name '{plain}' is not text in UTF-8"
        faults = (Finding("not-understood", Severity.UNREADABLE, found, remedy="rename the file"),)
    return Entry(
        number=number, title=title_from(plain), pictures=(PictureWish(plain),), faults=faults
    )


def rows_for_new_files(
    files: Sequence[str], *, after: EntryTable | None = None
) -> tuple[tuple[str, ...], ...]:
    """Return a row with number, title and file for each picture that has no row yet.

    Without ``after``, return a whole new table, including the header. With it, return only the
    rows to append, in the order of its columns, numbered from the largest number on. Two names
    are the same if they are equal in Unicode's form NFC; capitals matter.
    """
    columns = (after.columns if after else ()) or COLUMNS
    old = after.entries if after else ()
    named = {_key(picture.file) for e in old for picture in e.pictures}
    # A file name may contain | itself: rename that file, but do not give it a second row.
    named |= {_key("|".join(picture.file for picture in e.pictures)) for e in old}
    missing: dict[str, str] = {}
    for file in files:
        if _key(file) not in named:
            missing.setdefault(_key(file), file)
    last, digits = _largest(old)
    rows = []
    for number, file in enumerate(missing.values(), last + 1):
        # Without ./ a leading blank would be removed as a typing slip.
        cell = f"./{file}" if file != file.lstrip() else file
        cells = {"number": str(number).zfill(digits), "title": title_from(file), "file": cell}
        rows.append(tuple(cells.get(column, "") for column in columns))
    return tuple(rows) if after else (COLUMNS, *rows)


def _key(file: str) -> str:
    """The file name in one form for comparing; blanks at the end are lost in a cell."""
    return unicodedata.normalize("NFC", file).replace("\\", "/").rstrip()


def _largest(entries: Sequence[Entry]) -> tuple[int, int]:
    """The largest number of the entries, and its number of digits as written."""
    written = [e.number for e in entries if e.number.isascii() and e.number.isdigit()]
    counted = [number for number in written if len(number) <= _MOST_DIGITS]
    return max(((int(number), len(number)) for number in counted), default=(0, 0))
