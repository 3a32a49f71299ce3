"""Medians of many small sets of numbers at once, by the same few comparisons for all of them.

A median of 25 numbers takes a hundred comparisons. Made for whole arrays at a time, they take a
tenth of what `numpy.median` takes (measured for 100 000 sets), and give the same numbers.
"""

from collections.abc import Iterator, Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]


def median_of(values: Sequence[Floats]) -> Floats:
    """Return the median of arrays of one shape, place by place, as `numpy.median` has it.

    >>> median_of([np.float32([3, 1]), np.float32([9, 1]), np.float32([4, 8])]).tolist()
    [4.0, 1.0]
    """
    count = len(values)
    places: list[Floats] = list(values)
    for one, other in _comparisons(count):
        low = np.minimum(places[one], places[other])
        places[other] = np.maximum(places[one], places[other])
        places[one] = low
    upper = places[count // 2]
    return upper if count % 2 else (places[count // 2 - 1] + upper) * upper.dtype.type(0.5)


def block_medians(values: Floats, block: int, every: int, first: int = 0) -> Floats:
    """Return the median of each block of so many pixels either way, of every so manieth of them."""
    down, across = (side // block for side in values.shape)
    blocks = values[: down * block, : across * block].reshape(down, block, across, block)
    some = range(first, block, every)
    return median_of([blocks[:, i, :, j] for i in some for j in some])


def medians_around(blocks: Floats, reach: int) -> Floats:
    """Return the median of each block and those up to ``reach`` away; a frame repeats the last."""
    framed = np.pad(blocks, reach, mode="edge")
    down, across = blocks.shape
    side = range(2 * reach + 1)
    return median_of([framed[i : i + down, j : j + across] for i in side for j in side])


@cache
def _comparisons(count: int) -> tuple[tuple[int, int], ...]:
    """Pairs of places to put in order, one after the other, until the middle ones are right."""
    wanted = {(count - 1) // 2, count // 2}
    kept = []
    for pair in reversed(tuple(_merge_exchange(count))):
        if wanted.intersection(pair):
            wanted.update(pair)
            kept.append(pair)
    return tuple(reversed(kept))


def _merge_exchange(count: int) -> Iterator[tuple[int, int]]:
    """The pairs of Batcher's odd-even merge sort (Knuth, The Art of Computer Programming, 5.2.2M).

    From memory; a test holds it to `numpy.median`.
    """
    if count < 2:
        return
    top = 1 << ((count - 1).bit_length() - 1)
    step = top
    while step:
        far, rest, gap = top, 0, step
        while True:
            yield from ((n, n + gap) for n in range(count - gap) if n & step == rest)
            if far == step:
                break
            gap, far, rest = far - step, far >> 1, step
        step >>= 1
