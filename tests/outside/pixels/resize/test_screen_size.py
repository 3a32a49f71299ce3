"""Pictures reduced for mock-ups: as near to Lanczos-3 as codes of a screen can tell.

Outside source: the separable reference in double precision of ``test_resampling``, on photographs
as sharp as any. Limits: our own.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import screen_pictures
from proofs.outside.pixels.resize.print_size import reduced
from proofs.outside.pixels.resize.screen_size import is_fine_in_8_bits, reduced_for_screen
from tests.outside.pixels.little_cms import printer_profile
from tests.outside.pixels.pictures import photograph, profile
from tests.outside.pixels.resize.test_resampling import reference

DENSITIES = [-0.30, 0.0, 0.20]
RATIOS = [2.3, 3.0, 4.5, 6.0]
MOST_BEYOND_ONE_CODE = 0.02  # of the values
MOST_99_9 = 4  # codes, at the 99.9th percentile
MEAN = 0.35  # codes: a quarter of one, and a little for pictures of few pixels


def base_of(codes: np.ndarray, space: str = "srgb") -> ProfiledImage:
    return ProfiledImage(vips.image_of_codes(codes.astype(np.uint16)), profile(space))


def codes_of(image: ProfiledImage) -> np.ndarray:
    return np.asarray(image.image.numpy())


@pytest.mark.parametrize("ratio", RATIOS)
@pytest.mark.parametrize("space", ["srgb", "a98-rgb", "display-p3"])
@pytest.mark.parametrize("name", ["astronaut", "chelsea", "coffee"])
def test_a_screen_shows_what_lanczos_3_makes(name: str, space: str, ratio: float) -> None:
    pixels = photograph(name)[:288, :360].astype(float)
    size = PixelSize(round(360 / ratio), round(288 / ratio))
    exact = base_of(np.rint(reference(pixels, size) * 257), space)
    quick = reduced_for_screen(base_of(pixels * 257, space), size)
    for wanted, found in zip(
        screen_pictures(exact, DENSITIES), screen_pictures(quick, DENSITIES), strict=True
    ):
        off = np.abs(wanted.astype(int) - found)
        assert (off > 1).mean() <= MOST_BEYOND_ONE_CODE
        assert np.percentile(off, 99.9) <= MOST_99_9
        assert abs(float(wanted.mean()) - float(found.mean())) <= MEAN


@pytest.mark.parametrize("code", [0, 200, 30_000, 65_300, 65_535])
def test_an_even_picture_stays_as_it_is(code: int) -> None:
    even = codes_of(reduced_for_screen(base_of(np.full((60, 90, 3), code)), PixelSize(30, 20)))
    assert np.ptp(even) == 0
    # Black and white exactly, any other within the codes of 16 bits that one of 8 stands for.
    assert abs(int(even[0, 0, 0]) - code) <= (0 if code in (0, 65_535) else 257)


@settings(max_examples=30, deadline=None)
@given(st.integers(2, 300), st.integers(2, 200), st.floats(1, 6))
def test_the_size_is_exact(width: int, height: int, ratio: float) -> None:
    size = PixelSize(max(1, int(width / ratio)), max(1, int(height / ratio)))
    made = reduced_for_screen(base_of(np.full((height, width, 3), 9000)), size)
    assert codes_of(made).shape == (size.height, size.width, 3)


def test_spaces_like_srgb_are_fine_in_8_bits_and_no_others() -> None:
    names = ("srgb", "a98-rgb", "display-p3", "romm", "linear-srgb", "linear-display-p3")
    fine = [name for name in names if is_fine_in_8_bits(profile(name), 3)]
    assert fine == ["srgb", "a98-rgb", "display-p3"]
    assert not is_fine_in_8_bits(printer_profile(), 3)
    assert not is_fine_in_8_bits(profile("grey"), 1)


@pytest.mark.parametrize(("space", "ratio"), [("romm", 3), ("linear-srgb", 3), ("srgb", 1.5)])
def test_elsewhere_it_is_reduced_in_16_bits(space: str, ratio: float) -> None:
    base = base_of(photograph("coffee")[:300, :300] * 257.0, space)
    size = PixelSize(int(300 / ratio), int(300 / ratio))
    made = codes_of(reduced_for_screen(base, size))
    assert np.array_equal(made, codes_of(reduced(base, size)))
