"""The entries file: each row becomes one ``Entry``, even a row that cannot be understood."""

import re
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import cycle
from typing import TypeVar

from proofs.findings import Finding, Severity
from proofs.lengths import Edge
from proofs.records.arrangements import Arrangement, read_arrangement
from proofs.records.cells import (
    Bracket,
    CellError,
    Orientation,
    clean_cell,
    one_line,
    read_board,
    read_bracket,
    read_chosen,
    read_copies,
    read_file,
    read_look_at,
    read_parts,
    read_top_edge,
)
from proofs.records.columns import COLUMNS, columns_of, misspelt_columns
from proofs.records.dialects import Dialect, read_rows
from proofs.records.rows import Row
from proofs.records.size_and_crop import LARGEST, CropWish, SizeWish, read_crop, read_size_wish

MOST_CHARACTERS = 500  # of a cell: a title that fills a label has 100
MOST_NOTES = 10_000  # characters
_START = "make an entries file with 'proofs start FOLDER'"
_ENDING = re.compile(r"(?<=.)\.(?=\w*[A-Za-z])\w{1,5}$")

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class PictureWish:
    """One picture of an entry: its file, its crop, and the edge that hangs at the top.

    ``look_at`` is the middle of the part to compare steps by, as shares of the picture from its
    left and its top; None for the part with the most tones.
    """

    file: str
    crop: CropWish | None = None
    top_edge: Edge = Edge.TOP
    look_at: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """One mount to exhibit, as its row of the entries file describes it.

    ``pictures`` are those on its board, nearly always one. ``sizes`` holds one size for each
    picture, or one for all. ``number`` is text. ``copies``, ``paper`` and ``finish`` are for the
    lab; an entry with no copies is not ordered. ``line`` is the line of the row in the file, None
    for a picture without a row. A row that cannot be understood has ``faults``; use only its
    ``number``, ``title`` and ``file``, to identify it.
    """

    number: str
    title: str
    pictures: tuple[PictureWish, ...]
    category: str = ""
    sizes: tuple[SizeWish, ...] = (LARGEST,)
    arrangement: Arrangement | None = None
    board: Orientation | None = None
    mount: str | None = None
    bracket: Bracket | None = None
    chosen: float | str | None = None
    copies: int = 1
    paper: str = ""
    finish: str = ""
    notes: str = ""
    line: int | None = None
    faults: tuple[Finding, ...] = ()

    def __post_init__(self) -> None:
        if not self.number or not (self.file or self.faults):
            raise ValueError(f"entry {self.number!r} of {self.file!r} lacks a number or a picture")
        if len(self.sizes) not in (1, len(self.pictures)):
            raise ValueError(f"{len(self.sizes)} sizes for {len(self.pictures)} pictures")

    @property
    def file(self) -> str:
        """The files of its pictures, as the cell names them."""
        return " | ".join(picture.file for picture in self.pictures)

    def size_of(self, n: int) -> SizeWish:
        """Return the size that is asked for picture ``n``: its own, or the one for all."""
        return self.sizes[n] if len(self.sizes) > 1 else self.sizes[0]


@dataclass(frozen=True, slots=True)
class EntryResult:
    """What became of an entry at its exhibition, in the user's words; blank if it is open."""

    result: str = ""
    award: str = ""


NO_RESULT = EntryResult()


@dataclass(frozen=True, slots=True)
class EntryTable:
    """The entries in the order of their rows.

    ``results`` holds that of each entry, in the same order; there are none without a file. They
    are no part of the entries, for what is made does not depend on them. ``columns`` are those of
    the file, in its order: names from ``COLUMNS``, and any others as written; there are none
    without a file. ``notes`` report anything unusual about the file.
    """

    entries: tuple[Entry, ...]
    unknown_columns: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    columns: tuple[str, ...] = ()
    results: tuple[EntryResult, ...] = ()


def read_entries(raw: bytes, name: str) -> EntryTable:
    """Return the entries of a file saved by a spreadsheet; blank rows are skipped.

    ``name`` is the file's name, for messages. A row that cannot be understood becomes an entry
    with faults. Raises ``EntriesError`` if the file is not a table with a column ``file``.
    """
    dialect, rows = read_rows(raw, name, if_empty=_START)
    header, *filled = (row for row in rows if not row.is_blank)
    columns = columns_of(header, name)
    cells = [_cells(row, columns) for row in filled]
    numbers = _numbers([clean_cell(c["number"]) for c in cells])
    entries: list[Entry] = []
    lines: dict[str, int] = {}
    for row, texts, number in zip(filled, cells, numbers, strict=True):
        faults = _row_faults(row, columns)
        if number in lines:
            found = f"{number!r} is the number of line {lines[number]} too"
            error = CellError(found, "give each row its own number")
            faults += (_fault(row.line, "number", error),)
        lines.setdefault(number, row.line)
        entries.append(_entry(row.line, texts | {"number": number}, faults))
    unknown = dict.fromkeys(c for c in columns if c and c not in COLUMNS)
    notes = _dialect_notes(dialect) + tuple(
        f"column {column!r} is not used; did you mean {meant!r}?"
        for column, meant in misspelt_columns(columns).items()
    )
    results = tuple(EntryResult(clean_cell(c["result"]), clean_cell(c["award"])) for c in cells)
    return EntryTable(tuple(entries), tuple(unknown), notes, columns, results)


