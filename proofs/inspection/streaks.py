"""Streaks that a scanner leaves: straight lines along a whole row or column, or a long part of it.

They are faint, but even. A column is compared with those beside it, part by part of its height;
what differs the same way in all parts is no picture. Bright points are clipped, so that none of
them makes a streak.
"""

import itertools
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.lightness_levels import Lightness
from proofs.inspection.marks import Area, Mark, MarkKind
from proofs.inspection.streak_shape import (
    GROUP,
    NOISE_FLOOR,
    Floats,
    FoundStreak,
    is_streak,
    profiles,
)
from proofs.records.inspections import StreakLimits

_PART_MM = 15.0
_LEAST_PARTS = 4
_BESIDE = ((1, 4), (3, 7))  # the width of a streak in pixels, and how far beside it its ground is
_MOST = 1.5  # L*: a single group of lines counts no more than that
_FRAME = 10  # pixels at the sides, where borders are looked for instead
_AGREEING = 0.9  # the share of the parts that differ the same way
_APART = 9  # pixels: nearer ones are one streak, or beside one
_PART_STRICTER = 1.5  # among many parts chance has many tries
_CROWD = 2  # of one direction within a hand's breadth: more are architecture, or stripes
_CROWD_MM = 30.0


def streaks(lightness: Lightness, limits: StreakLimits, px_per_mm: float) -> Iterator[Mark]:
    """Yield the streaks along the columns and along the rows of a picture."""
    for is_upright in (True, False):
        groups = _groups(lightness if is_upright else lightness.T)
        length_px = groups.shape[0] * GROUP
        parts = max(_LEAST_PARTS, round(length_px / px_per_mm / _PART_MM))
        if groups.shape[0] < 2 * parts or groups.shape[1] < 2 * _FRAME + 2:
            continue
        part_px = length_px / parts
        least = max(_LEAST_PARTS, round(limits.least_length_mm * px_per_mm / part_px))
        found = [
            one
            for one in _found(groups, parts, min(least, parts), limits)
            if is_streak(groups, one, limits, part_px=part_px, px_per_mm=px_per_mm)
        ]
        found = _strongest_alone(found)
        columns = np.array([one.column for one in found])
        for one in found:
            if (np.abs(columns - one.column) < _CROWD_MM * px_per_mm).sum() <= _CROWD:
                yield _mark(groups, one, part_px, px_per_mm, is_upright)


def _groups(lightness: Lightness) -> Floats:
    """The means of every five lines; a few lines at the end are left out."""
    count = lightness.shape[0] // GROUP
    total = lightness[0 : count * GROUP : GROUP].astype(np.float32)
    for n in range(1, GROUP):
        total = total + lightness[n : count * GROUP : GROUP]
    return np.ascontiguousarray(total / np.float32(GROUP))


def _found(groups: Floats, parts: int, least: int, limits: StreakLimits) -> list[FoundStreak]:
    """What may be a streak among all columns; beside a strong one there seem to be others."""
    found = []
    for width, beside in _BESIDE:
        means = _part_means(groups, parts, width, beside)
        noise = 1.4826 * np.median(
            np.abs(means - np.median(means, axis=1, keepdims=True)), axis=1, keepdims=True
        )
        noises = means / (noise + NOISE_FLOOR)
        found += _whole(means, noises, limits)
        if least < parts:
            found += _partly(means, noises, least, limits)
    return found


def _strongest_alone(found: list[FoundStreak]) -> list[FoundStreak]:
    """The strongest of neighbours."""
    kept: list[FoundStreak] = []
    for one in sorted(found, key=lambda f: (f.first - f.end, -f.noises, f.column)):
        if all(abs(one.column - other.column) > _APART for other in kept):
            kept.append(one)
    return kept


