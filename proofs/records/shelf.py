"""What lies on the shelf: a row of ``shelf.csv`` for each kind of board that is there."""

import difflib
import enum
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from proofs.errors import EntriesError
from proofs.lengths import ZERO, Length, Size, millimetres
from proofs.measures import read_length, read_size
from proofs.records.cells import CellError, clean_cell
from proofs.records.columns import columns_with, misspelt_columns
from proofs.records.dialects import read_rows
from proofs.records.rows import Row
from proofs.records.tables import LONGEST_BOARD

SHELF_COLUMNS = ("kind", "size", "opening", "colour", "core", "thickness", "count", "notes")
_REQUIRED = ("kind", "size", "thickness")
_THICKEST = millimetres(25)  # no board for mounting is thicker; common practice, no source
_MOST_DIGITS = 4  # of a count; a longer number is a slip
_SAME_THICKNESS = millimetres("0.1")  # boards are sold by the tenth of a millimetre

T = TypeVar("T")


class ShelfKind(enum.StrEnum):
    """What lies on the shelf, in the words of its file."""

    READY_CUT = "ready-cut mat"
    """A mat with an opening."""
    BLANK = "blank mat"
    """A mat of its outer size, with no opening yet."""
    BACKING = "backing"
    SHEET = "sheet"
    """A full sheet, for mats or for backings."""


@dataclass(frozen=True, slots=True)
class ShelfBoard:
    """A row of the shelf: so many boards that are alike.

    ``opening`` is that of a ready-cut mat, the same way up as ``size``: the edge that limits the
    view, which is the back of an ordinary bevel. It is None for all others. ``core`` says nothing
    of a backing. ``line`` is the row's line in the file.
    """

    kind: ShelfKind
    size: Size
    thickness: Length
    colour: str = "white"
    core: str = "white"
    opening: Size | None = None
    count: int = 1
    line: int | None = None

    def is_as_thick(self, thickness: Length) -> bool:
        """Return whether it is as thick as this, to a tenth of a millimetre."""
        return abs(self.thickness.nm - thickness.nm) <= _SAME_THICKNESS.nm


def read_shelf(raw: bytes, name: str) -> tuple[ShelfBoard, ...]:
    """Return what lies on the shelf, in the order of the rows; blank rows are skipped.

    Raises ``EntriesError`` for a row that cannot be understood: a board that is counted wrongly is
    missing on the bench.
    """
    _, rows = read_rows(raw, name)
    header, *filled = (row for row in rows if not row.is_blank)
    columns = columns_with(header, name, _REQUIRED, known=SHELF_COLUMNS)
    for column, meant in misspelt_columns(columns, SHELF_COLUMNS).items():
        raise EntriesError(
            f"{name}: line {header.line}: column {column!r} is not known; rename it to {meant!r}"
        )
    return tuple(_board(row, columns, name) for row in filled)


def _board(row: Row, columns: tuple[str, ...], name: str) -> ShelfBoard:
    cells = {c: clean_cell(t) for c, t in zip(columns, row.cells, strict=False)}
    where = f"{name}: line {row.line}"
    if row.fault:
        raise EntriesError(f"{where}: {row.fault}; close it, or leave out the quotation mark")
    if any(cell.strip() for cell in row.cells[len(columns) :]):
        raise EntriesError(f"{where}: it has more cells than columns; delete those at its end")

    def read(column: str, reader: Callable[[str], T]) -> T:
        try:
            return reader(cells.get(column, ""))
        except ValueError as error:
            raise EntriesError(f"{where}, {column}: {error}") from None

    kind, size = read("kind", _kind), read("size", _size)
    return ShelfBoard(
        kind=kind,
        size=size,
        opening=read("opening", lambda cell: _opening(cell, kind, size)),
        thickness=read("thickness", _thickness),
        colour=cells.get("colour", "").casefold() or "white",
        core=cells.get("core", "").casefold() or "white",
        count=read("count", _count),
        line=row.line,
    )


def _kind(cell: str) -> ShelfKind:
    words, plain = list(map(str, ShelfKind)), cell.casefold()
    if plain in words:
        return ShelfKind(plain)
    near = difflib.get_close_matches(plain, words, n=1, cutoff=0.5)
    meant = f"did you mean {near[0]!r}?" if near else f"write {', '.join(words[:-1])} or sheet"
    raise CellError(f"{cell!r} is no kind of board", meant)


def _size(cell: str) -> Size:
    if not cell:
        raise CellError("it is blank", "write the outer size of the board, such as '16x20 in'")
    size = read_size(cell)
    if not size.shortest or size.longest > LONGEST_BOARD:
        found = f"{cell!r} is not the size of a board"
        raise CellError(found, f"write sides of more than 0 and at most {LONGEST_BOARD}")
    return size


def _opening(cell: str, kind: ShelfKind, board: Size) -> Size | None:
    is_cut = kind is ShelfKind.READY_CUT
    if not cell and is_cut:
        raise CellError(
            "it is blank", "write the opening of the ready-cut mat, such as '10 1/2x13 1/2 in'"
        )
    if not cell:
        return None
    if not is_cut:
        raise CellError(
            f"a {kind} has no opening", "leave it blank, or write 'ready-cut mat' as its kind"
        )
    opening = read_size(cell)
    if not opening.shortest or not (opening.width < board.width and opening.height < board.height):
        found = f"{cell!r} is not inside a board of {board}"
        raise CellError(found, "write board and opening the same way up, width first")
    return opening


def _thickness(cell: str) -> Length:
    if not cell:
        raise CellError("it is blank", "write how thick the board is, such as '1.4 mm'")
    try:
        length = read_length(cell)
    except ValueError:
        remedy = "write it with its unit, such as '1.4 mm', which is about 4-ply"
        raise CellError(f"{cell!r} is not a thickness", remedy) from None
    if not ZERO < length <= _THICKEST:
        found = f"{cell!r} is not the thickness of a board"
        raise CellError(found, f"write more than 0 and at most {_THICKEST}")
    return length


def _count(cell: str) -> int:
    plain = cell.casefold().rstrip("x×").strip() or "1"
    if not (plain.isascii() and plain.isdigit() and len(plain) <= _MOST_DIGITS):
        raise CellError(
            f"{cell!r} is not a number of boards", "write how many there are, such as 3"
        )
    return int(plain)
