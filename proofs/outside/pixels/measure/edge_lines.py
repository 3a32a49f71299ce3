"""The lines of pixels from each edge of a picture inwards, sparsely sampled, for inspection."""

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import Edge
from proofs.outside.pixels.colour.profiled_image import ProfiledImage

_SAMPLES = 256
_LINES_AT_ONCE = 64


def edge_lines(base: ProfiledImage) -> dict[Edge, NDArray[np.float32]]:
    """Return, for each edge, the lines parallel to it, from the edge inwards.

    The axes are lines, samples and channels, the values 0 to 1. No line is left out, but each has
    only about 256 samples.
    """
    image = base.image
    down = max(1, image.height // _SAMPLES)
    rows = _sampled_rows(image, max(1, image.width // _SAMPLES))
    columns = _as_array(image.subsample(1, down).numpy()).swapaxes(0, 1)
    return {
        Edge.TOP: rows,
        Edge.BOTTOM: rows[::-1],
        Edge.LEFT: columns,
        Edge.RIGHT: columns[::-1],
    }


def _sampled_rows(image: pyvips.Image, across: int) -> NDArray[np.float32]:
    """All rows, each with one in ``across`` pixels.

    They are sampled a few rows at a time: the library, pixel by pixel, takes five times as long.
    """
    samples = image.width // across
    result = np.empty((image.height, samples, image.bands), np.float32)
    for top in range(0, image.height, _LINES_AT_ONCE):
        height = min(_LINES_AT_ONCE, image.height - top)
        lines = image.crop(0, top, image.width, height).numpy()
        result[top : top + height] = _as_array(lines[:, : samples * across : across])
    return result


def _as_array(codes: NDArray[np.uint16]) -> NDArray[np.float32]:
    array = codes.astype(np.float32) / np.float32(65535)
    return array[..., np.newaxis] if array.ndim == 2 else array
