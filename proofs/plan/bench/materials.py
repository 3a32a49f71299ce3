"""The boards of a job, nested in the sheets that they are bought in."""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.lengths import ZERO
from proofs.plan.bench.board_kinds import BoardKind, boards_of
from proofs.plan.bench.nesting import Nesting, nest
from proofs.plan.entry.planning import Plan
from proofs.records.stock import Stock


@dataclass(frozen=True, slots=True)
class Material:
    """One kind of board: its nesting in the stock, and with the factory edges left on."""

    kind: BoardKind
    nesting: Nesting
    uncut: Nesting


def materials(plans: Sequence[Plan], stock: Stock) -> tuple[Material, ...]:
    """Return the boards of a job by kind, mats first."""
    return tuple(
        Material(kind, nest(pieces, stock), nest(pieces, stock, edge=ZERO))
        for kind, pieces in boards_of(plans).items()
    )
