"""The light that a reflection adds to the steps of a wedge, and that a shadow takes from them.

The black frame shows what is added: it is black all along, so that light which comes and goes along
it is not the print's. The gap, less what is added there, shows what light falls. Both are measured
above and below each step. Between them a reflection may be stronger or weaker than on the frame:
a step is even, so that a rise within it shows by how much.
"""

from dataclasses import dataclass

import numpy as np

from proofs.inspection.wedge_light import RIM_HIGH, RIM_WIDE, WhiteField, mid_means
from proofs.inspection.wedge_pose import Floats, Luminance, WedgePose, sampled
from proofs.plan.tones.wedge import (
    FRAME_EDGE,
    FRAME_LINE,
    GAP,
    STEP_HIGH,
    STEP_WIDE,
    STEPS,
    STEPS_EDGE,
    UNITS_HIGH,
)

_MIDDLE = UNITS_HIGH / 2
_FRAME_OFF = _MIDDLE - FRAME_EDGE - FRAME_LINE / 2  # units from the steps' middle to the frame's
_GAP_OFF = _MIDDLE - FRAME_EDGE - FRAME_LINE - GAP / 2
_IN_GAP = 1 - (_GAP_OFF / _FRAME_OFF) ** 2  # of the rise from frame to steps, as on a parabola
_FRAME_ROWS = np.linspace(-0.5, 0.5, 5)  # units; the darkest is taken, as the pose may be off
_GAP_ROWS = np.linspace(-0.6, 0.6, 5)
_STEP_ROWS = np.linspace(RIM_HIGH - STEP_HIGH / 2, STEP_HIGH / 2 - RIM_HIGH, 12)
_COLUMNS, _PARTS = 32, 4  # points along a step, and the parts in which it is compared

_ROUNDS = 4  # what is added and what falls depend on each other; more rounds change nothing
_REACH = 1.5  # steps over which neighbours share one gain
_LEAST_SHARE = 0.05  # of the light that falls
_NOISE_FLOOR = 0.03  # noise grows with the share of white, and from this much
# How far the gain may be from 1: 3 times the square of the greatest change of the reflection from
# step to step, as a share. A round spot that spreads s units has a gain of exp(18 / s²), and
# changes by up to 4.9 / s; an oval one has more.
_GAIN_SPREAD, _LEAST_SPREAD, _MOST_SPREAD, _MOST_GAIN = 3.0, 0.05, 1.0, 4.0
_LEAST_ADDED = 1e-4  # of white: less is no reflection, and its changes mean nothing


@dataclass(frozen=True, slots=True)
class StrayLight:
    """What happened to the light of each step, from dark to light, in shares of the white field.

    ``added`` is the light of a reflection, above its least along the wedge: an even veil is not
    in it. ``added_doubt`` is how far that may be off; ``fallen`` is the light that fell on the
    step; ``frame_black`` is what the frame reflects of it.
    """

    added: Floats
    added_doubt: Floats
    fallen: Floats
    frame_black: float

    def freed(self, shares: Floats) -> Floats:
        """Return the shares of white that the steps would have without reflection and shadow."""
        return np.asarray((shares - self.added) / self.fallen)


def stray_light(light: Luminance, pose: WedgePose, white: WhiteField) -> StrayLight:
    """Return the light added to the steps of the wedge at this pose, and the light that fell."""
    frame, gap, steps = _profiles(light, pose, white)
    gain = spread = np.ones((len(STEPS), 1))
    on_frame, black = np.zeros_like(frame), 0.0
    for _ in range(_ROUNDS):
        fallen = np.maximum(gap - on_frame * (1 + (gain - 1) * _IN_GAP), _LEAST_SHARE)
        # The least but one: a single place may be dark by noise or dirt.
        black = float(np.sort(frame.mean(axis=1) / fallen.mean(axis=1))[1])
        on_frame = frame - black * fallen
        gain, spread = _gains(steps, fallen, on_frame, gain)
    mean = on_frame.mean(axis=1)
    carried_over = np.hypot(spread, (gain - 1) / 2)[:, 0] * np.abs(mean)
    return StrayLight(
        added=gain[:, 0] * mean,
        added_doubt=np.hypot(carried_over, _unevenness(steps, fallen, gain * on_frame)),
        fallen=fallen.mean(axis=1),
        frame_black=black,
    )


