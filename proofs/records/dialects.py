"""What spreadsheets really save as CSV: bytes to rows, and rows back to bytes.

To change a file that a photographer keeps in a spreadsheet, its text is never written anew:
``replace_cell`` cuts out the span that ``Row`` holds for the one cell, and ``append_rows``
adds behind the last byte, both in the encoding, separator and line end of the file.
"""

import codecs
import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from proofs.errors import EntriesError
from proofs.records.rows import LINE_END, SEPARATORS, Row, cell_text, rows_in

_NEWLINES = ("\r\n", "\n", "\r")
_CODECS = {  # the name of an encoding: the mark the file opens with, the code of what follows
    "utf-8": (b"", "utf-8"),
    "utf-8-sig": (codecs.BOM_UTF8, "utf-8"),
    "utf-16-le": (codecs.BOM_UTF16_LE, "utf-16-le"),
    "utf-16-be": (codecs.BOM_UTF16_BE, "utf-16-be"),
    "cp1252": (b"", "cp1252"),
}
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")  # zip and compound file: how workbooks open
_SEPARATOR_LINE = re.compile(r"sep=([,;\t])(?:\r\n|\r|\n|\Z)", re.IGNORECASE)
_SAVE_AS = "save the table from the spreadsheet as 'CSV UTF-8'"


@dataclass(frozen=True, slots=True)
class Dialect:
    """How a table was saved.

    ``encoding`` is ``utf-8``, ``utf-8-sig``, ``utf-16-le``, ``utf-16-be`` (each of the last
    three with its byte order mark) or ``cp1252``.
    """

    encoding: str
    separator: str
    newline: str

    def __post_init__(self) -> None:
        if self.encoding not in _CODECS:
            raise ValueError(f"{self.encoding!r} is none of {', '.join(_CODECS)}")
        if self.separator not in SEPARATORS or self.newline not in _NEWLINES:
            raise ValueError(f"no table has {self.separator!r} with line ends {self.newline!r}")


def read_rows(raw: bytes, name: str) -> tuple[Dialect, tuple[Row, ...]]:
    """Return how a table was saved and all of its rows, blank ones too.

    A first line such as ``sep=;`` names the separator and is no row. ``name`` is the file's,
    for messages. Raises ``EntriesError`` when the file is no table.
    """
    encoding, text = _decoded(raw, name)
    said = _SEPARATOR_LINE.match(text)
    start = said.end() if said else 0
    if not re.sub(r'[\s,;"]', "", text[start:]):
        raise EntriesError(f"{name}: is empty; make an entries file with 'proofs start FOLDER'")
    tables = {s: rows_in(text, s, start=start) for s in ([said[1]] if said else SEPARATORS)}
    separator = max(tables, key=lambda s: _likelihood(tables[s], text))
    rows = tables[separator]
    header = next(row for row in rows if not row.is_blank)
    if any(unicodedata.category(c) == "Cc" and c not in "\t\r\n" for c in "".join(header.cells)):
        raise EntriesError(f"{name}: is no text; {_SAVE_AS}")
    ending = LINE_END.match(text, rows[0].spans[-1][1])
    return Dialect(encoding, separator, ending[0] if ending else "\r\n"), rows


def write_rows(rows: Iterable[Sequence[str]]) -> bytes:
    """Return a new table as every spreadsheet opens it: UTF-8 with its mark, CRLF, commas.

    Reading it gives the same texts again. Raises ``EntriesError`` for a text that no file
    can hold, such as a file name that is not Unicode.

    >>> write_rows([["file", "title"], ["a.jpg", "Pier, Dawn"]]).decode("utf-8-sig")
    'file,title\\r\\na.jpg,"Pier, Dawn"\\r\\n'
    """
    dialect = Dialect("utf-8-sig", ",", "\r\n")
    return codecs.BOM_UTF8 + _encoded(_lines(rows, dialect), dialect, "the new entries file")


def append_rows(
    raw: bytes, rows: Iterable[Sequence[str]], *, name: str = "the entries file"
) -> bytes:
    """Return the file with rows added at its end, every byte of it as it was saved.

    Only a line end missing at the end of the file is added. Raises ``EntriesError`` when the
    file's encoding has no code for a letter, or its end cannot take rows.
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
    """Return the file with one cell changed and every other byte as it was saved.

    ``line`` is that of the cell's row, ``column`` counts from 0; a row too short for it is
    filled up with separators. Raises ``EntriesError`` when no row begins on that line, when
    the encoding has no code for a letter, or when the change would upset other cells.
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
    """The encoding of a file and its text without the byte order mark."""
    if raw.startswith(_WORKBOOKS):
        raise EntriesError(f"{name}: is a spreadsheet's workbook and no CSV; {_SAVE_AS}")
    marked = [key for key, (mark, _) in _CODECS.items() if mark and raw.startswith(mark)]
    for encoding in marked or ("utf-8", "cp1252"):
        mark, code = _CODECS[encoding]
        try:
            return encoding, raw[len(mark) :].decode(code)
        except UnicodeDecodeError:
            continue
    found = f"is not the {marked[0]} that its first bytes say" if marked else "is no text"
    raise EntriesError(f"{name}: {found}; {_SAVE_AS}")


def _encoded(text: str, dialect: Dialect, name: str) -> bytes:
    try:
        return text.encode(_CODECS[dialect.encoding][1])
    except UnicodeEncodeError as error:
        letter = error.object[error.start]
        remedy = "rename the file" if "\ud800" <= letter <= "\udfff" else f"{_SAVE_AS} first"
        raise EntriesError(
            f"{name}: its encoding, {dialect.encoding}, has no code for {letter!a}; {remedy}"
        ) from None


def _lines(rows: Iterable[Sequence[str]], dialect: Dialect) -> str:
    lines = (dialect.separator.join(cell_text(cell) for cell in row) for row in rows)
    return "".join(line + dialect.newline for line in lines)


def _likelihood(rows: tuple[Row, ...], text: str) -> tuple[int, int, float, int]:
    """How likely a table was saved with the separator that gave these rows.

    A quotation mark in the midst of a header cell shows that the cell was cut apart. Then
    come a header of several cells, rows as long as it, and the length itself.
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
    """Refuse a change that would be read back as anything but what was asked for."""
    _, rows = read_rows(made, name)
    if [row.cells for row in rows] != list(expected):
        raise EntriesError(
            f"{name}: cannot be changed without upsetting other cells, for a quotation mark"
            " that is not closed or a separator that is not plain; mend it in the spreadsheet"
        )
