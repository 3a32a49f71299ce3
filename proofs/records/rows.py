"""The rows of a CSV text, with the position of each cell in the text.

The format is that of RFC 4180, but it also accepts what people and spreadsheets make of it: any
line end, blanks around a quoted cell, rows of unequal length. Python's own reader does not give the
positions, which are needed to change one cell and leave everything else as it was saved.
"""

import re
from dataclasses import dataclass
from functools import cache

SEPARATORS = (",", ";", "\t")
LINE_END = re.compile(r"\r\n|\r|\n")

# A spreadsheet reads these as formulas (common practice, no standard). An apostrophe in front
# prevents that; a text that looks as if it had one gets a second apostrophe. Full-width and small
# forms of the signs count as well, and so does one behind characters that nobody sees (common
# practice, no source).
_SIGNS = "=+@\uff1d\uff0b\uff0d\uff20\ufe66\ufe62\ufe63\ufe6b-"
_UNSEEN = "\u00ad\u061c\u180e\u200b-\u200f\u202a-\u202e\u2060-\u2064\u2066-\u206f\ufeff"
_FORMULA = re.compile(rf"[\t\r]|[\s{_UNSEEN}]*+[{_SIGNS}]")
_PLAIN_NUMBER = re.compile(r"[+-]\d+(?:[.,]\d+)?")
_SEPARATOR_LINE = re.compile(r"sep=", re.IGNORECASE)

UNCLOSED = "a cell starts with a quotation mark that is not closed at its end"


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its cells, and where they are in the file.

    ``line`` is the line of the file, counted from 1, on which the row begins. A span holds the
    offsets of a cell as written, with its quotation marks, in the decoded text without its byte
    order mark. ``fault`` describes faulty quotation marks, or is empty.
    """

    line: int
    cells: tuple[str, ...]
    spans: tuple[tuple[int, int], ...]
    fault: str = ""

    @property
    def is_blank(self) -> bool:
        """Whether all its cells are blank."""
        return not any(cell.strip() for cell in self.cells)


def rows_in(text: str, separator: str, *, start: int = 0) -> tuple[Row, ...]:
    """Return every row of the text from the offset ``start`` on, including blank ones.

    A quotation mark that is never closed would swallow the rest of the file. The cell ends with
    its line instead, and the row has a fault.

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
    """Return a cell as it is written into a file; reading it gives the text again.

    A text that a spreadsheet would read as a formula gets an apostrophe in front, which the
    reader removes. Anything that could be a separator is quoted.

    >>> cell_text('The "Old" Pier, Dawn'), cell_text("-- = --")
    ('"The ""Old"" Pier, Dawn"', "'-- = --")
    """
    if (_FORMULA.match(text) or _is_guarded(text)) and not _PLAIN_NUMBER.fullmatch(text):
        text = "'" + text
    if any(c in text for c in '",;\t\r\n') or text != text.strip() or _SEPARATOR_LINE.match(text):
        return '"' + text.replace('"', '""') + '"'
    return text


def _is_guarded(cell: str) -> bool:
    """Whether a cell begins with an apostrophe that guards what follows."""
    return cell[:1] == "'" and (cell[1:2] == "'" or _FORMULA.match(cell, 1) is not None)


def _row(text: str, at: int, line: int, separator: str) -> Row:
    quoted, plain = _cell_patterns(separator)
    cells: list[str] = []
    spans: list[tuple[int, int]] = []
    fault = ""
    while True:
        if found := quoted.match(text, at):
            cell = found[1].replace('""', '"')
        else:
            found = plain.match(text, at)
            assert found, "the pattern of a plain cell also matches an empty text"
            cell = found[0]
            fault = UNCLOSED if cell.startswith('"') else fault
        cells.append(cell[1:] if _is_guarded(cell) else cell)
        spans.append(found.span())
        if text[found.end() : found.end() + 1] != separator:
            return Row(line, tuple(cells), tuple(spans), fault)
        at = found.end() + 1


@cache
def _cell_patterns(separator: str) -> tuple[re.Pattern[str], re.Pattern[str]]:
    return (
        re.compile(rf' *+"((?:[^"]++|"")*+)" *+(?=[{separator}\r\n]|\Z)'),
        re.compile(rf"[^{separator}\r\n]*+"),
    )
