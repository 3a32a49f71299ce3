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
    difference = np.abs(codes.astype(np.int32) - np.asarray(white, dtype=np.int32))
    marked = np.asarray((difference > slack).any(axis=-1))
    for area in areas:
        top, left = max(0, area.top - spread), max(0, area.left - spread)
        marked[top : area.bottom + spread, left : area.right + spread] = False
    return int(marked.sum())