def _gains(steps: Floats, fallen: Floats, on_frame: Floats, gain: Floats) -> tuple[Floats, Floats]:
    """How much stronger the reflection is on each step than on the frame, and how far that is off.

    Where a step rises within itself, the light that falls or the reflection does. Weighted least
    squares over a step and its neighbours, with 1 as the gain expected beforehand.
    """
    share = ((steps - gain * on_frame).mean(axis=1) / fallen.mean(axis=1))[:, None]
    added, rise = _off_mean(on_frame), _off_mean(steps) - share * _off_mean(fallen)
    weight = 1 / (np.abs(share) + _NOISE_FLOOR) ** 2
    number = np.arange(len(STEPS))
    near = np.exp(-(((number[:, None] - number) / _REACH) ** 2) / 2)
    of_added, of_both, of_rise = (  # weighted sums of squares and products
        near @ (weight * product).sum(axis=1, keepdims=True)
        for product in (added * added, added * rise, rise * rise)
    )
    freedom = near.sum(axis=1, keepdims=True) * (_PARTS - 1) - 1
    noise = np.maximum((of_rise - of_both**2 / np.maximum(of_added, 1e-12)) / freedom, 1e-9)
    expected = _expected_spread(on_frame.mean(axis=1))[:, None] ** -2
    known = of_added / noise + expected
    return np.clip((of_both / noise + expected) / known, 0, _MOST_GAIN), known**-0.5


def _unevenness(steps: Floats, fallen: Floats, added: Floats) -> Floats:
    """The standard deviation within each step that is left: noise, or a light seen nowhere else."""
    return np.asarray(((steps - added) / fallen).std(axis=1, ddof=1))


def _expected_spread(added: Floats) -> Floats:
    """How far the gain on each step may be from 1: small under wide reflections."""
    changes = np.abs(np.diff(added))
    steepness = [
        changes[max(0, n - 2) : n + 2].max()
        / max(float(np.abs(added[max(0, n - 2) : n + 3]).max()), _LEAST_ADDED)
        for n in range(len(added))
    ]
    return np.clip(_GAIN_SPREAD * np.array(steepness) ** 2, _LEAST_SPREAD, _MOST_SPREAD)


def _profiles(
    light: Luminance, pose: WedgePose, white: WhiteField
) -> tuple[Floats, Floats, Floats]:
    """The light of frame, gap and steps in the parts of each step: means of both sides."""

    def rows(middle: float, offsets: Floats) -> Floats:
        return _shares(light, pose, white, middle + offsets)

    above, below = (_darkest(rows(_MIDDLE + way * _FRAME_OFF, _FRAME_ROWS)) for way in (-1, 1))
    upper, lower = (_parts(rows(_MIDDLE + way * _GAP_OFF, _GAP_ROWS)) for way in (-1, 1))
    return (above + below) / 2, (upper + lower) / 2, _parts(rows(_MIDDLE, _STEP_ROWS))


def _shares(light: Luminance, pose: WedgePose, white: WhiteField, y: Floats) -> Floats:
    """The shares of white at these heights in the columns of each step: step, row, column."""
    inside = STEP_WIDE - 2 * RIM_WIDE
    columns = RIM_WIDE + (np.arange(_COLUMNS) + 0.5) / _COLUMNS * inside
    left = STEPS_EDGE + STEP_WIDE * np.arange(len(STEPS))
    x = np.broadcast_to((left[:, None] + columns)[:, None, :], (len(STEPS), len(y), _COLUMNS))
    points = np.stack([x, np.broadcast_to(y[None, :, None], x.shape)], axis=-1)
    return np.asarray(sampled(light, pose.pixels(points)) / white.at(points))


def _darkest(shares: Floats) -> Floats:
    """The parts of the row that is darkest at each step: the middle of the frame's line."""
    darkest = mid_means(shares).argmin(axis=1)
    return _parts(np.take_along_axis(shares, darkest[:, None, None], axis=1))


def _parts(shares: Floats) -> Floats:
    """The mean in each part of each step, of all rows."""
    steps, rows, columns = shares.shape
    parts = shares.reshape(steps, rows, _PARTS, columns // _PARTS).swapaxes(1, 2)
    return mid_means(parts.reshape(steps, _PARTS, -1))


def _off_mean(parts: Floats) -> Floats:
    return np.asarray(parts - parts.mean(axis=1, keepdims=True))
