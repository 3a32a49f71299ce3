"""The figures of a soft proof, counted by hand; the shares have no outside source."""

import numpy as np

from proofs.inspection.colour_loss import beyond_reach, colour_loss
from proofs.plan.delivery.gamut import SEEN, ColourLoss


def test_shares_count_what_lies_above_the_limits_and_not_on_them() -> None:
    loss = np.array([[0, 1, 4, 4.5], [5, 0.5, 0, 9]], np.float32)
    beyond = np.array([[0, 0, SEEN, 2.5], [3, 0, 0, 8]], np.float32)
    assert colour_loss(loss, beyond, 4.0) == ColourLoss(3 / 8, 3 / 8, 24 / 8, 9.0)
    assert beyond_reach(beyond).tolist() == [[False] * 3 + [True], [True, False, False, True]]
