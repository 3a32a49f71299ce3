"""Boards packed in plain shelves: rows of boards as high as one another, or nearly."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from proofs.lengths import ZERO, Length, Size
from proofs.plan.bench.board_kinds import BoardPiece
from proofs.plan.entry.board import Opening
from proofs.records.stock import Stock


@dataclass(frozen=True, slots=True)
class Nested:
    """A piece and where it lies on its sheet, turned or not."""

    piece: BoardPiece
    area: Opening


Sheets = tuple[tuple[Nested, ...], ...]


def ways(piece: BoardPiece, room: Size, stock: Stock) -> Iterator[Size]:
    """Return how a piece can lie in a room: as it is, turned, or not at all."""
    ways = (piece.size, piece.size.turned) if stock.may_turn else (piece.size,)
    return (way for way in dict.fromkeys(ways) if room.holds(way))


def shelved(pieces: Sequence[BoardPiece], usable: Opening, stock: Stock) -> Iterator[Sheets]:
    """Return packings in shelves across and shelves down, the pieces lying in every way of _LIE.

    With all pieces as they are, first fit never takes more sheets than filling shelf after
    shelf does.
    """
    for across in (True, False):
        for lie in _LIE:
            yield _shelves(pieces, usable, stock, _Shelving(across, lie))


_HIGH, _LOW, _AS_IS = "high", "low", "as is"
_LIE = (_HIGH, _LOW, _AS_IS)


@dataclass(frozen=True, slots=True)
class _Shelving:
    """Whether shelves run across the sheet, and how pieces stand on them: one of ``_LIE``."""

    across: bool
    lie: str

    def depth(self, size: Size) -> Length:
        return size.height if self.across else size.width

    def run(self, size: Size) -> Length:
        return size.width if self.across else size.height

    def chosen(self, ways: Iterable[Size]) -> Size:
        if self.lie == _AS_IS:
            return next(iter(ways))
        return (max if self.lie == _HIGH else min)(ways, key=self.depth)

    def area(self, start: Length, down: Length, size: Size, usable: Opening) -> Opening:
        x, y = (start, down) if self.across else (down, start)
        return Opening(size, usable.place).shifted(x, y)


@dataclass(slots=True)
class _Shelf:
    """A shelf being filled; used up within one call."""

    down: Length
    depth: Length
    run: Length = ZERO


@dataclass(slots=True)
class _ShelvedSheet:
    """A sheet being filled with shelves; used up within one call."""

    shelves: list[_Shelf] = field(default_factory=list)
    nested: list[Nested] = field(default_factory=list)
    used: Length = ZERO


def _shelves(
    pieces: Sequence[BoardPiece], usable: Opening, stock: Stock, shelving: _Shelving
) -> Sheets:
    """First fit: the deepest pieces first, each on the first shelf that has room."""
    lying = [(piece, shelving.chosen(ways(piece, usable.size, stock))) for piece in pieces]
    lying.sort(key=lambda one: (shelving.depth(one[1]), shelving.run(one[1])), reverse=True)
    sheets: list[_ShelvedSheet] = []
    for piece, size in lying:
        if not any(_stood(piece, size, sheet, usable, shelving) for sheet in sheets):
            sheets.append(_ShelvedSheet())
            _stood(piece, size, sheets[-1], usable, shelving)
    return tuple(tuple(sheet.nested) for sheet in sheets)


def _stood(
    piece: BoardPiece, size: Size, sheet: _ShelvedSheet, usable: Opening, shelving: _Shelving
) -> bool:
    """Whether a piece was put on a shelf of the sheet, or on a new one where there is room."""
    depth, run = shelving.depth(size), shelving.run(size)
    most_run, most_depth = shelving.run(usable.size), shelving.depth(usable.size)
    shelf = next((s for s in sheet.shelves if depth <= s.depth and s.run + run <= most_run), None)
    if shelf is None:
        if sheet.used + depth > most_depth:
            return False
        shelf = _Shelf(sheet.used, depth)
        sheet.shelves.append(shelf)
        sheet.used += depth
    sheet.nested.append(Nested(piece, shelving.area(shelf.run, shelf.down, size, usable)))
    shelf.run += run
    return True
