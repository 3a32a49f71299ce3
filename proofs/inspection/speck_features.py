"""What decides whether a candidate is a speck: its shape, its contrast, and its ground."""

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.lightness_levels import Lightness
from proofs.inspection.speck_candidates import Floats
from proofs.inspection.speck_shapes import Shapes, isolation

_FLOOR = 0.15  # L*: on a flat area of 8-bit codes the noise is 0
_AROUND = 2  # blocks either way: 3.4 mm in all
_PERCENTILES = (25, 50, 75, 90)
_LARGE_MM2 = 0.5  # such a speck fills a quarter of the blocks around it


def ground_percentiles(roughness: Lightness) -> NDArray[np.float32]:
    """Return percentiles of the roughness around each block: row, column, percentile."""
    framed = np.pad(roughness, _AROUND, mode="edge")
    side = 2 * _AROUND + 1
    around = np.lib.stride_tricks.sliding_window_view(framed, (side, side))
    flat = around.reshape(*roughness.shape, -1)
    ranked = np.sort(flat, axis=2)
    at = [round((side * side - 1) * percentile / 100) for percentile in _PERCENTILES]
    return np.asarray(ranked[..., at])


def speck_grounds(
    shapes: Shapes, percentiles: NDArray[np.float32], block_px: float, px_per_mm: float
) -> Floats:
    """Return the roughness around each shape at three percentiles: one row for each.

    A large speck counts in its own surroundings, so the percentiles below are taken there.
    """
    rows = np.clip((shapes.y / block_px).astype(int), 0, percentiles.shape[0] - 1)
    columns = np.clip((shapes.x / block_px).astype(int), 0, percentiles.shape[1] - 1)
    found = percentiles[rows, columns].astype(np.float64)
    area = np.pi * (shapes.radius / px_per_mm) ** 2
    return np.asarray(np.where((area > _LARGE_MM2)[:, None], found[:, :3], found[:, 1:]))


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
