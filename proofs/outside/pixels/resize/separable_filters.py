"""Separable filters: weighted sums of neighbouring pixels along one axis, as matrix products."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from proofs.outside.pixels.colour.icc import Floats

Singles = NDArray[np.float32]

_BLOCK_SIZE = 48  # results computed together; with more, most factors would be zeros


@dataclass(frozen=True, slots=True)
class Kernel:
    """The weight of a pixel by its distance, and the distance beyond which it is 0."""

    weight: Callable[[Floats], Floats]
    support: float


@dataclass(frozen=True, slots=True)
class FilterBlock:
    """Neighbouring results along one axis: the source pixels they need, and the weight of each.

    Both ranges exclude their ends, ``last`` and ``source_last``.
    """

    first: int
    last: int
    source_first: int
    source_last: int
    weights: Singles  # one row per source pixel, one column per result


@lru_cache(maxsize=8)  # the pictures of a run are often of one size
def filter_blocks(
    old: int, new: int, kernel: Kernel, block_size: int = _BLOCK_SIZE
) -> tuple[FilterBlock, ...]:
    """Return the blocks that turn an axis of ``old`` pixels into one of ``new``, centre on centre.

    For reduction, the kernel is stretched to cover the pixels that become one. Beyond the edges
    the last pixel repeats; the weights of each result add up to one.
    """
    return tuple(_filter_blocks(old, new, kernel, block_size))


def _filter_blocks(old: int, new: int, kernel: Kernel, block_size: int) -> Iterator[FilterBlock]:
    ratio = old / new
    stretch = max(ratio, 1.0)
    for first in range(0, new, block_size):
        last = min(first + block_size, new)
        centres = (np.arange(first, last) + 0.5) * ratio - 0.5
        lowest = int(np.floor(centres[0] - kernel.support * stretch))
        highest = int(np.ceil(centres[-1] + kernel.support * stretch)) + 1
        sources = np.arange(lowest, highest)
        weights = kernel.weight((sources[:, None] - centres) / stretch)
        yield _clamped(FilterBlock(first, last, lowest, highest, _normalised(weights)), old)


def _normalised(weights: Floats) -> Singles:
    return np.asarray(weights / weights.sum(axis=0), dtype=np.float32)


def _clamped(block: FilterBlock, old: int) -> FilterBlock:
    """The block with the weights of pixels beyond an edge added to that of the last pixel."""
    if block.source_first >= 0 and block.source_last <= old:
        return block
    inside = np.clip(np.arange(block.source_first, block.source_last), 0, old - 1)
    lowest, highest = int(inside[0]), int(inside[-1]) + 1
    weights = np.zeros((highest - lowest, block.weights.shape[1]), dtype=np.float32)
    np.add.at(weights, inside - lowest, block.weights)
    return FilterBlock(block.first, block.last, lowest, highest, weights)


def filter_rows(rows: Singles, blocks: Iterable[FilterBlock], result: Singles) -> None:
    """Fill a result with the rows filtered along their length."""
    for block in blocks:
        sources = rows[:, block.source_first : block.source_last]
        np.matmul(sources, block.weights, out=result[:, block.first : block.last])
