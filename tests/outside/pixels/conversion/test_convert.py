"""Colour and tone of finished files against a double-precision reference.

Outside source: colour-science (IEC 61966-2-1, Adobe RGB (1998), Display P3 and ROMM RGB as it
defines them, CIEDE2000); the limits are those of the program's own specification.
"""

from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import pyvips
from PIL import ImageCms

from proofs.lengths import PixelSize
from proofs.outside.pixels.colour.output_space import OutputSpace
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import converted, same_colour_space, screen_pictures
from proofs.outside.pixels.vips import prepare
from proofs.records.labs import FileFormat
from tests.outside.pixels import near, reference
from tests.outside.pixels.pictures import (
    Array,
    as_rows,
    lab,
    natural_colours,
    photograph,
    profile,
    random_colours,
    tiff,
)
from tests.outside.pixels.pipeline import pixels_of, sized, written

SOURCES = ("srgb", "a98-rgb", "display-p3", "romm")
OUTPUTS = ("srgb", "a98-rgb", "display-p3")
COLOURS = {"random": random_colours, "natural": natural_colours}
DENSITIES = (0.0, 0.10)
Differences = Callable[[str, str, float, str, int], tuple[Array, Array]]


@cache
def colours_of(kind: str) -> Array:
    return COLOURS[kind]()


@pytest.fixture(scope="module")
def results(tmp_path_factory: pytest.TempPathFactory) -> Differences:
    """The differences of finished files and of exact answers rounded, computed once."""
    folder = tmp_path_factory.mktemp("colours")

    @cache
    def differences(
        source: str, output: str, density: float, kind: str, bits: int
    ) -> tuple[Array, Array]:
        colours = colours_of(kind)
        path = tiff(folder / f"{source}-{kind}.tif", as_rows(colours), icc_profile=profile(source))
        file = written(path, lab(bits=bits, space=output), density)
        most = 2**bits - 1
        got = pixels_of(file).reshape(-1, 3)[: len(colours)] / most
        asked = reference.darker(reference.cielab_of(source, colours / 65535), density)
        exact, held = reference.codes_of(output, asked)
        ideal = np.rint(exact * most) / most
        return (
            reference.difference(reference.cielab_of(output, got[held]), asked[held]),
            reference.difference(reference.cielab_of(output, ideal[held]), asked[held]),
        )

    return differences


@pytest.mark.parametrize("kind", COLOURS)
@pytest.mark.parametrize("density", DENSITIES)
@pytest.mark.parametrize("output", OUTPUTS)
@pytest.mark.parametrize("source", SOURCES)
def test_8_bit_files_are_as_good_as_exact_answers_rounded(
    results: Differences, source: str, output: str, density: float, kind: str
) -> None:
    got, ideal = results(source, output, density, kind, 8)
    limit = near.MEAN_OVER_IDEAL_VERY_WIDE if source == "romm" else near.MEAN_OVER_IDEAL
    assert got.mean() <= ideal.mean() + limit
    assert np.percentile(got, 99) <= near.MOST_99TH


@pytest.mark.parametrize("density", DENSITIES)
@pytest.mark.parametrize("output", OUTPUTS)
@pytest.mark.parametrize("source", SOURCES)
def test_16_bit_files_keep_16_bits(
    results: Differences, source: str, output: str, density: float
) -> None:
    got, _ = results(source, output, density, "natural", 16)
    assert got.mean() <= near.MEAN_16_BIT


@pytest.mark.parametrize("space", OUTPUTS)
@pytest.mark.parametrize("bits", [8, 16])
def test_an_unadjusted_picture_in_its_own_space_stays_identical(
    tmp_path: Path, space: str, bits: int
) -> None:
    pixels = as_rows(
        random_colours(2000) if bits == 16 else (random_colours(2000) >> 8).astype("u1")
    )
    path = tiff(tmp_path / "own.tif", pixels, icc_profile=profile(space))
    assert np.array_equal(pixels_of(written(path, lab(bits=bits, space=space))), pixels)


