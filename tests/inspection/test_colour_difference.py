"""CIEDE2000 against published pairs and colour-science; a soft proof's figures counted by hand.

Outside sources: the test pairs of Sharma, Wu and Dalal (Color Research and Application 30, 2005,
table 1) for the formula's pitfalls; colour-science for all other colours.
"""

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.inspection.colour_difference import ciede2000, colour_loss, out_of_gamut
from proofs.plan.delivery.soft_proofs import SEEN, ColourLoss
from tests.outside.pixels.reference import difference

PUBLISHED = 1e-4
ARITHMETIC = 1e-6

PAIRS = [
    ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
    ((50, 3.1571, -77.2803), (50, 0, -82.7485), 2.8615),
    ((50, -1.3802, -84.2814), (50, 0, -82.7485), 1.0000),
    ((50, 0, 0), (50, -1, 2), 2.3669),
    ((50, 2.49, -0.001), (50, -2.49, 0.0010), 7.1792),
    ((50, 2.49, -0.001), (50, -2.49, 0.0011), 7.2195),
    ((50, 2.5, 0), (50, 0, -2.5), 4.3065),
    ((50, 2.5, 0), (73, 25, -18), 27.1492),
    ((50, 2.5, 0), (61, -5, 29), 22.8977),
    ((50, 2.5, 0), (58, 24, 15), 19.4535),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((22.7233, 20.0904, -46.6940), (23.0331, 14.9730, -42.5619), 2.0373),
    ((90.9257, -0.5406, -0.9208), (88.6381, -0.8985, -0.7239), 1.5381),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]
cielab_colours = st.tuples(st.floats(0, 100), st.floats(-120, 120), st.floats(-120, 120))


@pytest.mark.parametrize(("one", "other", "published"), PAIRS)
def test_published_pairs_differ_as_published(one: Any, other: Any, published: float) -> None:
    got = ciede2000(np.array([one, other], float), np.array([other, one], float))
    assert got == pytest.approx([published, published], abs=PUBLISHED)


@given(cielab_colours, cielab_colours)
def test_any_colours_differ_as_by_colour_science(one: Any, other: Any) -> None:
    a, b = np.array(one), np.array(other)
    assert float(ciede2000(a, b)) == pytest.approx(float(difference(a, b)), abs=ARITHMETIC)


def test_a_colour_does_not_differ_from_itself() -> None:
    colours = np.random.default_rng(5).uniform([0, -120, -120], [100, 120, 120], (1000, 3))
    assert ciede2000(colours, colours).max() == 0


def test_shares_count_what_is_above_the_limits_and_not_on_them() -> None:
    loss = np.array([[0, 1, 4, 4.5], [5, 0.5, 0, 9]], np.float32)
    beyond = np.array([[0, 0, SEEN, 2.5], [3, 0, 0, 8]], np.float32)
    assert colour_loss(loss, beyond, 4.0) == ColourLoss(3 / 8, 3 / 8, 24 / 8, 9.0)
    assert out_of_gamut(beyond).tolist() == [[False] * 3 + [True], [True, False, False, True]]
