"""The columns of the entries file, found by its header row."""

import difflib
import re
import unicodedata
from collections.abc import Sequence

from proofs.errors import EntriesError
from proofs.records.cells import clean_cell
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
    "look_at",
    "chosen",
    "copies",
    "paper",
    "finish",
    "result",
    "award",
    "notes",
)
MOST_COLUMNS = 200
_MOST_SHOWN = 15  # columns listed in a message


def columns_of(header: Row, name: str) -> tuple[str, ...]:
    """Return the column of each header cell: a name from ``COLUMNS``, or the cell's own text.

    Capitals and blanks do not matter. The blank cells that a spreadsheet adds at the end are left
    out. Raises ``EntriesError`` if there is no column ``file``, or if two have the same name.
    """
    known = {_key(column): column for column in COLUMNS}
    used = [n for n, cell in enumerate(header.cells, 1) if cell.strip()]
    cells = header.cells[: used[-1]]
    if len(cells) > MOST_COLUMNS:
        raise EntriesError(f"{name}: has more than {MOST_COLUMNS} columns; delete some")
    columns = [known.get(_key(cell), cell.strip()) for cell in cells]
    twice = [column for column in COLUMNS if columns.count(column) > 1]
    if header.fault or twice:
        found = header.fault or f"two columns are named {twice[0]!r}"
        raise EntriesError(f"{name}: line {header.line}: {found}; correct it in the spreadsheet")
    if "file" not in columns:
        raise EntriesError(f"{name}: line {header.line}: {_no_file_column(columns)}")
    return tuple(columns)


def columns_with(
    header: Row, name: str, required: Sequence[str], *, known: Sequence[str]
) -> tuple[str, ...]:
    """Return the columns of a table of another kind, capitals and blanks levelled.

    Raises ``EntriesError`` if one of the required ones is missing; ``known`` are all there may be.
    """
    columns = tuple(clean_cell(cell).casefold().replace(" ", "_") for cell in header.cells)
    for column in required:
        if column not in columns:
            near = difflib.get_close_matches(column, set(columns) - {*known}, n=1)
            columns_are = f"the columns are {', '.join(known)}"
            remedy = f"rename {near[0]!r} to {column!r}" if near else columns_are
            raise EntriesError(
                f"{name}: line {header.line}: no column is named {column!r}; {remedy}"
            )
    return columns


def misspelt_columns(columns: Sequence[str], known: Sequence[str] = COLUMNS) -> dict[str, str]:
    """Return each column that is not known but nearly is, with the name it resembles.

    >>> misspelt_columns(["file", "Categroy", "Frame"])
    {'Categroy': 'category'}
    """
    missing = [column for column in known if column not in columns]
    found = {}
    for column in columns:
        near = difflib.get_close_matches(_key(column), missing, n=1, cutoff=0.75)
        if near and column not in known:
            found[column] = near[0]
    return found


def _key(header: str) -> str:
    plain = unicodedata.normalize("NFKC", header).casefold()
    return re.sub(r"[\s_'-]", "", "".join(c for c in plain if unicodedata.category(c) != "Cf"))


def _no_file_column(columns: Sequence[str]) -> str:
    keys = {_key(column): column for column in columns if column not in COLUMNS}
    near = difflib.get_close_matches("file", keys, n=1, cutoff=0.5)
    remedy = (
        f"rename {keys[near[0]]!r} to 'file'"
        if near
        else "the first row must name the columns, including 'file'"
    )
    shown = ", ".join(repr(column) for column in columns[:_MOST_SHOWN])
    return f"no column is named 'file'; found {shown}; {remedy}"
