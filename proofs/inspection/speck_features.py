"""What decides whether a candidate is a speck: its shape, its contrast, and its ground."""

import math

import numpy as np

from proofs.inspection.block_medians import medians_around
from proofs.inspection.lightness_levels import Lightness
from proofs.inspection.speck_candidates import Floats
from proofs.inspection.speck_shapes import Shapes, isolation

_FLOOR = 0.15  # L*: on a flat area of 8-bit codes the noise is 0
_AROUND = 2  # blocks either way: 3.4 mm in all
_BESIDE = (0.75, 2.75)  # blocks from the rim of a speck: nearer ones hold some of it
_LARGE = 1.0  # blocks: a speck of a larger radius has its ground further out
_PERCENTILES = (50, 75, 90)


def middle_roughness(roughness: Lightness) -> Lightness:
    """Return the median of the roughness in the blocks around each, with the block itself."""
    return medians_around(roughness, _AROUND)


def speck_grounds(shapes: Shapes, roughness: Lightness, block_px: float) -> Floats:
    """Return the roughness around each shape at three percentiles: one row for each.

    The blocks that a shape lies in do not count: a large speck would be its own texture.
    """
    found = np.empty((len(shapes), len(_PERCENTILES)))
    is_large = shapes.radius > _LARGE * block_px
    for which in (is_large, ~is_large):
        if which.any():
            found[which] = _percentiles_around(shapes.only(which), roughness, block_px)
    return found


def _percentiles_around(shapes: Shapes, roughness: Lightness, block_px: float) -> Floats:
    x, y, radius = shapes.x / block_px, shapes.y / block_px, shapes.radius / block_px
    reach = math.ceil(float(radius.max()) + _BESIDE[1])
    down, across = np.mgrid[-reach : reach + 1, -reach : reach + 1].reshape(2, 1, -1)
    rows, columns = y.astype(int)[:, None] + down, x.astype(int)[:, None] + across
    beyond = np.hypot(rows + 0.5 - y[:, None], columns + 0.5 - x[:, None]) - radius[:, None]
    height, width = roughness.shape
    values = roughness[np.clip(rows, 0, height - 1), np.clip(columns, 0, width - 1)]
    values = np.where((beyond > _BESIDE[0]) & (beyond <= _BESIDE[1]), values, np.inf)
    values.sort(axis=1)
    count = np.isfinite(values).sum(axis=1)
    at = [np.rint((count - 1) * percentile / 100).astype(int) for percentile in _PERCENTILES]
    return np.asarray(np.take_along_axis(values, np.stack(at, axis=1), axis=1), np.float64)


def speck_features(shapes: Shapes, grounds: Floats, px_per_mm: float) -> Floats:
    """Return the features by which specks are scored, one row for each shape."""
    contrast = np.abs(shapes.contrast)
    alone = isolation(shapes)
    clear = np.log(contrast / (shapes.noise + _FLOOR))
    middle, upper, high = np.log(grounds + 0.1).T
    size = np.log(np.maximum(shapes.radius / px_per_mm, 0.01))
    area = np.log(contrast)
    return np.stack(
        [
            clear,
            *_hinges(clear, 0.9, 1.6, 2.4),
            alone,
            *_hinges(alone, 0.15, 0.3, 0.6),
            np.minimum(shapes.same, 2),
            np.minimum(shapes.other, 2),
            np.minimum(shapes.ray, 2),
            *_hinges(shapes.ray, 0.1),
            np.minimum(shapes.wide, 3),
            *_hinges(shapes.wide, 0.5),
            np.minimum(shapes.slope, 2),
            shapes.uneven,
            *_hinges(shapes.elongation, 1.3, 1.8),
            np.clip(shapes.core, -1, 2),
            area,
            *_hinges(area, 1.2, 2.0),
            size,
            *_hinges(size, -1.6, -0.7),
            middle,
            upper,
            high,
            *_hinges(upper, 0.0, 0.6),
            *_hinges(high, 0.7),
        ],
        axis=1,
    )


def _hinges(values: Floats, *bends: float) -> list[Floats]:
    """The part of the values above each bend, at most 3."""
    return [np.clip(values - bend, 0, 3) for bend in bends]
