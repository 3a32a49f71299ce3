"""The quick L* of RGB codes, against the exact one."""

import numpy as np
import pytest

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.pixel_cielab import lightness_of_image, quick_lightness
from tests.outside.pixels import pictures, reference

WHITE = np.array([100.0, 0, 0])
QUICK = 0.01  # L*: what the docstring promises, a fortieth of an 8-bit code


def light_of(tones: np.ndarray) -> np.ndarray:
    """Return the light of L*, 0 to 1, by colour-science."""
    greys = np.stack([tones, np.zeros_like(tones), np.zeros_like(tones)], axis=-1)
    return np.asarray(reference.xyz_of_cielab(greys)[..., 1:2])


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


def test_the_black_of_the_source_becomes_no_light_at_all() -> None:
    # Against ISO 18619:2015 (from memory): light less that of black, over white less black.
    black = 9.0
    codes = np.linspace(0, 65535, 500).round().astype(np.uint16)[None, :, None].repeat(3, axis=2)
    quick = quick_lightness(pictures.profile("srgb"), 65535, black)
    assert quick is not None
    tones = lightness_of_image(vips.image_of_codes(codes), pictures.profile("srgb"))
    light, darkest = light_of(tones), light_of(np.array([[black]]))
    compensated = np.maximum(light - darkest, 0) / (1 - darkest)
    expected = reference.cielab_of_xyz(compensated * reference.xyz_of_cielab(WHITE))[..., 0]
    assert np.abs(quick(codes) - expected).max() < QUICK


def test_a_table_profile_has_no_quick_lightness() -> None:
    assert quick_lightness(vips.fallback_cmyk_profile(), 255) is None
