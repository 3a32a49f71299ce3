"""Where thin lines may run: what stays of the curvature of L* when it is averaged along lines.

It is looked for at half size, where a line of one to three pixels has its curvature in one. The
curvature across each of sixteen directions is clipped, so that a bright point does not pass for a
line, and averaged along the direction. The values are whole numbers, 24 to a noise: sums of them
are the same in any order.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.block_medians import block_medians, medians_around
from proofs.inspection.lightness_levels import Lightness

Curvature = NDArray[np.int16]

DIRECTIONS = 16
_UNIT = 24  # whole numbers to a noise
_MOST = 4 * _UNIT  # what a single pixel counts at most
_NOISE_FLOOR = 0.02  # L* per squared pixel
_BLOCK = 8
_AROUND = 2  # blocks either way
_HALO = _BLOCK * (_AROUND + 1)
SHORT, LONG = LENGTHS = 7, 13  # pixels of the half size: 1.2 and 2.2 mm at 300 ppi
_KEEP = {LONG: 0.95, SHORT: 1.6}  # noises
_SIDE_LOBE = 0.75


@dataclass(frozen=True, slots=True)
class LinePixels:
    """Pixels of the half size on the crest of what may be a line.

    ``direction`` counts sixteenths of half a turn; ``strength`` is in noises, and positive for
    what is lighter than its ground. ``curvature`` is that of the pixel alone, in L* per squared
    pixel, without a sign.
    """

    x: NDArray[np.int64]
    y: NDArray[np.int64]
    direction: NDArray[np.int64]
    strength: NDArray[np.float64]
    curvature: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.x)


def line_pixels(half: Lightness, rows: int) -> tuple[LinePixels, ...]:
    """Return the pixels on crests of averages along each of ``LENGTHS``, some rows at a time."""
    step = max(1, rows // _BLOCK) * _BLOCK
    parts = [_pixels_of(half, top, step) for top in range(0, half.shape[0], step)]
    names = LinePixels.__slots__
    return tuple(
        LinePixels(*(np.concatenate([getattr(part, name) for part in own]) for name in names))
        for own in zip(*parts, strict=True)
    )


def _pixels_of(half: Lightness, top: int, step: int) -> list[LinePixels]:
    height, width = half.shape
    reach = _HALO + 3
    inner = half[max(0, top - reach) : min(height, top + step + reach)]
    frame = (max(0, reach - top), max(0, top + step + reach - height))
    bottom = -width % _BLOCK + reach
    strip = np.pad(inner, (frame, (reach, bottom)), mode="edge")
    xx, yy, xy, scale = _curvatures(strip)
    laplacian = xx + yy
    is_line = _is_line(laplacian)
    found = []
    for length, (best, direction) in zip(LENGTHS, _strongest(xx, yy, xy), strict=True):
        y, x = _crest(best, direction, is_line, round(_KEEP[length] * _UNIT))
        is_own = (y >= _HALO) & (y < _HALO + min(step, height - top)) & (x >= _HALO)
        is_own &= x < _HALO + width
        y, x = y[is_own], x[is_own]
        strength = best[y, x].astype(np.float64) / _UNIT
        along = direction[y, x].astype(np.int64)
        size = np.abs(laplacian[y, x]) / scale[y // _BLOCK, x // _BLOCK]
        curvature = size.astype(np.float64)
        found.append(LinePixels(x - _HALO, y - _HALO + top, along, strength, curvature))
    return found


def _curvatures(strip: Lightness) -> tuple[Curvature, Curvature, Curvature, Lightness]:
    """The second differences across, down and diagonally, in noises; three pixels smaller.

    The last one is how many whole numbers an L* has in each block.
    """
    wide = strip[:, :-2] + 2 * strip[:, 1:-1] + strip[:, 2:]
    smooth = (wide[:-2] + 2 * wide[1:-1] + wide[2:]) * np.float32(1 / 16)
    middle = smooth[1:-1, 1:-1]
    xx = smooth[1:-1, :-2] - 2 * middle + smooth[1:-1, 2:]
    yy = smooth[:-2, 1:-1] - 2 * middle + smooth[2:, 1:-1]
    xy = smooth[2:, 2:] - smooth[2:, :-2] - smooth[:-2, 2:] + smooth[:-2, :-2]
    xy *= np.float32(0.25)
    xx, yy, xy = (part[1:-1, 1:-1] for part in (xx, yy, xy))
    scale = np.float32(_UNIT) / _noise(0.7 * np.abs(xx + yy))
    down, across = scale.shape
    result = []
    for part in (xx, yy, xy):
        blocks = part.reshape(down, _BLOCK, across, _BLOCK) if part.flags.c_contiguous else None
        if blocks is None:
            blocks = np.ascontiguousarray(part).reshape(down, _BLOCK, across, _BLOCK)
        scaled = blocks * scale[:, None, :, None]
        np.maximum(scaled, -8 * _MOST, out=scaled)
        np.minimum(scaled, 8 * _MOST, out=scaled)
        result.append(np.rint(scaled, out=scaled).astype(np.int16).reshape(part.shape))
    return result[0], result[1], result[2], scale


def _noise(size: Lightness) -> Lightness:
    """The noise of each block and those around it, by medians."""
    middle = medians_around(block_medians(size, _BLOCK, 2), _AROUND)
    return np.asarray(1.4826 * middle + _NOISE_FLOOR, dtype=np.float32)


def _strongest(xx: Curvature, yy: Curvature, xy: Curvature) -> list[tuple[Curvature, Curvature]]:
    """The strongest average over all directions, lighter lines positive, and its direction.

    One for each of ``LENGTHS``.
    """
    shape = (len(LENGTHS), *xx.shape)
    most, least = np.zeros(shape, np.int16), np.zeros(shape, np.int16)
    xx, yy, xy = xx >> 1, yy >> 1, xy >> 1
    scaled = np.empty(xx.shape, np.int16)
    for n in range(DIRECTIONS):
        angle = np.pi * n / DIRECTIONS
        c, s = np.cos(angle), np.sin(angle)
        # Across the direction (c, s), that is along (-s, c); weights of 1/64 keep whole numbers.
        across = [round(64 * weight) for weight in (s * s, c * c, -2 * s * c)]
        value = _weighted(xx, yy, xy, across, scaled)
        np.maximum(value, -_MOST, out=value)
        np.minimum(value, _MOST, out=value)
        for own, total in enumerate(_sums_along(value, c, s)):
            # Sums are below 1300: 16 bits hold the direction too.
            np.left_shift(total, 4, out=scaled)
            scaled |= np.int16(n)
            np.maximum(most[own], scaled, out=most[own])
            np.minimum(least[own], scaled, out=least[own])
    result = []
    for own, length in enumerate(LENGTHS):
        light, dark = -(least[own] >> 4), most[own] >> 4
        best = np.where(light > dark, light, -dark) // np.int16(length)
        direction = np.where(light > dark, least[own], most[own]) & np.int16(DIRECTIONS - 1)
        result.append((best, np.asarray(direction, np.int16)))
    return result


def _weighted(
    xx: Curvature, yy: Curvature, xy: Curvature, weights: list[int], part: Curvature
) -> Curvature:
    """The weighted sum over 64, of parts that are halved, so that 16 bits hold it.

    ``part`` is room for a part of the sum.
    """
    total = xx * np.int16(weights[0] // 2)
    for curvature, weight in ((yy, weights[1] // 2), (xy, weights[2] // 2)):
        if weight:
            total += np.multiply(curvature, np.int16(weight), out=part)
    total >>= 4
    return np.asarray(total)


def _sums_along(value: Curvature, c: float, s: float) -> Iterator[Curvature]:
    """The sums of each of ``LENGTHS`` along a direction; outside the strip there is nothing."""
    total = value.copy()
    longer = max(abs(c), abs(s))
    height, width = value.shape
    for n in range(1, LENGTHS[-1] // 2 + 1):
        right, down = round(n * c / longer), round(n * s / longer)
        for x, y in ((right, down), (-right, -down)):
            total[max(0, -y) : height - max(0, y), max(0, -x) : width - max(0, x)] += value[
                max(0, y) : height + min(0, y), max(0, x) : width + min(0, x)
            ]
        if 2 * n + 1 in LENGTHS:
            yield total


def _is_line(laplacian: Curvature) -> NDArray[np.int8]:
    """1 where a light line may be, 2 where a dark one may be, 3 where either.

    A line has a weaker one of the other sign on each side. Clipped, these look as strong as the
    line itself, and they are wider.
    """
    dark, light = _most_around(laplacian, 1), _most_around(-laplacian, 1)
    dark_lobe, light_lobe = _most_around(laplacian, 3), _most_around(-laplacian, 3)
    result = (light >= _SIDE_LOBE * dark_lobe).astype(np.int8)
    result += 2 * (dark >= _SIDE_LOBE * light_lobe).astype(np.int8)
    return result


def _most_around(values: Curvature, reach: int) -> Curvature:
    """The highest value within so many pixels either way; at the frame only of those there are."""
    for axis in (0, 1):
        most = values.copy()
        for shift in range(1, reach + 1):
            for one, other in ((shift, 0), (0, shift)):
                length = values.shape[axis] - shift
                to = tuple(slice(one, one + length) if n == axis else slice(None) for n in (0, 1))
                of = tuple(
                    slice(other, other + length) if n == axis else slice(None) for n in (0, 1)
                )
                np.maximum(most[to], values[of], out=most[to])
        values = most
    return values


def _crest(
    best: Curvature, direction: Curvature, is_line: NDArray[np.int8], least: int
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Pixels that no neighbour across their line exceeds, and that are no side lobe of one."""
    height, width = best.shape
    flat = np.flatnonzero(np.abs(best) >= least)
    light, own = best.ravel()[flat] > 0, is_line.ravel()[flat]
    y, x = np.divmod(flat[np.where(light, own & 1, own & 2) > 0], width)
    inside = (y > 3) & (y < height - 4) & (x > 3) & (x < width - 4)
    y, x = y[inside], x[inside]
    angle = np.pi * direction[y, x] / DIRECTIONS
    right, down = np.rint(-np.sin(angle)).astype(int), np.rint(np.cos(angle)).astype(int)
    sign = np.sign(best[y, x])
    own = best[y, x] * sign
    one = best[y + down, x + right] * sign
    other = best[y - down, x - right] * sign
    keep = (own >= one) & (own > other)
    return y[keep], x[keep]
