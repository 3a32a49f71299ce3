"""The boards that a job needs, by kind: from the shelf first, the rest from sheets to buy."""

import enum
from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Size
from proofs.plan.bench.buying import Purchase, buy
from proofs.plan.bench.nesting import SPARE, BoardPiece
from proofs.plan.bench.shelved import (
    CutDown,
    Shelf,
    TakenBoard,
    cut_down,
    ready_cut_for,
    taken_whole,
)
from proofs.plan.entry.layout import mat_board
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import Mat
from proofs.records.shelf import ShelfBoard, ShelfKind
from proofs.records.stock import Stock

LOWER = "lower"
"""Follows the number of an entry on a mat that lies below its top mat."""


class BoardUse(enum.StrEnum):
    """What a board is for."""

    MAT = "mat"
    BACKING = "backing"


_SHELVED = {
    BoardUse.MAT: (ShelfKind.BLANK, ShelfKind.SHEET),
    BoardUse.BACKING: (ShelfKind.BACKING, ShelfKind.SHEET),
}


@dataclass(frozen=True, slots=True, order=True)
class BoardKind:
    """A kind of board as it is bought; ``core`` is blank for a backing, whose core is not seen.

    Mats of one kind serve as top mats and as lower ones.
    """

    use: BoardUse
    thickness: Length
    colour: str
    core: str = ""

    def is_of(self, board: ShelfBoard) -> bool:
        """Return whether a board from the shelf, not yet cut, is of this kind."""
        colours = [self.colour.casefold()] + ([self.core.casefold()] if self.core else [])
        found = [board.colour] + ([board.core] if self.core else [])
        return (
            board.kind in _SHELVED[self.use]
            and found == colours
            and board.is_as_thick(self.thickness)
        )


@dataclass(frozen=True, slots=True)
class Material:
    """One kind of board: what the shelf has of it, and what is bought.

    ``taken`` are boards used as they lie on the shelf, ready-cut mats among them; from those of
    ``from_shelf`` pieces are cut. ``bought`` has clean edges, and ``uncut`` is what would be bought
    with the factory edges left on.
    """

    kind: BoardKind
    bought: Purchase
    uncut: Purchase
    taken: tuple[TakenBoard, ...] = ()
    from_shelf: tuple[CutDown, ...] = ()

    @property
    def is_for_spares_alone(self) -> bool:
        """Whether only spares are cut from what is bought."""
        cut = [one.piece for n in self.bought.nestings for sheet in n.sheets for one in sheet]
        return bool(cut) and all(piece.label == SPARE for piece in cut)


@dataclass(frozen=True, slots=True)
class MaterialList:
    """The boards of a job by kind, and each row of the shelf with what will be left of it.

    ``stock`` are the sheets that are bought.
    """

    materials: tuple[Material, ...]
    stock: Stock
    left: tuple[tuple[ShelfBoard, int], ...] = ()

    @property
    def ready_cut(self) -> frozenset[str]:
        """The numbers of the entries whose top mat is ready-cut."""
        taken = (one for material in self.materials for one in material.taken)
        return frozenset(one.piece.label for one in taken if one.board.opening)


def boards_of(
    plans: Sequence[Plan], ready_cut: Collection[str] = ()
) -> dict[BoardKind, tuple[BoardPiece, ...]]:
    """Return the boards to cut for a job by kind: mats first, then backings, each with its spares.

    Mats that exist already are not among them, nor are those of the entries ``ready_cut``. Each
    kind has a spare from which any of its boards can be cut again. Where no size holds all others
    there are several.
    """
    kinds: dict[BoardKind, list[BoardPiece]] = defaultdict(list)
    for plan in plans:
        for kind, piece in _boards(plan):
            held = kinds[kind]
            if kind.use is not BoardUse.MAT or piece.label not in ready_cut:
                held.append(piece)
    uses = list(BoardUse)
    ordered = sorted(kinds, key=lambda kind: uses.index(kind.use))
    return {kind: (*kinds[kind], *_spares(kinds[kind])) for kind in ordered}