def _beside(groups: Floats, width: int, beside: int) -> Floats:
    """Each column less those beside it, clipped; 0 at the sides."""
    middle = groups
    if width == 3:
        middle = groups.copy()
        middle[:, 1:-1] = (groups[:, :-2] + groups[:, 1:-1] + groups[:, 2:]) / np.float32(3)
    result = np.zeros_like(groups)
    difference = middle[:, beside:-beside] - (
        middle[:, : -2 * beside] + middle[:, 2 * beside :]
    ) / np.float32(2)
    result[:, beside:-beside] = np.clip(difference, -_MOST, _MOST)
    result[:, :_FRAME] = 0
    result[:, -_FRAME:] = 0
    return result


def _part_means(groups: Floats, parts: int, width: int, beside: int) -> Floats:
    """The means over each part of what each column differs from those beside it."""
    edges = np.arange(parts + 1) * len(groups) // parts
    sums = [
        np.add.reduce(_beside(groups[first:end], width, beside), axis=0)
        for first, end in itertools.pairwise(edges)
    ]
    return np.asarray(np.stack(sums) / np.diff(edges)[:, None])


def _whole(means: Floats, noises: Floats, limits: StreakLimits) -> list[FoundStreak]:
    is_streak = _is_streak(means, noises, limits, 1.0)
    typical, contrast = np.abs(np.median(noises, axis=0)), np.median(means, axis=0)
    return [
        FoundStreak(int(column), 0, len(means), float(typical[column]), float(contrast[column]))
        for column in np.flatnonzero(is_streak)
    ]


def _is_streak(
    means: Floats, noises: Floats, limits: StreakLimits, stricter: float
) -> NDArray[np.bool_]:
    """Whether the parts of each column differ enough, and the same way."""
    contrast, typical = np.median(means, axis=0), np.median(noises, axis=0)
    agreeing = np.maximum((means > 0).mean(axis=0), (means < 0).mean(axis=0))
    return np.asarray(
        (np.abs(contrast) > limits.least_contrast_l * stricter)
        & (np.abs(typical) > limits.least_noises * stricter)
        & (agreeing >= _AGREEING)
    )


def _partly(means: Floats, noises: Floats, least: int, limits: StreakLimits) -> list[FoundStreak]:
    """Streaks over some of the parts; columns that have one over a window of them, joined."""
    seen = np.zeros(noises.shape, np.bool_)
    for first in range(len(means) - least + 1):
        window = slice(first, first + least)
        seen[window] |= _is_streak(means[window], noises[window], limits, _PART_STRICTER)
    # A window may begin or end beyond the streak that is in most of it.
    seen &= np.abs(noises) > limits.least_noises / 2
    found = []
    for column in np.flatnonzero(seen.sum(axis=0) >= least).tolist():
        parts = np.flatnonzero(seen[:, column])
        strength = float(np.abs(np.median(noises[parts, column])))
        contrast = float(np.median(means[parts, column]))
        found.append(FoundStreak(column, int(parts[0]), int(parts[-1]) + 1, strength, contrast))
    return found


def _mark(
    groups: Floats, found: FoundStreak, part_px: float, px_per_mm: float, is_upright: bool
) -> Mark:
    first, end = (round(n * part_px / GROUP) for n in (found.first, found.end))
    above = np.median(profiles(groups, found, part_px), axis=0)
    peak = float(above[np.abs(above).argmax()])
    width_px = max(1, int((above / peak > 0.5).sum())) if peak else 1
    start, length = first * GROUP / px_per_mm, (end - first) * GROUP / px_per_mm
    across = (found.column + 0.5 - width_px / 2) / px_per_mm
    width = width_px / px_per_mm
    area = Area(across, start, width, length) if is_upright else Area(start, across, length, width)
    # From 1 at the least to nearly all at four times as many noises.
    confidence = 1 - 0.5 * np.exp(-found.noises / 8)
    return Mark(
        MarkKind.STREAK,
        area,
        contrast=peak,
        confidence=float(confidence),
        length_mm=length,
        width_mm=width,
    )
