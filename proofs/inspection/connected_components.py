"""The dark shapes of a picture, each pixel with those that it touches, and how they spread.

They are found by runs: a run is a stretch of dark pixels in one row. Runs of neighbouring
rows that touch, by a corner at least, belong to one shape.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class DarkRuns:
    """Stretches of dark pixels, in reading order, each with the number of its shape.

    ``end`` is the column after the last.
    """

    row: Whole
    start: Whole
    end: Whole
    shape: Whole

    def pixels(self, shape: int) -> Floats:
        """Return the x and y of every pixel of a shape, a pixel a row."""
        own = self.shape == shape
        start, length = self.start[own], (self.end - self.start)[own]
        y = np.repeat(self.row[own], length)
        x = np.arange(len(y)) + np.repeat(start - np.cumsum(length) + length, length)
        return np.stack([x, y], axis=1).astype(np.float64)


@dataclass(frozen=True, slots=True)
class Moments:
    """How the pixels of shapes spread, a value a shape.

    ``area`` is in pixels; ``along`` and ``across`` are the standard deviations, in pixels, in
    the direction in which the shape spreads most, and square to it; ``angle`` is that
    direction in radians from the x axis towards y.
    """

    area: Floats
    along: Floats
    across: Floats
    angle: Floats


def dark_runs(dark: NDArray[np.bool_]) -> DarkRuns:
    """Return the runs of a picture's dark pixels, numbered by shape from 0."""
    width = dark.shape[1] + 2  # one light column on either side ends every run within its row
    framed = np.zeros((dark.shape[0], width), dtype=np.int8)
    framed[:, 1:-1] = dark
    change = np.diff(framed.ravel())
    start, end = np.flatnonzero(change == 1), np.flatnonzero(change == -1)
    pairs = _touching(start, end, width)
    number = np.unique(_joined(len(start), *pairs), return_inverse=True)[1].reshape(-1)
    row = start // width
    return DarkRuns(row, start - row * width, end - row * width, number)


def _touching(start: Whole, end: Whole, width: int) -> tuple[Whole, Whole]:
    """Pairs of runs that touch: one, and one of the row below it."""
    first = np.searchsorted(end, start + width)
    count = np.maximum(np.searchsorted(start, end + width, side="right") - first, 0)
    upper = np.repeat(np.arange(len(start)), count)
    lower = np.arange(len(upper)) + np.repeat(first - np.cumsum(count) + count, count)
    return upper, lower


def _joined(count: int, upper: Whole, lower: Whole) -> Whole:
    """One label for each run, equal where runs hang together: the lowest run of the shape."""
    label = np.arange(count)
    while True:
        one, other = label[upper], label[lower]
        apart = one != other
        if not apart.any():
            return label
        upper, lower, one, other = upper[apart], lower[apart], one[apart], other[apart]
        np.minimum.at(label, np.maximum(one, other), np.minimum(one, other))
        while (label != label[label]).any():
            label = label[label]


def moments_of(runs: DarkRuns) -> Moments:
    """Return how every shape spreads, in the order of their numbers."""
    length = (runs.end - runs.start).astype(np.float64)
    middle = (runs.start + runs.end - 1) / 2
    area = np.bincount(runs.shape, length).astype(np.float64)

    def mean(of_runs: Floats) -> Floats:
        return np.asarray(np.bincount(runs.shape, length * of_runs) / area)

    x, y = mean(middle), mean(runs.row.astype(np.float64))
    right, down = middle - x[runs.shape], runs.row - y[runs.shape]
    # A run spreads within itself as well: the variance of n numbers in a row is (n² - 1) / 12.
    xx = mean(right**2 + (length**2 - 1) / 12)
    yy, xy = mean(down**2), mean(right * down)
    half, tilt = (xx + yy) / 2, np.hypot((xx - yy) / 2, xy)
    return Moments(
        area=area,
        along=np.sqrt(half + tilt),
        across=np.sqrt(np.maximum(half - tilt, 0)),
        angle=np.arctan2(2 * xy, xx - yy) / 2,
    )
