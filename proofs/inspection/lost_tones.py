"""Areas without tones at a step: bare paper, and shadows as black as the paper gets."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.connected_components import dark_runs
from proofs.inspection.marks import Area, Mark, MarkKind
from proofs.inspection.print_view import PrintView
from proofs.plan.tones.tone import tone_curve
from proofs.records.inspections import ToneLimits

Lightness = NDArray[np.float32]

_AT_ONCE = 64  # rows of cells: what stays in the processor's cache
_LEAST_RUN = 3  # cells side by side: fewer are grain, and no part of an area of some mm2


@dataclass(frozen=True, slots=True)
class ToneExtremes:
    """The darkest and the lightest L* in cells of 2 x 2 pixels."""

    darkest: Lightness
    lightest: Lightness


def tone_extremes(lightness: Lightness) -> ToneExtremes:
    """Return the extremes of a picture's L*; an odd last row or column is left out.

    >>> tone_extremes(np.array([[1, 2, 9], [3, 4, 9]], np.float32)).lightest.tolist()
    [[4.0]]
    """
    down, across = (side // 2 for side in lightness.shape)
    darkest, lightest = (np.empty((down, across), np.float32) for _ in range(2))
    for first in range(0, down, _AT_ONCE):
        own = slice(first, min(down, first + _AT_ONCE))
        pairs = lightness[2 * own.start : 2 * own.stop, : 2 * across]
        upper, lower = pairs[::2], pairs[1::2]
        low, high = np.minimum(upper, lower), np.maximum(upper, lower)
        np.minimum(low[:, ::2], low[:, 1::2], out=darkest[own])
        np.maximum(high[:, ::2], high[:, 1::2], out=lightest[own])
    return ToneExtremes(darkest, lightest)


def lost_tones(extremes: ToneExtremes, view: PrintView, limits: ToneLimits) -> Iterator[Mark]:
    """Yield one mark for each step and each kind of loss.

    Its area is that of all places of at least ``least_area_mm2`` together, its rectangle that of
    the largest. What is lost is judged as the step prints it.
    """
    at = np.linspace(0, 100, 1001)
    for step, change in view.steps:
        curve = tone_curve(change)
        printed = [curve(float(tone)) for tone in at]
        black, bare = np.interp((view.black_lightness, limits.bare_paper_l), printed, at)
        lost = (
            (MarkKind.BLOCKED, extremes.lightest < black),
            (MarkKind.CLIPPED, extremes.darkest >= bare),
        )
        for kind, cells in lost:
            places = _places(cells, 2 / view.px_per_mm, limits.least_area_mm2)
            if places:
                yield _mark(kind, step, places)


def _mark(kind: MarkKind, step: str, places: Sequence[tuple[float, Area]]) -> Mark:
    return Mark(
        kind,
        max(places, key=lambda place: (place[0], -place[1].top, -place[1].left))[1],
        contrast=0.0,
        confidence=1.0,
        area_mm2=sum(area for area, _ in places),
        step=step,
    )


def _places(cells: NDArray[np.bool_], cell_mm: float, least_mm2: float) -> list[tuple[float, Area]]:
    """Area and rectangle of each connected place that is large enough."""
    if not cells.any() or cells.shape[1] < _LEAST_RUN:
        return []
    within = cells[:, 2:] & cells[:, 1:-1] & cells[:, :-2]
    solid = np.zeros_like(cells)
    for shift in range(_LEAST_RUN):
        solid[:, shift : shift + within.shape[1]] |= within
    runs = dark_runs(solid)
    if not len(runs.row):
        return []
    area = np.bincount(runs.component, runs.end - runs.start) * cell_mm**2
    count = len(area)
    left, top = np.full(count, np.inf), np.full(count, np.inf)
    right, bottom = np.zeros(count), np.zeros(count)
    np.minimum.at(left, runs.component, runs.start)
    np.minimum.at(top, runs.component, runs.row)
    np.maximum.at(right, runs.component, runs.end)
    np.maximum.at(bottom, runs.component, runs.row + 1)
    return [
        (
            float(area[n]),
            Area(
                float(left[n] * cell_mm),
                float(top[n] * cell_mm),
                float((right[n] - left[n]) * cell_mm),
                float((bottom[n] - top[n]) * cell_mm),
            ),
        )
        for n in np.flatnonzero(area >= least_mm2)
    ]
