"""What the ruler said of delivered prints: one row a print in ``arrived.csv``."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from proofs.errors import EntriesError
from proofs.lengths import NM_PER_INCH, Length, Size
from proofs.measures import read_length
from proofs.records.dialects import append_rows, read_rows, replace_cell, write_rows
from proofs.records.rows import Row
from proofs.records.words import tidy

READING_COLUMNS = (
    "number",
    "picture",
    "image_width",
    "image_height",
    "sheet_width",
    "sheet_height",
)
_MUST = ("number", "image_width", "image_height")
_FINEST = 64  # the finest fraction of an inch on a ruler


@dataclass(frozen=True, slots=True)
class RulerReading:
    """A print measured with a ruler: the image, and the sheet where it was measured too.

    ``picture`` counts from 1: which of an entry's pictures, where its board carries several.
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


def read_readings(raw: bytes, name: str) -> tuple[RulerReading, ...]:
    """Return the readings of a table, of one print only the last.

    Raises ``EntriesError`` for a row that cannot be understood: what is cut cannot be mended,
    so nothing is guessed.
    """
    _, rows = read_rows(raw, name)
    header, *filled = (row for row in rows if not row.is_blank)
    columns = _columns(header, name)
    found = [_reading(row, columns, name) for row in filled]
    return tuple({(reading.number, reading.picture): reading for reading in found}.values())


def with_reading(raw: bytes | None, reading: RulerReading, name: str) -> bytes:
    """Return the table with a reading added, or in the place of an earlier one of that print.

    All else in the file stays as it was; without a file a new one is begun.
    """
    cells = _cells(reading)
    if raw is None:
        return write_rows([READING_COLUMNS, [cells[column] for column in READING_COLUMNS]])
    _, rows = read_rows(raw, name)
    header = next(row for row in rows if not row.is_blank)
    columns = _columns(header, name)
    lacking = [column for column, cell in cells.items() if cell and column not in columns]
    if reading.picture == 1:
        lacking = [column for column in lacking if column != "picture"]
    if lacking:
        raise EntriesError(f"{name}: has no column {lacking[0]!r}; head one so, and save it")
    same = [
        r
        for r in read_readings(raw, name)
        if (r.number, r.picture) == (reading.number, reading.picture)
    ]
    if not same:
        return append_rows(raw, [[cells.get(column, "") for column in columns]], name=name)
    line = same[0].line
    assert line is not None, "a reading of a file stands on a line"
    for place, column in enumerate(columns):
        if column in cells:
            raw = replace_cell(raw, line, place, cells[column], name=name)
    return raw


def exact(length: Length) -> str:
    """Return a length as a cell that is read back as just that length.

    >>> exact(read_length("10 3/32 in")), exact(read_length("25.71 cm"))
    ('10 3/32 in', '257.1 mm')
    """
    value = Fraction(length.nm, NM_PER_INCH)
    if _FINEST % value.denominator:
        return f"{Decimal(length.nm).scaleb(-6).normalize():f} mm"
    whole, part = divmod(value, 1)
    return " ".join(str(n) for n in (whole, part) if n) + " in"


def _columns(header: Row, name: str) -> tuple[str, ...]:
    columns = tuple(tidy(cell).casefold().replace(" ", "_") for cell in header.cells)
    for column in _MUST:
        if column not in columns:
            raise EntriesError(
                f"{name}: line {header.line}: no column is headed {column!r}; the columns are"
                f" {', '.join(READING_COLUMNS)}"
            )
    return columns


def _reading(row: Row, columns: tuple[str, ...], name: str) -> RulerReading:
    cells = {c: tidy(t) for c, t in zip(columns, row.cells, strict=False)}
    where = f"{name}: line {row.line}"
    if not cells.get("number"):
        raise EntriesError(f"{where}, number: nothing is written; write the entry's number")
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
        raise ValueError(f"picture: {text!r} is no number; write 1 for the first of the board")
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
        "image_width": exact(reading.image.width),
        "image_height": exact(reading.image.height),
        "sheet_width": exact(sheet.width) if sheet else "",
        "sheet_height": exact(sheet.height) if sheet else "",
    }


def by_print(readings: Iterable[RulerReading]) -> dict[tuple[str, int], RulerReading]:
    """Return readings by the entry's number and the picture's."""
    return {(reading.number, reading.picture): reading for reading in readings}
