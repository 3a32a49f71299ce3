"""From the pixels of the source to exactly the pixels of the print: Lanczos-3, both ways.

Written out as matrix products, strip by strip. The picture library keeps its tables to 1/64
pixel, off by up to 1.6 codes of 255 at hard edges, and enlarges off centre (8.18). Products of
small dense matrices are as fast as its loops and exact to the last digits of single precision.
Enlarging by the same kernel comes nearer to photographs that were reduced first than the
library's bicubic, by 0.3 to 0.6 dB on each of three, and no other kernel of it comes nearer.

In the codes of the source, not in linear light: at the ratios of prints light brings the mean
tone nearer by 0.1 to 0.5 L*, but lays a dark line four times as strong along edges (12.8 L*
against 2.9 at an edge of codes 0.2 and 0.8). Figures: ``tests/bench/resampling.py``.
"""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.pixels.icc import Floats
from proofs.outside.pixels.light import in_16_bits

Singles = NDArray[np.float32]

_NAMES = {1: "grey16", 3: "rgb16"}
_REACH = 3  # pixels of the coarser side that the kernel reaches to either side
_BLOCK = 64  # results worked out at once: larger ones multiply by more zeros


@dataclass(frozen=True, slots=True)
class _Block:
    """Neighbouring results along one side: the sources they need, and the share of each."""

    first: int
    last: int
    source_first: int
    source_last: int
    shares: Singles  # sources down, results across


def lanczos_3(x: Floats) -> Floats:
    """Return the kernel: sinc(x) sinc(x/3) within 3 of the middle, nothing beyond.

    >>> lanczos_3(np.array([0.0, 0.5, 3.0])).round(6).tolist()
    [1.0, 0.607927, 0.0]
    """
    return np.where(np.abs(x) < _REACH, np.sinc(x) * np.sinc(x / _REACH), 0.0)


def resampled(image: pyvips.Image, size: PixelSize) -> pyvips.Image:
    """Return a picture of 8 or 16 bits at exactly ``size``, 16 bits deep, in memory.

    Each side by itself, centre on centre; beyond the edges the last pixel goes on. Nothing is
    rounded or clipped between the two sides: that would cost up to 18 codes at hard edges.
    """
    if (image.width, image.height) == (size.width, size.height):
        return in_16_bits(image).copy(interpretation=_NAMES[image.bands]).copy_memory()
    scale = np.float32(257 if image.format == "uchar" else 1)
    result = np.empty((size.height, size.width, image.bands), dtype=np.uint16)
    across = list(_blocks(image.width, size.width, _BLOCK))
    down = _blocks(image.height, size.height, _rows_at_once(image.height, size.height))

    def fill(strip: _Block) -> None:
        rows = np.asarray((strip.shares.T * scale) @ _rows(image, strip), dtype=np.float32)
        planes = _across(rows, image.bands, across, size.width)
        planes += np.float32(0.5)
        np.clip(planes, 0, 65535, out=planes)
        result[strip.first : strip.last] = planes.astype(np.uint16).transpose(1, 2, 0)

    with ThreadPoolExecutor(pyvips.concurrency_get()) as crew:
        list(crew.map(fill, down))
    return pyvips.Image.new_from_array(result, interpretation=_NAMES[image.bands])


def _rows_at_once(old: int, new: int) -> int:
    """Fewer where each result needs many rows, so that a strip stays small."""
    return max(8, min(_BLOCK, _BLOCK * new // old))


def _rows(image: pyvips.Image, strip: _Block) -> Singles:
    height = strip.source_last - strip.source_first
    rows = image.crop(0, strip.source_first, image.width, height).numpy()
    return np.asarray(rows.reshape(height, -1), dtype=np.float32)


def _across(rows: Singles, bands: int, blocks: list[_Block], width: int) -> Singles:
    """The rows with their other side resampled too, as bands, rows, columns."""
    height = len(rows)
    planes = np.ascontiguousarray(rows.reshape(height, -1, bands).transpose(2, 0, 1))
    planes = planes.reshape(bands * height, -1)
    result = np.empty((bands * height, width), dtype=np.float32)
    for block in blocks:
        sources = planes[:, block.source_first : block.source_last]
        np.matmul(sources, block.shares, out=result[:, block.first : block.last])
    return result.reshape(bands, height, width)


def _blocks(old: int, new: int, at_once: int) -> Iterator[_Block]:
    ratio = old / new
    stretch = max(ratio, 1.0)  # reducing, the kernel covers as many pixels as become one
    for first in range(0, new, at_once):
        last = min(first + at_once, new)
        middles = (np.arange(first, last) + 0.5) * ratio - 0.5
        lowest = int(np.floor(middles[0] - _REACH * stretch))
        highest = int(np.ceil(middles[-1] + _REACH * stretch)) + 1
        places = np.arange(lowest, highest)
        shares = lanczos_3((places[:, None] - middles) / stretch)
        yield _folded(_Block(first, last, lowest, highest, _summing_to_one(shares)), old)


def _summing_to_one(shares: Floats) -> Singles:
    return np.asarray(shares / shares.sum(axis=0), dtype=np.float32)


def _folded(block: _Block, old: int) -> _Block:
    """The block with the shares of places beyond the edges given to the last pixel."""
    inside = np.clip(np.arange(block.source_first, block.source_last), 0, old - 1)
    lowest, highest = int(inside[0]), int(inside[-1]) + 1
    shares = np.zeros((highest - lowest, block.shares.shape[1]), dtype=np.float32)
    np.add.at(shares, inside - lowest, block.shares)
    return _Block(block.first, block.last, lowest, highest, shares)
