"""The connected components of a picture's dark pixels, and their moments.

They are found from runs: a run is a stretch of dark pixels in one row. Runs of neighbouring
rows that touch, at least by a corner, belong to one component.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class DarkRuns:
    """Stretches of dark pixels, in reading order, each with the number of its component.

    ``end`` is the column after the last.
    """

    row: Integers
    start: Integers
    end: Integers
    component: Integers

    def pixels(self, component: int) -> Floats:
        """Return the x and y of every pixel of a component, one pixel per row."""
        own = self.component == component
        start, length = self.start[own], (self.end - self.start)[own]
        y = np.repeat(self.row[own], length)
        x = np.arange(len(y)) + np.repeat(start - np.cumsum(length) + length, length)
        return np.stack([x, y], axis=1).astype(np.float64)


@dataclass(frozen=True, slots=True)
class Moments:
    """The area and second moments of components, one value per component.

    ``area`` is in pixels; ``along`` and ``across`` are the standard deviations, in pixels, along
    the principal axis and perpendicular to it; ``angle`` is that of the principal axis in
    radians from the x axis towards y.
    """

    area: Floats
    along: Floats
    across: Floats
    angle: Floats


def dark_runs(dark: NDArray[np.bool_]) -> DarkRuns:
    """Return the runs of a picture's dark pixels, numbered by component from 0."""
    width = dark.shape[1] + 2  # one light column on either side ends every run within its row
    framed = np.zeros((dark.shape[0], width), dtype=np.int8)
    framed[:, 1:-1] = dark
    change = np.diff(framed.ravel())
    start, end = np.flatnonzero(change == 1), np.flatnonzero(change == -1)
    labels = component_labels(len(start), *_touching_pairs(start, end, width))
    component = np.unique(labels, return_inverse=True)[1].reshape(-1)
    row = start // width
    return DarkRuns(row, start - row * width, end - row * width, component)


def _touching_pairs(start: Integers, end: Integers, width: int) -> tuple[Integers, Integers]:
    """Pairs of runs that touch: one, and one in the row below it."""
    first = np.searchsorted(end, start + width)
    count = np.maximum(np.searchsorted(start, end + width, side="right") - first, 0)
    upper = np.repeat(np.arange(len(start)), count)
    lower = np.arange(len(upper)) + np.repeat(first - np.cumsum(count) + count, count)
    return upper, lower


def component_labels(count: int, upper: Integers, lower: Integers) -> Integers:
    """Return a label for each of ``count`` things, equal for connected ones: the lowest of them.

    ``upper`` and ``lower`` are pairs that touch.
    """
    label = np.arange(count)
    while True:
        one, other = label[upper], label[lower]
        differ = one != other
        if not differ.any():
            return label
        upper, lower, one, other = upper[differ], lower[differ], one[differ], other[differ]
        np.minimum.at(label, np.maximum(one, other), np.minimum(one, other))
        while (label != label[label]).any():
            label = label[label]


def moments_of(runs: DarkRuns) -> Moments:
    """Return the moments of every component, in the order of their numbers."""
    length = (runs.end - runs.start).astype(np.float64)
    middle = (runs.start + runs.end - 1) / 2
    area = np.bincount(runs.component, length).astype(np.float64)

    def mean(of_runs: Floats) -> Floats:
        return np.asarray(np.bincount(runs.component, length * of_runs) / area)

    x, y = mean(middle), mean(runs.row.astype(np.float64))
    right, down = middle - x[runs.component], runs.row - y[runs.component]
    # A run has a variance of its own: that of n consecutive numbers is (n² - 1) / 12.
    xx = mean(right**2 + (length**2 - 1) / 12)
    yy, xy = mean(down**2), mean(right * down)
    half, tilt = (xx + yy) / 2, np.hypot((xx - yy) / 2, xy)
    return Moments(
        area=area,
        along=np.sqrt(half + tilt),
        across=np.sqrt(np.maximum(half - tilt, 0)),
        angle=np.arctan2(2 * xy, xx - yy) / 2,
    )
