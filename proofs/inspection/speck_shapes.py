"""The shapes of candidates for specks: whether each is closed, and alone on its ground.

How far a spot stands above the noise says little: leaf tips, highlights and corners stand higher
than dust. Dust is closed, and its ground is calm in every direction (measured on photographs).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.block_medians import median_of
from proofs.inspection.lightness_levels import Level, Lightness
from proofs.inspection.speck_candidates import Candidates, Floats

Samples = NDArray[np.float32]  # candidate, ray, step

_RAYS = 16
_INNER = np.arange(0, 2.41, 0.2)  # radii
_RING_STEPS = 8
_CHUNK = 2000  # candidates at a time
_FAR = 2.2  # median half radii: a ray that goes further follows something else
_FINEST = 1.6  # pixels: at this radius a level is still sampled finely enough
_MAD = 1.4826


@dataclass(frozen=True, slots=True)
class Shapes:
    """One value for each candidate; all but the places have signs turned so that it is positive.

    ``x``, ``y`` and ``radius`` are in pixels of the full size; the radius is that at half height.
    ``contrast`` is the L* above the ground, with the sign that it has, ``noise`` that of the ring.
    Shares of the contrast: ``same`` and ``other`` are how far the ring reaches out to either side,
    ``ray`` is the second highest ray of it, ``wide`` how far a wider ring reaches out, ``slope``
    how much the ground changes across. ``uneven`` is how much the radius varies, ``elongation``
    the longest diameter over the shortest, ``core`` the height of its very middle.
    """

    x: Floats
    y: Floats
    radius: Floats
    contrast: Floats
    noise: Floats
    same: Floats
    other: Floats
    ray: Floats
    wide: Floats
    slope: Floats
    uneven: Floats
    elongation: Floats
    core: Floats

    def __len__(self) -> int:
        return len(self.x)

    def only(self, which: NDArray[np.bool_] | NDArray[np.int64]) -> "Shapes":
        """Return some of them."""
        names = self.__slots__
        return replace(self, **{name: getattr(self, name)[which] for name in names})


def isolation(shapes: Shapes) -> Floats:
    """Return how far something reaches out of the ground around each shape; alone it is near 0."""
    return np.asarray(np.maximum.reduce([shapes.ray, shapes.same, 0.7 * shapes.other]))


def shapes_of(levels: Sequence[Level], candidates: Candidates) -> Shapes:
    """Return the shapes of candidates, in their order."""
    scale = np.array([level.scale for level in levels])
    wanted = np.maximum(candidates.radius / _FINEST, 1)
    own = np.searchsorted(scale, wanted, side="right") - 1
    parts, places = [], []
    for n, level in enumerate(levels):
        mine = np.flatnonzero(own == n)
        for first in range(0, len(mine), _CHUNK):
            some = mine[first : first + _CHUNK]
            parts.append(_shapes_at(level, candidates.only(some)))
            places.append(some)
    order = np.argsort(np.concatenate([*places, np.empty(0, np.int64)]), kind="stable")
    columns = {
        name: np.concatenate([np.empty(0), *(getattr(part, name) for part in parts)])[order]
        for name in Shapes.__slots__
    }
    return Shapes(**columns)


@dataclass(frozen=True, slots=True)
class _Polar:
    """Places and radii in pixels of a level, and samples along rays at shares of the radius."""

    lightness: Lightness
    x: Floats
    y: Floats
    radius: Floats

    def at(self, distances: Floats) -> Samples:
        """Samples at distances, one row of them for each place."""
        angle = np.arange(_RAYS) * (2 * np.pi / _RAYS)
        x = self.x[:, None, None] + np.cos(angle)[None, :, None] * distances[:, None, :]
        y = self.y[:, None, None] + np.sin(angle)[None, :, None] * distances[:, None, :]
        return _bilinear(self.lightness, x, y)

    def ring(self, start: float, width: tuple[float, float], after: Floats | float = 0) -> Floats:
        """Distances of a ring: ``start`` radii and two pixels, then the wider of two widths."""
        first = start * self.radius + 2 + after
        steps = (np.arange(_RING_STEPS) + 0.5) / _RING_STEPS
        across = np.maximum(width[0], width[1] * self.radius)
        return np.asarray(first[:, None] + across[:, None] * steps)


def _bilinear(lightness: Lightness, x: Floats, y: Floats) -> Samples:
    height, width = lightness.shape
    x, y = np.clip(x, 0, width - 1), np.clip(y, 0, height - 1)
    left, top = x.astype(np.int64), y.astype(np.int64)
    u, v = (x - left).astype(np.float32), (y - top).astype(np.float32)
    flat, at = lightness.ravel(), top * width + left
    right = np.minimum(left + 1, width - 1) - left
    below = (np.minimum(top + 1, height - 1) - top) * width
    upper = flat[at] * (1 - u) + flat[at + right] * u
    lower = flat[at + below] * (1 - u) + flat[at + below + right] * u
    return np.asarray(upper * (1 - v) + lower * v)


def _shapes_at(level: Level, candidates: Candidates) -> Shapes:
    sign = np.sign(candidates.difference).astype(np.float32)
    polar = _Polar(
        level.lightness,
        level.own_px(candidates.x),
        level.own_px(candidates.y),
        candidates.radius / level.scale,
    )
    for _ in range(2):
        polar = _centred(polar, sign)
    ring = polar.at(polar.ring(1.7, (6, 1.3))) * sign[:, None, None]
    ground, across, down = _plane(ring)
    inner = polar.at(polar.radius[:, None] * _INNER) * sign[:, None, None]
    inner = inner - ground[:, None, None]
    flat = ring - ground[:, None, None] - _tilt(across, down)
    contrast = np.maximum(inner[:, :, :4].mean(axis=(1, 2)), 1e-3)
    half = _half_radii(inner, contrast)
    return Shapes(
        x=level.full_px(polar.x),
        y=level.full_px(polar.y),
        radius=polar.radius * level.scale,
        contrast=(contrast * sign).astype(np.float64),
        **_around(polar, sign, flat, ground, contrast),
        slope=np.asarray(np.hypot(across, down) / contrast, np.float64),
        uneven=np.asarray(half.std(axis=1) / np.maximum(half.mean(axis=1), 0.1), np.float64),
        elongation=_elongation(half),
        core=np.asarray(inner[:, 0, 0] / contrast, np.float64),
    )


def _around(
    polar: _Polar, sign: Samples, flat: Samples, ground: Samples, contrast: Samples
) -> dict[str, Floats]:
    """What the ring and a wider one hold besides their ground."""
    whole = flat.reshape(len(flat), -1)
    low, high = np.percentile(whole, (3, 97), axis=1)
    rays = np.sort(_ray_medians(flat), axis=1)
    after = np.maximum(6, 1.3 * polar.radius)
    wide = polar.at(polar.ring(1.7, (12, 3), after)) * sign[:, None, None] - ground[:, None, None]
    middle = np.median(whole, axis=1)
    found = {
        "noise": _MAD * np.median(np.abs(whole - middle[:, None]), axis=1),
        "same": high / contrast,
        "other": -low / contrast,
        "ray": rays[:, -2] / contrast,
        "wide": np.percentile(np.abs(wide).reshape(len(wide), -1), 95, axis=1) / contrast,
    }
    return {name: np.asarray(value, np.float64) for name, value in found.items()}


def _centred(polar: _Polar, sign: Samples) -> _Polar:
    """The same places, moved to the middle of what is above half height, with its radius."""
    ring = polar.at(polar.ring(1.7, (6, 1.3))) * sign[:, None, None]
    ground = np.median(ring.reshape(len(ring), -1), axis=1)
    inner = polar.at(polar.radius[:, None] * _INNER) * sign[:, None, None] - ground[:, None, None]
    contrast = np.maximum(inner[:, :, :4].mean(axis=(1, 2)), 1e-3)
    half = _half_radii(inner, contrast)
    angle = np.arange(_RAYS) * (2 * np.pi / _RAYS)
    moved_x = (half * np.cos(angle)).mean(axis=1) * polar.radius
    moved_y = (half * np.sin(angle)).mean(axis=1) * polar.radius
    rms = np.sqrt((half**2).mean(axis=1))
    radius = np.clip(rms * polar.radius, 0.6 * polar.radius, 1.8 * polar.radius)
    return replace(polar, x=polar.x + moved_x, y=polar.y + moved_y, radius=np.maximum(radius, 0.7))


def _half_radii(inner: Samples, contrast: Samples) -> Floats:
    """Where each ray first falls below half height, in radii, cut where one follows a line."""
    below = inner < 0.5 * contrast[:, None, None]
    below[:, :, 0] = False
    first = np.where(below.any(axis=2), below.argmax(axis=2), inner.shape[2] - 1)
    before = np.maximum(first - 1, 0)
    after_value = np.take_along_axis(inner, first[..., None], axis=2)[..., 0]
    value = np.take_along_axis(inner, before[..., None], axis=2)[..., 0]
    drop = np.maximum(value - after_value, 1e-3)
    part = np.clip((value - 0.5 * contrast[:, None]) / drop, 0, 1)
    step = _INNER[1] - _INNER[0]
    half = (before + part) * step
    middle = np.maximum(np.median(half, axis=1), step)
    return np.asarray(np.minimum(half, _FAR * middle[:, None]), np.float64)


def _elongation(half: Floats) -> Floats:
    diameters = half[:, : _RAYS // 2] + half[:, _RAYS // 2 :]
    return np.asarray(diameters.max(axis=1) / np.maximum(diameters.min(axis=1), 0.1))


def _plane(ring: Samples) -> tuple[Samples, Samples, Samples]:
    """The ground of a ring: its median, and how much it rises to the right and down."""
    angle = (np.arange(_RAYS) * (2 * np.pi / _RAYS)).astype(np.float32)
    rays = _ray_medians(ring)
    ground = np.median(ring.reshape(len(ring), -1), axis=1)
    across = (rays * np.cos(angle)).mean(axis=1) * 2
    down = (rays * np.sin(angle)).mean(axis=1) * 2
    return ground, across, down


def _ray_medians(ring: Samples) -> Samples:
    return median_of([ring[:, :, step] for step in range(ring.shape[2])])


def _tilt(across: Samples, down: Samples) -> Samples:
    angle = (np.arange(_RAYS) * (2 * np.pi / _RAYS)).astype(np.float32)
    rises = across[:, None] * np.cos(angle) + down[:, None] * np.sin(angle)
    return np.asarray(rises[:, :, None])
