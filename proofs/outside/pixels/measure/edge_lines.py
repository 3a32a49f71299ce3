"""The lines of pixels from each edge of a picture inwards, sparsely sampled, for inspection."""

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import Edge
from proofs.outside.pixels.colour.profiled_image import ProfiledImage

_SAMPLES = 256
_LINES_AT_ONCE = 64


def edge_lines(base: ProfiledImage) -> dict[Edge, NDArray[np.uint16]]:
    """Return, for each edge, the lines parallel to it, from the edge inwards.

    The axes are lines, samples and channels, the values codes of 16 bits. No line is left out,
    but each has only about 256 samples.
    """
    image = base.image
    rows = _sampled_rows(image, max(1, image.width // _SAMPLES))
    down = max(1, image.height // _SAMPLES)
    columns = _with_channels(image.subsample(1, down).numpy()).swapaxes(0, 1)
    return {
        Edge.TOP: rows,
        Edge.BOTTOM: rows[::-1],
        Edge.LEFT: columns,
        Edge.RIGHT: columns[::-1],
    }


def _sampled_rows(image: pyvips.Image, across: int) -> NDArray[np.uint16]:
    """All rows, each with one in ``across`` pixels.

    They are sampled a few rows at a time: the library, pixel by pixel, takes five times as long.
    """
    samples = image.width // across
    result = np.empty((image.height, samples, image.bands), np.uint16)
    for top in range(0, image.height, _LINES_AT_ONCE):
        height = min(_LINES_AT_ONCE, image.height - top)
        lines = _with_channels(image.crop(0, top, image.width, height).numpy())
        result[top : top + height] = lines[:, : samples * across : across]
    return result


def _with_channels(codes: NDArray[np.uint16]) -> NDArray[np.uint16]:
    return codes[..., np.newaxis] if codes.ndim == 2 else codes
