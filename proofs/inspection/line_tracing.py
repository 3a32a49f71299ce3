"""Lines traced from the pixels of their crests, and what each looks like across.

Neighbouring pixels belong together if their directions agree. Without that, all texture becomes
one net, which swallows the lines in it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.connected_components import component_labels
from proofs.inspection.lightness_levels import Lightness
from proofs.inspection.line_profiles import ACROSS, FLANK, profile_figures
from proofs.inspection.line_response import DIRECTIONS, LinePixels

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

_NEAR = 2  # pixels of the half size
_AGREE = 2  # sixteenths of half a turn
_TYPICAL = 0.4  # of a line's pixels are weaker than what counts as its strength
_SAMPLES = 24  # places along a line where it is looked at across
_CHUNK = 1000  # lines at a time
_SHIFT = 2  # pixels: how far a crest may be off
_COMPANY_MM = 2.5
_HALF_OCTAVES = 20  # of curvature, from the finest that codes of 8 bits can have
_FINEST = 0.01  # L* per squared pixel
_CONSTANT = 0.35  # of the contrast: less, and the line is interrupted there
_FLOOR = 0.1  # L*


@dataclass(frozen=True, slots=True)
class Lines:
    """One value for each line. Lengths and places are in pixels of the full size.

    ``contrast`` is the L* above the higher flank, with its sign; ``strength`` that of most
    pixels in noises. Shares of the contrast: ``step`` is how far the flanks differ, ``scatter``
    how much they vary. ``constant`` is the share of its length where it is seen, ``company``
    the share of pixels around that are as much of a line and not its own, ``bend`` its pixels
    off the straight over its length, ``angle`` its direction in radians. The last ones are those
    of `line_profiles.profile_figures`.
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
    company: Floats
    bend: Floats
    angle: Floats
    body: Floats
    skirt: Floats
    lobe: Floats
    varying: Floats
    weakest: Floats
    bumps: Floats
    dips: Floats
    ridge: Floats
    trough: Floats
    ground_along: Floats
    ground_across: Floats

    def __len__(self) -> int:
        return len(self.left)


@dataclass(frozen=True, slots=True)
class _Groups:
    """Pixels that belong together: ``order`` sorts them by group, each group from top to bottom.

    ``first`` is where a group begins in that order, ``count`` how many pixels it has.
    """

    order: Integers
    first: Integers
    count: Integers
    strength: Floats

    def only(self, which: NDArray[np.bool_]) -> "_Groups":
        return _Groups(self.order, self.first[which], self.count[which], self.strength[which])

    def sampled(self, samples: int) -> Integers:
        """Pixels evenly along each group: a row of them for each."""
        at = np.arange(samples) * (self.count[:, None] - 1) // (samples - 1)
        return np.asarray(self.order[self.first[:, None] + at])

    def each(self, reduce: np.ufunc, of_pixels: Floats) -> Floats:
        """A sum, a least or a most over the pixels of each group."""
        edges = np.stack([self.first, self.first + self.count], axis=1).ravel()
        padded = np.append(of_pixels[self.order], 0.0)
        return np.asarray(reduce.reduceat(padded, edges)[::2])


