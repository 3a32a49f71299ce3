"""The boards that a job needs, by kind, nested in the sheets they are bought in."""

import enum
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Size
from proofs.plan.bench.nesting import SPARE, BoardPiece, Nesting, nest
from proofs.plan.entry.layout import mat_board
from proofs.plan.entry.planning import Plan
from proofs.records.stock import Stock

LOWER = "lower"
"""Follows the number of an entry on a mat that lies below its top mat."""


class BoardUse(enum.StrEnum):
    """What a board is for."""

    MAT = "mat"
    BACKING = "backing"


@dataclass(frozen=True, slots=True, order=True)
class BoardKind:
    """A kind of board as it is bought; ``core`` is blank for a backing, whose core is not seen.

    Mats of one kind serve as top mats and as lower ones.
    """

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
    """Return the boards of a job by kind: mats first, then backings, each with its spares last.

    Mats that exist already are not among them. Each kind has a spare from which any of its boards
    can be cut again. Where no size holds all others there are several.
    """
    kinds: dict[BoardKind, list[BoardPiece]] = defaultdict(list)
    for plan in plans:
        for kind, piece in _boards(plan):
            kinds[kind].append(piece)
    uses = list(BoardUse)
    ordered = sorted(kinds, key=lambda kind: uses.index(kind.use))
    return {kind: (*kinds[kind], *_spares(kinds[kind])) for kind in ordered}


def materials(plans: Sequence[Plan], stock: Stock) -> tuple[Material, ...]:
    """Return the boards of a job by kind, mats first, nested in sheets of this stock."""
    return tuple(
        Material(kind, nest(pieces, stock), nest(pieces, stock, edge=ZERO))
        for kind, pieces in boards_of(plans).items()
    )


def _boards(plan: Plan) -> Iterator[tuple[BoardKind, BoardPiece]]:
    mount, board, label = plan.mount, plan.layout.board, plan.entry.number
    for number, mat in enumerate(() if plan.is_ready_cut else mount.mats):
        kind = BoardKind(BoardUse.MAT, mat.thickness, mat.colour, mat.core_colour)
        which = f"{label} {LOWER}" if number else label
        yield kind, BoardPiece(which, mat_board(board, number).size)
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
