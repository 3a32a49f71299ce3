"""What a streak looks like across, and along: one line of a scanner or sensor, and no picture.

Such a line keeps to one column of pixels along its whole length, and its flanks rise at once.
Horizons, joints and window frames are softer, turn a little, or change from part to part.
"""

import itertools
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from proofs.records.inspections import StreakLimits

Floats = NDArray[np.float32]

GROUP = 5  # lines that are averaged first
NOISE_FLOOR = 0.02  # L*
_REACH = 6  # pixels either way that show what a streak looks like across
_CORE = 4  # pixels either way: a streak with its flanks
_OFF = 2  # pixels: what is strongest further off is another one
_STEP = 0.55  # of its contrast: where the sides of its parts differ more, it is of the picture
_UNEVEN = 0.4  # over its contrast: what varies more along its length is of the picture
_PIECE_MM = 6.0  # how finely it is followed along its length
_LEAST_PIECES = 4


@dataclass(frozen=True, slots=True)
class FoundStreak:
    """A streak at a column, over parts ``first`` to ``end``; ``contrast`` is as clipped."""

    column: int
    first: int
    end: int
    noises: float
    contrast: float


def profiles(groups: Floats, found: FoundStreak, part_px: float) -> Floats:
    """Return L* across a streak, less that of its sides: one row for each of its parts."""
    edges = np.asarray(np.arange(found.first, found.end + 1) * part_px, np.float64)
    across = _across(groups, found, edges)
    sides = across[:, [0, 1, -2, -1]].mean(axis=1, keepdims=True)
    return np.asarray(across - sides)


def is_streak(
    groups: Floats, found: FoundStreak, limits: StreakLimits, *, part_px: float, px_per_mm: float
) -> bool:
    """Return whether a streak is there itself, the same in all its parts, sharp and straight."""
    profile = np.median(profiles(groups, found, part_px), axis=0)
    peak = int(np.abs(profile).argmax())
    is_itself = abs(peak - _REACH) <= _OFF and profile[peak] * found.contrast > 0
    if not is_itself or abs(profile[peak]) < abs(found.contrast) / 2:
        return False
    at_peak = replace(found, column=found.column + peak - _REACH)
    parts = profiles(groups, at_peak, part_px)
    if _step_share(parts) > _STEP or not _is_even(parts):
        return False
    if _edge_px(np.median(parts, axis=0)) > limits.most_edge_px:
        return False
    return _turn_px(groups, at_peak, part_px, px_per_mm) <= limits.most_turn_px


def _is_even(parts: Floats) -> bool:
    """Whether the contrast of most parts is about the same."""
    contrasts = parts[:, _REACH]
    typical = float(np.median(contrasts))
    scatter = 1.4826 * float(np.median(np.abs(contrasts - typical)))
    return scatter <= _UNEVEN * abs(typical) + NOISE_FLOOR


def _step_share(parts: Floats) -> float:
    """How far both sides of a part typically differ, as a share of the contrast between them.

    Beside a horizon one side is always paler, beside a mast or a wall now this one, now that.
    """
    contrast = abs(float(np.median(parts[:, _REACH])))
    steps = parts[:, :2].mean(axis=1) - parts[:, -2:].mean(axis=1)
    return float(np.median(np.abs(steps))) / max(contrast, NOISE_FLOOR)


def _edge_px(profile: Floats) -> float:
    """How wide the softer flank of a profile is: its contrast over its steepest slope."""
    contrast = float(profile[_REACH])
    slopes = np.diff(profile) * np.sign(contrast)
    rise = float(slopes[_REACH - _CORE : _REACH].max())
    fall = -float(slopes[_REACH : _REACH + _CORE].min())
    return abs(contrast) / max(min(rise, fall), 1e-6)


def _turn_px(groups: Floats, found: FoundStreak, part_px: float, px_per_mm: float) -> float:
    """How far a streak leaves its column from one end to the other."""
    start, end = found.first * part_px, found.end * part_px
    count = max(_LEAST_PIECES, round((end - start) / px_per_mm / _PIECE_MM))
    across = _across(groups, found, np.linspace(start, end, count + 1))
    away = np.arange(-_REACH, _REACH + 1)
    left, right = across[:, :2].mean(axis=1), across[:, -2:].mean(axis=1)
    ground = (left + right)[:, None] / 2 + (right - left)[:, None] * away / (2 * _REACH - 1)
    weight = np.maximum((across - ground) * np.sign(found.contrast), 0)
    weight[:, np.abs(away) > _CORE] = 0
    place = (weight * away).sum(axis=1) / np.maximum(weight.sum(axis=1), 1e-6)
    # A part may begin or end beyond the streak, and something may lie across it.
    height = weight[:, _REACH - _OFF : _REACH + _OFF + 1].max(axis=1)
    seen = height >= np.median(height) / 2
    along = np.linspace(0, 1, count)[seen]
    along -= along.mean()
    return abs(float((along * place[seen]).sum() / max(float((along * along).sum()), 1e-6)))


def _across(groups: Floats, found: FoundStreak, edges: NDArray[np.float64]) -> Floats:
    """The typical L* of each column near a streak, between edges in pixels along it."""
    near = np.arange(found.column - _REACH, found.column + _REACH + 1)
    near = np.clip(near, 0, groups.shape[1] - 1)
    rows = np.rint(edges / GROUP).astype(int).tolist()
    parts = [
        np.median(groups[first:end][:, near], axis=0) for first, end in itertools.pairwise(rows)
    ]
    return np.stack(parts)
