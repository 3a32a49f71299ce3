"""How much of a picture loses colour, and how much: the figures of a soft proof."""

import numpy as np
from numpy.typing import NDArray

from proofs.plan.delivery.gamut import SEEN, ColourLoss

ColourDifferences = NDArray[np.float32]
Mask = NDArray[np.bool_]


def out_of_gamut(beyond: ColourDifferences) -> Mask:
    """Return where colours lie so far out of a profile's reach that it counts."""
    return beyond > SEEN


def colour_loss(loss: ColourDifferences, beyond: ColourDifferences, limit: float) -> ColourLoss:
    """Return the figures of an image from those of its pixels; all are CIEDE2000."""
    return ColourLoss(
        beyond_share=float(out_of_gamut(beyond).mean()),
        lost_share=float((loss > limit).mean()),
        mean=float(loss.mean(dtype=np.float64)),
        largest=float(loss.max()),
    )