def traced_lines(
    lightness: Lightness, pixels: LinePixels, least_px: float, least_strength: float, mm_px: float
) -> Lines:
    """Return the lines of at least so many pixels of the half size, in reading order.

    ``least_strength`` is that of most of their pixels; ``mm_px`` is how many pixels of the full
    size a millimetre has.
    """
    if not len(pixels):
        return Lines(*(np.empty(0) for _ in Lines.__slots__))
    shape = (lightness.shape[0] // 2 + 2, lightness.shape[1] // 2 + 2)
    groups = _groups(pixels, shape, 0.7 * least_px)
    groups = groups.only(groups.strength >= least_strength)
    if len(groups.first):
        across, down = (
            groups.each(np.maximum, v) - groups.each(np.minimum, v)
            for v in (pixels.x.astype(np.float64), pixels.y.astype(np.float64))
        )
        groups = groups.only(np.hypot(across, down) >= least_px)
    if not len(groups.first):
        return Lines(*(np.empty(0) for _ in Lines.__slots__))
    values = {**_axes(pixels, groups), **_seen_across(lightness, pixels, groups)}
    return Lines(
        strength=groups.strength,
        company=_company(pixels, groups, mm_px),
        **values,
    )


def _groups(pixels: LinePixels, shape: tuple[int, int], least_px: float) -> _Groups:
    """The groups of at least so many pixels."""
    label = _labels(pixels, shape)
    kept = np.flatnonzero(np.bincount(label)[label] >= least_px)
    label, size = label[kept], np.abs(pixels.strength[kept])
    order = np.lexsort((pixels.x[kept], pixels.y[kept], label))
    _, first, count = np.unique(label[order], return_index=True, return_counts=True)
    ranked = size[np.lexsort((size, label))]
    order = kept[order]
    strength = ranked[first + (_TYPICAL * (count - 1)).astype(int)]
    return _Groups(order, first, count, strength)


def _labels(pixels: LinePixels, shape: tuple[int, int]) -> Integers:
    """The number of the group that each pixel belongs to."""
    place = np.full((shape[0] + 2 * _NEAR, shape[1] + 2 * _NEAR), -1, np.int32)
    x, y = pixels.x + _NEAR, pixels.y + _NEAR
    place[y, x] = np.arange(len(x))
    # A direction and a sign as one small number, so that a table says what goes together.
    kind = (pixels.direction + DIRECTIONS * (pixels.strength > 0)).astype(np.int8)
    agree = _agreements()
    flat, width = place.ravel(), place.shape[1]
    at = y * width + x
    ones, others = [], []
    for down in range(_NEAR + 1):
        for right in range(-_NEAR, _NEAR + 1):
            if (down, right) <= (0, 0):
                continue
            other = flat[at + (down * width + right)]
            one = np.flatnonzero(other >= 0)
            other = other[one]
            is_one = agree[kind[one], kind[other]]
            ones.append(one[is_one])
            others.append(other[is_one].astype(np.int64))
    return component_labels(len(x), np.concatenate(ones), np.concatenate(others))


def _agreements() -> NDArray[np.bool_]:
    """Whether two pixels of these directions, dark ones first, then light ones, may be one line."""
    kind = np.arange(2 * DIRECTIONS)
    turn = np.abs(kind[:, None] - kind) % DIRECTIONS
    is_same_sign = kind[:, None] // DIRECTIONS == kind // DIRECTIONS
    return np.asarray(is_same_sign & (np.minimum(turn, DIRECTIONS - turn) <= _AGREE))


def _axes(pixels: LinePixels, groups: _Groups) -> dict[str, Floats]:
    """Rectangle, length and angle of each group, and how far it is off the straight."""
    x, y = (np.asarray(v * 2 + 0.5, np.float64) for v in (pixels.x, pixels.y))
    count = groups.count
    mean_x, mean_y = groups.each(np.add, x) / count, groups.each(np.add, y) / count
    owner = np.repeat(np.arange(len(count)), count)
    own = groups.order[
        np.repeat(groups.first - np.cumsum(count) + count, count) + np.arange(len(owner))
    ]
    u, v = x[own] - mean_x[owner], y[own] - mean_y[owner]

    def mean(values: Floats) -> Floats:
        return np.asarray(np.bincount(owner, values, len(count)) / count)

    angle = np.arctan2(2 * mean(u * v), mean(u * u) - mean(v * v)) / 2
    along = u * np.cos(angle)[owner] + v * np.sin(angle)[owner]
    across = v * np.cos(angle)[owner] - u * np.sin(angle)[owner]
    starts = np.cumsum(count) - count
    length = np.maximum.reduceat(along, starts) - np.minimum.reduceat(along, starts) + 1
    return {
        "left": groups.each(np.minimum, x),
        "top": groups.each(np.minimum, y),
        "right": groups.each(np.maximum, x),
        "bottom": groups.each(np.maximum, y),
        "length": length,
        "bend": np.sqrt(mean(across * across)) / length,
        "angle": angle,
    }


def _seen_across(lightness: Lightness, pixels: LinePixels, groups: _Groups) -> dict[str, Floats]:
    """What each line looks like across, some lines at a time."""
    samples = groups.sampled(_SAMPLES)
    parts = [
        _figures(lightness, pixels, samples[first : first + _CHUNK])
        for first in range(0, len(samples), _CHUNK)
    ]
    return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}


