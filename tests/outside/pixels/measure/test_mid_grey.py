"""Mid grey through the whole conversion and read back, and the L* by which tones are judged.

Limits: the program's own, 0.008 D (one 8-bit code) and 0.002 D at 16 bits. Outside source
of L* and density: the table of CIE L*, Y and D computed with colour-science.
"""

import numpy as np
import pytest
import pyvips

from proofs.outside.pixels.colour import icc
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.measure.lightness import lightness_map, mid_grey_shifts
from proofs.outside.pixels.prints.composition import grey_codes, print_codes
from proofs.outside.pixels.prints.encoding import sheet_file
from proofs.pixel_areas import Area
from proofs.records.labs import FileFormat
from tests.outside.pixels import near, reference
from tests.outside.pixels.pictures import as_rows, lab, natural_colours, profile
from tests.outside.pixels.pipeline import pixels_of

SOURCES = ("srgb", "a98-rgb", "display-p3", "romm")
OUTPUTS = ("srgb", "a98-rgb", "display-p3")


def base_of(source: str, codes: np.ndarray | None = None) -> ProfiledImage:
    """Return an image in a space; by default one grey pixel."""
    pixels = np.full((1, 1, 3), 30000, np.uint16) if codes is None else codes.astype(np.uint16)
    return ProfiledImage(
        pyvips.Image.new_from_array(pixels, interpretation="rgb16"), profile(source)
    )


def grey_base() -> ProfiledImage:
    pixels = np.full((1, 1, 1), 30000, np.uint16)
    grey = icc.build_grey_profile("A grey of power 2.2", icc.gamma_tag(2.2))
    return ProfiledImage(pyvips.Image.new_from_array(pixels, interpretation="grey16"), grey)


@pytest.mark.parametrize("density", [-0.10, 0.0, 0.10, 0.20])
@pytest.mark.parametrize("output", OUTPUTS)
@pytest.mark.parametrize("source", SOURCES)
def test_mid_grey_is_reached_within_one_8_bit_code(
    source: str, output: str, density: float
) -> None:
    (reached,) = mid_grey_shifts(base_of(source), lab(space=output), [density])
    assert reached == pytest.approx(density, abs=near.ONE_CODE_OF_DENSITY)


@pytest.mark.parametrize("source", SOURCES)
def test_steps_measured_together_are_those_measured_alone(source: str) -> None:
    base, densities = base_of(source), (-0.10, 0.0, 0.10, 0.20, 0.35)
    alone = [mid_grey_shifts(base, lab(), [density])[0] for density in densities]
    assert list(mid_grey_shifts(base, lab(), densities)) == alone


@pytest.mark.parametrize("density", [-0.10, 0.10, 0.20])
@pytest.mark.parametrize("output", OUTPUTS)
@pytest.mark.parametrize("source", SOURCES)
def test_mid_grey_is_reached_closely_at_16_bits(source: str, output: str, density: float) -> None:
    (reached,) = mid_grey_shifts(base_of(source), lab(space=output, bits=16), [density])
    assert reached == pytest.approx(density, abs=near.DENSITY_AT_16_BITS)


@pytest.mark.parametrize("format_", [FileFormat.JPEG, FileFormat.PNG, FileFormat.TIFF])
def test_a_grey_picture_reaches_it_too_in_every_format(format_: FileFormat) -> None:
    (reached,) = mid_grey_shifts(grey_base(), lab(format_=format_), [0.10])
    assert reached == pytest.approx(0.10, abs=near.ONE_CODE_OF_DENSITY)


@pytest.mark.parametrize("output", OUTPUTS)
@pytest.mark.parametrize("source", SOURCES)
def test_neutral_stays_neutral(source: str, output: str) -> None:
    ramp = np.linspace(0, 65535, 64).round()[None, :, None].repeat(3, axis=2)
    codes = print_codes(base_of(source, ramp), lab(space=output, bits=16), 0.10)
    colours = reference.cielab_of(output, codes.reshape(-1, 3) / 65535)
    assert np.abs(colours[:, 1:]).max() < near.NEUTRAL


@pytest.mark.parametrize(("code", "tone"), [(118.91, 50), (48.29, 20), (226.33, 90), (16.84, 5)])
def test_lightness_matches_the_table(code: float, tone: float) -> None:
    codes = np.full((1, 1, 3), code / 255 * 65535)
    assert lightness_map(base_of("srgb", codes), lab())[0, 0] == pytest.approx(
        tone, abs=near.PRINTED_LIGHTNESS
    )


@pytest.mark.parametrize(("tone", "code"), [(0, 0), (20, 48.29), (50, 118.91), (100, 255)])
def test_greys_of_a_sheet_are_neutral_and_as_light_as_requested(tone: float, code: float) -> None:
    greys = grey_codes(np.full((2, 2), round(tone * 655.35), np.uint16), lab(bits=16))
    assert np.abs(greys / 65535 * 255 - code).max() <= near.ROUNDED
    assert np.ptp(greys) == 0


@pytest.mark.parametrize("density", [0.0, 0.10])
@pytest.mark.parametrize("source", ["srgb", "a98-rgb", "romm"])
def test_a_step_is_cut_from_the_pixels_of_its_print(source: str, density: float) -> None:
    base = base_of(source, as_rows(natural_colours(20), 100))
    crop = Area(10, 1, 60, 2)
    step = print_codes(base, lab(), density, crop)
    whole = print_codes(base, lab(), density)
    assert np.array_equal(step, whole[1:3, 10:70])


def test_a_sheet_file_holds_the_codes_it_was_given() -> None:
    codes = np.random.default_rng(3).integers(0, 256, (20, 30, 3)).astype(np.uint8)
    assert np.array_equal(pixels_of(sheet_file(codes, lab(format_=FileFormat.PNG))), codes)
