"""The first row of the entries file, and what its columns are called."""

import difflib
import re
import unicodedata
from collections.abc import Sequence

from proofs.errors import EntriesError
from proofs.records.rows import Row

COLUMNS = (
    "number",
    "title",
    "file",
    "category",
    "size",
    "crop",
    "board",
    "top_edge",
    "mount",
    "arrangement",
    "bracket",
    "chosen",
    "copies",
    "paper",
    "finish",
    "notes",
)
_MOST_SHOWN = 15  # as many columns as a message may list


def columns_of(header: Row, name: str) -> tuple[str, ...]:
    """Return the column of each header cell: one of ``COLUMNS``, or the words of another.

    Capitals and blanks don't matter, and the blank cells that a spreadsheet adds behind are
    left out. Raises ``EntriesError`` without a column ``file``, or with two of one name.
    """
    known = {_key(column): column for column in COLUMNS}
    columns = [known.get(_key(cell), cell.strip()) for cell in header.cells]
    while not columns[-1]:
        columns.pop()
    twice = [column for column in COLUMNS if columns.count(column) > 1]
    if header.fault or twice:
        found = header.fault or f"two columns are headed {twice[0]!r}"
        raise EntriesError(f"{name}: line {header.line}: {found}; mend it in the spreadsheet")
    if "file" not in columns:
        raise EntriesError(f"{name}: line {header.line}: {_no_file_column(columns)}")
    return tuple(columns)


def _key(header: str) -> str:
    plain = unicodedata.normalize("NFKC", header).casefold()
    return re.sub(r"[\s_'-]", "", "".join(c for c in plain if unicodedata.category(c) != "Cf"))


def _no_file_column(columns: Sequence[str]) -> str:
    keys = {_key(column): column for column in columns if column not in COLUMNS}
    near = difflib.get_close_matches("file", keys, n=1, cutoff=0.5)
    remedy = (
        f"rename {keys[near[0]]!r} to 'file'"
        if near
        else "the first row must name the columns, 'file' among them"
    )
    shown = ", ".join(repr(column) for column in columns[:_MOST_SHOWN])
    return f"no column is headed 'file'; found {shown}; {remedy}"
