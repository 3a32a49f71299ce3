"""The lines of a picture inwards from each edge, thinly sampled, for judging them."""

import numpy as np
from numpy.typing import NDArray

from proofs.outside.pixels.base import Base

_SAMPLES = 256


def edge_lines(base: Base) -> dict[str, NDArray[np.float32]]:
    """Return, for each edge, the lines from it inwards as line, sample, channel, from 0 to 1.

    Every line is there, but only some 256 samples of each.
    """
    image = base.image
    across = max(1, image.width // _SAMPLES)
    down = max(1, image.height // _SAMPLES)
    rows = _as_array(image.subsample(across, 1).numpy())
    columns = _as_array(image.subsample(1, down).numpy()).swapaxes(0, 1)
    return {"top": rows, "bottom": rows[::-1], "left": columns, "right": columns[::-1]}


def _as_array(codes: NDArray[np.uint16]) -> NDArray[np.float32]:
    array = codes.astype(np.float32) / np.float32(65535)
    return array[..., np.newaxis] if array.ndim == 2 else array
