"""Which boards are cut from which stock sheet: every cut goes from edge to edge of what is left.

Two ways are worked out and the better is taken: shelves of boards as high as one another, and
cutting up what is left board by board. A knife parts board and takes none away, so boards
touch.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Size
from proofs.plan.bench.board_kinds import BoardPiece
from proofs.plan.bench.shelves import Nested, Sheets, shelved, ways
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
    """What is cut from each sheet, and the pieces that this stock is too small for.

    ``edge`` is what comes off each factory edge; nought asks for clean and square sheets.
    """

    stock: Stock
    edge: Length
    sheets: Sheets
    too_large: tuple[BoardPiece, ...] = ()


def nest(pieces: Sequence[BoardPiece], stock: Stock, *, edge: Length | None = None) -> Nesting:
    """Return a nesting on few sheets, never more than plain shelves would take.

    ``edge`` is that of the stock unless another is given.
    """
    edge = stock.edge if edge is None else edge
    usable = Opening(stock.sheet).grown(-edge)
    fitting = [piece for piece in pieces if any(ways(piece, usable.size, stock))]
    too_large = tuple(piece for piece in pieces if piece not in fitting)
    # Of equals the first: shelves take fewer settings of the cutter.
    tried = [*shelved(fitting, usable, stock), *_cut_up(fitting, usable, stock)]
    return Nesting(stock, edge, min(tried, key=len), too_large)


def _cut_up(pieces: Sequence[BoardPiece], usable: Opening, stock: Stock) -> Iterator[Sheets]:
    """What is left of a sheet is cut up piece by piece, in several orders and both ways."""
    for order in _ORDERS:
        ordered = sorted(pieces, key=order, reverse=True)
        for long_cut in (True, False):
            yield _board_by_board(ordered, usable, stock, long_cut=long_cut)


def _board_by_board(
    pieces: Sequence[BoardPiece], usable: Opening, stock: Stock, *, long_cut: bool
) -> Sheets:
    rooms: list[list[Opening]] = []
    nested: list[list[Nested]] = []
    for piece in pieces:
        number = next((n for n, r in enumerate(rooms) if _best(piece, r, stock)), len(rooms))
        if number == len(rooms):
            rooms.append([usable])
            nested.append([])
        best = _best(piece, rooms[number], stock)
        if best is None:
            raise ValueError("a new sheet has no room for a piece that was found to fit")
        room, size = best
        rooms[number].remove(room)
        rooms[number] += _left_over(room, size, long_cut=long_cut)
        nested[number].append(Nested(piece, Opening(size, room.place)))
    return tuple(tuple(sheet) for sheet in nested)


def _best(piece: BoardPiece, rooms: Sequence[Opening], stock: Stock) -> tuple[Opening, Size] | None:
    """The room that a piece fills best, and how it lies there; None where none holds it."""
    tried = [(room, way) for room in rooms for way in ways(piece, room.size, stock)]
    return min(tried, key=lambda one: _spare(*one), default=None)


def _spare(room: Opening, size: Size) -> tuple[int, int]:
    """What is left beside and below, the lesser first."""
    beside, below = room.size.width.nm - size.width.nm, room.size.height.nm - size.height.nm
    return min(beside, below), max(beside, below)


def _left_over(room: Opening, size: Size, *, long_cut: bool) -> Iterator[Opening]:
    """The two rooms that remain when a piece is cut from the top left of one.

    With ``long_cut`` the first cut leaves the larger of the two whole.
    """
    beside, below = room.size.width - size.width, room.size.height - size.height
    across = (beside < below) == long_cut
    right = Size(beside, size.height if across else room.size.height)
    under = Size(room.size.width if across else size.width, below)
    if right.shortest > ZERO:
        yield Opening(right, room.place).shifted(size.width, ZERO)
    if under.shortest > ZERO:
        yield Opening(under, room.place).shifted(ZERO, size.height)
