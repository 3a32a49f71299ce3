"""Sums of neighbouring pixels along one side, worked out as products of small matrices."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.outside.pixels.colour.icc import Floats

Singles = NDArray[np.float32]

BLOCK_SIZE = 64  # results worked out at once: more would multiply by more zeros


@dataclass(frozen=True, slots=True)
class Kernel:
    """How much a pixel counts by its distance, and up to which distance any does."""

    weight: Callable[[Floats], Floats]
    reach: float


@dataclass(frozen=True, slots=True)
class FilterBlock:
    """Neighbouring results along one side: the sources they need, and the share of each."""

    first: int
    last: int
    source_first: int
    source_last: int
    shares: Singles  # sources down, results across


def filter_blocks(
    old: int, new: int, kernel: Kernel, at_once: int = BLOCK_SIZE
) -> Iterator[FilterBlock]:
    """Return the blocks that turn a side of ``old`` pixels into one of ``new``, centre on centre.

    Reducing, the kernel is stretched to cover as many pixels as become one. Beyond the edges the
    last pixel goes on; the shares of each result add up to one.
    """
    ratio = old / new
    stretch = max(ratio, 1.0)
    for first in range(0, new, at_once):
        last = min(first + at_once, new)
        middles = (np.arange(first, last) + 0.5) * ratio - 0.5
        lowest = int(np.floor(middles[0] - kernel.reach * stretch))
        highest = int(np.ceil(middles[-1] + kernel.reach * stretch)) + 1
        places = np.arange(lowest, highest)
        weights = kernel.weight((places[:, None] - middles) / stretch)
        yield _within(FilterBlock(first, last, lowest, highest, _summing_to_one(weights)), old)


def _summing_to_one(weights: Floats) -> Singles:
    return np.asarray(weights / weights.sum(axis=0), dtype=np.float32)


def _within(block: FilterBlock, old: int) -> FilterBlock:
    """The block with the shares of places beyond the edges given to the last pixel."""
    inside = np.clip(np.arange(block.source_first, block.source_last), 0, old - 1)
    lowest, highest = int(inside[0]), int(inside[-1]) + 1
    shares = np.zeros((highest - lowest, block.shares.shape[1]), dtype=np.float32)
    np.add.at(shares, inside - lowest, block.shares)
    return FilterBlock(block.first, block.last, lowest, highest, shares)


def filtered_rows(rows: Singles, side: Iterable[FilterBlock], width: int) -> Singles:
    """Return rows of ``width`` results."""
    result = np.empty((len(rows), width), dtype=np.float32)
    for block in side:
        sources = rows[:, block.source_first : block.source_last]
        np.matmul(sources, block.shares, out=result[:, block.first : block.last])
    return result
