"""The boards that a job takes, by the kind of board they are cut from."""

import enum
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proofs.lengths import Length, Size
from proofs.plan.entry.layout import mat_board
from proofs.plan.entry.planning import Plan

SPARE = "spare"


class BoardUse(enum.StrEnum):
    """What a board is for."""

    MAT = "mat"
    INNER_MAT = "inner mat"
    BACKING = "backing"


@dataclass(frozen=True, slots=True, order=True)
class BoardKind:
    """What is asked for in the shop; ``core`` is empty for a backing, whose core is not seen."""

    use: BoardUse
    thickness: Length
    colour: str
    core: str = ""


@dataclass(frozen=True, slots=True)
class BoardPiece:
    """One board to cut. ``label`` is its entry's number, or ``SPARE``."""

    label: str
    size: Size


def boards_of(plans: Sequence[Plan]) -> dict[BoardKind, tuple[BoardPiece, ...]]:
    """Return the boards of a job by kind: mats first, then backings, the spare ones last.

    There is one spare mat, where mats are double one of each, and one spare backing: of the
    size and kind cut most often.
    """
    boards = [board for plan in plans for board in _boards(plan)]
    kinds: dict[BoardKind, tuple[BoardPiece, ...]] = {}
    for use in BoardUse:
        used = [(kind, piece) for kind, piece in boards if kind.use == use]
        for kind, piece in (*used, *_spare(used)):
            kinds[kind] = (*kinds.get(kind, ()), piece)
    return kinds


def _boards(plan: Plan) -> Iterator[tuple[BoardKind, BoardPiece]]:
    mount, board, label = plan.mount, plan.layout.board, plan.entry.number
    if mount.has_window:
        yield (
            BoardKind(BoardUse.MAT, mount.mat, mount.mat_colour, mount.core_colour),
            BoardPiece(label, board),
        )
    for mat in mount.inner:
        kind = BoardKind(BoardUse.INNER_MAT, mat.thickness, mat.colour, mat.core_colour)
        yield kind, BoardPiece(label, mat_board(board, 1).size)
    yield BoardKind(BoardUse.BACKING, mount.backing, mount.backing_colour), BoardPiece(label, board)


def _spare(boards: Sequence[tuple[BoardKind, BoardPiece]]) -> list[tuple[BoardKind, BoardPiece]]:
    if not boards:
        return []
    counts = Counter((kind, _upright(piece.size)) for kind, piece in boards)
    most = max(counts, key=lambda board: (counts[board], board[1].square_nm))
    alike = [piece.size for kind, piece in boards if (kind, _upright(piece.size)) == most]
    ((size, _),) = Counter(alike).most_common(1)  # as most of them lie, for the grain
    return [(most[0], BoardPiece(SPARE, size))]


def _upright(size: Size) -> Size:
    return Size(size.shortest, size.longest)
