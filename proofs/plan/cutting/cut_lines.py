"""The cuts of a mat as its cutter sees them: face down, mirrored left to right."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from proofs.lengths import Edge, Length, Size
from proofs.plan.entry.board import Opening

CUTTING_ORDER = (Edge.LEFT, Edge.RIGHT, Edge.TOP, Edge.BOTTOM)


@dataclass(frozen=True, slots=True)
class Stroke:
    """One cut of the knife, seen from the back: a line ``at`` from an ``edge`` of the board.

    It runs from ``start`` to ``end``, counted from the board's left edge or from its top. It
    is always measured from the edge whose border it ends: so the kept board lies on the same
    side of the blade in every cut, and the bevel leans the same way.
    """

    edge: Edge
    at: Length
    start: Length
    end: Length


@dataclass(frozen=True, slots=True)
class CutLine:
    """All cuts of one mat that need the same setting and the same edge; windows share it."""

    edge: Edge
    at: Length
    strokes: tuple[Stroke, ...]


def cut_lines(board: Size, backs: Iterable[Opening]) -> tuple[CutLine, ...]:
    """Return the lines to cut for these openings at the back, edge by edge, outermost first."""
    cuts = [cut for back in backs for cut in _round(board, back.mirrored(board))]
    cuts.sort(key=_order)
    return tuple(
        CutLine(edge, at, tuple(sharing))
        for (edge, at), sharing in groupby(cuts, key=lambda cut: (cut.edge, cut.at))
    )


def _round(board: Size, seen: Opening) -> tuple[Stroke, ...]:
    """The four cuts of one opening, as it is seen from the back."""
    around = seen.borders_in(Opening(board))
    return (
        Stroke(Edge.LEFT, around.left, seen.top, seen.bottom),
        Stroke(Edge.RIGHT, around.right, seen.top, seen.bottom),
        Stroke(Edge.TOP, around.top, seen.left, seen.right),
        Stroke(Edge.BOTTOM, around.bottom, seen.left, seen.right),
    )


def _order(stroke: Stroke) -> tuple[int, Length, Length]:
    return CUTTING_ORDER.index(stroke.edge), stroke.at, stroke.start
