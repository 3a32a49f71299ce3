"""Stray borders: an even strip along an edge of the picture that is no part of it."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from proofs.findings import Finding, Remedy, Severity
from proofs.lengths import ZERO, Edge, Length, Size, inches, millimetres
from proofs.plan.entry.board import Picture
from proofs.plan.entry.planning import Plan

_LEAST_STRIP = millimetres("0.5")
_EVEN = 6 / 255  # as far as a border strays after a JPEG
_SHARE_MOST = 0.25  # an even part larger than this is a plain background
_RINGING = 12  # lines of the print over which an enlarged edge swings

Lines = NDArray[np.float32]


def uniform_edge_width(lines: Lines) -> int:
    """Return how many of the first lines form one even strip; 0 where the picture goes on.

    ``lines`` holds the picture's lines from one edge inwards, as line, sample, channel, 0 to 1.
    A strip is one colour all over, and ends: a picture that is even to its middle is no strip.

    >>> uniform_edge_width(np.concatenate([np.ones((3, 8, 1)), np.random.rand(9, 8, 1) / 2]))
    3
    """
    most = int(_SHARE_MOST * len(lines))
    outer = lines[: most + 1]
    strays = np.abs(outer - np.median(outer[0], axis=0)).max(axis=(1, 2)) > _EVEN
    if not strays.any():
        return 0
    width = _edge(lines, int(np.argmax(strays)))
    return width if width <= most else 0


def _edge(lines: Lines, first_stray: int) -> int:
    """Where the strip really ends: resampling rings a few lines into it, so at the steepest."""
    if first_stray == 0:
        return 0
    tones = lines[first_stray - 1 : first_stray + _RINGING].mean(axis=(1, 2))
    return first_stray + int(np.argmax(np.abs(np.diff(tones))))


def uniform_edge_findings(
    lines: Mapping[Edge, Lines], plan: Plan, n: int, ppi: int
) -> tuple[Finding, ...]:
    """Return a warning where strips of 0.5 mm or more lie along the edges of a print.

    The print is that of picture ``n`` of the plan, counted from 0. ``lines`` holds the lines
    of the whole picture inwards from each edge.
    """
    widths = {edge: inches(1) * uniform_edge_width(lines[edge]) for edge in Edge}
    found = {edge: _on_paper(width, ppi) for edge, width in widths.items()}
    found = {edge: width for edge, width in found.items() if width >= _LEAST_STRIP}
    if not found:
        return ()
    picture = plan.layout.pictures[n]
    seen = _without(picture, found)
    listed = ", ".join(f"{width} at the {edge}" for edge, width in found.items())
    which = "the picture" if len(plan.parts) == 1 else f"picture {n + 1}"
    message = f"an even strip lies along {which}: {listed}; without it {seen} is visible"
    widest = max(found.values())
    remedy = Remedy("crop the strip off in the file, unless it belongs to the picture")
    return (Finding("border-in-file", Severity.WARNING, message, widest.mm, 0.5, "mm", remedy),)


def _on_paper(width: Length, ppi: int) -> Length:
    return Length(width.nm // ppi)


def _without(picture: Picture, strips: Mapping[Edge, Length]) -> Size:
    """The visible size without the strips; what the mat hides of them is no loss."""
    lost = {edge: max(ZERO, strips.get(edge, ZERO) - picture.hidden) for edge in Edge}
    sight = picture.sight.size
    return Size(
        sight.width - lost[Edge.LEFT] - lost[Edge.RIGHT],
        sight.height - lost[Edge.TOP] - lost[Edge.BOTTOM],
    )
