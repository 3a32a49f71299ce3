"""How several pictures are arranged on one board: in a row, a column, a grid, or rows."""

import re
from dataclasses import dataclass

from proofs.records.cells import CellError, clean_cell

ARRANGEMENTS_ACCEPTED = "'row', 'column', 'grid 2x3' (across x down), or rows such as '1 2 / 3'"

_GRID = re.compile(r"(?:grid\s*)?(\d{1,2})\s*[x×*]\s*(\d{1,2})")
_ROWS = re.compile(r"\d{1,2}(?:[\s,]+\d{1,2})*(?:\s*/\s*\d{1,2}(?:[\s,]+\d{1,2})*)*")

Rows = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Arrangement:
    """An arrangement as written: ``row``, ``column``, ``grid 2x3``, or rows such as ``1 2 / 3``.

    A grid gives the number of pictures across, then down. Rows number the pictures from 1, with
    a slash between two rows.
    """

    text: str = "row"

    def __str__(self) -> str:
        return self.text

    @property
    def is_grid(self) -> bool:
        """Whether its columns line up as well as its rows."""
        return self.text.startswith("grid")

    def rows(self, count: int) -> Rows:
        """Return the pictures in each row from the top, as numbers from 0 to ``count`` - 1.

        Raises ``ValueError`` if the arrangement is for another number of pictures.

        >>> Arrangement("grid 2x2").rows(4), Arrangement("2 / 1 3").rows(3)
        (((0, 1), (2, 3)), ((1,), (0, 2)))
        """
        if self.text == "row" or count == 1:
            return (tuple(range(count)),)
        if self.text == "column":
            return tuple((n,) for n in range(count))
        rows = self._grid() if self.is_grid else self._rows_as_written()
        if sorted(n for row in rows for n in row) != list(range(count)):
            raise ValueError(
                f"arrangement: {self.text!r} is not for {count} pictures;"
                f" write {ARRANGEMENTS_ACCEPTED}"
            )
        return rows

    def _grid(self) -> Rows:
        across, down = (int(n) for n in self.text.removeprefix("grid ").split("x"))
        return tuple(tuple(range(row * across, (row + 1) * across)) for row in range(down))

    def _rows_as_written(self) -> Rows:
        return tuple(tuple(int(n) - 1 for n in row.split()) for row in self.text.split("/"))


IN_A_ROW = Arrangement()


def read_arrangement(text: str) -> Arrangement:
    """Return the arrangement in a cell or a profile. Raises ``CellError``.

    >>> str(read_arrangement("2 x 3")), str(read_arrangement("1, 2/3"))
    ('grid 2x3', '1 2 / 3')
    """
    plain = clean_cell(text).lower()
    if plain in ("row", "column"):
        return Arrangement(plain)
    if found := _GRID.fullmatch(plain):
        across, down = int(found[1]), int(found[2])
        if across and down:
            return Arrangement(f"grid {across}x{down}")
    if _ROWS.fullmatch(plain) and "/" in plain:
        rows = [re.split(r"[\s,]+", row.strip()) for row in plain.split("/")]
        return Arrangement(" / ".join(" ".join(str(int(n)) for n in row) for row in rows))
    raise CellError(f"{text!r} is not an arrangement", f"write {ARRANGEMENTS_ACCEPTED}")
