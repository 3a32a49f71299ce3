"""Reading and changing CSV files as spreadsheets save them.

A file that a photographer keeps in a spreadsheet is never rewritten as a whole. ``replace_cell``
replaces only the span of one cell, and ``append_rows`` adds after the last byte, both in the
encoding, separator and line end of the file.
"""

import codecs
import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from proofs.errors import EntriesError
from proofs.records.rows import LINE_END, SEPARATORS, Row, cell_text, rows_in

_NEWLINES = ("\r\n", "\n", "\r")
_CODECS = {  # by encoding: the byte order mark that starts the file, the codec of the rest
    "utf-8": (b"", "utf-8"),
    "utf-8-sig": (codecs.BOM_UTF8, "utf-8"),
    "utf-16-le": (codecs.BOM_UTF16_LE, "utf-16-le"),
    "utf-16-be": (codecs.BOM_UTF16_BE, "utf-16-be"),
    "cp1252": (b"", "cp1252"),
}
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")  # how workbooks start: zip and compound file
_SEPARATOR_LINE = re.compile(r"sep=([,;\t])(?:\r\n|\r|\n|\Z)", re.IGNORECASE)
MOST_TABLE_BYTES = 2_000_000  # a thousand rows take 200 kB; larger ones take long to read
MOST_LINES = 20_000
_SAVE_AS = "save the table from the spreadsheet as 'CSV UTF-8'"


@dataclass(frozen=True, slots=True)
class Dialect:
    """How a table was saved.

    ``encoding`` is ``utf-8``, ``cp1252``, or one with a byte order mark: ``utf-8-sig``,
    ``utf-16-le`` or ``utf-16-be``.
    """

    encoding: str
    separator: str
    newline: str

    def __post_init__(self) -> None:
        if self.encoding not in _CODECS:
            raise ValueError(f"{self.encoding!r} is none of {', '.join(_CODECS)}")
        if self.separator not in SEPARATORS or self.newline not in _NEWLINES:
            raise ValueError(f"no table has {self.separator!r} with line ends {self.newline!r}")


def read_rows(
    raw: bytes, name: str, *, if_empty: str = "write its header row, or delete the file"
) -> tuple[Dialect, tuple[Row, ...]]:
    """Return how a table was saved and all its rows, including blank ones.

    A first line such as ``sep=;`` names the separator and is not a row. ``name`` is the file's
    name, for messages, and ``if_empty`` the remedy if nothing is in it. Raises
    ``EntriesError`` if the file is not a table.
    """
    if len(raw) > MOST_TABLE_BYTES:
        raise EntriesError(
            f"{name}: is larger than {MOST_TABLE_BYTES // 1_000_000} MB; delete all but the entries"
        )
    encoding, text = _decoded(raw, name)
    if len(LINE_END.findall(text)) > MOST_LINES:
        raise EntriesError(f"{name}: has more than {MOST_LINES} lines; delete the blank ones")
    stated = _SEPARATOR_LINE.match(text)
    start = stated.end() if stated else 0
    if not re.sub(r'[\s,;"]', "", text[start:]):
        raise EntriesError(f"{name}: is empty; {if_empty}")
    separators = [stated[1]] if stated else SEPARATORS
    tables = {s: rows_in(text, s, start=start) for s in separators}
    separator = max(tables, key=lambda s: _likelihood(tables[s], text))
    rows = tables[separator]
    header = next(row for row in rows if not row.is_blank)
    if any(unicodedata.category(c) == "Cc" and c not in "\t\r\n" for c in "".join(header.cells)):
        raise EntriesError(f"{name}: is not text; {_SAVE_AS}")
    ending = LINE_END.match(text, rows[0].spans[-1][1])
    return Dialect(encoding, separator, ending[0] if ending else "\r\n"), rows


def write_rows(rows: Iterable[Sequence[str]]) -> bytes:
    """Return a new table in the form that every spreadsheet opens: UTF-8 with mark, CRLF, commas.

    Reading it gives the same texts again. Raises ``EntriesError`` for a text that cannot be
    encoded, such as a file name that is not Unicode.

    >>> write_rows([["file", "title"], ["a.jpg", "Pier, Dawn"]]).decode("utf-8-sig")
    'file,title\\r\\na.jpg,"Pier, Dawn"\\r\\n'
    """
    dialect = Dialect("utf-8-sig", ",", "\r\n")
    return codecs.BOM_UTF8 + _encoded(_lines(rows, dialect), dialect, "the new entries file")


