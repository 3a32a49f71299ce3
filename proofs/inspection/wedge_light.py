"""The light of a wedge's steps in a scan, as shares of the paper's white around them."""

from dataclasses import dataclass

import numpy as np

from proofs.inspection.wedge_seat import Floats, Light, Seat, outline, sampled, spots
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

# A step's rim is blurred with what is beside it.
_ASIDE, _ABOVE = 0.2 * STEP_WIDE, 0.25 * STEP_HIGH
_ACROSS, _DOWN = 32, 12  # places looked at in a step
_RINGS = (-0.4, 0.0, 0.4)  # units off the middle of the gap

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class WhiteField:
    """How bright paper white is at any place on the wedge, as the gap around the steps tells."""

    weights: Floats

    def at(self, units: Floats) -> Floats:
        """Return the light of paper white at places on the wedge."""
        return np.asarray(_terms(units) @ self.weights)


def white_field(light: Light, seat: Seat) -> WhiteField:
    """Return the field of white that most of the gap agrees on; specks of dust are left out."""
    places = gap_places()
    seen, terms = sampled(light, seat.pixels(places)), _terms(places)
    weights = np.linalg.lstsq(terms, seen, rcond=None)[0]
    for _ in range(3):
        off = np.abs(seen - terms @ weights)
        # 1.4826 times the median of what strays is a standard deviation.
        near = off <= 3 * 1.4826 * np.median(off) + 1e-9
        weights = np.linalg.lstsq(terms[near], seen[near], rcond=None)[0]
    return WhiteField(np.asarray(weights, dtype=np.float64))


def gap_places() -> Floats:
    """Return places all the way round the middle of the white gap, in units."""
    edge = FRAME_EDGE + FRAME_LINE + GAP / 2
    return np.concatenate([outline(_inset(edge + aside), 120) for aside in _RINGS])


def frame_places() -> Floats:
    """Return places all the way round the middle of the black frame, in units."""
    return outline(_inset(FRAME_EDGE + FRAME_LINE / 2), 120)


def shares_of_white(light: Light, seat: Seat, white: WhiteField) -> Floats:
    """Return the light of each step, from dark to light, as a share of white at its place."""
    steps = range(len(STEPS))
    return np.array([middling(shares_in_step(light, seat, white, n)) for n in steps])


def slopes_within(light: Light, seat: Seat, white: WhiteField) -> Floats:
    """Return by how much each step rises from its left to its right half, as shares of white."""
    rises = []
    for number in range(len(STEPS)):
        shares = shares_in_step(light, seat, white, number).reshape(_DOWN, _ACROSS)
        left, right = np.array_split(shares, 2, axis=1)
        rises.append(middling(right.ravel()) - middling(left.ravel()))
    return np.array(rises)


def shares_in_step(light: Light, seat: Seat, white: WhiteField, number: int) -> Floats:
    """Return the light of places all over the middle of a step, as shares of white there."""
    left, top, right, bottom = step_box(number)
    places = spots((left + _ASIDE, top + _ABOVE, right - _ASIDE, bottom - _ABOVE), _ACROSS, _DOWN)
    return np.asarray(sampled(light, seat.pixels(places)) / white.at(places))


def pixels_in_step(seat: Seat) -> float:
    """Return how many pixels tell the tone of a step, at most as many as are looked at."""
    unit_px = seat.width_px / UNITS_WIDE
    pixels = (STEP_WIDE - 2 * _ASIDE) * (STEP_HIGH - 2 * _ABOVE) * unit_px**2
    return min(pixels, float(_ACROSS * _DOWN))


def middling(values: Floats) -> float:
    """Return the mean of the middle half: dust and scratches do not count.

    It is taken of cube roots, nearly as a file holds them, for noise is even-sided there; a mean
    of light would lift the dark steps.
    """
    ordered = np.sort(np.cbrt(values))
    quarter = len(ordered) // 4
    return float(ordered[quarter : len(ordered) - quarter].mean() ** 3)


def _terms(units: Floats) -> Floats:
    """A plane with a fall-off along the wedge; across, it is too narrow to bend."""
    x = units[..., 0] / UNITS_WIDE - 0.5
    y = units[..., 1] / UNITS_HIGH - 0.5
    return np.stack([np.ones_like(x), x, y, x * y, x * x], axis=-1)


def _inset(edge: float) -> Box:
    return edge, edge, UNITS_WIDE - edge, UNITS_HIGH - edge
