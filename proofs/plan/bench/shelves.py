"""Boards nested in shelves: rows of boards of about the same height."""

import enum
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from proofs.lengths import ZERO, Length, Size
from proofs.plan.entry.board import Opening
from proofs.records.stock import Stock

SPARE = "spare"


@dataclass(frozen=True, slots=True)
class BoardPiece:
    """One board to cut. ``label`` is its entry's number, or ``SPARE``."""

    label: str
    size: Size


@dataclass(frozen=True, slots=True)
class NestedPiece:
    """A piece and its place on a sheet, turned or not."""

    piece: BoardPiece
    area: Opening


Sheets = tuple[tuple[NestedPiece, ...], ...]


def orientations(piece: BoardPiece, room: Size, stock: Stock) -> Iterator[Size]:
    """Return the size of a piece each way that it fits in a room: as it is, and turned."""
    sizes = (piece.size, piece.size.turned) if stock.may_turn else (piece.size,)
    return (size for size in dict.fromkeys(sizes) if room.holds(size))


def shelved(pieces: Sequence[BoardPiece], usable: Opening, stock: Stock) -> Iterator[Sheets]:
    """Return nestings with shelves across and shelves down, pieces standing, lying and as they are.

    With all pieces as they are, first fit never needs more sheets than filling one shelf after
    another.
    """
    for across in (True, False):
        for stance in _Stance:
            yield _shelves(pieces, usable, stock, _Shelving(across, stance))


class _Stance(enum.Enum):
    """How pieces stand on a shelf."""

    HIGH = enum.auto()
    LOW = enum.auto()
    AS_IS = enum.auto()


@dataclass(frozen=True, slots=True)
class _Shelving:
    """Whether shelves run across the sheet, and how pieces stand on them."""

    across: bool
    stance: _Stance

    def depth(self, size: Size) -> Length:
        return size.height if self.across else size.width

    def run(self, size: Size) -> Length:
        return size.width if self.across else size.height

    def chosen(self, sizes: Iterable[Size]) -> Size:
        if self.stance is _Stance.AS_IS:
            return next(iter(sizes))
        return (max if self.stance is _Stance.HIGH else min)(sizes, key=self.depth)

    def area(self, start: Length, down: Length, size: Size, usable: Opening) -> Opening:
        x, y = (start, down) if self.across else (down, start)
        return Opening(size, usable.place).shifted(x, y)


@dataclass(slots=True)
class _Shelf:
    """A shelf being filled; it lives within one call."""

    down: Length
    depth: Length
    run: Length = ZERO


@dataclass(slots=True)
class _ShelvedSheet:
    """A sheet being filled with shelves; it lives within one call."""

    shelves: list[_Shelf] = field(default_factory=list)
    nested: list[NestedPiece] = field(default_factory=list)
    used: Length = ZERO


def _shelves(
    pieces: Sequence[BoardPiece], usable: Opening, stock: Stock, shelving: _Shelving
) -> Sheets:
    """First fit: the deepest pieces first, each on the first shelf with room for it."""
    lying = [(piece, shelving.chosen(orientations(piece, usable.size, stock))) for piece in pieces]
    lying.sort(key=lambda one: (shelving.depth(one[1]), shelving.run(one[1])), reverse=True)
    sheets: list[_ShelvedSheet] = []
    for piece, size in lying:
        if not any(_add(piece, size, sheet, usable, shelving=shelving) for sheet in sheets):
            sheets.append(_ShelvedSheet())
            _add(piece, size, sheets[-1], usable, shelving=shelving)
    return tuple(tuple(sheet.nested) for sheet in sheets)


def _add(
    piece: BoardPiece, size: Size, sheet: _ShelvedSheet, usable: Opening, *, shelving: _Shelving
) -> bool:
    """Put a piece on a shelf of the sheet, or on a new shelf; return whether there was room."""
    depth, run = shelving.depth(size), shelving.run(size)
    most_run, most_depth = shelving.run(usable.size), shelving.depth(usable.size)
    shelf = next((s for s in sheet.shelves if depth <= s.depth and s.run + run <= most_run), None)
    if shelf is None:
        if sheet.used + depth > most_depth:
            return False
        shelf = _Shelf(sheet.used, depth)
        sheet.shelves.append(shelf)
        sheet.used += depth
    sheet.nested.append(NestedPiece(piece, shelving.area(shelf.run, shelf.down, size, usable)))
    shelf.run += run
    return True
