"""The tones of a wedge in a scan, against those it was asked to have.

A scan has no scale of its own: its white is the paper's and its black is the print's. Light
is therefore counted from the black step (0) to the white gap around the steps (1), which also
takes out how strong the light was, how it fell off, and an even veil over the picture.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.wedge_seat import Floats, Light, Seat, outline, sampled, spots
from proofs.plan.tone import MID_LIGHTNESS, density, lightness
from proofs.plan.wedge import (
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

BURNT = 0.995  # light beyond which a scan's white has no room left
_ASIDE, _ABOVE = 0.25 * STEP_WIDE, 0.31 * STEP_HIGH  # a step's rim, blurred with what is beside it
_LEAST = 1e-4  # of the light from black to white: D 4, darker than any print

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Step:
    """One step: the L* asked, the density asked, and the density and L* read.

    Densities are above the paper's white and below the print's black, which are taken as 0 and
    as none; so the black step has none.
    """

    lightness: float
    density_asked: float | None
    density_read: float | None
    lightness_read: float

    @property
    def difference(self) -> float | None:
        """How much darker it was printed than asked, in density; lighter is below 0."""
        if self.density_asked is None or self.density_read is None:
            return None
        return self.density_read - self.density_asked


@dataclass(frozen=True, slots=True)
class Reading:
    """What a wedge in a scan tells.

    ``evenness`` is the darkest white of the gap over its brightest, ``burnt`` the share of the
    gap that has no room left, ``black`` the black step's share of white's light;
    ``width_px`` is the wedge's width in the scan and ``turn_degrees`` its turn, clockwise
    from dark at the left.
    """

    steps: tuple[Step, ...]
    evenness: float
    burnt: float
    black: float
    width_px: float
    turn_degrees: float

    @property
    def offset(self) -> float:
        """How much darker mid grey (L* 50) was printed than asked, in density."""
        offset = self.mean_difference(MID_LIGHTNESS, MID_LIGHTNESS)
        assert offset is not None, "mid grey is one of the steps and has a density"
        return offset

    def mean_difference(self, darkest: float, lightest: float) -> float | None:
        """Return the mean difference of the steps between two L*, both included."""
        own = [step.difference for step in self.steps if darkest <= step.lightness <= lightest]
        known = [difference for difference in own if difference is not None]
        return sum(known) / len(known) if known else None


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
        near = off <= 3 * 1.4826 * np.median(off) + 1e-9
        weights = np.linalg.lstsq(terms[near], seen[near], rcond=None)[0]
    return WhiteField(np.asarray(weights, dtype=np.float64))


def gap_places() -> Floats:
    """Return places all the way round the middle of the white gap, in units."""
    edge = FRAME_EDGE + FRAME_LINE + GAP / 2
    rings = [outline(_inset(edge + aside), 120) for aside in (-0.4, 0.0, 0.4)]
    return np.concatenate(rings)


def frame_places() -> Floats:
    """Return places all the way round the middle of the black frame, in units."""
    return outline(_inset(FRAME_EDGE + FRAME_LINE / 2), 120)


def shares_of_white(light: Light, seat: Seat, white: WhiteField) -> Floats:
    """Return the light of each step, from dark to light, as a share of white at its place."""
    return np.array([_middling(_step_shares(light, seat, white, n)) for n in range(len(STEPS))])


def slopes_within(light: Light, seat: Seat, white: WhiteField) -> Floats:
    """Return by how much each step rises from its left to its right half, as shares of white."""
    rises = []
    for number in range(len(STEPS)):
        left, right = np.array_split(
            _step_shares(light, seat, white, number).reshape(-1, 32), 2, axis=1
        )
        rises.append(_middling(right.ravel()) - _middling(left.ravel()))
    return np.array(rises)


def read_wedge(light: Light, seat: Seat) -> Reading:
    """Return what the wedge tells that lies here in a scan's light, linear from 0 to 1."""
    white = white_field(light, seat)
    shares = shares_of_white(light, seat, white)
    black = float(shares[0])
    field = white.at(gap_places())
    return Reading(
        steps=tuple(
            _step(tone, float(share - black) / (1 - black))
            for tone, share in zip(STEPS, shares, strict=True)
        ),
        evenness=float(field.min() / field.max()),
        burnt=float(np.mean(sampled(light, seat.pixels(gap_places())) >= BURNT)),
        black=black,
        width_px=seat.width_px,
        turn_degrees=seat.turn_degrees,
    )


def _step(tone: float, share: float) -> Step:
    """A step as read; the black step is black by definition."""
    if not tone:
        return Step(tone, None, None, 0.0)
    seen = max(share, _LEAST)
    return Step(tone, density(tone), -math.log10(seen), lightness(seen))


def _step_shares(light: Light, seat: Seat, white: WhiteField, number: int) -> NDArray[np.float64]:
    left, top, right, bottom = step_box(number)
    box = (left + _ASIDE, top + _ABOVE, right - _ASIDE, bottom - _ABOVE)
    places = spots(box, 32, 12)
    return np.asarray(sampled(light, seat.pixels(places)) / white.at(places))


def _middling(values: Floats) -> float:
    """The mean of the middle half: as sure as a mean, and dust and scratches do not count.

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
