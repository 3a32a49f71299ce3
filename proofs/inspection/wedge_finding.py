"""A wedge found in a scan by its frame, and confirmed by its steps."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.connected_components import Moments, dark_runs, moments_of
from proofs.inspection.wedge_light import (
    frame_points,
    gap_points,
    shares_of_white,
    slopes_within,
    white_field,
)
from proofs.inspection.wedge_pose import (
    Floats,
    Luminance,
    WedgePose,
    frame_corners,
    grid_points,
    pose_from_corners,
    sampled,
)
from proofs.inspection.wedge_reading import WedgeReading, read_wedge
from proofs.inspection.wedge_reflection import stray_light
from proofs.plan.tones.tone import lightness
from proofs.plan.tones.wedge import FRAME_EDGE, FRAME_LINE, STEPS, UNITS_HIGH, UNITS_WIDE, step_box

_LEVELS_PX = (1000, 2000)  # a small reduction first, which is quick and has little noise
_THRESHOLDS = (0.35, 0.2, 0.1, 0.05)  # of the scan's bright parts: dark is below
_LEAST_UNIT_PX = 1.2  # the frame is two units wide, and a step four high
_PROPORTION = 0.25  # how far a frame's moments may be off: threshold, blur, perspective
_MOST_FRAMES = 50  # judged per threshold, the largest; a grid of boxes has thousands
_MOST_OFF = 25.0  # L* from the requested tone: far more than any lab is off
_LAST = len(STEPS) - 1
_LEAST_RISE, _MOST_FALL, _MOST_FLAT = 2.0, 1.5, 2  # L* from step to step, and how many may be flat
_MOST_SLOPE = 0.12  # of the rise to the next step, between the halves of one; a ramp has 0.25
_MOST_GREY_FRAME = 0.5  # light of the frame as a share of the gap's

_MOST_REFLECTION_DOUBT = 0.08  # D; as much as a step of a bracket
_MOST_SOFT = 0.12  # above it mid grey reads more than 0.02 D off (tried on simulated scans)

NOT_FOUND = (
    "no whole grey wedge was found in it; scan the whole sheet flat at 300 ppi or more, or"
    " photograph it straight on, sharp and filling the picture, with all of the wedge's black"
    " frame in view and nothing across it"
)
CUT_OFF = (
    "the frame of the wedge touches the edge of the picture; leave some of the sheet around it"
    " when you scan"
)
NO_STEPS = (
    "a frame like the wedge's was found, but not its eleven grey steps inside it; nothing may"
    " cover the wedge, no lamp may be mirrored in it, and the scanner's automatic corrections must"
    " be off"
)
TOO_SOFT = (
    "the wedge in it is too small or too blurred to tell its steps apart; scan at 300 ppi or"
    " more, the sheet flat on the glass"
)


def find_wedge(light: Luminance) -> WedgeReading:
    """Return the reading of the largest wedge in a scan, from its linear light, 0 to 1.

    Raises ``ValueError`` with the reason if no wedge is found, or none that is sharp enough.
    """
    reasons = {NOT_FOUND}
    for factor in _factors(light):
        level = downsampled(light, factor)
        for small, is_cut in _candidates(level):
            pose = small.magnified(factor)
            if not _is_framed(light, pose):
                continue
            both_ways = () if is_cut else (pose, pose.turned())
            for way in both_ways:
                if not (_is_dark_at_left(light, way) and _has_steps(light, way)):
                    continue
                reading = read_wedge(light, way)
                _check(reading)
                return reading
            reasons.add(CUT_OFF if is_cut else NO_STEPS)
    raise ValueError(next(r for r in (NO_STEPS, CUT_OFF, NOT_FOUND) if r in reasons))


def _check(reading: WedgeReading) -> None:
    """Raise ``ValueError`` for a reading that cannot be relied upon."""
    if reading.reflection_doubt >= _MOST_REFLECTION_DOUBT:
        raise ValueError(
            "a reflection or a shadow lies on the wedge in it, so that mid grey may read up to"
            f" {reading.reflection_doubt:.2f} D off; switch the light off or move it, tilt the"
            " print away from it, or scan the print instead"
        )
    if reading.softness > _MOST_SOFT:
        raise ValueError(TOO_SOFT)


def downsampled(light: Luminance, factor: int) -> Luminance:
    """Return the light averaged over squares of ``factor`` by ``factor`` pixels.

    >>> downsampled(np.array([[0, 1, 5], [2, 1, 5]], dtype=np.float32), 2).tolist()
    [[1.0]]
    """
    height, width = (side // factor for side in light.shape)
    whole = light[: height * factor, : width * factor]
    means = whole.reshape(height, factor, width, factor).mean(axis=(1, 3), dtype=np.float32)
    return np.asarray(means)


def _factors(light: Luminance) -> list[int]:
    """The reductions to search at, largest first."""
    longest = max(light.shape)
    return sorted({max(1, -(-longest // most)) for most in (*_LEVELS_PX, longest)}, reverse=True)


def _candidates(level: Luminance) -> Iterator[tuple[WedgePose, bool]]:
    """Possible frames of wedges in a reduced scan, large ones first.

    Each is the pose of a component with the moments of a frame, and whether the edge cuts it.
    """
    bright = float(np.percentile(level[::2, ::2], 99))
    seen = 0
    for threshold in _THRESHOLDS:
        dark = level < threshold * bright
        pixels_dark = int(dark.sum())
        if pixels_dark in (0, seen):  # a lower threshold leaves fewer pixels, or the very same
            continue
        seen = pixels_dark
        runs = dark_runs(dark)
        moments = moments_of(runs)
        likely = np.flatnonzero(_is_like_a_frame(moments))
        for component in likely[np.argsort(-moments.along[likely])][:_MOST_FRAMES]:
            pixels = runs.pixels(int(component))
            try:
                corners = frame_corners(pixels, float(moments.angle[component]))
                pose = pose_from_corners(corners)
            except ValueError:
                continue
            yield pose, _touches_edge(pixels, level)


def _is_like_a_frame(moments: Moments) -> NDArray[np.bool_]:
    """Which components are as long, high and thin as a frame, however they are rotated."""
    along, across, area = frame_moments()
    with np.errstate(divide="ignore", invalid="ignore"):
        shape = (moments.along / moments.across) / (along / across)
        filled = moments.area / (moments.along * moments.across) / (area / (along * across))
    fits = (np.abs(np.log(shape)) < _PROPORTION) & (np.abs(np.log(filled)) < 2 * _PROPORTION)
    return np.asarray(fits & (moments.along >= along * _LEAST_UNIT_PX))


def frame_moments() -> tuple[float, float, float]:
    """Return the standard deviations of a wedge's frame along and across, and its area, in units.

    The second moment of a rectangle is its area times side² / 12; that of the frame is the
    outer rectangle's less the inner one's.

    >>> [round(value, 2) for value in frame_moments()]
    [30.65, 5.81, 432.0]
    """
    outer, inner = (
        (UNITS_WIDE - 2 * edge, UNITS_HIGH - 2 * edge)
        for edge in (FRAME_EDGE, FRAME_EDGE + FRAME_LINE)
    )
    (width, height), (hole_width, hole_height) = outer, inner
    whole, hole = width * height, hole_width * hole_height
    area = whole - hole
    along = (whole * width**2 - hole * hole_width**2) / 12 / area
    across = (whole * height**2 - hole * hole_height**2) / 12 / area
    return along**0.5, across**0.5, float(area)


def _touches_edge(pixels: Floats, level: Luminance) -> bool:
    height, width = level.shape
    (left, top), (right, bottom) = pixels.min(axis=0), pixels.max(axis=0)
    return bool(left <= 0 or top <= 0 or right >= width - 1 or bottom >= height - 1)


def _is_framed(light: Luminance, pose: WedgePose) -> bool:
    """Whether a black frame and a white gap within it are there, nearly all the way round."""
    gap, frame = (sampled(light, pose.pixels(p)) for p in (gap_points(), frame_points()))
    return bool(np.percentile(frame, 95) < _MOST_GREY_FRAME * np.percentile(gap, 5))


def _is_dark_at_left(light: Luminance, pose: WedgePose) -> bool:
    """Whether the first step is darker than the last: quicker than to look at all of them."""
    first, last = (sampled(light, pose.pixels(grid_points(step_box(n), 9, 5))) for n in (0, _LAST))
    return bool(np.median(first) < np.median(last))


def _has_steps(light: Luminance, pose: WedgePose) -> bool:
    """Whether the steps are there, rising from the left, each even in tone."""
    white = white_field(light, pose)
    shares = shares_of_white(light, pose, white)
    if not _rise_as_steps(shares):
        shares = stray_light(light, pose, white).freed(shares)
        if not _rise_as_steps(shares):
            return False
    # A smooth ramp inside a frame also rises from black to white, but everywhere.
    slopes = slopes_within(light, pose, white)[1:-1]
    return bool(slopes.sum() < _MOST_SLOPE * (shares[-1] - shares[0]))


def _rise_as_steps(shares: Floats) -> bool:
    """Whether these shares of white are those of a print's wedge, whatever the lab did to it."""
    black = float(shares[0])
    if not 0 <= black < _MOST_GREY_FRAME:
        return False
    tones = np.array([lightness(max(0.0, share - black) / (1 - black)) for share in shares])
    rises = np.diff(tones)
    if np.abs(tones - STEPS).max() > _MOST_OFF or rises.min() < -_MOST_FALL:
        return False
    return bool((rises < _LEAST_RISE).sum() <= _MOST_FLAT)
