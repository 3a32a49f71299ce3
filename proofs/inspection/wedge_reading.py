"""The tones of a wedge in a scan, compared with those requested.

A scan has no absolute scale: its white is the paper's and its black is the print's. Luminance is
therefore measured from the black step (0) to the white gap around the steps (1), which also
cancels the strength of the light, its fall-off, and an even veil over the image.
"""

import math
from dataclasses import dataclass

import numpy as np

from proofs.inspection.wedge_light import (
    WhiteField,
    frame_points,
    gap_points,
    mid_mean,
    pixels_in_step,
    shares_in_step,
    shares_of_white,
    white_field,
)
from proofs.inspection.wedge_pose import Luminance, WedgePose, sampled
from proofs.plan.tones.tone import MID_LIGHTNESS, density, lightness
from proofs.plan.tones.wedge import STEPS

BURNT = 0.995  # light from which a scan's white is clipped
_LEAST = 1e-4  # of the light from black to white: D 4, darker than any print


@dataclass(frozen=True, slots=True)
class WedgeStep:
    """One step: the requested L*, the requested density, and the density and L* read.

    Densities are above the paper's white, with the print's black counted as no light at all; so
    the black step has none.
    """

    lightness: float
    density_asked: float | None
    density_read: float | None
    lightness_read: float

    @property
    def difference(self) -> float | None:
        """How much darker it was printed than requested, in density; negative where lighter."""
        if self.density_asked is None or self.density_read is None:
            return None
        return self.density_read - self.density_asked


@dataclass(frozen=True, slots=True)
class WedgeReading:
    """The tones and the quality of a wedge in a scan.

    ``doubt`` is how far noise may have moved the offset, in density (two standard errors).
    ``evenness`` is the darkest white of the gap over its brightest; ``burnt`` the share of the
    gap that is clipped; ``black`` the black step's light relative to white; ``softness`` the
    light that blur adds to the thin black frame. ``width_px`` is the wedge's width in the
    scan; ``turn_degrees`` its rotation, clockwise, from dark at the left.
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
        """How much darker mid grey (L* 50) was printed than requested, in density."""
        return self.mean_difference(MID_LIGHTNESS, MID_LIGHTNESS)

    def mean_difference(self, darkest: float, lightest: float) -> float:
        """Return the mean difference of the steps between two L* above 0, both included."""
        own = [step.difference for step in self.steps if darkest <= step.lightness <= lightest]
        known = [difference for difference in own if difference is not None]
        return sum(known) / len(known)


def read_wedge(light: Luminance, pose: WedgePose) -> WedgeReading:
    """Return the reading of the wedge at this pose in a scan's light, linear from 0 to 1."""
    white = white_field(light, pose)
    shares = shares_of_white(light, pose, white)
    black = float(shares[0])
    field = white.at(gap_points())
    return WedgeReading(
        steps=tuple(
            _step(tone, float(share - black) / (1 - black))
            for tone, share in zip(STEPS, shares, strict=True)
        ),
        doubt=_doubt(light, pose, white),
        evenness=float(field.min() / field.max()),
        burnt=float(np.mean(sampled(light, pose.pixels(gap_points())) >= BURNT)),
        black=black,
        softness=_softness(light, pose, white, black),
        width_px=pose.width_px,
        turn_degrees=pose.turn_degrees,
    )


def _step(tone: float, share: float) -> WedgeStep:
    """A step as read; the black step is black by definition."""
    if not tone:
        return WedgeStep(tone, None, None, 0.0)
    seen = max(share, _LEAST)
    return WedgeStep(tone, density(tone), -math.log10(seen), lightness(seen))


def _doubt(light: Luminance, pose: WedgePose, white: WhiteField) -> float:
    shares = shares_in_step(light, pose, white, STEPS.index(MID_LIGHTNESS))
    deviation = float(np.log10(np.maximum(shares, _LEAST)).std())
    return 2 * deviation / math.sqrt(pixels_in_step(pose))


def _softness(light: Luminance, pose: WedgePose, white: WhiteField, black: float) -> float:
    """The frame is as black as the black step but thin: blur reaches its middle long before."""
    points = frame_points()
    return mid_mean(sampled(light, pose.pixels(points)) / white.at(points)) - black
