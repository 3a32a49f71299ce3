"""The cuts of a mat as the person at the cutter sees them: face down, mirrored left to right."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from proofs.lengths import Edge, Length, Size
from proofs.plan.entry.board import Opening

CUTTING_ORDER = (Edge.LEFT, Edge.RIGHT, Edge.TOP, Edge.BOTTOM)


@dataclass(frozen=True, slots=True)
class Stroke:
    """One cut, seen from the back: a line at the distance ``at`` from an ``edge`` of the board.

    It runs from ``start`` to ``end``, counted from the board's left edge or from its top. The
    edge is that of the border next to the cut, so that the border is on the same side of the
    blade in each cut, and all bevels lean the same way.
    """

    edge: Edge
    at: Length
    start: Length
    end: Length


@dataclass(frozen=True, slots=True)
class CutLine:
    """All cuts of one mat with the same setting from the same edge, in one window or several."""

    edge: Edge
    at: Length
    strokes: tuple[Stroke, ...]


def cut_lines(board: Size, backs: Iterable[Opening]) -> tuple[CutLine, ...]:
    """Return the lines to cut for these openings at the back, edge by edge, the outermost first."""
    cuts = [cut for back in backs for cut in _round(board, back.mirrored(board))]
    cuts.sort(key=_order)
    return tuple(
        CutLine(edge, at, tuple(sharing))
        for (edge, at), sharing in groupby(cuts, key=lambda cut: (cut.edge, cut.at))
    )


def _round(board: Size, seen: Opening) -> tuple[Stroke, ...]:
    """The four cuts of one opening, seen from the back."""
    around = seen.borders_in(Opening(board))
    return (
        Stroke(Edge.LEFT, around.left, seen.top, seen.bottom),
        Stroke(Edge.RIGHT, around.right, seen.top, seen.bottom),
        Stroke(Edge.TOP, around.top, seen.left, seen.right),
        Stroke(Edge.BOTTOM, around.bottom, seen.left, seen.right),
    )


def _order(stroke: Stroke) -> tuple[int, Length, Length]:
    return CUTTING_ORDER.index(stroke.edge), stroke.at, stroke.start