def append_rows(
    raw: bytes, rows: Iterable[Sequence[str]], *, name: str = "the entries file"
) -> bytes:
    """Return the file with rows added at its end; all its bytes stay as they were saved.

    If the last line has no line end, one is added first. Raises ``EntriesError`` if the file's
    encoding lacks a letter, or if rows after its end would not be read as rows.
    """
    dialect, old = read_rows(raw, name)
    new = [tuple(row) for row in rows]
    _, text = _decoded(raw, name)
    missing = "" if not new or text.endswith(("\r", "\n")) else dialect.newline
    made = raw + _encoded(missing + _lines(new, dialect), dialect, name)
    _check(made, [row.cells for row in old] + new, name)
    return made


def replace_cell(
    raw: bytes, line: int, column: int, text: str, *, name: str = "the entries file"
) -> bytes:
    """Return the file with one cell changed; all other bytes stay as they were saved.

    ``line`` is the line of the cell's row; ``column`` counts from 0. A row that is too short is
    filled up with separators. Raises ``EntriesError`` if no row begins on that line, if the
    encoding lacks a letter, or if the change would alter other cells.
    """
    dialect, rows = read_rows(raw, name)
    _, whole = _decoded(raw, name)
    row = next((row for row in rows if row.line == line), None)
    if row is None:
        raise EntriesError(f"{name}: no row begins on line {line}; read the file again")
    lacking = column + 1 - len(row.cells)
    first, last = row.spans[column] if lacking <= 0 else (row.spans[-1][1],) * 2
    written = dialect.separator * max(lacking, 0) + cell_text(text)
    mark, _ = _CODECS[dialect.encoding]
    made = mark + _encoded(whole[:first] + written + whole[last:], dialect, name)
    cells = [*row.cells, *[""] * lacking]
    cells[column] = text
    _check(made, [tuple(cells) if r is row else r.cells for r in rows], name)
    return made


def _decoded(raw: bytes, name: str) -> tuple[str, str]:
    """The encoding of a file, and its text without the byte order mark."""
    if raw.startswith(_WORKBOOKS):
        raise EntriesError(f"{name}: is a spreadsheet workbook, not CSV; {_SAVE_AS}")
    marked = [key for key, (mark, _) in _CODECS.items() if mark and raw.startswith(mark)]
    for encoding in marked or ("utf-8", "cp1252"):
        mark, code = _CODECS[encoding]
        try:
            return encoding, raw[len(mark) :].decode(code)
        except UnicodeDecodeError:
            continue
    found = f"is not {marked[0]}, as its first bytes claim" if marked else "is not text"
    raise EntriesError(f"{name}: {found}; {_SAVE_AS}")


def _encoded(text: str, dialect: Dialect, name: str) -> bytes:
    try:
        return text.encode(_CODECS[dialect.encoding][1])
    except UnicodeEncodeError as error:
        letter = error.object[error.start]
        remedy = "rename the file" if "\ud800" <= letter <= "\udfff" else f"{_SAVE_AS} first"
        raise EntriesError(
            f"{name}: its encoding, {dialect.encoding}, cannot hold {letter!a}; {remedy}"
        ) from None


def _lines(rows: Iterable[Sequence[str]], dialect: Dialect) -> str:
    lines = (dialect.separator.join(cell_text(cell) for cell in row) for row in rows)
    return "".join(line + dialect.newline for line in lines)


def _likelihood(rows: tuple[Row, ...], text: str) -> tuple[int, int, float, int]:
    """How likely it is that the table was saved with the separator that gave these rows.

    Most important: a quotation mark inside a header cell shows that a cell was split. Then
    count a header of several cells, rows of the same length, and the length itself.
    """
    filled = [row for row in rows if not row.is_blank]
    if not filled:
        return (0, 0, 0.0, 0)
    header, *others = filled
    written = [text[first:last].strip() for first, last in header.spans]
    stray = sum('"' in cell and not cell.startswith('"') for cell in written)
    count = len(header.cells)
    alike = sum(len(row.cells) == count for row in others) / max(len(others), 1)
    return (-stray - bool(header.fault), min(count, 2), alike, count)


def _check(made: bytes, expected: Sequence[tuple[str, ...]], name: str) -> None:
    """Raise ``EntriesError`` if the changed file does not read back as expected."""
    _, rows = read_rows(made, name)
    if [row.cells for row in rows] != list(expected):
        raise EntriesError(
            f"{name}: cannot be changed without altering other cells: a quotation mark is not"
            " closed, or the separator is unclear; correct the file in the spreadsheet"
        )
