"""Whether the white around a picture is still white."""

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from proofs.pixel_areas import Area


def printed_outside(
    codes: NDArray[Any], white: Sequence[int], areas: Iterable[Area], *, spread: int, slack: int
) -> int:
    """Return how many pixels outside these areas are not white.

    ``spread`` is the number of pixels by which an encoder may blur an area's edge, ``slack`` the
    number of codes by which white may be off.
    """
    marked = np.zeros(codes.shape[:2], bool)
    for channel, code in enumerate(white):
        plane, largest = codes[..., channel], np.iinfo(codes.dtype).max
        if code - slack > largest:  # white of a file with more bits: NumPy 2.0 crashes on it
            marked[:] = True
        elif code - slack > 0:
            marked |= plane < code - slack
        if code + slack < largest:
            marked |= plane > code + slack
    for area in areas:
        top, left = max(0, area.top - spread), max(0, area.left - spread)
        marked[top : area.bottom + spread, left : area.right + spread] = False
    return int(marked.sum())