def title_from(file_name: str) -> str:
    """Return a title from a file name, without folders and ending; ``_`` and ``-`` become blanks.

    >>> title_from("autumn/old_pier-at-dawn.jpg"), title_from("IMG_0012.JPEG")
    ('old pier at dawn', 'IMG 0012')
    """
    base = re.split(r"[/\\]", file_name)[-1] or file_name
    stem = "".join(" " if unicodedata.category(c) == "Cc" else c for c in _ENDING.sub("", base))
    title = " ".join(re.sub(r"[_-]", " ", stem).split())
    return unicodedata.normalize("NFC", title or base)


def _entry(line: int, texts: dict[str, str], row_faults: tuple[Finding, ...]) -> Entry:
    """The entry of one row. Faults of the whole row replace those that they cause in its cells."""
    cell_faults: list[Finding] = []

    def read(column: str, reader: Callable[[str], T], instead: T) -> T:
        try:
            return reader(texts[column])
        except CellError as error:
            cell_faults.append(_fault(line, column, error))
            return instead

    def each(column: str, reader: Callable[[str], T], instead: T) -> tuple[T, ...]:
        """One part of a cell for each picture, or one for all of them."""
        return read(column, lambda cell: read_parts(cell, reader, len(files)), (instead,))

    named: tuple[str, ...] = (texts["file"].strip(),)
    files = read("file", lambda cell: read_parts(cell, read_file), named)
    sizes = each("size", read_size_wish, LARGEST)
    crops, edges = each("crop", read_crop, None), each("top_edge", read_top_edge, Edge.TOP)
    places = each("look_at", read_look_at, None)
    return Entry(
        number=texts["number"],
        title=read("title", one_line, "") or title_from(files[0]),
        pictures=tuple(map(PictureWish, files, cycle(crops), cycle(edges), cycle(places))),
        category=read("category", one_line, ""),
        sizes=sizes,
        arrangement=read("arrangement", _arrangement, None),
        board=read("board", read_board, None),
        mount=clean_cell(texts["mount"]) or None,
        bracket=read("bracket", read_bracket, None),
        chosen=read("chosen", read_chosen, None),
        copies=read("copies", read_copies, 1),
        paper=read("paper", one_line, ""),
        finish=read("finish", one_line, ""),
        notes=texts["notes"].strip(),
        line=line,
        faults=row_faults or tuple(cell_faults),  # last, because reading the cells fills them
    )


def _arrangement(cell: str) -> Arrangement | None:
    return read_arrangement(cell) if clean_cell(cell) else None


def _cells(row: Row, columns: Sequence[str]) -> dict[str, str]:
    """The cells by column; what is too long is a fault of the row, and cut off here."""
    written = dict(zip(columns, row.cells, strict=False))
    return {column: written.get(column, "")[: _most_in(column)] for column in COLUMNS}


def _most_in(column: str) -> int:
    return MOST_NOTES if column == "notes" else MOST_CHARACTERS


def _numbers(written: Sequence[str]) -> list[str]:
    """The number of each row; one without gets its place in the table, or the next free number."""
    taken = set(written)
    numbers = []
    for place, number in enumerate(written, 1):
        free = place
        while not number and str(free) in taken:
            free += 1
        numbers.append(number or str(free))
        taken.add(numbers[-1])
    return numbers


def _row_faults(row: Row, columns: Sequence[str]) -> tuple[Finding, ...]:
    if row.fault:
        return (_fault(row.line, "", CellError(row.fault, "correct it in the spreadsheet")),)
    for column, cell in zip(columns, row.cells, strict=False):
        if column in COLUMNS and len(cell) > _most_in(column):
            found = f"it has {len(cell)} characters, more than {_most_in(column)}"
            return (_fault(row.line, column, CellError(found, "shorten it")),)
    beyond = [cell for cell in row.cells[len(columns) :] if cell.strip()]
    if not beyond:
        return ()
    found = f"{beyond[0][:MOST_CHARACTERS]!r} is beyond the last of {len(columns)} columns"
    remedy = "put a cell that contains the separator, such as a comma, in quotation marks"
    return (_fault(row.line, "", CellError(found, remedy)),)


def _fault(line: int, column: str, error: CellError) -> Finding:
    where = f"line {line}, {column}" if column else f"line {line}"
    message = f"{where}: {error.found}"
    return Finding(error.code, Severity.UNREADABLE, message, remedy=error.remedy)


def _dialect_notes(dialect: Dialect) -> tuple[str, ...]:
    encodings = {
        "cp1252": "read as Windows-1252, because it is not UTF-8; if letters look wrong,"
        " save it as 'CSV UTF-8'",
        "utf-16-le": "read as UTF-16",
        "utf-16-be": "read as UTF-16",
    }
    separators = {";": "the separator is a semicolon", "\t": "the separator is a tab"}
    found = (encodings.get(dialect.encoding), separators.get(dialect.separator))
    return tuple(note for note in found if note)
