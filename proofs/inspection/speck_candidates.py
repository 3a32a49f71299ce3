"""Candidates for specks: places that stand out from their ground at one of several sizes.

A candidate is a local extremum of the difference between two smoothings, well above the noise
around it. There are far more of them than specks: leaf tips, highlights, corners. Whether one is
alone on calm ground is for `speck_shapes` to say.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.block_medians import block_medians, medians_around
from proofs.inspection.lightness_levels import Level, Lightness

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

BLOCK = 16  # pixels: wider than any candidate of its level, so that it does not raise its noise
_SAMPLED = 4  # pixels: of every fourth either way the noise is as well known
_AROUND = 2  # blocks either way whose median is the noise of a block
_COLUMNS = 256  # that are smoothed at a time
_HALO = BLOCK * _AROUND + 2  # rows that a strip needs on either side
_REACH = 12  # pixels that the widest smoothing reaches
_LEAST_RATIO = 4.2  # noises
_NOISE_FLOOR = 0.12  # L*: codes of 8 bits are 0.4 apart, and flat areas have no noise at all
_LEAST_DIFFERENCE = 0.35  # L*
_APART = 1.2  # radii of the smaller: nearer ones are one thing
_MOST_IN_BLOCK = 10  # of one size: where there are more, the ground is texture


@dataclass(frozen=True, slots=True)
class Candidates:
    """Places in pixels of the full size, radii likewise, and how far each stands out, in L*.

    ``difference`` is negative for what is darker than its ground.
    """

    x: Floats
    y: Floats
    radius: Floats
    difference: Floats

    def __len__(self) -> int:
        return len(self.x)

    def only(self, which: NDArray[np.bool_] | Integers) -> "Candidates":
        """Return some of them."""
        return Candidates(*(v[which] for v in (self.x, self.y, self.radius, self.difference)))


def joined(parts: list[Candidates]) -> Candidates:
    """Return all candidates together."""
    empty = Candidates(*(np.empty(0) for _ in range(4)))
    rows = [(p.x, p.y, p.radius, p.difference) for p in [empty, *parts]]
    return Candidates(*(np.concatenate(column) for column in zip(*rows, strict=True)))


def candidates_of(
    level: Level, is_busy: NDArray[np.bool_], spreads: tuple[float, ...], rows: int
) -> Candidates:
    """Return the candidates of a level, at the spreads 0.7, 1.0 and 1.4 pixels that are asked for.

    ``is_busy`` holds blocks of 16 pixels in which nothing is looked for. ``rows`` is how many
    rows are worked on at a time, rounded to whole blocks.
    """
    found = []
    step = max(1, rows // BLOCK) * BLOCK
    for top in range(0, level.lightness.shape[0], step):
        strip = _strip(level.lightness, top - _HALO - _REACH, top + step + _HALO + _REACH)
        differences = _differences(strip, spreads)
        for spread, difference in zip(sorted(spreads), differences, strict=True):
            found.append(_extrema(difference, top, step, level, spread, is_busy))
    return joined(found)


def _strip(lightness: Lightness, top: int, end: int) -> Lightness:
    """Rows of a picture, with a frame of its outermost pixels where there are no more."""
    height, width = lightness.shape
    inner = lightness[max(0, top) : min(end, height)]
    bottom = -width % BLOCK + _REACH
    frame = ((max(0, -top), max(0, end - height)), (_REACH, bottom))
    return np.pad(inner, frame, mode="edge")


def _differences(strip: Lightness, spreads: tuple[float, ...]) -> list[Lightness]:
    """Differences of two smoothings without the frame, by rising spread.

    They are made a few columns at a time, which stay in the processor's cache.
    """
    height, width = (side - 2 * _REACH for side in strip.shape)
    whole = [np.empty((height, width), np.float32) for _ in spreads]
    for left in range(0, width, _COLUMNS):
        part = strip[:, left : left + _COLUMNS + 2 * _REACH]
        for own, difference in zip(whole, _smoothings(part, spreads), strict=True):
            np.subtract(*difference, out=own[:, left : left + _COLUMNS])
    return whole


def _smoothings(
    strip: Lightness, spreads: tuple[float, ...]
) -> Iterator[tuple[Lightness, Lightness]]:
    """Two smoothings for each spread, the wider of twice the spread, without the frame.

    Smoothing by 1, 2, 1 adds half a squared pixel; with a gap between the weights it adds two.
    """
    half = _smoothed(strip, 1)
    one = _smoothed(half, 1)
    two = _smoothed(_smoothed(one, 1), 1)
    if 0.7 in spreads:
        yield _inner(half, 1), _inner(two, 4)
    if 1.0 in spreads or 1.4 in spreads:
        four = _smoothed(two, 2)
        if 1.0 in spreads:
            yield _inner(one, 2), _inner(four, 6)
        if 1.4 in spreads:
            eight = _smoothed(_smoothed(four, 2), 2)
            yield _inner(two, 4), _inner(eight, 10)


def _inner(smoothed: Lightness, lost: int) -> Lightness:
    cut = _REACH - lost
    return smoothed[cut:-cut, cut:-cut]


def _smoothed(lightness: Lightness, gap: int) -> Lightness:
    """Smoothed by 1, 2, 1 both ways, ``gap`` pixels smaller on each side."""
    # Two sums of two are a half of what the weights take one by one.
    pairs = lightness[:, :-gap] + lightness[:, gap:]
    across = pairs[:, :-gap] + pairs[:, gap:]
    pairs = across[:-gap] + across[gap:]
    down = pairs[:-gap] + pairs[gap:]
    down *= np.float32(1 / 16)
    return np.asarray(down)


def _extrema(
    difference: Lightness,
    top: int,
    step: int,
    level: Level,
    spread: float,
    is_busy: NDArray[np.bool_],
) -> Candidates:
    """The extrema of a strip that stand out of the noise of their blocks."""
    height, width = level.lightness.shape
    size = np.abs(difference)
    framed = size[2:-2]
    noise = _noise(framed)
    down, across = (side // BLOCK for side in framed.shape)
    limit = np.maximum(_LEAST_RATIO * (noise + np.float32(_NOISE_FLOOR)), _LEAST_DIFFERENCE)
    blocks = framed.reshape(down, BLOCK, across, BLOCK)[_AROUND:-_AROUND]
    limit = limit[_AROUND:-_AROUND]
    first = top // BLOCK
    busy = is_busy[first : first + len(limit)]
    limit[: len(busy)][busy[:, :across]] = np.inf
    width_px = across * BLOCK
    y, x = np.divmod(np.flatnonzero(blocks > limit[:, None, :, None]), width_px)
    y, x = y[keep := (y < min(step, height - top)) & (x < width)], x[keep]
    y, x = _local_maxima(size, y + _HALO, x)
    y, x = _strongest_in_blocks(size, y, x)
    peak = difference[y, x].astype(np.float64)
    across_px = level.full_px(x.astype(np.float64))
    down_px = level.full_px((y - _HALO + top).astype(np.float64))
    radius = np.full(len(x), spread * np.sqrt(2) * level.scale)
    return Candidates(across_px, down_px, radius, peak)


def _noise(size: Lightness) -> Lightness:
    """The noise of each block: from the median of its pixels, and of the blocks around it."""
    middle = medians_around(block_medians(size, BLOCK, _SAMPLED, 1), _AROUND)
    return np.asarray(1.4826 * middle, dtype=np.float32)


def _local_maxima(size: Lightness, y: Integers, x: Integers) -> tuple[Integers, Integers]:
    """The places that no other within two pixels exceeds; of equal ones the first."""
    height, width = size.shape
    for down in range(-2, 3):
        for across in range(-2, 3):
            if (down, across) == (0, 0):
                continue
            rows = np.clip(y + down, 0, height - 1)
            other = size[rows, np.clip(x + across, 0, width - 1)]
            own = size[y, x]
            keep = own > other if (down, across) > (0, 0) else own >= other
            keep |= (x + across < 0) | (x + across >= width)
            y, x = y[keep], x[keep]
    return y, x


def _strongest_in_blocks(size: Lightness, y: Integers, x: Integers) -> tuple[Integers, Integers]:
    """The strongest few of each block."""
    block = (y - _HALO) // BLOCK * (size.shape[1] // BLOCK + 1) + x // BLOCK
    order = np.lexsort((x, y, -size[y, x], block))
    _, first, count = np.unique(block[order], return_index=True, return_counts=True)
    rank = np.arange(len(order)) - np.repeat(first, count)
    kept = np.sort(order[rank < _MOST_IN_BLOCK])
    return y[kept], x[kept]


def strongest_alone(candidates: Candidates) -> Candidates:
    """Return candidates without those in the same place as a stronger one, at any size.

    A weaker one stays if either reaches beyond the other: the rim of a ring is stronger than its
    middle, and the whole ring is found from there.

    Strength is the difference itself. Divided by the noise, the rim of a large spot at the
    finest level would beat its own middle.
    """
    order = np.lexsort((candidates.x, candidates.y, -np.abs(candidates.difference)))
    ordered = candidates.only(order)
    places = list(zip(ordered.x.tolist(), ordered.y.tolist(), ordered.radius.tolist(), strict=True))
    cell = _APART * max((radius for _, _, radius in places), default=1.0) + 2
    taken: dict[tuple[int, int], list[int]] = {}
    kept = []
    for n, (x, y, radius) in enumerate(places):
        column, row = int(x // cell), int(y // cell)
        near = (
            places[k]
            for i in (row - 1, row, row + 1)
            for j in (column - 1, column, column + 1)
            for k in taken.get((i, j), ())
        )
        if all(math.hypot(u - x, v - y) > max(2.0, _APART * min(r, radius)) for u, v, r in near):
            kept.append(n)
            taken.setdefault((row, column), []).append(n)
    return ordered.only(np.array(kept, dtype=np.int64))
