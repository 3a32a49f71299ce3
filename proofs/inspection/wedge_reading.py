"""The tones of a wedge in a scan, against those it was asked to have.

A scan has no scale of its own: its white is the paper's and its black is the print's. Light
is therefore counted from the black step (0) to the white gap around the steps (1), which also
takes out how strong the light was, how it fell off, and an even veil over the picture.
"""

import math
from dataclasses import dataclass

import numpy as np

from proofs.inspection.wedge_light import (
    WhiteField,
    frame_places,
    gap_places,
    middling,
    pixels_in_step,
    shares_in_step,
    shares_of_white,
    white_field,
)
from proofs.inspection.wedge_seat import Light, Seat, sampled
from proofs.plan.tones.tone import MID_LIGHTNESS, density, lightness
from proofs.plan.tones.wedge import STEPS

BURNT = 0.995  # light beyond which a scan's white has no room left
_LEAST = 1e-4  # of the light from black to white: D 4, darker than any print


@dataclass(frozen=True, slots=True)
class WedgeStep:
    """One step: the L* asked, the density asked, and the density and L* read.

    Densities are above the paper's white, with the print's black taken for no light at all; so
    the black step has none.
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
class WedgeReading:
    """What a wedge in a scan tells.

    ``doubt`` is how far noise may have moved the offset, in density (two standard errors).
    ``evenness`` is the darkest white of the gap over its brightest; ``burnt`` the share of the
    gap that has no room left; ``black`` the black step's share of white's light; ``softness``
    the share that blur lends to the thin black frame. ``width_px`` is the wedge's width in the
    scan; ``turn_degrees`` its turn, clockwise, from dark at the left.
    """

    steps: tuple[WedgeStep, ...]
    doubt: float
    evenness: float
    burnt: float
    black: float
    softness: float
    width_px: float
    turn_degrees: float

    @property
    def offset(self) -> float:
        """How much darker mid grey (L* 50) was printed than asked, in density."""
        return self.mean_difference(MID_LIGHTNESS, MID_LIGHTNESS)

    def mean_difference(self, darkest: float, lightest: float) -> float:
        """Return the mean difference of the steps between two L* above 0, both included."""
        own = [step.difference for step in self.steps if darkest <= step.lightness <= lightest]
        known = [difference for difference in own if difference is not None]
        return sum(known) / len(known)


def read_wedge(light: Light, seat: Seat) -> WedgeReading:
    """Return what the wedge tells that lies here in a scan's light, linear from 0 to 1."""
    white = white_field(light, seat)
    shares = shares_of_white(light, seat, white)
    black = float(shares[0])
    field = white.at(gap_places())
    return WedgeReading(
        steps=tuple(
            _step(tone, float(share - black) / (1 - black))
            for tone, share in zip(STEPS, shares, strict=True)
        ),
        doubt=_doubt(light, seat, white),
        evenness=float(field.min() / field.max()),
        burnt=float(np.mean(sampled(light, seat.pixels(gap_places())) >= BURNT)),
        black=black,
        softness=_softness(light, seat, white, black),
        width_px=seat.width_px,
        turn_degrees=seat.turn_degrees,
    )


def _step(tone: float, share: float) -> WedgeStep:
    """A step as read; the black step is black by definition."""
    if not tone:
        return WedgeStep(tone, None, None, 0.0)
    seen = max(share, _LEAST)
    return WedgeStep(tone, density(tone), -math.log10(seen), lightness(seen))


def _doubt(light: Light, seat: Seat, white: WhiteField) -> float:
    shares = shares_in_step(light, seat, white, STEPS.index(MID_LIGHTNESS))
    spread = float(np.log10(np.maximum(shares, _LEAST)).std())
    return 2 * spread / math.sqrt(pixels_in_step(seat))


def _softness(light: Light, seat: Seat, white: WhiteField, black: float) -> float:
    """The frame is as black as the black step but thin: blur reaches its middle long before."""
    places = frame_places()
    return middling(sampled(light, seat.pixels(places)) / white.at(places)) - black
