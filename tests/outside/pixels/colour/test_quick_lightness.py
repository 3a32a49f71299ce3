"""The quick L* of RGB codes, against the exact one."""

import numpy as np
import pytest

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.pixel_cielab import lightness_of_image, quick_lightness
from tests.outside.pixels import pictures

QUICK = 0.01  # L*: what the docstring promises, a fortieth of an 8-bit code


@pytest.mark.parametrize("name", ["srgb", "a98-rgb", "romm"])
@pytest.mark.parametrize("dtype", [np.uint8, np.uint16])
def test_the_quick_lightness_is_the_exact_one(name: str, dtype: type) -> None:
    most = np.iinfo(dtype).max
    drawn = np.random.default_rng(1).integers(0, most + 1, (50, 400, 3))
    codes: np.ndarray = drawn.astype(dtype)
    codes[0, :256] = np.linspace(0, most // 20, 256)[:, None]
    profile = pictures.profile(name)
    quick = quick_lightness(profile, int(most))
    assert quick is not None
    exact = lightness_of_image(vips.image_of_codes(codes), profile)
    assert np.abs(quick(codes) - exact).max() < QUICK


def test_a_table_profile_has_no_quick_lightness() -> None:
    assert quick_lightness(vips.fallback_cmyk_profile(), 255) is None
