"""Ground in perspective: a height field, where the low sun reaches it, and what it hides."""

from dataclasses import dataclass

import numpy as np
from light import Array, Shape, blur


@dataclass(frozen=True)
class Camera:
    """A level camera above the origin; rows and focal length count in picture pixels."""

    height: float
    horizon: float
    focal: float
    near: float
    far: float


class Ground:
    """A square grid of heights in metres; x runs to the right, z away from the camera."""

    def __init__(self, heights: Array, cell: float, left: float, front: float) -> None:
        """Lay the grid out; `heights[row, column]` has z by rows and x by columns."""
        self.heights, self.cell, self.left, self.front = heights, cell, left, front

    def read(self, field: Array, x: Array, z: Array) -> Array:
        """Sample a field on this grid between its points; beyond its rim the last value repeats."""
        rows, columns = field.shape
        u = np.clip((x - self.left) / self.cell, 0, columns - 1.001)
        v = np.clip((z - self.front) / self.cell, 0, rows - 1.001)
        c, r = u.astype(np.int64), v.astype(np.int64)
        across, down = (u - c).astype(np.float32), (v - r).astype(np.float32)
        flat, at = field.ravel(), r * columns + c
        near = flat[at] * (1 - across) + flat[at + 1] * across
        far = flat[at + columns] * (1 - across) + flat[at + columns + 1] * across
        result: Array = near * (1 - down) + far * down
        return result

    def slopes(self) -> tuple[Array, Array]:
        """Rise per metre along x and along z."""
        along_x = np.gradient(self.heights, self.cell, axis=1)
        along_z = np.gradient(self.heights, self.cell, axis=0)
        return along_x.astype(np.float32), along_z.astype(np.float32)

    def sunlit(self, rise: float, from_left: bool, softness: float) -> Array:
        """Where a sun low in the west or east reaches the ground (1) or not (0).

        One sweep across the grid moves the shadow's edge along; it sinks by `rise` per metre.
        """
        order = range(self.heights.shape[1])
        edge = np.full(self.heights.shape[0], -1e6, np.float32)
        lit = np.empty_like(self.heights)
        for c in order if from_left else reversed(order):
            edge = np.maximum(edge - rise * self.cell, self.heights[:, c])
            lit[:, c] = np.clip(1 - (edge - self.heights[:, c]) / (0.6 * softness), 0, 1)
        return blur(lit, 1.0)


def view(ground: Ground, camera: Camera, shape: Shape, steps: int) -> tuple[Array, Array]:
    """Distance of the ground at each pixel, and how much of the pixel it covers (0 is sky)."""
    z = np.geomspace(camera.near, camera.far, steps).astype(np.float32)[:, None]
    aside = (np.arange(shape[1], dtype=np.float32) - shape[1] / 2) / camera.focal
    height = ground.read(ground.heights, aside[None, :] * z, np.broadcast_to(z, (steps, shape[1])))
    rows = camera.horizon - (height - camera.height) * camera.focal / z
    skyline = np.minimum.accumulate(rows, axis=0)
    pixels = np.arange(shape[0], dtype=np.float32)
    distance = np.empty(shape, np.float32)
    line = z[:, 0]
    for c in range(shape[1]):
        first = np.searchsorted(-skyline[:, c], -pixels)
        hit = np.clip(first, 1, steps - 1)
        before, after = rows[hit - 1, c], rows[hit, c]
        share = np.clip((before - pixels) / np.maximum(before - after, 1e-6), 0, 1)
        distance[:, c] = line[hit - 1] + (line[hit] - line[hit - 1]) * share
    return distance, np.clip(pixels[:, None] - skyline[-1][None, :] + 0.5, 0, 1)
