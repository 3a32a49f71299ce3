"""The picture of what is out of reach: our own drawing, no outside source."""

import numpy as np
import pytest

from proofs.outside.loss_picture import loss_picture
from proofs.pages.soft_proof.pages import BEYOND, LINES, LOST

COLOURS = np.random.default_rng(3).integers(0, 256, (60, 90, 3)).astype(np.uint8)
NOWHERE, EVERYWHERE = np.zeros((60, 90), bool), np.ones((60, 90), bool)
LAID_OVER = {BEYOND[0], LOST[0]}


def test_what_is_within_reach_is_a_pale_grey_that_is_never_laid_over_it() -> None:
    drawn = loss_picture(COLOURS, NOWHERE, NOWHERE)
    assert (drawn == drawn[..., :1]).all()
    assert drawn.min() > max(LAID_OVER)


@pytest.mark.parametrize(
    ("beyond", "lost", "fill"), [(EVERYWHERE, NOWHERE, BEYOND), (EVERYWHERE, EVERYWHERE, LOST)]
)
def test_what_is_out_of_reach_shows_nothing_of_the_picture(
    beyond: np.ndarray, lost: np.ndarray, fill: tuple[int, int, int]
) -> None:
    drawn = loss_picture(COLOURS, beyond, lost)
    assert set(np.unique(drawn).tolist()) == {fill[0], LINES[0]}


def test_a_single_pixel_out_of_reach_is_drawn() -> None:
    spots = np.eye(60, 90, 7, dtype=bool)
    drawn = loss_picture(np.full_like(COLOURS, 255), spots, NOWHERE)[..., 0]
    assert set(np.unique(drawn[spots]).tolist()) <= {BEYOND[0], LINES[0]}
    assert BEYOND[0] in drawn[spots]
    assert (drawn[~spots] == 255).all()
