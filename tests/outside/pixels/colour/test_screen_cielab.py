"""The CIELAB of sRGB codes agrees with colour-science."""

import numpy as np
import pytest

from proofs.outside.pixels.colour.screen_cielab import screen_cielab
from tests.outside.pixels import reference

CODES = [
    *((255, 255, 255), (0, 0, 0), (247, 246, 243), (34, 33, 33), (141, 140, 138)),
    *((200, 20, 60), (10, 90, 200)),
]


@pytest.mark.parametrize("codes", CODES)
def test_a_colour_of_a_board_is_that_of_colour_science(codes: tuple[int, int, int]) -> None:
    expected = reference.cielab_of("srgb", np.array(codes) / 255)
    # A profile rounds its columns and its curve to 1/65536.
    assert screen_cielab(codes) == pytest.approx(tuple(expected), abs=0.02)
