"""The part of a picture that a test strip shows.

Its rule (lightest textured highlight, darkest textured shadow, midtones) is common practice,
no source.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.inspection.representative_area import representative_centre
from tests import near

GRAIN = np.random.default_rng(7).normal(0, 2.5, (400, 600))
ends = st.tuples(st.floats(0, 0.3), st.floats(0, 0.3))
NO_EDGES = ((0.0, 0.0), (0.0, 0.0))


def painted(*parts: tuple[int, int, int, int, float, bool]) -> np.ndarray:
    """Return an even grey of L* 30 with rectangles: left, top, width, height, L*, textured."""
    picture = np.full((400, 600), 30.0)
    for left, top, width, height, tone, textured in parts:
        box = (slice(top, top + height), slice(left, left + width))
        picture[box] = tone + (GRAIN[box] if textured else 0)
    return picture.astype(np.float32)


def seen(picture: np.ndarray, window: tuple[float, float]) -> np.ndarray:
    """Return the selected part."""
    x, y = representative_centre(picture, window, edges=NO_EDGES, black=9)
    rows = slice(round((y - window[1] / 2) * 400), round((y + window[1] / 2) * 400))
    return picture[rows, round((x - window[0] / 2) * 600) : round((x + window[0] / 2) * 600)]


def share_of(part: np.ndarray, low: float, high: float) -> float:
    return float(((part > low) & (part < high)).mean())


def test_the_part_shown_has_highlight_shadow_and_midtones_where_they_are_together() -> None:
    picture = painted(
        (450, 300, 40, 40, 92, True),
        (500, 300, 40, 40, 12, True),
        (450, 345, 90, 40, 50, True),
        (60, 60, 60, 60, 92, True),
    )
    part = seen(picture, (0.2, 0.3))
    assert share_of(part, 85, 99) > 0.02
    assert share_of(part, 9, 20) > 0.02
    assert share_of(part, 40, 60) > 0.02


def test_blank_white_and_blocked_black_are_not_texture() -> None:
    picture = painted(
        (50, 50, 100, 100, 100, False),
        (150, 50, 100, 100, 0, False),
        (400, 250, 50, 50, 85, True),
        (450, 250, 50, 50, 15, True),
    )
    part = seen(picture, (0.2, 0.25))
    assert share_of(part, 80, 95) > 0.02
    assert share_of(part, 9, 20) > 0.02


def test_a_picture_without_texture_is_shown_in_its_middle() -> None:
    x, y = representative_centre(painted(), (0.2, 0.2), edges=NO_EDGES, black=9)
    assert [x, y] == pytest.approx([0.5, 0.5], abs=near.A_PIXEL_OF_400)


def test_what_the_mat_covers_is_left_out() -> None:
    picture = painted((0, 150, 20, 100, 92, True), (0, 250, 20, 50, 15, True))
    place = representative_centre(picture, (0.2, 0.2), edges=((0.05, 0.05), (0.05, 0.05)), black=9)
    assert place[0] - 0.1 >= 0.05 - 1 / 600


def test_what_the_mat_covers_on_one_side_only_is_left_out() -> None:
    picture = painted((0, 150, 20, 100, 92, True), (0, 250, 20, 50, 15, True))
    place = representative_centre(picture, (0.2, 0.2), edges=((0.3, 0.0), (0.0, 0.0)), black=9)
    assert place[0] - 0.1 >= 0.3 - 1 / 600
    free = representative_centre(picture, (0.2, 0.2), edges=((0.0, 0.3), (0.0, 0.0)), black=9)
    assert free[0] - 0.1 < 0.05


@pytest.mark.parametrize("seed", range(4))
def test_no_other_part_shows_more_of_the_tones(seed: int) -> None:
    # Each part is looked at by itself: up to 3 % of each tone counts, then how near the middle.
    drawn = np.random.default_rng(seed)
    spots = np.kron(drawn.choice([12.0, 50.0, 92.0, 28.0], (5, 8)), np.ones((8, 8)))
    picture = (spots + drawn.normal(0, 2, spots.shape)).astype(np.float32)
    wide, high = 16, 10
    around = np.lib.stride_tricks.sliding_window_view(np.pad(picture, 1, mode="edge"), (3, 3))
    textured = (around.std(axis=(2, 3)) > 0.6) & (picture > 9) & (picture < 99.5)
    low, high_end = np.percentile(picture[textured], (0.5, 99.5))
    tones = (
        textured & (picture >= high_end - 5),
        textured & (picture <= low + 5),
        (picture >= 35) & (picture <= 65),
    )

    def score(left: int, top: int) -> float:
        part = slice(top, top + high), slice(left, left + wide)
        off_middle = np.hypot((left - 24) / 64, (top - 15) / 40)
        return float(sum(min(tone[part].mean() / 0.03, 1) for tone in tones) - 0.02 * off_middle)

    places = [(left, top) for left in range(64 - wide + 1) for top in range(40 - high + 1)]
    x, y = representative_centre(picture, (wide / 64, high / 40), edges=NO_EDGES, black=9)
    found = score(round(x * 64 - wide / 2), round(y * 40 - high / 2))
    assert found == pytest.approx(max(score(*place) for place in places), abs=1e-3)


@given(
    st.tuples(st.floats(0.01, 1), st.floats(0.01, 1)),
    st.tuples(ends, ends),
)
def test_the_part_is_always_within_the_picture(
    window: tuple[float, float], edges: tuple[tuple[float, float], tuple[float, float]]
) -> None:
    picture = painted((200, 100, 50, 50, 80, True))
    place = representative_centre(picture, window, edges=edges, black=9)
    slack = near.A_PIXEL_OF_400
    assert window[0] / 2 - slack <= place[0] <= 1 - window[0] / 2 + slack
    assert window[1] / 2 - slack <= place[1] <= 1 - window[1] / 2 + slack
