"""A picture's L* at full size and at halves of it, and how rough the ground is at each place."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Lightness = NDArray[np.float32]

BLOCK_MM = 0.68  # 8 pixels at 300 ppi
_AT_ONCE = 64  # rows of a half: what stays in the processor's cache
_MEAN_MM = 1.0  # the spread of the weights that average the roughness around a place


@dataclass(frozen=True, slots=True)
class Level:
    """The L* of a picture reduced by ``scale``, a power of two."""

    lightness: Lightness
    scale: int

    def full_px(self, places: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return places in pixels of the full size; both count from the middle of the first."""
        return (places + 0.5) * self.scale - 0.5

    def own_px(self, places: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return places in pixels of this level."""
        return (places + 0.5) / self.scale - 0.5


def levels_of(lightness: Lightness, count: int) -> tuple[Level, ...]:
    """Return a picture and its halves, ``count`` levels; the last may be a single pixel."""
    levels = [Level(lightness, 1)]
    for _ in range(count - 1):
        levels.append(Level(halved(levels[-1].lightness), 2 * levels[-1].scale))
    return tuple(levels)


def halved(lightness: Lightness) -> Lightness:
    """Return the means of 2 x 2 pixels; an odd last row or column counts twice.

    >>> halved(np.array([[1, 3, 8], [5, 7, 8]], np.float32)).tolist()
    [[4.0, 8.0]]
    """
    height, width = lightness.shape
    if height % 2 or width % 2:
        lightness = np.pad(lightness, ((0, height % 2), (0, width % 2)), mode="edge")
    half = np.empty((len(lightness) // 2, lightness.shape[1] // 2), np.float32)
    for first in range(0, len(half), _AT_ONCE):
        pairs = lightness[2 * first : 2 * (first + _AT_ONCE)]
        rows = pairs[::2] + pairs[1::2]
        own = half[first : first + _AT_ONCE]
        np.add(rows[:, ::2], rows[:, 1::2], out=own)
        own *= np.float32(0.25)
    return half


def block_roughness(lightness: Lightness, block: int) -> Lightness:
    """Return the standard deviation of L* within each block of so many pixels either way.

    What is left over at the right and at the bottom belongs to no block, unless there is none.
    """
    height, width = (max(1, side // block) for side in lightness.shape)
    down, across = min(block, lightness.shape[0]), min(block, lightness.shape[1])
    cut = lightness[: height * down, : width * across].reshape(height, down, width, across)
    mean = cut.mean(axis=(1, 3))
    square = np.einsum("iajb,iajb->ij", cut, cut) / np.float32(down * across)
    return np.asarray(np.sqrt(np.maximum(square - mean * mean, 0)))


def texture(roughness: Lightness, block_mm: float) -> Lightness:
    """Return the root mean square of the roughness about 1 mm around each block."""
    spread = max(1, round(3 * _MEAN_MM / block_mm))
    offsets = np.arange(-spread, spread + 1) * block_mm
    weights = np.exp(-(offsets**2) / (2 * _MEAN_MM**2)).astype(np.float32)
    squares = roughness**2
    for axis in (0, 1):
        around = [(spread, spread) if n == axis else (0, 0) for n in (0, 1)]
        padded = np.pad(squares, around, mode="edge")
        length = squares.shape[axis]
        parts = (
            weight * np.take(padded, np.arange(n, n + length), axis=axis)
            for n, weight in enumerate(weights)
        )
        squares = sum(parts, np.zeros_like(squares)) / weights.sum()
    return np.asarray(np.sqrt(squares))
