"""How several pictures lie on one board: a row, a column, a grid, an order of one's own."""

import re
from dataclasses import dataclass

from proofs.records.words import CellError, tidy

EXPECTED = "'row', 'column', 'grid 2x3' (across x down), or an order such as '1 2 / 3'"

_GRID = re.compile(r"(?:grid\s*)?(\d{1,2})\s*[x×*]\s*(\d{1,2})")
_ORDER = re.compile(r"\d{1,2}(?:[\s,]+\d{1,2})*(?:\s*/\s*\d{1,2}(?:[\s,]+\d{1,2})*)*")

Rows = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Arrangement:
    """An arrangement as written: ``row``, ``column``, ``grid 2x3``, or an order in rows.

    A grid says how many pictures lie across, then down. An order numbers them from 1 and
    parts its rows with a stroke.
    """

    text: str = "row"

    def __str__(self) -> str:
        return self.text

    @property
    def is_grid(self) -> bool:
        """Whether its columns line up as its rows do."""
        return self.text.startswith("grid")

    def rows(self, count: int) -> Rows:
        """Return, row by row from the top, which of ``count`` pictures lie in it, from 0.

        Raises ``ValueError`` where the arrangement is for another number of pictures.

        >>> Arrangement("grid 2x2").rows(4), Arrangement("2 / 1 3").rows(3)
        (((0, 1), (2, 3)), ((1,), (0, 2)))
        """
        if self.text == "row" or count == 1:
            return (tuple(range(count)),)
        if self.text == "column":
            return tuple((n,) for n in range(count))
        rows = self._grid() if self.is_grid else self._order()
        if sorted(n for row in rows for n in row) != list(range(count)):
            raise ValueError(
                f"arrangement: {self.text!r} is not for {count} pictures; write {EXPECTED}"
            )
        return rows

    def _grid(self) -> Rows:
        across, down = (int(n) for n in self.text.removeprefix("grid ").split("x"))
        return tuple(tuple(range(row * across, (row + 1) * across)) for row in range(down))

    def _order(self) -> Rows:
        return tuple(tuple(int(n) - 1 for n in row.split()) for row in self.text.split("/"))


ROW = Arrangement()


def read_arrangement(text: str) -> Arrangement:
    """Return the arrangement that a cell or a profile asks for.

    Raises ``CellError``.

    >>> str(read_arrangement("2 x 3")), str(read_arrangement("1, 2/3"))
    ('grid 2x3', '1 2 / 3')
    """
    plain = tidy(text).lower()
    if plain in ("row", "column"):
        return Arrangement(plain)
    if found := _GRID.fullmatch(plain):
        across, down = int(found[1]), int(found[2])
        if across and down:
            return Arrangement(f"grid {across}x{down}")
    if _ORDER.fullmatch(plain) and "/" in plain:
        rows = [re.split(r"[\s,]+", row.strip()) for row in plain.split("/")]
        return Arrangement(" / ".join(" ".join(str(int(n)) for n in row) for row in rows))
    raise CellError(f"{text!r} is no arrangement", f"write {EXPECTED}")
