"""The boards that a job takes, by the kind of board they are cut from."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from proofs.lengths import Length, Size
from proofs.plan.planning import Plan
from proofs.records.mounts import Mount

SPARE = "spare"


@dataclass(frozen=True, slots=True, order=True)
class BoardKind:
    """What is asked for in the shop; ``core`` is empty for a backing, whose core is not seen."""

    use: str
    thickness: Length
    colour: str
    core: str = ""


@dataclass(frozen=True, slots=True)
class Piece:
    """One board to cut. ``label`` is its entry's number, or ``SPARE``."""

    label: str
    size: Size


def boards_of(plans: Sequence[Plan]) -> dict[BoardKind, tuple[Piece, ...]]:
    """Return the boards of a job by kind: mats first, then backings, the spare ones last.

    There is one spare mat and one spare backing, each of the size and kind cut most often.
    """
    mats = [(mat_kind(p.mount), _piece(p)) for p in plans if p.mount.has_window]
    backings = [(backing_kind(p.mount), _piece(p)) for p in plans]
    kinds: dict[BoardKind, tuple[Piece, ...]] = {}
    for boards in (mats, backings):
        for kind, piece in (*boards, *_spare(boards)):
            kinds[kind] = (*kinds.get(kind, ()), piece)
    return kinds


def mat_kind(mount: Mount) -> BoardKind:
    """Return the board that a mount's mat is cut from."""
    return BoardKind("mat", mount.mat, mount.mat_colour, mount.core_colour)


def backing_kind(mount: Mount) -> BoardKind:
    """Return the board that a mount's backing is cut from."""
    return BoardKind("backing", mount.backing, mount.backing_colour)


def _piece(plan: Plan) -> Piece:
    return Piece(plan.entry.number, plan.layout.board)


def _spare(boards: Sequence[tuple[BoardKind, Piece]]) -> list[tuple[BoardKind, Piece]]:
    if not boards:
        return []
    counts = Counter((kind, _upright(piece.size)) for kind, piece in boards)
    kind, size = max(counts, key=lambda board: (counts[board], board[1].square_nm))
    return [(kind, Piece(SPARE, size))]


def _upright(size: Size) -> Size:
    return Size(size.shortest, size.longest)
