"""The rows of a separated text, and where in the text each of their cells stands.

The shape is that of RFC 4180, with what people and spreadsheets do to it forgiven: any line
end, blanks round a quoted cell, rows of unequal length. Python's own reader does not say
where a cell stands, and without that no cell can be changed while all else stays as saved.
"""

import re
from dataclasses import dataclass
from functools import cache

SEPARATORS = (",", ";", "\t")
LINE_END = re.compile(r"\r\n|\r|\n")

# What a spreadsheet takes for a formula when it opens the file (common practice, no standard),
# and what the guard in front of it would otherwise be mistaken for.
_FORMULA = re.compile(r"[=+\-@\t\r]|'[=+\-@\t\r']")
_PLAIN_NUMBER = re.compile(r"[+-]\d+(?:[.,]\d+)?")
_GUARDED = re.compile(r"'[=+\-@\t\r']")
_SEPARATOR_LINE = re.compile(r"sep=", re.IGNORECASE)

UNCLOSED = "a quotation mark opens a cell and is not closed at the cell's end"


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its cells, and what is needed to change one of them in the file.

    ``line`` is the line of the file, counted from 1, on which the row begins. A span holds
    the offsets in the decoded text, without its byte order mark, between which a cell stands
    as written, quotation marks and all. ``fault`` says what is wrong with the marks, if
    anything is.
    """

    line: int
    cells: tuple[str, ...]
    spans: tuple[tuple[int, int], ...]
    fault: str = ""

    @property
    def is_blank(self) -> bool:
        """Whether no cell of it holds anything."""
        return not any(cell.strip() for cell in self.cells)


def rows_in(text: str, separator: str, *, start: int = 0) -> tuple[Row, ...]:
    """Return every row of the text from the offset ``start`` on, blank ones too.

    A quotation mark that never closes would swallow all that follows; the cell ends with
    its line instead, and the row carries the fault.

    >>> [row.cells for row in rows_in('file;title\\r\\na.jpg;"one; two"', ";")]
    [('file', 'title'), ('a.jpg', 'one; two')]
    """
    rows: list[Row] = []
    at, line = start, 1 + len(LINE_END.findall(text, 0, start))
    while at < len(text):
        row = _row(text, at, line, separator)
        ending = LINE_END.match(text, row.spans[-1][1])
        after = ending.end() if ending else len(text)
        line += len(LINE_END.findall(text, at, after))
        at = after
        rows.append(row)
    return tuple(rows)


def cell_text(text: str) -> str:
    """Return a cell as it is written into a file, so that reading it gives the text again.

    A text that a spreadsheet would take for a formula gets an apostrophe in front, which the
    reader takes away. Whatever could be a separator is quoted, so that none is ever mistaken.

    >>> cell_text('The "Old" Pier, Dawn'), cell_text("-- = --")
    ('"The ""Old"" Pier, Dawn"', "'-- = --")
    """
    if _FORMULA.match(text) and not _PLAIN_NUMBER.fullmatch(text):
        text = "'" + text
    if any(c in text for c in '",;\t\r\n') or text != text.strip() or _SEPARATOR_LINE.match(text):
        return '"' + text.replace('"', '""') + '"'
    return text


def _row(text: str, at: int, line: int, separator: str) -> Row:
    quoted, plain = _shapes(separator)
    cells: list[str] = []
    spans: list[tuple[int, int]] = []
    fault = ""
    while True:
        if found := quoted.match(text, at):
            cell = found[1].replace('""', '"')
        else:
            found = plain.match(text, at)
            assert found, "the shape of a plain cell matches nothing at all too"
            cell = found[0]
            fault = UNCLOSED if cell.startswith('"') else fault
        cells.append(cell[1:] if _GUARDED.match(cell) else cell)
        spans.append(found.span())
        if text[found.end() : found.end() + 1] != separator:
            return Row(line, tuple(cells), tuple(spans), fault)
        at = found.end() + 1


@cache
def _shapes(separator: str) -> tuple[re.Pattern[str], re.Pattern[str]]:
    return (
        re.compile(rf' *+"((?:[^"]++|"")*+)" *+(?=[{separator}\r\n]|\Z)'),
        re.compile(rf"[^{separator}\r\n]*+"),
    )
