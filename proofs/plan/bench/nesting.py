"""The boards cut from each stock sheet; each cut goes from edge to edge of what is left.

The better of two ways is used: shelves of boards of the same height, and cutting up what is left
board by board. A knife removes no board, so boards touch.
"""

import enum
from collections.abc import Callable, Iterable, Iterator, Sequence
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
_Order = Callable[[BoardPiece], tuple[int, int]]
_ORDERS: tuple[_Order, ...] = (
    lambda piece: (piece.size.square_nm, piece.size.longest.nm),
    lambda piece: (piece.size.longest.nm, piece.size.shortest.nm),
    lambda piece: (piece.size.shortest.nm, piece.size.longest.nm),
)


@dataclass(frozen=True, slots=True)
class Nesting:
    """The pieces cut from each sheet, and those that are too large for this stock.

    ``edge`` is cut off each factory edge; zero means that sheets are clean and square.
    """

    stock: Stock
    edge: Length
    sheets: Sheets
    too_large: tuple[BoardPiece, ...] = ()


def nest(pieces: Sequence[BoardPiece], stock: Stock, *, edge: Length | None = None) -> Nesting:
    """Return a nesting on few sheets, never on more than shelves alone would need.

    ``edge`` is that of the stock unless another is given.
    """
    edge = stock.edge if edge is None else edge
    usable = Opening(stock.sheet).grown(-edge)
    fitting = [piece for piece in pieces if any(_orientations(piece, usable.size, stock))]
    too_large = tuple(piece for piece in pieces if piece not in fitting)
    # Of equals the first: shelves need fewer settings of the cutter.
    tried = [*_shelved(fitting, usable, stock), *_cut_up(fitting, usable, stock)]
    return Nesting(stock, edge, min(tried, key=len), too_large)


def _cut_up(pieces: Sequence[BoardPiece], usable: Opening, stock: Stock) -> Iterator[Sheets]:
    """Nestings that cut up what is left piece by piece, in several orders and both ways."""
    for order in _ORDERS:
        ordered = sorted(pieces, key=order, reverse=True)
        for long_cut in (True, False):
            yield _board_by_board(ordered, usable, stock, long_cut=long_cut)


def _board_by_board(
    pieces: Sequence[BoardPiece], usable: Opening, stock: Stock, *, long_cut: bool
) -> Sheets:
    rooms: list[list[Opening]] = []
    nested: list[list[NestedPiece]] = []
    first: dict[Size, int] = {}  # no earlier sheet had room for this size, and none gains any
    for piece in pieces:
        later = range(first.get(piece.size, 0), len(rooms))
        number = next((n for n in later if _best(piece, rooms[n], stock)), len(rooms))
        first[piece.size] = number
        if number == len(rooms):
            rooms.append([usable])
            nested.append([])
        best = _best(piece, rooms[number], stock)
        if best is None:
            raise ValueError("a new sheet has no room for a piece that fits it")
        room, size = best
        rooms[number].remove(room)
        rooms[number] += _left_over(room, size, long_cut=long_cut)
        nested[number].append(NestedPiece(piece, Opening(size, room.place)))
    return tuple(tuple(sheet) for sheet in nested)


def _best(piece: BoardPiece, rooms: Sequence[Opening], stock: Stock) -> tuple[Opening, Size] | None:
    """The room that a piece fills best, and its size as placed; None if no room is large enough."""
    tried = [(room, size) for room in rooms for size in _orientations(piece, room.size, stock)]
    return min(tried, key=lambda one: _spare(*one), default=None)


def _spare(room: Opening, size: Size) -> tuple[int, int]:
    """The width and height left over, the smaller first."""
    across, down = room.size.width.nm - size.width.nm, room.size.height.nm - size.height.nm
    return min(across, down), max(across, down)


def _left_over(room: Opening, size: Size, *, long_cut: bool) -> Iterator[Opening]:
    """The rooms that remain after a piece is cut from the top left of one.

    With ``long_cut`` the first cut leaves the larger of the two undivided.
    """
    spare, below = room.size.width - size.width, room.size.height - size.height
    across = (spare < below) == long_cut
    right = Size(spare, size.height if across else room.size.height)
    under = Size(room.size.width if across else size.width, below)
    if right.shortest > ZERO:
        yield Opening(right, room.place).shifted(size.width, ZERO)
    if under.shortest > ZERO:
        yield Opening(under, room.place).shifted(ZERO, size.height)


def _orientations(piece: BoardPiece, room: Size, stock: Stock) -> Iterator[Size]:
    """Return the size of a piece each way that it fits in a room: as it is, and turned."""
    sizes = (piece.size, piece.size.turned) if stock.may_turn else (piece.size,)
    return (size for size in dict.fromkeys(sizes) if room.holds(size))


def _shelved(pieces: Sequence[BoardPiece], usable: Opening, stock: Stock) -> Iterator[Sheets]:
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
    lying = [(piece, shelving.chosen(_orientations(piece, usable.size, stock))) for piece in pieces]
    lying.sort(key=lambda one: (shelving.depth(one[1]), shelving.run(one[1])), reverse=True)
    sheets: list[_ShelvedSheet] = []
    first: dict[Size, int] = {}  # as for pieces board by board
    for piece, size in lying:
        number = first.get(size, 0)
        while number < len(sheets):
            if _add(piece, size, sheets[number], usable, shelving=shelving):
                break
            number += 1
        else:
            sheets.append(_ShelvedSheet())
            _add(piece, size, sheets[-1], usable, shelving=shelving)
        first[size] = number
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
