"""What profiles across a line show, on lines drawn by hand: all expected values are worked out."""

import numpy as np
import pytest
from numpy.typing import NDArray

from proofs.inspection.line_profiles import ACROSS, FIGURES, profile_figures

PLACES, CONTRAST = 24, 4.0
MIDDLE = slice(ACROSS - 1, ACROSS + 2)


def a_line(ground: float = 60.0) -> NDArray[np.float64]:
    """A line of 3 pixels and 4 L*, on even ground, looked at in 24 places."""
    profile = np.full((1, PLACES, 2 * ACROSS + 1), ground)
    profile[:, :, MIDDLE] += CONTRAST
    return profile


def figures(profile: NDArray[np.float64]) -> dict[str, float]:
    found = profile_figures(profile)
    assert set(found) == set(FIGURES)
    return {name: float(values[0]) for name, values in found.items()}


@pytest.mark.parametrize("ground", [5.0, 60.0])
def test_a_line_on_even_ground_is_narrow_even_and_alone(ground: float) -> None:
    found = figures(a_line(ground))
    assert found.pop("body") == pytest.approx(3)
    assert found.pop("weakest") == pytest.approx(1)
    assert found == pytest.approx(dict.fromkeys(found, 0.0))


def test_a_broad_line_has_a_skirt() -> None:
    profile = a_line()
    profile[:, :, [ACROSS - 4, ACROSS - 3, ACROSS - 2, ACROSS + 2, ACROSS + 3, ACROSS + 4]] += 1
    found = figures(profile)
    assert (found["skirt"], found["body"]) == pytest.approx((0.25, 3 + 6 / 4))


def test_a_line_that_was_sharpened_has_dark_lobes_beside_it() -> None:
    profile = a_line()
    profile[:, :, [ACROSS - 2, ACROSS + 2]] -= 1
    assert figures(profile)["lobe"] == pytest.approx(-0.25)


def test_another_line_beside_it_is_a_ridge() -> None:
    profile = a_line()
    profile[:, :, ACROSS + 12] += 2
    profile[:, :, ACROSS - 12] -= 1
    found = figures(profile)
    assert (found["ridge"], found["trough"]) == pytest.approx((0.5, 0.25))
    # One of the twenty pixels of the ground is 5 %, beyond the percentile that is taken.
    assert (found["bumps"], found["dips"]) == pytest.approx((0.5, 0.25))


def test_a_step_of_the_ground_is_one_across_and_a_slope_one_along() -> None:
    step, slope = a_line(), a_line()
    step[:, :, ACROSS + 2 :] += 1
    slope += 0.2 * np.arange(PLACES)[None, :, None]
    # The middle stands 3 L* above the lighter side.
    assert figures(step)["ground_across"] == pytest.approx(1 / 3)
    assert figures(slope)["ground_along"] == pytest.approx(0.2 / CONTRAST)


def test_a_line_that_comes_and_goes_varies() -> None:
    profile = a_line()
    profile[:, ::4, MIDDLE] -= 3  # in a quarter of its length a quarter of it is left
    found = figures(profile)
    assert found["weakest"] == pytest.approx(0.25)
    assert found["varying"] == pytest.approx(0)  # typically it is as strong as ever
    profile = a_line()
    profile[:, ::2, MIDDLE] -= 2
    found = figures(profile)
    assert found["varying"] == pytest.approx(1 / 3)  # 4 and 2 are 1 away from 3
