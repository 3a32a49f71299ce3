"""Lost edges: where the outermost picture and the mat beside it are too alike to tell apart."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.colour_difference import ciede2000
from proofs.inspection.marks import Area, Lab, Mark, MarkKind
from proofs.lengths import Edge
from proofs.records.inspections import LostEdgeLimits

Colours = NDArray[np.float64]

PIECE_MM = 1.0  # the eye follows an edge over such pieces, not pixel by pixel
_MOST_GAP = 2  # pieces: a shorter stretch that differs does not bring the edge back


def mean_pieces(colours: Colours, px_per_mm: float) -> Colours:
    """Return the mean CIELAB of each millimetre of a side; ``colours`` is line, sample, channel."""
    means = colours.mean(axis=0)
    count = max(1, round(len(means) / (PIECE_MM * px_per_mm)))
    starts = np.arange(count) * len(means) // count
    sizes = np.diff(np.append(starts, len(means)))
    return np.asarray(np.add.reduceat(means, starts, axis=0) / sizes[:, None])


def lost_edges(
    pieces: Colours, mat: Lab, side: Edge, size_mm: tuple[float, float], limits: LostEdgeLimits
) -> tuple[Mark, ...]:
    """Return the lost stretches of one side of an image of this size.

    ``pieces`` are the colours along the side, from the left or from the top.
    """
    difference = ciede2000(pieces, np.broadcast_to(np.array(mat), pieces.shape))
    length = size_mm[0] if side in (Edge.TOP, Edge.BOTTOM) else size_mm[1]
    piece_mm = length / len(pieces)
    is_lost = difference < limits.most_difference_ciede2000
    marks = []
    for first, end in _stretches(is_lost):
        if (end - first) * piece_mm >= limits.least_length_mm - piece_mm / 2:
            stretch = (first * piece_mm, (end - first) * piece_mm)
            colour = pieces[first:end].mean(axis=0)
            marks.append(
                Mark(
                    MarkKind.LOST_EDGE,
                    along_side(side, stretch, PIECE_MM, size_mm),
                    contrast=float(difference[first:end].mean()),
                    confidence=1.0,
                    length_mm=stretch[1],
                    side=side,
                    colour=(float(colour[0]), float(colour[1]), float(colour[2])),
                )
            )
    return tuple(marks)


def along_side(
    side: Edge,
    stretch: tuple[float, float],
    depth: float,
    size_mm: tuple[float, float],
    *,
    start: float = 0.0,
) -> Area:
    """Return the area along a side: ``stretch`` is place and length, ``depth`` how deep it is.

    ``start`` is how far from the side it begins; all are in millimetres.
    """
    place, length = stretch
    across = {
        Edge.TOP: start,
        Edge.LEFT: start,
        Edge.BOTTOM: size_mm[1] - start - depth,
        Edge.RIGHT: size_mm[0] - start - depth,
    }[side]
    if side in (Edge.TOP, Edge.BOTTOM):
        return Area(place, across, length, depth)
    return Area(across, place, depth, length)


def _stretches(is_lost: NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    """First and end of each stretch, short gaps closed."""
    change = np.diff(np.concatenate([[0], is_lost.astype(np.int8), [0]]))
    first, end = np.flatnonzero(change == 1), np.flatnonzero(change == -1)
    parts = np.flatnonzero(first[1:] - end[:-1] > _MOST_GAP)
    for n, m in zip(
        np.concatenate([[0], parts + 1]), np.concatenate([parts, [len(end) - 1]]), strict=True
    ):
        if len(first):
            yield int(first[n]), int(end[m])
