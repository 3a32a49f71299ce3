"""The lines of a picture inwards from each edge, thinly sampled, for judging them."""

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import Edge
from proofs.outside.pixels.resize.print_size import ProfiledImage

_SAMPLES = 256
_AT_ONCE = 64  # lines


def edge_lines(base: ProfiledImage) -> dict[Edge, NDArray[np.float32]]:
    """Return, for each edge, the lines from it inwards as line, sample, channel, from 0 to 1.

    Every line is there, but only some 256 samples of each.
    """
    image = base.image
    down = max(1, image.height // _SAMPLES)
    rows = _thinned(image, max(1, image.width // _SAMPLES))
    columns = _as_array(image.subsample(1, down).numpy()).swapaxes(0, 1)
    return {
        Edge.TOP: rows,
        Edge.BOTTOM: rows[::-1],
        Edge.LEFT: columns,
        Edge.RIGHT: columns[::-1],
    }


def _thinned(image: pyvips.Image, across: int) -> NDArray[np.float32]:
    """All lines, but only one in ``across`` pixels of each.

    Picked out of some lines at a time: the library takes five times as long, pixel by pixel.
    """
    samples = image.width // across
    result = np.empty((image.height, samples, image.bands), np.float32)
    for top in range(0, image.height, _AT_ONCE):
        lines = image.crop(0, top, image.width, min(_AT_ONCE, image.height - top)).numpy()
        result[top : top + _AT_ONCE] = _as_array(lines[:, : samples * across : across])
    return result


def _as_array(codes: NDArray[np.uint16]) -> NDArray[np.float32]:
    array = codes.astype(np.float32) / np.float32(65535)
    return array[..., np.newaxis] if array.ndim == 2 else array
