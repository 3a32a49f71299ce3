"""Connected components counted by hand, and their moments computed for rectangles."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.inspection.connected_components import dark_runs, moments_of
from proofs.inspection.wedge_finding import frame_moments
from tests.near import ARITHMETIC


def test_pixels_that_touch_at_a_corner_are_connected() -> None:
    dark = np.array([[1, 0, 0, 1], [0, 1, 0, 1], [0, 0, 0, 0], [1, 1, 0, 1]], dtype=bool)
    runs = dark_runs(dark)
    assert sorted(moments_of(runs).area) == [1, 2, 2, 2]
    assert {tuple(place) for place in runs.pixels(int(runs.component[0]))} == {(0, 0), (1, 1)}


def test_a_winding_shape_is_one_component() -> None:
    spiral = np.array(
        [[1, 1, 1, 1, 1], [0, 0, 0, 0, 1], [1, 1, 1, 0, 1], [1, 0, 0, 0, 1], [1, 1, 1, 1, 1]], bool
    )
    assert moments_of(dark_runs(spiral)).area.tolist() == [17]


@given(st.integers(20, 90), st.integers(2, 15))
def test_a_bar_has_the_moments_of_a_rectangle(length: int, height: int) -> None:
    """The standard deviation of n pixels in a row is sqrt((n² - 1) / 12), computed."""
    bar = np.zeros((40, 120), dtype=bool)
    bar[5 : 5 + height, 9 : 9 + length] = True
    moments = moments_of(dark_runs(bar))
    assert moments.along[0] == pytest.approx(((length**2 - 1) / 12) ** 0.5, abs=ARITHMETIC)
    assert moments.across[0] == pytest.approx(((height**2 - 1) / 12) ** 0.5, abs=ARITHMETIC)
    assert moments.angle[0] == pytest.approx(0, abs=ARITHMETIC)


def test_a_drawn_frame_has_the_moments_of_the_wedges_frame() -> None:
    drawn = np.zeros((160, 1000), dtype=bool)
    drawn[10:150, 10:990] = True
    drawn[30:130, 30:970] = False
    moments = moments_of(dark_runs(drawn))
    measured = (moments.along[0] / 10, moments.across[0] / 10, moments.area[0] / 100)
    assert measured == pytest.approx(frame_moments(), rel=1e-3)
