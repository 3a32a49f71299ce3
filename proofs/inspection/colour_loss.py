"""How much of a picture loses colour, and how much: the figures of a soft proof."""

import numpy as np
from numpy.typing import NDArray

from proofs.plan.delivery.gamut import SEEN, ColourLoss

Differences = NDArray[np.float32]
Marked = NDArray[np.bool_]


def beyond_reach(beyond: Differences) -> Marked:
    """Return where colours lie so far out of a profile's reach that it counts."""
    return beyond > SEEN


def colour_loss(loss: Differences, beyond: Differences, limit: float) -> ColourLoss:
    """Return the figures of an image from those of its pixels; all are CIEDE2000."""
    return ColourLoss(
        beyond_share=float(beyond_reach(beyond).mean()),
        lost_share=float((loss > limit).mean()),
        mean=float(loss.mean(dtype=np.float64)),
        largest=float(loss.max()),
    )
