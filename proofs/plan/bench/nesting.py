"""The boards cut from each stock sheet; each cut goes from edge to edge of what is left.

The better of two ways is used: shelves of boards of the same height, and cutting up what is left
board by board. A knife removes no board, so boards touch.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Size
from proofs.plan.bench.shelves import BoardPiece, NestedPiece, Sheets, orientations, shelved
from proofs.plan.entry.board import Opening
from proofs.records.stock import Stock

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
    fitting = [piece for piece in pieces if any(orientations(piece, usable.size, stock))]
    too_large = tuple(piece for piece in pieces if piece not in fitting)
    # Of equals the first: shelves need fewer settings of the cutter.
    tried = [*shelved(fitting, usable, stock), *_cut_up(fitting, usable, stock)]
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
    for piece in pieces:
        number = next((n for n, r in enumerate(rooms) if _best(piece, r, stock)), len(rooms))
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
    tried = [(room, size) for room in rooms for size in orientations(piece, room.size, stock)]
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
