"""Halves of a picture, and how rough its ground is, against numpy's own figures."""

import numpy as np
import pytest

from proofs.inspection.lightness_levels import block_roughness, halved, levels_of, texture
from tests.near import ARITHMETIC

NOISE = np.random.default_rng(1).normal(50, 2, (64, 96)).astype(np.float32)
SINGLE = 1e-4  # single precision, after a few sums of squares


def test_a_half_has_the_mean_of_the_whole() -> None:
    assert halved(NOISE).mean() == pytest.approx(NOISE.mean(), abs=SINGLE)


def test_places_come_back_from_every_level() -> None:
    level = levels_of(NOISE, 4)[3]
    places = np.array([0.0, 13.0, 60.5])
    assert level.full_px(level.own_px(places)) == pytest.approx(places, abs=ARITHMETIC)


def test_the_middle_of_the_first_pixel_of_a_half_is_between_two() -> None:
    assert levels_of(NOISE, 2)[1].full_px(np.array([0.0])) == pytest.approx([0.5])


def test_roughness_is_the_standard_deviation_of_a_block() -> None:
    found = block_roughness(NOISE, 8)
    assert found.shape == (8, 12)
    assert found[2, 3] == pytest.approx(NOISE[16:24, 24:32].std(), abs=0.01)


def test_even_roughness_is_the_texture_everywhere() -> None:
    assert texture(np.full((9, 9), 1.5, np.float32), 0.68) == pytest.approx(1.5, abs=SINGLE)


def test_a_single_rough_block_is_spread_with_its_power_kept() -> None:
    rough = np.zeros((31, 31), np.float32)
    rough[15, 15] = 3
    assert (texture(rough, 0.68) ** 2).sum() == pytest.approx(9, abs=0.01)


@pytest.mark.parametrize("shape", [(1, 1), (1, 9), (5, 1), (3, 3)])
def test_small_pictures_have_one_block_at_least(shape: tuple[int, int]) -> None:
    assert block_roughness(np.full(shape, 50, np.float32), 8).size >= 1
