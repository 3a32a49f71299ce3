"""The part of a picture to compare steps by, on test strips and at life size on the proof sheet."""

import numpy as np
from numpy.typing import NDArray

from proofs.inspection.representative_area import representative_centre
from proofs.lengths import PixelSize
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job


def part_to_compare(
    job: Job, plan: Plan, n: int, lightness: NDArray[np.float32], size: PixelSize
) -> tuple[float, float]:
    """Return the middle of the part to compare steps by.

    It is where the entry asks to look, or the part with the most tones, away from what the mat
    will hide.
    ``lightness`` is the L* of picture ``n``, reduced to screen size; ``size`` that of the part in
    pixels of the print. The result is in shares of the picture, from its left and its top.
    """
    if place := plan.parts[n].wish.look_at:
        return place
    picture, pixels = plan.layout.pictures[n], plan.parts[n].pixels
    hidden, image = picture.hidden, picture.image.size
    return representative_centre(
        lightness,
        (size.width / pixels.width, size.height / pixels.height),
        edges=(
            (hidden.left.nm / image.width.nm, hidden.right.nm / image.width.nm),
            (hidden.top.nm / image.height.nm, hidden.bottom.nm / image.height.nm),
        ),
        black=job.paper.black_lightness,
    )