def _figures(lightness: Lightness, pixels: LinePixels, samples: Integers) -> dict[str, Floats]:
    sign = np.sign(pixels.strength[samples[:, 0]])
    profile = _profiles(lightness, pixels, samples) * sign[:, None, None]
    middle = profile[:, :, ACROSS - 1 : ACROSS + 2].max(axis=2)
    left = profile[:, :, ACROSS - FLANK[1] + 1 : ACROSS - FLANK[0] + 1]
    right = profile[:, :, ACROSS + FLANK[0] : ACROSS + FLANK[1]]
    one, other = left.mean(axis=2), right.mean(axis=2)
    above = middle - np.maximum(one, other)
    contrast = np.maximum(np.median(above, axis=1), 1e-2)
    ground = np.concatenate([left - one[:, :, None], right - other[:, :, None]], axis=2)
    mean = np.median(profile, axis=1)
    level = np.median(mean[:, ACROSS - FLANK[1] : ACROSS + FLANK[1] + 1], axis=1)
    half = (level + mean[:, ACROSS]) / 2
    return {
        "contrast": contrast * sign,
        "noise": ground.std(axis=(1, 2)) + _FLOOR,
        "constant": (above > _CONSTANT * contrast[:, None]).mean(axis=1),
        "step": np.median(np.abs(one - other), axis=1) / contrast,
        "scatter": ((one + other) / 2).std(axis=1) / contrast,
        "width": (mean[:, ACROSS - 6 : ACROSS + 7] > half[:, None]).sum(axis=1).astype(float),
        **profile_figures(profile),
    }


def _profiles(lightness: Lightness, pixels: LinePixels, samples: Integers) -> Floats:
    """L* across lines at some of their pixels, moved so that the crest is in the middle."""
    angle = (np.pi * pixels.direction[samples] / DIRECTIONS)[..., None]
    steps = np.arange(-ACROSS - _SHIFT, ACROSS + _SHIFT + 1)
    x = pixels.x[samples][..., None] * 2 + 0.5 - np.sin(angle) * steps
    y = pixels.y[samples][..., None] * 2 + 0.5 + np.cos(angle) * steps
    height, width = lightness.shape
    columns = np.clip(np.rint(x), 0, width - 1).astype(np.int64)
    rows = np.clip(np.rint(y), 0, height - 1).astype(np.int64)
    wide = lightness[rows, columns].astype(np.float64)
    sign = np.sign(pixels.strength[samples])[..., None]
    crest = (wide * sign)[..., ACROSS : ACROSS + 2 * _SHIFT + 1].argmax(axis=-1)
    at = crest[..., None] + np.arange(2 * ACROSS + 1)
    return np.asarray(np.take_along_axis(wide, at, axis=-1))


def _company(pixels: LinePixels, groups: _Groups, mm_px: float) -> Floats:
    """The share of pixels within about 3 mm of each line that are as much of a line as its own.

    Those of half its own curvature count, so that grain is no company to a strong line.
    """
    cell = max(1.0, _COMPANY_MM * mm_px / 2)
    octave = 2 * np.log2(np.maximum(pixels.curvature, _FINEST) / _FINEST)
    octave = np.minimum(octave, _HALF_OCTAVES - 1).astype(np.int64)
    at_least = _around(pixels, cell, octave, _HALF_OCTAVES)[::-1].cumsum(axis=0)[::-1]
    row, column = _cells(pixels, cell)
    samples = groups.sampled(_SAMPLES)
    least = np.maximum(np.median(octave[samples], axis=1).astype(np.int64) - 2, 0)
    near = at_least[least[:, None], row[samples], column[samples]].mean(axis=1)
    own_share = (octave[samples] >= least[:, None]).mean(axis=1)
    own = own_share * np.minimum(groups.count, 3 * cell)
    return np.asarray(np.maximum(near - own, 0) / (9 * cell * cell))


def _cells(pixels: LinePixels, cell: float) -> tuple[Integers, Integers]:
    """The row and the column of the cell that each pixel is in, counted from 1."""
    return (pixels.y // cell).astype(np.int64) + 1, (pixels.x // cell).astype(np.int64) + 1


def _around(pixels: LinePixels, cell: float, kind: Integers, kinds: int) -> Floats:
    """How many pixels of each kind are in each cell and the eight around it."""
    row, column = _cells(pixels, cell)
    height, width = int(row.max(initial=0)) + 2, int(column.max(initial=0)) + 2
    place = (kind * height + row) * width + column
    counts = np.bincount(place, minlength=kinds * height * width).astype(np.float64)
    counts = counts.reshape(kinds, height, width)
    framed = np.pad(counts, ((0, 0), (1, 1), (1, 1)))
    around = np.zeros_like(counts)
    for down in range(3):
        for right in range(3):
            around += framed[:, down : down + height, right : right + width]
    return around