def greys(source: str, output: str, density: float, bits: int) -> Array:
    """What all 65 536 greys of a source become in a file."""
    ramp = np.repeat(np.arange(65536, dtype=np.uint16)[None, :, None], 3, axis=2)
    image = pyvips.Image.new_from_array(ramp, interpretation="rgb16")
    target = OutputSpace(profile(output), bits)
    codes = converted(ProfiledImage(image, profile(source)), target, density).numpy()[0]
    return np.asarray(codes, dtype=int)


@pytest.mark.parametrize("density", [-0.30, 0.10, 0.60])
@pytest.mark.parametrize("output", OUTPUTS)
@pytest.mark.parametrize("source", SOURCES)
def test_greys_stay_grey_in_order_and_between_black_and_white(
    source: str, output: str, density: float
) -> None:
    got = greys(source, output, density, 8)
    assert (got.max(axis=1) - got.min(axis=1)).max() <= 1
    assert (np.diff(got, axis=0) >= 0).all()
    assert got[0].tolist() == [0, 0, 0]
    assert got[-1].tolist() == [255, 255, 255]


@pytest.mark.parametrize("output", OUTPUTS)
@pytest.mark.parametrize("source", SOURCES)
def test_black_and_white_are_exact_at_16_bits_and_tones_keep_their_order(
    source: str, output: str
) -> None:
    got = greys(source, output, 0.10, 16)
    assert (np.diff(got, axis=0) >= 0).all()
    assert got[0].tolist() == [0, 0, 0]
    assert got[-1].tolist() == [65535, 65535, 65535]


@pytest.mark.parametrize("density", [-0.30, -0.10, 0.10, 0.20, 0.60])
def test_mid_grey_gets_exactly_the_requested_density(density: float) -> None:
    codes = greys("srgb", "srgb", density, 16)
    before = int(np.rint(reference.coded("srgb", np.array(0.184187)) * 65535))
    light = reference.decoded("srgb", codes[before, 0] / 65535)
    assert -np.log10(light / 0.184187) == pytest.approx(density, abs=near.DENSITY)


def test_8_bit_ramps_follow_the_ideal_rounding() -> None:
    got = greys("srgb", "a98-rgb", 0.10, 8)[:, 1]
    codes = np.arange(65536)[:, None].repeat(3, 1) / 65535
    exact, _ = reference.codes_of(
        "a98-rgb", reference.darker(reference.cielab_of("srgb", codes), 0.10)
    )
    assert np.abs(got - exact[:, 1] * 255).max() <= near.RAMP_CODES
    assert set(np.diff(got).tolist()) <= {0, 1}


def test_densities_beyond_the_curve_are_refused() -> None:
    with pytest.raises(ValueError, match=r"outside -0\.30 to \+0\.60 D"):
        greys("srgb", "srgb", 0.61, 8)


def test_two_profiles_of_one_space_count_as_the_same() -> None:
    other = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    assert same_colour_space(other, profile("srgb"))
    assert not same_colour_space(profile("display-p3"), profile("srgb"))


def test_a_result_does_not_depend_on_the_number_of_threads(tmp_path: Path) -> None:
    path = tiff(tmp_path / "a.tif", photograph("coffee"))
    own, size = lab(format_=FileFormat.JPEG, space="a98-rgb"), PixelSize(900, 600)
    prepare(2)
    by_two = written(path, own, 0.10, size=size)
    prepare(1)
    assert written(path, own, 0.10, size=size) == by_two


def test_pictures_for_the_screen_are_srgb(tmp_path: Path) -> None:
    path = tiff(
        tmp_path / "a.tif",
        np.full((80, 120, 3), [200, 100, 50], "u1"),
        icc_profile=profile("a98-rgb"),
    )
    plain, darker = screen_pictures(sized(path, PixelSize(60, 40)), [0.0, 0.10])
    assert plain.shape == darker.shape == (40, 60, 3)
    assert np.abs(plain.astype(int) - [227, 100, 42]).max() <= 1  # by Little CMS
    assert (darker[..., 1] < plain[..., 1]).all()
