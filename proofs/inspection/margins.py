"""Whether the white round a picture is still white."""

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from proofs.pixel_areas import Area


def printed_outside(
    codes: NDArray[Any], white: Sequence[int], areas: Iterable[Area], *, spread: int, slack: int
) -> int:
    """Return how many pixels outside some areas are not white.

    ``spread`` is by how many pixels an encoder may blur an area's edge, ``slack`` by how many
    codes it may miss white.
    """
    far = np.abs(codes.astype(np.int32) - np.asarray(white, dtype=np.int32)) > slack
    marked = np.asarray(far.any(axis=-1))
    for area in areas:
        top, left = max(0, area.top - spread), max(0, area.left - spread)
        marked[top : area.bottom + spread, left : area.right + spread] = False
    return int(marked.sum())
