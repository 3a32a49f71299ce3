"""The boards that a job needs, by kind, nested in the sheets they are bought in."""

import enum
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Size
from proofs.plan.bench.nesting import SPARE, BoardPiece, Nesting, nest
from proofs.plan.entry.layout import mat_board
from proofs.plan.entry.planning import Plan
from proofs.records.stock import Stock


class BoardUse(enum.StrEnum):
    """What a board is for."""

    MAT = "mat"
    INNER_MAT = "inner mat"
    BACKING = "backing"


@dataclass(frozen=True, slots=True, order=True)
class BoardKind:
    """A kind of board as it is bought; ``core`` is blank for a backing, whose core is not seen."""

    use: BoardUse
    thickness: Length
    colour: str
    core: str = ""


@dataclass(frozen=True, slots=True)
class Material:
    """One kind of board, nested with clean edges, and ``uncut``: with the factory edges left on."""

    kind: BoardKind
    nesting: Nesting
    uncut: Nesting


def boards_of(plans: Sequence[Plan]) -> dict[BoardKind, tuple[BoardPiece, ...]]:
    """Return the boards of a job by kind: mats first, then backings, each with its spare last.

    There is one spare of each use (top mat, inner mat, backing), of the kind and size that is cut
    most often.
    """
    boards = [board for plan in plans for board in _boards(plan)]
    kinds: dict[BoardKind, tuple[BoardPiece, ...]] = {}
    for use in BoardUse:
        used = [(kind, piece) for kind, piece in boards if kind.use == use]
        for kind, piece in (*used, *_spare(used)):
            kinds[kind] = (*kinds.get(kind, ()), piece)
    return kinds


def materials(plans: Sequence[Plan], stock: Stock) -> tuple[Material, ...]:
    """Return the boards of a job by kind, mats first, nested in sheets of this stock."""
    return tuple(
        Material(kind, nest(pieces, stock), nest(pieces, stock, edge=ZERO))
        for kind, pieces in boards_of(plans).items()
    )


def _boards(plan: Plan) -> Iterator[tuple[BoardKind, BoardPiece]]:
    mount, board, label = plan.mount, plan.layout.board, plan.entry.number
    for number, mat in enumerate(mount.mats):
        use = BoardUse.INNER_MAT if number else BoardUse.MAT
        kind = BoardKind(use, mat.thickness, mat.colour, mat.core_colour)
        yield kind, BoardPiece(label, mat_board(board, number).size)
    yield BoardKind(BoardUse.BACKING, mount.backing, mount.backing_colour), BoardPiece(label, board)


def _spare(boards: Sequence[tuple[BoardKind, BoardPiece]]) -> list[tuple[BoardKind, BoardPiece]]:
    if not boards:
        return []
    counts = Counter((kind, _upright(piece.size)) for kind, piece in boards)
    most = max(counts, key=lambda board: (counts[board], board[1].square_nm))
    alike = [piece.size for kind, piece in boards if (kind, _upright(piece.size)) == most]
    ((size, _),) = Counter(alike).most_common(1)  # the way up that most of them are, for the grain
    return [(most[0], BoardPiece(SPARE, size))]


def _upright(size: Size) -> Size:
    return Size(size.shortest, size.longest)
