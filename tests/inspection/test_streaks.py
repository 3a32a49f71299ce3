"""Streaks along rows and columns, whole or in part; stripes of the subject are none."""

import numpy as np
import pytest
import pyvips

from proofs.inspection.lightness_levels import Lightness
from proofs.inspection.streaks import streaks
from tests.inspection.grounds import MM, USUAL


def ground(height: int = 1500, width: int = 400) -> Lightness:
    noise = np.random.default_rng(1).normal(0, 0.6, (height, width))
    slope = np.linspace(40, 60, height)[:, None]
    return np.asarray(slope + noise, np.float32)


def found(lightness: Lightness) -> list[tuple[float, float, float]]:
    """Return left, top and length of each streak, in pixels."""
    marks = streaks(lightness, USUAL.streaks, MM)
    return [(m.area.left * MM, m.area.top * MM, (m.length_mm or 0) * MM) for m in marks]


def test_a_faint_streak_is_found_from_edge_to_edge() -> None:
    lightness = ground()
    lightness[:, 200] += 1.5
    ((left, top, length),) = found(lightness)
    assert (left, top, length) == pytest.approx((200, 0, 1500), abs=1)


def test_a_streak_along_a_row_is_found_alike() -> None:
    lightness = np.ascontiguousarray(ground().T)
    lightness[200] -= 1.5
    ((left, top, length),) = found(lightness)
    assert (left, top, length) == pytest.approx((0, 200, 1500), abs=1)


def test_a_streak_over_half_of_the_height_is_found_there() -> None:
    lightness = ground()
    lightness[700:, 150:153] -= 3
    ((left, top, length),) = found(lightness)
    part = 15 * MM  # it is found to a part of 15 mm
    assert left == pytest.approx(150, abs=1)
    assert (top, length) == pytest.approx((700, 800), abs=part)


def test_stripes_are_of_the_subject() -> None:
    lightness = ground()
    lightness[:, 60::40] += 4
    assert found(lightness) == []


def test_an_edge_is_no_streak() -> None:
    lightness = ground()
    lightness[:, 200:] += 20
    assert found(lightness) == []


def horizon(dark: float, rise: float) -> Lightness:
    """Return sky over water, paler by ``rise``, with a darker line of 3 pixels between them."""
    lightness = np.ascontiguousarray(ground(1500, 1000).T)
    lightness[500:] += rise
    lightness[499:502] -= dark
    return lightness


def mast(foot: int = 1200) -> Lightness:
    """Return a mast against the sky: it ends, tapers, and is lit unevenly along its height."""
    lightness = ground()
    light = 6 + 5 * np.sin(np.arange(200, foot) / 90)
    for column in range(195, 206):
        thick = np.linspace(2, 10, foot - 200) / 2 + 0.5
        cover = np.clip(thick - abs(column - 200), 0, 1)
        lightness[200:foot, column] -= light * cover
    return lightness


@pytest.mark.parametrize(("dark", "rise"), [(6, 5), (6, -5), (3, 3), (10, 9)])
def test_a_horizon_is_no_streak(dark: float, rise: float) -> None:
    assert found(horizon(dark, rise)) == []


def test_a_mast_is_no_streak() -> None:
    assert found(mast()) == []


def test_a_step_with_a_bright_rim_is_no_streak() -> None:
    lightness = ground()
    lightness[:, 200:] += 4
    lightness[:, 199] -= 4  # as sharpening leaves it
    assert found(lightness) == []


@pytest.mark.parametrize("width", [1, 2, 4])
@pytest.mark.parametrize("contrast", [-1.5, 1.5, 6])
def test_a_streak_across_a_horizon_is_found(width: int, contrast: float) -> None:
    lightness = horizon(6, 5)
    lightness[:, 700 : 700 + width] += contrast
    ((left, top, length),) = found(lightness)
    assert (left, top, length) == pytest.approx((700, 0, 1000), abs=2)


@pytest.mark.parametrize("contrast", [-1.5, 1.5, 6])
def test_a_streak_across_a_mast_is_found(contrast: float) -> None:
    lightness = np.ascontiguousarray(np.tile(mast(), (1, 3)))
    lightness[700:702] += contrast
    ((left, top, length),) = found(lightness)
    assert (left, top, length) == pytest.approx((0, 700, 1200), abs=2)


def drawn(place: np.ndarray, spread: float, contrast: float) -> Lightness:
    """Return a ground with a soft line at a place for each row; ``spread`` is its sigma."""
    lightness = ground(1500, 400)
    away = np.arange(400)[None, :] - place[:, None]
    return np.asarray(lightness + contrast * np.exp(-0.5 * (away / spread) ** 2), np.float32)


@pytest.mark.parametrize("contrast", [-8, 8])
def test_a_soft_line_is_of_the_picture(contrast: float) -> None:
    # A bar of a window, exactly upright: the lens and the enlargement have made it soft.
    upright = np.full(1500, 200.0)
    assert found(drawn(upright, 3.0, contrast)) == []
    assert len(found(drawn(upright, 0.8, contrast))) == 1


@pytest.mark.parametrize("contrast", [-8, 8])
def test_a_line_that_turns_by_two_pixels_is_of_the_picture(contrast: float) -> None:
    turned = 200 + np.linspace(-1, 1, 1500)
    assert found(drawn(turned, 0.8, contrast)) == []


def test_a_line_that_wavers_about_its_column_is_still_a_streak() -> None:
    wavering = 200 + 0.3 * np.sin(np.arange(1500) / 60)
    assert len(found(drawn(wavering, 0.8, 8))) == 1


@pytest.mark.parametrize("enlarged", [2, 3])
def test_a_streak_enlarged_with_its_picture_is_found(enlarged: int) -> None:
    small = ground(1600 // enlarged, 400 // enlarged)
    small[:, 200 // enlarged] += 6
    image = pyvips.Image.new_from_array(small).resize(enlarged, kernel="lanczos3")
    ((left, _, _),) = found(np.asarray(image.numpy(), np.float32))
    middle = (200 // enlarged + 0.5) * enlarged
    assert left == pytest.approx(middle - enlarged / 2, abs=2)


@pytest.mark.parametrize("shape", [(1, 1), (1, 900), (900, 1), (30, 30)])
def test_small_pictures_have_none(shape: tuple[int, int]) -> None:
    assert found(np.full(shape, 50, np.float32)) == []
