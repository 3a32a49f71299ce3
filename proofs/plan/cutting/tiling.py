"""A board divided into tiles that each fit a page, and the marks that neighbouring pages share."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from proofs.lengths import NM_PER_MM, Length, Place, Size, half_up, millimetres
from proofs.plan.entry.board import Opening

OVERLAP = millimetres(8)
"""How much of the board is on both of two neighbouring pages."""

BEYOND = millimetres(2)
"""How much is shown outside the board, so that its own edge is well inside the page."""


@dataclass(frozen=True, slots=True)
class Tile:
    """The part of a board that one page shows; it may extend past the board's edges."""

    column: int
    row: int
    area: Opening


@dataclass(frozen=True, slots=True)
class Tiling:
    """The tiles of a board, row by row, and its register marks.

    Each mark is a whole number of millimetres from the board's top left, in the middle of an
    overlap, so that it is on both pages that share it; two neighbours share two marks.
    """

    columns: int
    rows: int
    tiles: tuple[Tile, ...]
    marks: tuple[Place, ...]


def tiled(board: Size, room: Size) -> Tiling:
    """Return the fewest equal tiles, none larger than ``room``, that show the whole board."""
    lefts, width = _spread(board.width, room.width)
    tops, height = _spread(board.height, room.height)
    tiles = tuple(
        Tile(column, row, Opening(Size(width, height), Place(left, top)))
        for row, top in enumerate(tops)
        for column, left in enumerate(lefts)
    )
    marks = tuple(_marks(lefts, width, tops, height))
    return Tiling(len(lefts), len(tops), tiles, marks)


def _spread(length: Length, room: Length) -> tuple[tuple[Length, ...], Length]:
    """Where tiles begin along one side, and the length of each."""
    whole = length + 2 * BEYOND
    if whole <= room:
        return (-BEYOND,), whole
    count = -(-(whole - OVERLAP).nm // (room - OVERLAP).nm)
    each = Length(-(-(whole + (count - 1) * OVERLAP).nm // count))  # up: no sliver is left out
    return tuple(n * (each - OVERLAP) - BEYOND for n in range(count)), each


def _marks(
    lefts: tuple[Length, ...], width: Length, tops: tuple[Length, ...], height: Length
) -> Iterator[Place]:
    """Two marks on each side that two tiles share, at a quarter and three quarters of it."""
    for top in tops:
        for left in lefts[1:]:
            for quarters in (1, 3):
                yield _place(left + OVERLAP // 2, top + height // 4 * quarters)
    for top in tops[1:]:
        for left in lefts:
            for quarters in (1, 3):
                yield _place(left + width // 4 * quarters, top + OVERLAP // 2)


def _place(x: Length, y: Length) -> Place:
    return Place(*(millimetres(half_up(Fraction(side.nm, NM_PER_MM))) for side in (x, y)))