def materials(
    plans: Sequence[Plan], stock: Stock, boards: Sequence[ShelfBoard] = (), *, near: Length = ZERO
) -> MaterialList:
    """Return the boards of a job by kind, mats first: from the shelf, or from sheets of the stock.

    A ready-cut mat is taken for an entry whose opening is its own, to within ``near``.
    """
    shelf = Shelf.of(boards)
    ready = _ready_cut(plans, shelf, near)
    pieces_of = boards_of(plans, {one.piece.label for _, one in ready})
    # A mat that is given by its mount needs no board, and is of no kind yet.
    pieces_of |= {kind: () for kind, _ in ready if kind not in pieces_of}
    found = []
    for kind, pieces in sorted(pieces_of.items(), key=lambda one: one[0].use != BoardUse.MAT):
        own = tuple(one for of, one in ready if of == kind)
        found.append(_material(kind, pieces, shelf, stock, own=own))
    return MaterialList(tuple(found), stock, shelf.left)


def _material(
    kind: BoardKind,
    pieces: Sequence[BoardPiece],
    shelf: Shelf,
    stock: Stock,
    *,
    own: tuple[TakenBoard, ...],
) -> Material:
    """What is taken and bought of one kind; ``own`` are its ready-cut mats."""
    rows = [n for n, board in enumerate(shelf.boards) if kind.is_of(board)]
    whole, to_cut = taken_whole(pieces, shelf, rows, stock)
    cut, left = cut_down(to_cut, shelf, rows, stock)
    prices = stock.mat_prices if kind.use is BoardUse.MAT else stock.backing_prices
    bought, uncut = buy(left, stock, prices), buy(left, stock, prices, edge=ZERO)
    return Material(kind, bought, uncut, (*own, *whole), cut)


def _ready_cut(
    plans: Sequence[Plan], shelf: Shelf, near: Length
) -> list[tuple[BoardKind, TakenBoard]]:
    """Take the ready-cut mats, each with the kind of board that it is."""
    taken = []
    for plan in plans:
        row = ready_cut_for(plan, list(shelf.there()), near)
        if row is not None:
            piece = BoardPiece(plan.entry.number, plan.layout.board)
            taken.append((_mat_kind(plan.mount.mats[0]), TakenBoard(piece, shelf.take(row))))
    return taken


def _mat_kind(mat: Mat) -> BoardKind:
    return BoardKind(BoardUse.MAT, mat.thickness, mat.colour, mat.core_colour)


def _boards(plan: Plan) -> Iterator[tuple[BoardKind, BoardPiece]]:
    mount, board, label = plan.mount, plan.layout.board, plan.entry.number
    for number, mat in enumerate(() if plan.is_ready_cut else mount.mats):
        which = f"{label} {LOWER}" if number else label
        yield _mat_kind(mat), BoardPiece(which, mat_board(board, number).size)
    yield BoardKind(BoardUse.BACKING, mount.backing, mount.backing_colour), BoardPiece(label, board)


def _spares(pieces: Sequence[BoardPiece]) -> list[BoardPiece]:
    """A spare of each size that no larger size of these pieces holds."""
    alike: dict[Size, list[Size]] = defaultdict(list)
    for piece in pieces:
        alike[_upright(piece.size)].append(piece.size)
    largest = [one for one in alike if not any(_holds(other, one) for other in alike)]
    # Each the way up that most of its boards are, for the grain.
    ways = [Counter(alike[one]).most_common(1)[0][0] for one in largest]
    return [BoardPiece(SPARE, size) for size in ways]


def _holds(other: Size, one: Size) -> bool:
    """Whether an upright size can be cut from another one."""
    return other != one and one.width <= other.width and one.height <= other.height


def _upright(size: Size) -> Size:
    return Size(size.shortest, size.longest)
