"""Where thin lines may run: what stays of the curvature of L* when it is averaged along lines.

It is looked for at half size, where a line of one to three pixels has its curvature in one. The
curvature across each of sixteen directions is clipped, so that a bright point does not pass for a
line, and averaged along the direction. The values are whole numbers, 24 to a noise: sums of them
are the same in any order.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.lightness_levels import Lightness

Curvature = NDArray[np.int16]

DIRECTIONS = 16
_UNIT = 24  # whole numbers to a noise
_MOST = 4 * _UNIT  # what a single pixel counts at most
_NOISE_FLOOR = 0.02  # L* per squared pixel
_BLOCK = 8
_AROUND = 2  # blocks either way
_HALO = _BLOCK * (_AROUND + 1)
LONG, SHORT = 13, 7  # pixels of the half size: 2.2 and 1.2 mm at 300 ppi
_KEEP = {LONG: 0.95, SHORT: 1.6}  # noises
_SIDE_LOBE = 0.75


@dataclass(frozen=True, slots=True)
class LinePixels:
    """Pixels of the half size on the crest of what may be a line.

    ``direction`` counts sixteenths of half a turn; ``strength`` is in noises, and positive for
    what is lighter than its ground.
    """

    x: NDArray[np.int64]
    y: NDArray[np.int64]
    direction: NDArray[np.int64]
    strength: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.x)


def line_pixels(half: Lightness, rows: int, length: int = LONG) -> LinePixels:
    """Return the pixels on crests of averages along ``length`` pixels, ``rows`` rows at a time."""
    step = max(1, rows // _BLOCK) * _BLOCK
    parts = [_pixels_of(half, top, step, length) for top in range(0, half.shape[0], step)]
    return LinePixels(
        *(np.concatenate([getattr(part, name) for part in parts]) for name in LinePixels.__slots__)
    )


def _pixels_of(half: Lightness, top: int, step: int, length: int) -> LinePixels:
    height, width = half.shape
    reach = _HALO + 3
    inner = half[max(0, top - reach) : min(height, top + step + reach)]
    frame = (max(0, reach - top), max(0, top + step + reach - height))
    bottom = -width % _BLOCK + reach
    strip = np.pad(inner, (frame, (reach, bottom)), mode="edge")
    xx, yy, xy = _curvatures(strip)
    best, direction = _strongest(xx, yy, xy, length)
    laplacian = xx.astype(np.int32) + yy
    y, x = _crest(best, direction, laplacian, round(_KEEP[length] * _UNIT))
    is_own = (y >= _HALO) & (y < _HALO + min(step, height - top)) & (x >= _HALO)
    is_own &= x < _HALO + width
    y, x = y[is_own], x[is_own]
    return LinePixels(
        x - _HALO,
        y - _HALO + top,
        direction[y, x].astype(np.int64),
        best[y, x].astype(np.float64) / _UNIT,
    )


def _curvatures(strip: Lightness) -> tuple[Curvature, Curvature, Curvature]:
    """The second differences across, down and diagonally, in noises; three pixels smaller."""
    wide = strip[:, :-2] + 2 * strip[:, 1:-1] + strip[:, 2:]
    smooth = (wide[:-2] + 2 * wide[1:-1] + wide[2:]) * np.float32(1 / 16)
    middle = smooth[1:-1, 1:-1]
    xx = smooth[1:-1, :-2] - 2 * middle + smooth[1:-1, 2:]
    yy = smooth[:-2, 1:-1] - 2 * middle + smooth[2:, 1:-1]
    xy = smooth[2:, 2:] - smooth[2:, :-2] - smooth[:-2, 2:] + smooth[:-2, :-2]
    xy *= np.float32(0.25)
    xx, yy, xy = (part[1:-1, 1:-1] for part in (xx, yy, xy))
    scale = _UNIT / _noise(0.7 * np.abs(xx + yy))
    down, across = scale.shape
    result = []
    for part in (xx, yy, xy):
        blocks = part.reshape(down, _BLOCK, across, _BLOCK) if part.flags.c_contiguous else None
        if blocks is None:
            blocks = np.ascontiguousarray(part).reshape(down, _BLOCK, across, _BLOCK)
        scaled = np.clip(blocks * scale[:, None, :, None], -8 * _MOST, 8 * _MOST)
        result.append(np.rint(scaled).astype(np.int16).reshape(part.shape))
    return result[0], result[1], result[2]


def _noise(size: Lightness) -> Lightness:
    """The noise of each block and those around it, by medians."""
    down, across = (side // _BLOCK for side in size.shape)
    blocks = size.reshape(down, _BLOCK, across, _BLOCK)[:, ::2]
    medians = np.median(blocks.transpose(0, 2, 1, 3).reshape(down, across, -1), axis=2)
    framed = np.pad(medians, _AROUND, mode="edge")
    side = 2 * _AROUND + 1
    around = np.lib.stride_tricks.sliding_window_view(framed, (side, side))
    middle = np.median(around.reshape(down, across, -1), axis=2)
    return np.asarray(1.4826 * middle + _NOISE_FLOOR, dtype=np.float32)


def _strongest(
    xx: Curvature, yy: Curvature, xy: Curvature, length: int
) -> tuple[Curvature, Curvature]:
    """The strongest average over all directions, lighter lines positive, and its direction."""
    most, least = np.zeros(xx.shape, np.int16), np.zeros(xx.shape, np.int16)
    xx, yy, xy = xx >> 1, yy >> 1, xy >> 1
    direction = np.zeros(xx.shape, np.int8)
    for n in range(DIRECTIONS):
        angle = np.pi * n / DIRECTIONS
        c, s = np.cos(angle), np.sin(angle)
        # Across the direction (c, s), that is along (-s, c); weights of 1/64 keep whole numbers.
        across = [round(64 * weight) for weight in (s * s, c * c, -2 * s * c)]
        value = _weighted(xx, yy, xy, across)
        np.maximum(value, -_MOST, out=value)
        np.minimum(value, _MOST, out=value)
        total = _sum_along(value, c, s, length)
        total *= np.int16(DIRECTIONS)  # sums are below 1300, so 16 bits hold the direction too
        total += np.int16(n)
        np.maximum(most, total, out=most)
        np.minimum(least, total, out=least)
    light, dark = -(least >> 4), most >> 4
    best = np.where(light > dark, light, -dark) // np.int16(length)
    direction = np.where(light > dark, least, most) & np.int16(DIRECTIONS - 1)
    return best, np.asarray(direction, np.int16)


def _weighted(xx: Curvature, yy: Curvature, xy: Curvature, weights: list[int]) -> Curvature:
    """The weighted sum over 64, of parts that are halved, so that 16 bits hold it."""
    total = xx * np.int16(weights[0] // 2)
    total += yy * np.int16(weights[1] // 2)
    total += xy * np.int16(weights[2] // 2)
    total >>= 4
    return np.asarray(total)


def _sum_along(value: Curvature, c: float, s: float, length: int) -> Curvature:
    """The sum of ``length`` pixels along a direction; outside the strip there is nothing."""
    total = value.copy()
    longer = max(abs(c), abs(s))
    height, width = value.shape
    for n in range(1, length // 2 + 1):
        right, down = round(n * c / longer), round(n * s / longer)
        for x, y in ((right, down), (-right, -down)):
            total[max(0, -y) : height - max(0, y), max(0, -x) : width - max(0, x)] += value[
                max(0, y) : height + min(0, y), max(0, x) : width + min(0, x)
            ]
    return total


def _crest(
    best: Curvature, direction: Curvature, laplacian: NDArray[np.int32], least: int
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pixels that no neighbour across their line exceeds, and that are no side lobe of one."""
    y, x = np.nonzero(np.abs(best) >= least)
    height, width = best.shape
    inside = (y > 3) & (y < height - 4) & (x > 3) & (x < width - 4)
    y, x = y[inside], x[inside]
    angle = np.pi * direction[y, x] / DIRECTIONS
    right, down = np.rint(-np.sin(angle)).astype(int), np.rint(np.cos(angle)).astype(int)
    sign = np.sign(best[y, x])
    own = best[y, x] * sign
    one = best[y + down, x + right] * sign
    other = best[y - down, x - right] * sign
    keep = (own >= one) & (own > other)
    y, x, sign = y[keep], x[keep], sign[keep].astype(np.int32)
    near = np.full(len(y), -(2**30), np.int32)
    opposite = np.full(len(y), -(2**30), np.int32)
    for v in range(-3, 4):
        for u in range(-3, 4):
            value = laplacian[y + v, x + u] * -sign
            np.maximum(opposite, -value, out=opposite)
            if abs(u) <= 1 and abs(v) <= 1:
                np.maximum(near, value, out=near)
    is_line = near >= _SIDE_LOBE * opposite
    return y[is_line], x[is_line]
