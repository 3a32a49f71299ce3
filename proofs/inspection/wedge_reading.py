"""The tones of a wedge in a scan, compared with those requested.

A scan has no absolute scale: its white is the paper's and its black is the print's. Luminance is
therefore measured from the black step (0) to the white gap around the steps (1), which also
cancels the strength of the light, its fall-off, and an even veil over the image. What a reflection
adds to some steps is taken off first, and the shadow on others made up for.
"""

import math
from dataclasses import dataclass

import numpy as np

from proofs.inspection.wedge_light import (
    WhiteField,
    gap_points,
    pixels_in_step,
    shares_in_step,
    shares_of_white,
    white_field,
)
from proofs.inspection.wedge_pose import Floats, Luminance, WedgePose, sampled
from proofs.inspection.wedge_reflection import StrayLight, stray_light
from proofs.plan.tones.tone import MID_LIGHTNESS, density, lightness
from proofs.plan.tones.wedge import STEPS

BURNT = 0.995  # light from which a scan's white is clipped
_LEAST = 1e-4  # of the light from black to white: D 4, darker than any print
_DOUBTED = 0.25  # of what a reflection changed; tried on 200 simulated photographs
_MID = STEPS.index(MID_LIGHTNESS)


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

    ``noise`` is how far noise may have moved the offset, in density (two standard errors).
    ``reflection`` is the density that was added to the offset, because stray light on the wedge
    had made mid grey lighter by that much; negative where darker. ``reflection_doubt`` is how far
    the offset may be off after that.
    ``evenness`` is the darkest white of the gap over its brightest; ``burnt`` the share of the
    gap that is clipped; ``black`` the black step's light relative to white; ``softness`` the
    light that blur adds to the thin black frame. ``width_px`` is the wedge's width in the
    scan; ``turn_degrees`` its rotation, clockwise, from dark at the left.
    """

    steps: tuple[WedgeStep, ...]
    noise: float
    reflection: float
    reflection_doubt: float
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

    @property
    def doubt(self) -> float:
        """How far the offset may be off, in density, for all that the scan shows."""
        return math.hypot(self.noise, self.reflection_doubt)

    def mean_difference(self, darkest: float, lightest: float) -> float:
        """Return the mean difference of the steps between two L* above 0, both included."""
        own = [step.difference for step in self.steps if darkest <= step.lightness <= lightest]
        known = [difference for difference in own if difference is not None]
        return sum(known) / len(known)


def read_wedge(light: Luminance, pose: WedgePose) -> WedgeReading:
    """Return the reading of the wedge at this pose in a scan's light, linear from 0 to 1."""
    white = white_field(light, pose)
    seen, stray = shares_of_white(light, pose, white), stray_light(light, pose, white)
    freed = stray.freed(seen)
    black, field = float(freed[0]), white.at(gap_points())
    reflection = _mid_density(freed) - _mid_density(seen)
    return WedgeReading(
        steps=tuple(
            _step(tone, share) for tone, share in zip(STEPS, _above_black(freed), strict=True)
        ),
        noise=_noise(light, pose, white),
        reflection=reflection,
        reflection_doubt=max(_reflection_doubt(stray, freed, reflection), _unlike(freed)),
        evenness=float(field.min() / field.max()),
        burnt=float(np.mean(sampled(light, pose.pixels(gap_points())) >= BURNT)),
        black=black,
        # The frame is as black as the black step but thin: blur reaches its middle long before.
        softness=stray.frame_black - black,
        width_px=pose.width_px,
        turn_degrees=pose.turn_degrees,
    )


def _above_black(shares: Floats) -> list[float]:
    """The light of each step, from that of the black one (0) to white (1)."""
    return [float(share) for share in (shares - shares[0]) / (1 - shares[0])]


def _mid_density(shares: Floats) -> float:
    return -math.log10(max(_above_black(shares)[_MID], _LEAST))


def _reflection_doubt(stray: StrayLight, freed: Floats, reflection: float) -> float:
    """How far the offset may be off: light that may be left on mid grey or on black, in density."""
    left = math.hypot(stray.added_doubt[_MID], stray.added_doubt[0])
    above = max(float(freed[_MID] - freed[0]), _LEAST)
    return math.log10(1 + left / above) + _DOUBTED * abs(reflection)


def _unlike(shares: Floats) -> float:
    """How far the error at mid grey is from those of its neighbours, in density.

    A lab's errors change smoothly from tone to tone, so that a cubic through two steps on either
    side meets the one in the middle. A spot of light on that step alone is off it.
    """
    steps = map(_step, STEPS, _above_black(shares))
    off = [step.difference or 0.0 for step in steps][_MID - 2 : _MID + 3]
    return abs(off[2] - (4 * (off[1] + off[3]) - off[0] - off[4]) / 6)


def _step(tone: float, share: float) -> WedgeStep:
    """A step as read; the black step is black by definition."""
    if not tone:
        return WedgeStep(tone, None, None, 0.0)
    seen = max(share, _LEAST)
    return WedgeStep(tone, density(tone), -math.log10(seen), lightness(seen))


def _noise(light: Luminance, pose: WedgePose, white: WhiteField) -> float:
    shares = shares_in_step(light, pose, white, _MID)
    deviation = float(np.log10(np.maximum(shares, _LEAST)).std())
    return 2 * deviation / math.sqrt(pixels_in_step(pose))
