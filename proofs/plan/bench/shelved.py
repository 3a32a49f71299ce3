"""What is taken from the shelf before anything is bought; no board is taken twice."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Size
from proofs.plan.bench.buying import Sheet, fullest, used_square_nm, without
from proofs.plan.bench.nesting import BoardPiece, Nesting, nest
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import WindowShape
from proofs.records.shelf import ShelfBoard, ShelfKind
from proofs.records.stock import Stock


@dataclass(frozen=True, slots=True)
class TakenBoard:
    """A piece that is a board from the shelf just as it lies there."""

    piece: BoardPiece
    board: ShelfBoard


@dataclass(frozen=True, slots=True)
class CutDown:
    """Boards of one row of the shelf from which pieces are cut."""

    board: ShelfBoard
    nesting: Nesting


@dataclass(slots=True)
class Shelf:
    """The shelf while boards are taken from it; it lives within one call."""

    boards: tuple[ShelfBoard, ...]
    counts: list[int]

    @classmethod
    def of(cls, boards: Sequence[ShelfBoard]) -> "Shelf":
        """Return a full shelf."""
        return cls(tuple(boards), [board.count for board in boards])

    @property
    def left(self) -> tuple[tuple[ShelfBoard, int], ...]:
        """Each row, with how many of its boards are left."""
        return tuple(zip(self.boards, self.counts, strict=True))

    def take(self, row: int) -> ShelfBoard:
        """Take one board of a row, counted from 0. Raises ``ValueError`` if none is left."""
        if not self.counts[row]:
            raise ValueError(f"no board of row {row} of the shelf is left")
        self.counts[row] -= 1
        return self.boards[row]

    def there(self) -> Iterator[tuple[int, ShelfBoard]]:
        """Yield the rows of which boards are left."""
        return ((n, board) for n, (board, count) in enumerate(self.left) if count)


def ready_cut_for(plan: Plan, boards: Sequence[tuple[int, ShelfBoard]], near: Length) -> int | None:
    """Return the row of a ready-cut mat that is the one mat of this plan as it will be cut.

    Board, kind and opening are the same, the opening to within ``near``; None if there is none.
    """
    layout, mount = plan.layout, plan.mount
    is_plain = mount.shape == WindowShape.RECTANGLE and not mount.inner
    if len(layout.windows) != 1 or not is_plain:
        return None
    opening, top = layout.windows[0][0].limiting.size, mount.mats[0]
    for row, board in boards:
        is_same = (board.colour, board.core) == (top.colour.casefold(), top.core_colour.casefold())
        if board.opening is None or not is_same or not board.is_as_thick(top.thickness):
            continue
        for size, cut in ((board.size, board.opening), (board.size.turned, board.opening.turned)):
            if size == layout.board and _is_near(cut, opening, near):
                return row
    return None


def taken_whole(
    pieces: Sequence[BoardPiece], shelf: Shelf, rows: Sequence[int], stock: Stock
) -> tuple[list[TakenBoard], list[BoardPiece]]:
    """Take a board for each piece that one of these rows has in just this size.

    Returns what was taken, and the pieces that are left to cut.
    """
    taken, left = list[TakenBoard](), list[BoardPiece]()
    for piece in pieces:
        ways = (piece.size, piece.size.turned) if stock.may_turn else (piece.size,)
        row = next((n for n in rows if shelf.counts[n] and shelf.boards[n].size in ways), None)
        if row is None:
            left.append(piece)
        else:
            taken.append(TakenBoard(piece, shelf.take(row)))
    return taken, left


def cut_down(
    pieces: Sequence[BoardPiece], shelf: Shelf, rows: Sequence[int], stock: Stock
) -> tuple[tuple[CutDown, ...], list[BoardPiece]]:
    """Take boards of these rows to cut pieces from, the one that is filled best first.

    Returns what was taken, and the pieces that are left to buy. Only full sheets lose their
    factory edges.
    """
    left, cut = list(pieces), dict[int, list[Sheet]]()
    while True:
        tried = [
            (n, fullest(_nested(left, shelf.boards[n], stock))) for n in rows if shelf.counts[n]
        ]
        filled = [(n, sheet) for n, sheet in tried if sheet]
        if not filled:
            break
        row, sheet = max(filled, key=lambda one: _share(shelf.boards[one[0]].size, one[1]))
        shelf.take(row)
        cut.setdefault(row, []).append(sheet)
        left = without(left, sheet)
    return tuple(_cut_down(shelf.boards[n], sheets, stock) for n, sheets in cut.items()), left


def _cut_down(board: ShelfBoard, sheets: Sequence[Sheet], stock: Stock) -> CutDown:
    edge = _edge(board, stock)
    return CutDown(board, Nesting(stock.of_size(board.size), edge, tuple(sheets)))


def _nested(pieces: Sequence[BoardPiece], board: ShelfBoard, stock: Stock) -> Nesting:
    return nest(pieces, stock.of_size(board.size), edge=_edge(board, stock))


def _edge(board: ShelfBoard, stock: Stock) -> Length:
    is_too_narrow = 2 * stock.edge >= board.size.shortest
    return stock.edge if board.kind is ShelfKind.SHEET and not is_too_narrow else ZERO


def _share(board: Size, sheet: Sheet) -> tuple[float, int]:
    """How much of a board its pieces take; of equals the smaller board."""
    return used_square_nm(sheet) / board.square_nm, -board.square_nm


def _is_near(one: Size, other: Size, near: Length) -> bool:
    across, down = abs(one.width.nm - other.width.nm), abs(one.height.nm - other.height.nm)
    return max(across, down) <= near.nm
