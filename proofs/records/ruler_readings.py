"""Ruler measurements of delivered prints: one row for each print in ``arrived.csv``."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from proofs.errors import EntriesError
from proofs.lengths import Length, Size, inch_fraction
from proofs.measures import read_length
from proofs.records.cells import clean_cell
from proofs.records.columns import columns_with
from proofs.records.dialects import append_rows, read_rows, replace_cell, write_rows
from proofs.records.rows import Row

READING_COLUMNS = (
    "number",
    "picture",
    "image_width",
    "image_height",
    "sheet_width",
    "sheet_height",
)
_REQUIRED = ("number", "image_width", "image_height")
_FINEST_FRACTION = 64  # sixty-fourths are the finest marks on an inch ruler


@dataclass(frozen=True, slots=True)
class RulerReading:
    """A print measured with a ruler: the image, and the sheet if it was measured too.

    ``picture`` counts the pictures of the entry from 1. ``line`` is the row's line in the file.
    """

    number: str
    image: Size
    sheet: Size | None = None
    picture: int = 1
    line: int | None = None

    def __post_init__(self) -> None:
        if self.sheet and not (self.sheet.holds(self.image) or self.sheet.turned.holds(self.image)):
            raise ValueError(f"an image of {self.image} does not fit its sheet of {self.sheet}")
        if not self.image.shortest:
            raise ValueError(f"an image of {self.image} has no area")


def read_ruler_readings(raw: bytes, name: str) -> tuple[RulerReading, ...]:
    """Return the readings in a table, the last one for each print.

    Raises ``EntriesError`` for a row that cannot be understood: the program never guesses, because
    a wrong cut cannot be undone.
    """
    _, rows = read_rows(raw, name)
    header, *filled = (row for row in rows if not row.is_blank)
    columns = columns_with(header, name, _REQUIRED, known=READING_COLUMNS)
    return tuple(by_print(_reading(row, columns, name) for row in filled).values())


def with_ruler_reading(raw: bytes | None, reading: RulerReading, name: str) -> bytes:
    """Return the table with a reading added, or replacing an earlier one of the same print.

    Everything else in the file stays as it was. Without a file, return a new one.
    """
    cells = _cells(reading)
    if raw is None:
        return write_rows([READING_COLUMNS, [cells[column] for column in READING_COLUMNS]])
    _, rows = read_rows(raw, name)
    header = next(row for row in rows if not row.is_blank)
    columns = columns_with(header, name, _REQUIRED, known=READING_COLUMNS)
    lacking = [column for column, cell in cells.items() if cell and column not in columns]
    if reading.picture == 1:
        lacking = [column for column in lacking if column != "picture"]
    if lacking:
        raise EntriesError(f"{name}: has no column {lacking[0]!r}; add it in the spreadsheet")
    earlier = by_print(read_ruler_readings(raw, name)).get((reading.number, reading.picture))
    if earlier is None:
        return append_rows(raw, [[cells.get(column, "") for column in columns]], name=name)
    assert earlier.line is not None, "a reading from a file has a line"
    for place, column in enumerate(columns):
        if column in cells:
            raw = replace_cell(raw, earlier.line, place, cells[column], name=name)
    return raw


def by_print(readings: Iterable[RulerReading]) -> dict[tuple[str, int], RulerReading]:
    """Return the readings by the number of the entry and of the picture."""
    return {(reading.number, reading.picture): reading for reading in readings}


def exact_cell(length: Length) -> str:
    """Return a length as a cell that reads back as exactly that length.

    >>> exact_cell(read_length("10 3/32 in")), exact_cell(read_length("25.71 cm"))
    ('10 3/32 in', '257.1 mm')
    """
    if fraction := inch_fraction(length, _FINEST_FRACTION):
        return f"{fraction} in"
    return f"{Decimal(length.nm).scaleb(-6).normalize():f} mm"


def _reading(row: Row, columns: tuple[str, ...], name: str) -> RulerReading:
    cells = {c: clean_cell(t) for c, t in zip(columns, row.cells, strict=False)}
    where = f"{name}: line {row.line}"
    if not cells.get("number"):
        raise EntriesError(f"{where}, number: it is blank; write the entry's number")
    try:
        picture = _picture(cells.get("picture") or "1")
        image = Size(*(_length(cells, side) for side in ("image_width", "image_height")))
        sides = ("sheet_width", "sheet_height")
        sheet = Size(*(_length(cells, s) for s in sides)) if any(map(cells.get, sides)) else None
        return RulerReading(cells["number"], image, sheet, picture, row.line)
    except ValueError as error:
        raise EntriesError(f"{where}: {error}") from None


def _picture(text: str) -> int:
    if not text.isdecimal() or int(text) < 1:
        raise ValueError(
            f"picture: {text!r} is not a number; write 1 for the first picture on the board"
        )
    return int(text)


def _length(cells: dict[str, str], column: str) -> Length:
    try:
        return read_length(cells.get(column, ""))
    except ValueError as error:
        raise ValueError(f"{column}: {error}") from None


def _cells(reading: RulerReading) -> dict[str, str]:
    sheet = reading.sheet
    return {
        "number": reading.number,
        "picture": str(reading.picture),
        "image_width": exact_cell(reading.image.width),
        "image_height": exact_cell(reading.image.height),
        "sheet_width": exact_cell(sheet.width) if sheet else "",
        "sheet_height": exact_cell(sheet.height) if sheet else "",
    }
