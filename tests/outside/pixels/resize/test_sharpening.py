"""Sharpening for the print: on edges only, in lightness only, never into black or white.

Outside source: the conditions are those of the program's own specification; the radius of
ppi / 200 pixels is common practice, no source.
"""

import numpy as np
import pytest
from numpy.typing import NDArray

from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.resize.sharpening import sharpened
from proofs.records.papers import Sharpening
from tests.outside.pixels.pictures import photograph

STRENGTHS = (Sharpening.LOW, Sharpening.STANDARD)


def ours(pixels: NDArray[np.uint8], strength: Sharpening, ppi: int = 300) -> NDArray[np.floating]:
    codes = pixels.astype(np.uint16) * 257
    return np.asarray(sharpened(codes, spaces.built_in_profile("srgb"), strength, ppi) / 257)


def edge(low: tuple[int, ...], high: tuple[int, ...]) -> NDArray[np.uint8]:
    pixels = np.empty((40, 60, 3), dtype="u1")
    pixels[:, :30], pixels[:, 30:] = low, high
    return pixels


@pytest.mark.parametrize("strength", STRENGTHS)
def test_flat_areas_do_not_change(strength: Sharpening) -> None:
    flat = np.full((40, 60, 3), [37, 150, 211], dtype="u1")
    assert (ours(flat, strength) == flat).all()


@pytest.mark.parametrize("strength", STRENGTHS)
def test_noise_below_the_threshold_does_not_change(strength: Sharpening) -> None:
    noise = np.random.default_rng(3).integers(0, 3, (80, 80, 1)).astype("u1").repeat(3, 2) + 120
    assert (ours(noise, strength) == noise).all()


@pytest.mark.parametrize("strength", STRENGTHS)
@pytest.mark.parametrize("tones", [((0,) * 3, (255,) * 3), ((2,) * 3, (250,) * 3)])
def test_lines_along_edges_do_not_reach_black_or_white(
    strength: Sharpening, tones: tuple[tuple[int, ...], tuple[int, ...]]
) -> None:
    before = edge(*tones)
    after = ours(before, strength)
    inside = (before > 0) & (before < 255)
    assert (after[inside] > 0).all()
    assert (after[inside] < 255).all()
    assert (after[~inside] == before[~inside]).all()


def test_more_sharpening_makes_edges_steeper() -> None:
    before = edge((90,) * 3, (160,) * 3)
    steps = [float(np.ptp(ours(before, s)[20, :, 1])) for s in (Sharpening.OFF, *STRENGTHS)]
    assert steps == sorted(steps)
    assert steps[0] == 70
    assert steps[1] > 75
    assert steps[2] > steps[1] + 5


def test_all_channels_change_alike_so_that_hues_stay() -> None:
    before = edge((120, 90, 60), (180, 150, 120))
    moved = ours(before, Sharpening.STANDARD) - before
    assert np.ptp(moved, axis=2).max() < 0.01
    assert np.abs(moved).max() > 4


def test_colours_of_one_lightness_do_not_change() -> None:
    weights = spaces.rgb_to_xyz(spaces.SRGB)[1]
    red = np.array([180, 100, 100])
    green = np.array([100, 100 + round(80 * weights[0] / weights[1]), 100])
    before = edge(tuple(red), tuple(green))
    assert (ours(before, Sharpening.STANDARD) == before).all()


def test_the_line_along_an_edge_is_wider_on_a_finer_print() -> None:
    before = edge((90,) * 3, (160,) * 3)
    widths = [
        int((ours(before, Sharpening.STANDARD, ppi)[20, 30:, 0] > 161).sum())
        for ppi in (200, 400, 800)
    ]
    assert widths == sorted(set(widths))


def test_photographs_keep_their_mean_tone() -> None:
    before = photograph("astronaut")[:200, :200]
    after = ours(before, Sharpening.STANDARD)
    assert abs(after.mean() - before.mean()) < 0.5
    assert after.std() > before.std()


def test_grey_pictures_are_sharpened_too() -> None:
    tones = edge((90,) * 3, (160,) * 3)[..., :1].astype(np.uint16) * 257
    after = sharpened(tones, spaces.built_in_profile("grey"), Sharpening.STANDARD, 300)
    assert after.shape == (40, 60, 1)
    assert np.ptp(after) > 70 * 257


def test_off_is_the_same_picture() -> None:
    before = photograph("astronaut")[:50, :50]
    assert (ours(before, Sharpening.OFF) == before).all()


def test_each_tone_moves_away_from_its_blurred_surroundings() -> None:
    # A reference in double precision: a Gaussian of 1.5 pixels, cut at three times that.
    rng = np.random.default_rng(11)
    tones = np.repeat(rng.integers(8_000, 56_000, 40), rng.integers(3, 9, 40)).astype(float)
    weights = np.exp(-((np.arange(-4, 5) / 1.5) ** 2) / 2)
    blurred = np.convolve(np.pad(tones, 4, mode="edge"), weights / weights.sum(), "valid")
    beyond = tones - blurred - np.clip(tones - blurred, -65535 * 2.5 / 255, 65535 * 2.5 / 255)
    room = np.where(beyond > 0, 65535 - tones, tones)
    expected = tones + beyond * room / (room + np.abs(beyond))
    row = tones.astype(np.uint16)[None, :, None].repeat(40, axis=0)
    ours = sharpened(row, spaces.built_in_profile("grey"), Sharpening.STANDARD, 300)
    assert np.abs(ours[20, :, 0] - expected).max() <= 1.5
    assert np.abs(expected - tones).max() > 2_000
