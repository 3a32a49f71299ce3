"""Marks that somebody has ticked off: one row for each in ``spotted.csv``, next to the entries."""

import enum
import re
from dataclasses import dataclass

from proofs.errors import EntriesError
from proofs.records.cells import CellError, clean_cell, read_share
from proofs.records.columns import columns_with
from proofs.records.dialects import read_rows
from proofs.records.rows import Row

SPOTTED_COLUMNS = ("number", "picture", "left", "top", "word", "fingerprint")
_REQUIRED = ("number", "left", "top", "word")
_FINGERPRINT = re.compile(r"[0-9a-f]{8,64}")
FINGERPRINT = 12
"""How many digits of a picture's SHA-256 a line to paste holds."""


class TickWord(enum.StrEnum):
    """What a tick says of a mark."""

    SPOTTED = "spotted"
    """It will be retouched on the print by hand."""
    MEANT = "meant"
    """It belongs to the picture."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark ticked off: where it is in which picture, and the word for it.

    ``left`` and ``top`` are shares of the picture as it hangs, 0 to 1. ``picture`` counts the
    pictures of the entry from 1. ``fingerprint`` opens the SHA-256 of the picture's file; blank
    if the tick holds for any version of it. ``line`` is the row's line in the file.
    """

    number: str
    left: float
    top: float
    word: TickWord
    picture: int = 1
    fingerprint: str = ""
    line: int | None = None

    def is_of(self, sha256: str) -> bool:
        """Return whether the tick is of this version of the picture."""
        return sha256.startswith(self.fingerprint)


def read_ticks(raw: bytes, name: str) -> tuple[Tick, ...]:
    """Return the ticks in a table.

    Raises ``EntriesError`` for a row that cannot be understood: a mark that somebody wanted to
    see again must not stay away by a guess.
    """
    _, rows = read_rows(raw, name)
    header, *filled = (row for row in rows if not row.is_blank)
    columns = columns_with(header, name, _REQUIRED, known=SPOTTED_COLUMNS)
    return tuple(_tick(row, columns, name) for row in filled)


def tick_line(tick: Tick) -> str:
    """Return the row of a tick, to paste below the header.

    >>> tick_line(Tick("3", 0.25, 0.5, TickWord.MEANT, fingerprint="0123456789ab"))
    '3,1,0.2500,0.5000,meant,0123456789ab'
    """
    place = f"{tick.left:.4f},{tick.top:.4f}"
    return f"{_quoted(tick.number)},{tick.picture},{place},{tick.word},{tick.fingerprint}"


def _quoted(text: str) -> str:
    return '"' + text.replace('"', '""') + '"' if re.search(r'[",;\s]', text) else text


def _tick(row: Row, columns: tuple[str, ...], name: str) -> Tick:
    cells = {c: clean_cell(t) for c, t in zip(columns, row.cells, strict=False)}
    where = f"{name}: line {row.line}"
    if row.fault:
        raise EntriesError(f"{where}: {row.fault}; close it, or leave out the quotation mark")
    if not cells.get("number"):
        raise EntriesError(f"{where}, number: it is blank; write the entry's number")
    try:
        return Tick(
            cells["number"],
            _share(cells.get("left", ""), "left"),
            _share(cells.get("top", ""), "top"),
            _word(cells.get("word", "")),
            _picture(cells.get("picture") or "1"),
            _fingerprint(cells.get("fingerprint", "")),
            row.line,
        )
    except ValueError as error:
        raise EntriesError(f"{where}, {error}") from None


def _share(text: str, column: str) -> float:
    try:
        return read_share(text)
    except CellError as error:
        raise ValueError(f"{column}: {error}") from None


def _word(text: str) -> TickWord:
    try:
        return TickWord(text.casefold())
    except ValueError:
        words = " or ".join(TickWord)
        raise ValueError(f"word: {text!r} is no word for a mark; write {words}") from None


def _picture(text: str) -> int:
    if not text.isdecimal() or int(text[:9]) < 1:
        raise ValueError(
            f"picture: {text!r} is not a number; write 1 for the first picture on the board"
        )
    return int(text[:9])


def _fingerprint(text: str) -> str:
    lower = text.casefold()
    if lower and not _FINGERPRINT.fullmatch(lower):
        raise ValueError(
            f"fingerprint: {text!r} is not the start of a SHA-256; copy it from the report, or"
            " leave it blank for any version of the picture"
        )
    return lower
