"""Lines traced from the pixels of their crests, and what each looks like across.

Neighbouring pixels belong together if their directions agree. Without that, all texture becomes
one net, which swallows the lines in it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.connected_components import component_labels
from proofs.inspection.lightness_levels import Lightness
from proofs.inspection.line_response import DIRECTIONS, LinePixels

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

_NEAR = 2  # pixels of the half size
_AGREE = 2  # sixteenths of half a turn
_SAMPLES = 48  # places along a line where it is looked at across
_ACROSS = 14  # pixels either way
_SHIFT = 2  # pixels: how far a crest may be off
_FLANK = (5, 10)  # pixels from the middle: the ground beside a line
_DENSITY_MM = 5.0
_CONSTANT = 0.35  # of the contrast: less, and the line is interrupted there
_FLOOR = 0.1  # L*


@dataclass(frozen=True, slots=True)
class Lines:
    """One value for each line. Lengths and places are in pixels of the full size.

    ``contrast`` is the L* above the higher flank, with its sign. Shares of the contrast: ``step``
    is how far the flanks differ, ``scatter`` how much they vary. ``constant`` is the share of
    its length where it is seen, ``density`` the share of line-like pixels around that are not
    its own, ``bend`` its pixels off the straight over its length.
    """

    left: Floats
    top: Floats
    right: Floats
    bottom: Floats
    length: Floats
    contrast: Floats
    strength: Floats
    noise: Floats
    constant: Floats
    step: Floats
    scatter: Floats
    width: Floats
    density: Floats
    bend: Floats
    angle: Floats

    def __len__(self) -> int:
        return len(self.left)

    def only(self, which: NDArray[np.bool_] | Integers) -> "Lines":
        """Return some of them."""
        return Lines(*(getattr(self, name)[which] for name in Lines.__slots__))


def traced_lines(
    lightness: Lightness, pixels: LinePixels, least_px: float, least_strength: float, mm_px: float
) -> Lines:
    """Return the lines of at least so many pixels of the half size, in reading order.

    ``least_strength`` is that of most of their pixels; ``mm_px`` is how many pixels of the full
    size a millimetre has.
    """
    label = _labels(pixels, (lightness.shape[0] // 2 + 2, lightness.shape[1] // 2 + 2))
    order = np.lexsort((pixels.x, pixels.y, label))
    _, first, count = np.unique(label[order], return_index=True, return_counts=True)
    groups = []
    for start, number in zip(first.tolist(), count.tolist(), strict=True):
        if number < 0.7 * least_px:
            continue
        own = order[start : start + number]
        if np.percentile(np.abs(pixels.strength[own]), 40) < least_strength:
            continue
        if _extent(pixels, own) >= least_px:
            groups.append(own)
    return _looked_at(lightness, pixels, groups, mm_px)


def _extent(pixels: LinePixels, own: Integers) -> float:
    return float(np.hypot(np.ptp(pixels.x[own]), np.ptp(pixels.y[own])))


def _labels(pixels: LinePixels, shape: tuple[int, int]) -> Integers:
    """The number of the group that each pixel belongs to."""
    place = np.full((shape[0] + 2 * _NEAR, shape[1] + 2 * _NEAR), -1, np.int32)
    x, y = pixels.x + _NEAR, pixels.y + _NEAR
    place[y, x] = np.arange(len(x))
    ones, others = [], []
    for down in range(_NEAR + 1):
        for right in range(-_NEAR, _NEAR + 1):
            if (down, right) <= (0, 0):
                continue
            other = place[y + down, x + right]
            one = np.flatnonzero(other >= 0)
            other = other[one].astype(np.int64)
            turn = np.abs(pixels.direction[one] - pixels.direction[other])
            agree = np.minimum(turn, DIRECTIONS - turn) <= _AGREE
            agree &= pixels.strength[one] * pixels.strength[other] > 0
            ones.append(one[agree])
            others.append(other[agree])
    return component_labels(len(x), np.concatenate(ones), np.concatenate(others))


def _looked_at(
    lightness: Lightness, pixels: LinePixels, groups: list[Integers], mm_px: float
) -> Lines:
    """The lines of some groups of pixels."""
    rows = [_look(lightness, pixels, own, mm_px) for own in groups]
    columns = np.array(rows, np.float64).reshape(-1, len(Lines.__slots__) - 1).T
    density = _density(pixels, groups, mm_px)
    values = list(columns)
    values.insert(Lines.__slots__.index("density"), density)
    return Lines(*values)


def _look(
    lightness: Lightness, pixels: LinePixels, own: Integers, mm_px: float
) -> tuple[float, ...]:
    x, y = (np.asarray(v[own] * 2 + 0.5, np.float64) for v in (pixels.x, pixels.y))
    length, angle, bend = _axis(x, y)
    some = own[np.unique(np.linspace(0, len(own) - 1, _SAMPLES).astype(int))]
    sign = float(np.sign(pixels.strength[own].sum()))
    profile = _profiles(lightness, pixels, some, sign)
    middle = profile[:, _ACROSS - 1 : _ACROSS + 2].max(axis=1)
    left = profile[:, _ACROSS - _FLANK[1] + 1 : _ACROSS - _FLANK[0] + 1]
    right = profile[:, _ACROSS + _FLANK[0] : _ACROSS + _FLANK[1]]
    flanks = np.stack([left.mean(axis=1), right.mean(axis=1)])
    above = middle - flanks.max(axis=0)
    contrast = max(float(np.median(above)), 1e-2)
    ground = np.concatenate([left - flanks[0][:, None], right - flanks[1][:, None]])
    mean = np.median(profile, axis=0)
    level = max(float(np.median(mean[_ACROSS - _FLANK[1] : _ACROSS + _FLANK[1] + 1])), 0.0)
    half = level + (mean[_ACROSS] - level) / 2
    return (
        *(float(v) for v in (x.min(), y.min(), x.max(), y.max())),
        length,
        contrast * sign,
        float(np.percentile(np.abs(pixels.strength[own]), 40)),
        float(ground.std()) + _FLOOR,
        float((above > _CONSTANT * contrast).mean()),
        float(np.median(np.abs(flanks[0] - flanks[1]))) / contrast,
        float(flanks.mean(axis=0).std()) / contrast,
        float((mean[_ACROSS - 6 : _ACROSS + 7] > half).sum()),
        bend,
        angle,
    )


def _axis(x: Floats, y: Floats) -> tuple[float, float, float]:
    """Length and angle along the main axis, and how far the pixels are off it over the length."""
    u, v = x - x.mean(), y - y.mean()
    angle = float(np.arctan2(2 * (u * v).mean(), (u * u).mean() - (v * v).mean()) / 2)
    along = u * np.cos(angle) + v * np.sin(angle)
    across = v * np.cos(angle) - u * np.sin(angle)
    length = float(np.ptp(along)) + 1
    return length, angle, float(across.std()) / length


def _profiles(lightness: Lightness, pixels: LinePixels, some: Integers, sign: float) -> Floats:
    """L* across the line at some of its pixels, each moved so that the crest is in the middle."""
    angle = np.pi * pixels.direction[some] / DIRECTIONS
    steps = np.arange(-_ACROSS - _SHIFT, _ACROSS + _SHIFT + 1)
    x = pixels.x[some, None] * 2 + 0.5 - np.sin(angle)[:, None] * steps
    y = pixels.y[some, None] * 2 + 0.5 + np.cos(angle)[:, None] * steps
    height, width = lightness.shape
    columns = np.clip(np.rint(x), 0, width - 1).astype(int)
    rows = np.clip(np.rint(y), 0, height - 1).astype(int)
    wide = lightness[rows, columns].astype(np.float64) * sign
    crest = wide[:, _ACROSS : _ACROSS + 2 * _SHIFT + 1].argmax(axis=1)
    at = crest[:, None] + np.arange(2 * _ACROSS + 1)
    return np.asarray(np.take_along_axis(wide, at, axis=1))


def _density(pixels: LinePixels, groups: list[Integers], mm_px: float) -> Floats:
    """The share of line-like pixels around each line, beyond its own."""
    cell = max(1.0, _DENSITY_MM * mm_px / 2)
    column, row = (pixels.x // cell).astype(int) + 1, (pixels.y // cell).astype(int) + 1
    counts = np.zeros((row.max(initial=0) + 2, column.max(initial=0) + 2))
    np.add.at(counts, (row, column), 1)
    result = np.zeros(len(groups))
    for n, own in enumerate(groups):
        cells = {
            (r + down, c + right)
            for r, c in zip(row[own].tolist(), column[own].tolist(), strict=True)
            for down in (-1, 0, 1)
            for right in (-1, 0, 1)
        }
        around = sum(counts[r, c] for r, c in cells) - len(own)
        result[n] = around / (len(cells) * cell * cell)
    return result
