"""The width of edges, against edges blurred by known amounts."""

import math

import numpy as np
import pytest

from proofs.inspection.edge_sharpness import sharpness
from proofs.inspection.lightness_levels import Lightness


def edges(spread: float, contrast: float = 40) -> Lightness:
    """Return upright edges 30 pixels apart, blurred by a Gaussian of this spread."""
    x = np.arange(600) % 60 - 30.0
    rise = [math.erf(v / (spread * math.sqrt(2))) for v in np.where(x < 0, x + 15, 15 - x)]
    return np.asarray(np.tile(50 + contrast / 2 * np.array(rise), (300, 1)), np.float32)


@pytest.mark.parametrize("spread", [1.2, 1.6, 2.0])
def test_a_wider_blur_is_a_wider_edge(spread: float) -> None:
    # The steepest slope of a Gaussian edge is contrast / (spread * sqrt(2 pi)). It is measured
    # over two pixels, which makes it up to an eighth less.
    found = sharpness(edges(spread), 30)
    assert found is not None
    assert found.edge_px == pytest.approx(0.8 * spread * math.sqrt(2 * math.pi), rel=0.13)


def test_nothing_is_said_of_fewer_than_thirty_edges() -> None:
    few = edges(1.5)[:40, :90]  # ten lines are looked at, and three edges in each
    assert sharpness(few, 30) is None


def test_nothing_is_said_of_weak_edges() -> None:
    assert sharpness(edges(1.5, contrast=8), 30) is None


def test_the_sharpest_part_is_where_it_is() -> None:
    lightness = edges(2.5)
    lightness[200:, 400:] = edges(1.0)[200:, 400:]
    found = sharpness(lightness, 30)
    assert found is not None
    assert found.x >= 400
    assert found.y >= 200


@pytest.mark.parametrize("shape", [(1, 1), (1, 50), (50, 1), (9, 9)])
def test_small_pictures_say_nothing(shape: tuple[int, int]) -> None:
    assert sharpness(np.full(shape, 50, np.float32), 30) is None
