"""Stray borders: a uniform strip along an edge of the file that is not part of the picture."""

from collections.abc import Mapping
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from proofs.findings import Finding, Severity
from proofs.lengths import ZERO, Edge, Length, Size, inches, millimetres
from proofs.plan.entry.board import Picture
from proofs.plan.entry.planning import Plan

_LEAST_WIDTH = millimetres("0.5")
_TOLERANCE = 6 * 257  # codes: how far a border varies after JPEG compression
_LARGEST_SHARE = 0.25  # a larger uniform part is a plain background
_RINGING = 12  # lines of the print over which an enlarged edge rings
_LINES_AT_ONCE = 32  # most pictures differ within these, and the rest need not be looked at

Lines = NDArray[np.uint16]


class LinesFromEdge(Protocol):
    """The lines of a picture from one edge inwards; arrays are such, and what reads some lines."""

    def __len__(self) -> int: ...

    def __getitem__(self, lines: slice, /) -> Lines:
        """Return lines, samples and channels, in codes of 16 bits."""


def uniform_edge_width(lines: LinesFromEdge) -> int:
    """Return how many of the first lines form one uniform strip; 0 if there is none.

    Only as many lines are asked for as it takes. A strip has one colour all over, and ends: a
    picture that is uniform to its middle has none.

    >>> lines = np.full((12, 8, 1), 65535, np.uint16)
    >>> lines[3:] = 30000
    >>> uniform_edge_width(lines)
    3
    """
    most = int(_LARGEST_SHARE * len(lines))
    colour = np.median(lines[:1][0], axis=0)
    for first in range(0, most + 1, _LINES_AT_ONCE):
        some = lines[first : min(first + _LINES_AT_ONCE, most + 1)]
        differs = np.abs(some - colour).max(axis=(1, 2)) > _TOLERANCE
        if differs.any():
            width = _edge_position(lines, first + int(np.argmax(differs)))
            return width if width <= most else 0
    return 0


def _edge_position(lines: LinesFromEdge, first_different: int) -> int:
    """Where the strip really ends: at the steepest line, as resampling rings a little into it."""
    if first_different == 0:
        return 0
    tones = lines[first_different - 1 : first_different + _RINGING].mean(axis=(1, 2))
    return first_different + int(np.argmax(np.abs(np.diff(tones))))


def uniform_edge_findings(
    lines: Mapping[Edge, LinesFromEdge], plan: Plan, n: int, ppi: int
) -> tuple[Finding, ...]:
    """Return a warning where strips of 0.5 mm or more run along the edges of a print.

    The print is that of picture ``n`` of the plan, counted from 0. ``lines`` holds the lines
    of the whole picture inwards from each edge.
    """
    widths = {edge: inches(1) * uniform_edge_width(lines[edge]) for edge in Edge}
    found = {edge: Length(width.nm // ppi) for edge, width in widths.items()}
    found = {edge: width for edge, width in found.items() if width >= _LEAST_WIDTH}
    if not found:
        return ()
    picture = plan.layout.pictures[n]
    visible = _visible_without(picture, found)
    effect = f"without it {visible} is visible"
    if visible == picture.sight.size:
        effect = "the mat hides it, if the print lies exactly in its place"
    listed = ", ".join(f"{width} at the {edge}" for edge, width in found.items())
    which = "the picture" if len(plan.parts) == 1 else f"picture {n + 1}"
    message = f"a uniform strip runs along {which}: {listed}; {effect}"
    widest = max(found.values())
    remedy = "crop the strip off in the file, unless it belongs to the picture"
    return (Finding("border-in-file", Severity.WARNING, message, widest.mm, 0.5, "mm", remedy),)


def _visible_without(picture: Picture, strips: Mapping[Edge, Length]) -> Size:
    """The visible size without the strips; what the mat covers of them is no loss."""
    hidden = picture.hidden
    lost = {edge: max(ZERO, strips.get(edge, ZERO) - getattr(hidden, edge)) for edge in Edge}
    sight = picture.sight.size
    return Size(
        sight.width - lost[Edge.LEFT] - lost[Edge.RIGHT],
        sight.height - lost[Edge.TOP] - lost[Edge.BOTTOM],
    )
