"""The light of a wedge's steps in a scan, relative to the paper's white around them."""

from dataclasses import dataclass

import numpy as np

from proofs.inspection.wedge_pose import (
    Bounds,
    Floats,
    Luminance,
    WedgePose,
    grid_points,
    outline_points,
    sampled,
)
from proofs.plan.tones.wedge import (
    FRAME_EDGE,
    FRAME_LINE,
    GAP,
    STEP_HIGH,
    STEP_WIDE,
    STEPS,
    UNITS_HIGH,
    UNITS_WIDE,
    step_box,
)

# The rim of a step is blurred with its neighbours.
RIM_WIDE, RIM_HIGH = 0.2 * STEP_WIDE, 0.25 * STEP_HIGH
_ACROSS, _DOWN = 32, 12  # points sampled in a step
_RINGS = (-0.4, 0.0, 0.4)  # units off the middle of the gap


@dataclass(frozen=True, slots=True)
class WhiteField:
    """The brightness of paper white anywhere on the wedge, fitted to the gap around the steps."""

    weights: Floats

    def at(self, units: Floats) -> Floats:
        """Return the light of paper white at points on the wedge."""
        return np.asarray(_terms(units) @ self.weights)


def white_field(light: Luminance, pose: WedgePose) -> WhiteField:
    """Return the white field that fits most of the gap; specks of dust are left out."""
    points = gap_points()
    seen, terms = sampled(light, pose.pixels(points)), _terms(points)
    weights = np.linalg.lstsq(terms, seen, rcond=None)[0]
    for _ in range(3):
        off = np.abs(seen - terms @ weights)
        # 1.4826 times the median absolute deviation estimates a standard deviation.
        near = off <= 3 * 1.4826 * np.median(off) + 1e-9
        weights = np.linalg.lstsq(terms[near], seen[near], rcond=None)[0]
    return WhiteField(np.asarray(weights, dtype=np.float64))


def gap_points() -> Floats:
    """Return points all the way round the middle of the white gap, in units."""
    edge = FRAME_EDGE + FRAME_LINE + GAP / 2
    return np.concatenate([outline_points(_inset(edge + offset), 120) for offset in _RINGS])


def frame_points() -> Floats:
    """Return points all the way round the middle of the black frame, in units."""
    return outline_points(_inset(FRAME_EDGE + FRAME_LINE / 2), 120)


def shares_of_white(light: Luminance, pose: WedgePose, white: WhiteField) -> Floats:
    """Return the light of each step, from dark to light, as a share of white at its place."""
    steps = range(len(STEPS))
    return np.array([mid_mean(shares_in_step(light, pose, white, n)) for n in steps])


def slopes_within(light: Luminance, pose: WedgePose, white: WhiteField) -> Floats:
    """Return by how much each step rises from its left to its right half, as shares of white."""
    rises = []
    for number in range(len(STEPS)):
        shares = shares_in_step(light, pose, white, number).reshape(_DOWN, _ACROSS)
        left, right = np.array_split(shares, 2, axis=1)
        rises.append(mid_mean(right.ravel()) - mid_mean(left.ravel()))
    return np.array(rises)


def shares_in_step(light: Luminance, pose: WedgePose, white: WhiteField, number: int) -> Floats:
    """Return the light of points all over the middle of a step, as shares of white there."""
    left, top, right, bottom = step_box(number)
    middle = (left + RIM_WIDE, top + RIM_HIGH, right - RIM_WIDE, bottom - RIM_HIGH)
    points = grid_points(middle, _ACROSS, _DOWN)
    return np.asarray(sampled(light, pose.pixels(points)) / white.at(points))


def pixels_in_step(pose: WedgePose) -> float:
    """Return how many pixels the tone of a step is read from, at most one per sampled point."""
    unit_px = pose.width_px / UNITS_WIDE
    pixels = (STEP_WIDE - 2 * RIM_WIDE) * (STEP_HIGH - 2 * RIM_HIGH) * unit_px**2
    return min(pixels, float(_ACROSS * _DOWN))


def mid_mean(values: Floats) -> float:
    """Return the mean of the middle half of all values, as ``mid_means`` takes it."""
    return float(mid_means(values.ravel()))


def mid_means(values: Floats) -> Floats:
    """Return the means of the middle half along the last axis: dust and scratches do not count.

    They are taken of cube roots, close to the codes of a file, because noise is symmetrical there;
    a mean of light would lift the dark steps.
    """
    ordered = np.sort(np.cbrt(values), axis=-1)
    count = ordered.shape[-1]
    quarter = count // 4
    return np.asarray(ordered[..., quarter : count - quarter].mean(axis=-1) ** 3)


def _terms(units: Floats) -> Floats:
    """A plane with quadratic fall-off along the wedge; across, it is too narrow to curve."""
    x = units[..., 0] / UNITS_WIDE - 0.5
    y = units[..., 1] / UNITS_HIGH - 0.5
    return np.stack([np.ones_like(x), x, y, x * y, x * x], axis=-1)


def _inset(edge: float) -> Bounds:
    return edge, edge, UNITS_WIDE - edge, UNITS_HIGH - edge
