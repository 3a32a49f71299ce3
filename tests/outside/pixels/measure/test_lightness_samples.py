"""The lightness of files from other libraries.

Outside sources: the grey row of the colour chart of 2005 in colour-science, whose names state
the densities that its maker published; the table of CIE L* and codes of sRGB.
"""

import re
import warnings
from pathlib import Path

import numpy as np
import pytest
import tifffile
from PIL import Image

from proofs.inspection.tone_figures import tone_figures
from proofs.outside.pixels.measure.lightness import lightness_samples
from proofs.outside.pixels.source.decode import decode
from tests.outside.pixels import near
from tests.outside.pixels.pictures import profile, tiff
from tests.outside.pixels.reference import coded

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # colour-science warns at import of optional packages
    import colour

CHART = colour.CCS_COLOURCHECKERS["ColorChecker 2005"].data
GREYS = {
    float(found[1]): float(xyy[2])
    for name, xyy in CHART.items()
    if (found := re.search(r"\(([.\d]+) D\)", name))
}
# What is printed on a chart is rounded, and its greys are not quite neutral.
PUBLISHED = 0.02


def grey(light: float) -> np.ndarray:
    """Return a small 16-bit sRGB picture with this luminance."""
    code = coded("srgb", np.full((8, 12, 3), light))
    return np.rint(code * 65535).astype(np.uint16)


def test_the_chart_has_six_greys() -> None:
    assert len(GREYS) == 6


@pytest.mark.parametrize(("density", "light"), GREYS.items())
def test_a_grey_of_the_chart_has_its_published_density(
    tmp_path: Path, density: float, light: float
) -> None:
    path = tiff(tmp_path / "grey.tif", grey(light))
    found = tone_figures(lightness_samples(decode(path)), 9)
    assert found.median == pytest.approx(density, abs=PUBLISHED)
    assert found.median == pytest.approx(-np.log10(light), abs=near.DENSITY)


def test_the_whole_row_gives_its_extremes_and_its_mean_light(tmp_path: Path) -> None:
    row = np.concatenate([grey(light) for light in GREYS.values()], axis=1)
    found = tone_figures(lightness_samples(decode(tiff(tmp_path / "row.tif", row))), 9)
    assert found.lightest == pytest.approx(0.05, abs=PUBLISHED)
    assert found.darkest == pytest.approx(1.5, abs=PUBLISHED)
    mean = np.mean(list(GREYS.values()))
    assert found.mean == pytest.approx(-np.log10(mean), abs=near.DENSITY)


@pytest.mark.parametrize(("code", "tone"), [(118.91, 50), (48.29, 20), (226.33, 90), (16.84, 5)])
@pytest.mark.parametrize("suffix", ["png", "jpg", "webp"])
def test_lightness_matches_the_table_within_an_8_bit_code(
    tmp_path: Path, suffix: str, code: float, tone: float
) -> None:
    path = tmp_path / f"grey.{suffix}"
    Image.new("RGB", (32, 32), (round(code),) * 3).save(path, quality=95)
    step = lightness_of_code(round(code) + 1) - lightness_of_code(round(code))
    found = lightness_samples(decode(path))
    assert np.abs(found - tone).max() <= step


def lightness_of_code(code: int) -> float:
    """Return the L* of an 8-bit grey in sRGB, by colour-science."""
    light = float(colour.models.eotf_sRGB(code / 255))
    return float(colour.colorimetry.lightness_CIE1976(light, 1.0))


@pytest.mark.parametrize("space", ["a98-rgb", "display-p3", "romm"])
def test_a_profile_in_the_file_is_applied(tmp_path: Path, space: str) -> None:
    code = coded(space, np.array(0.184187))  # L* 50
    pixels = np.full((8, 8, 3), np.rint(code * 65535), np.uint16)
    path = tiff(tmp_path / "grey.tif", pixels, icc_profile=profile(space))
    found = lightness_samples(decode(path))
    assert np.abs(found - 50).max() < near.LIGHTNESS_BY_A_POWER


@pytest.mark.parametrize("tone", [20, 50, 90])
def test_a_cielab_file_has_the_lightness_it_stores(tmp_path: Path, tone: int) -> None:
    pixels = np.zeros((8, 8, 3), np.uint8)
    pixels[..., 0] = round(tone * 2.55)
    tifffile.imwrite(tmp_path / "cielab.tif", pixels, photometric="cielab", metadata=None)
    found = lightness_samples(decode(tmp_path / "cielab.tif"))
    assert np.abs(found - pixels[0, 0, 0] / 2.55).max() < near.PRINTED_LIGHTNESS


def test_large_pictures_are_sampled_and_never_averaged(tmp_path: Path) -> None:
    # Every second pixel of a fine grain: an average would have tones between black and white.
    pixels = np.random.default_rng(5).integers(0, 2, (3000, 4000, 1)).astype(np.uint8) * 255
    tifffile.imwrite(tmp_path / "grain.tif", pixels[..., 0], photometric="minisblack")
    found = lightness_samples(decode(tmp_path / "grain.tif"))
    assert found.size < pixels.size / 3
    assert np.unique(found.round(3)).tolist() == [0, 100]
    assert (found > 50).mean() == pytest.approx(0.5, abs=0.01)
