"""From readings to lux: tables and worked examples of public articles on exposure value and on
light meters, which quote ISO 2720:1974 for the constants. Computed rows say so.
"""

import json
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.plan.tones.metering import (
    DOME,
    FLAT,
    REFLECTED,
    Exposure,
    Illuminance,
    Receptor,
    by_camera,
    by_meter,
    by_phone,
    exactly,
)
from proofs.records.lights import read_aperture, read_seconds
from tests import near

CASES = json.loads((Path(__file__).parents[2] / "cases" / "light.json").read_text("utf-8"))

exposures = st.builds(Exposure, st.floats(25, 25_600), st.floats(1 / 8000, 60), st.floats(0.95, 64))


def luminance(exposure: Exposure, constant: float = REFLECTED.usual) -> float:
    """Return the luminance, in cd/m2, of a surface that a meter is pointed at."""
    return constant * exposure.strength


def exposure_of(case: dict[str, Any]) -> Exposure:
    return Exposure(case["iso"], read_seconds(case["time"]), read_aperture(case["aperture"]))


def at_ev(ev: float) -> Exposure:
    return Exposure(iso=100, seconds=1, aperture=2 ** (ev / 2))


@pytest.mark.parametrize(("ev", "candelas", "lux"), CASES["table"])
def test_the_table_of_exposure_values(ev: float, candelas: float, lux: float) -> None:
    # L = 2^(EV-3) cd/m2 with K = 12.5 and E = 2.5 x 2^EV lx with C = 250: the article "Exposure
    # value"; the rows are computed from both.
    assert at_ev(ev).ev == pytest.approx(ev, abs=near.ARITHMETIC)
    assert luminance(at_ev(ev)) == pytest.approx(candelas, rel=near.ARITHMETIC)
    assert by_meter(at_ev(ev), Receptor.FLAT).lux == pytest.approx(lux, rel=near.ARITHMETIC)
    assert exactly(lux).ev == pytest.approx(ev, abs=near.ARITHMETIC)


def test_the_worked_example_of_a_colour_library() -> None:
    # colour-hdri, docstrings of its exposure module: N 8, t 1, S 100 give 8.0 cd/m2 and 160.0 lx.
    exposure = Exposure(iso=100, seconds=1, aperture=8)
    assert luminance(exposure) == pytest.approx(8.0, rel=near.ARITHMETIC)
    assert by_meter(exposure, Receptor.FLAT).lux == pytest.approx(160.0, rel=near.ARITHMETIC)


def test_full_sun_at_f_16() -> None:
    # f/16 at 1/S: 3200 cd/m2 with K 12.5, after Table 1 of the ANSI standard for meters, quoted
    # in a public forum.
    assert luminance(Exposure(100, 1 / 100, 16)) == pytest.approx(3200, rel=near.ARITHMETIC)


@pytest.mark.parametrize(("case", "expected"), CASES["exposures"])
def test_worked_exposures(case: dict[str, Any], expected: dict[str, Any]) -> None:
    # Computed from the two equations and the constants; f-numbers and times as they are engraved.
    exposure = exposure_of(case)
    flat, dome = by_meter(exposure, Receptor.FLAT), by_meter(exposure, Receptor.DOME)
    share = near.PRINTED_LUX_SHARE
    assert exposure.ev == pytest.approx(expected["ev"], abs=near.PRINTED_EV)
    assert luminance(exposure) == pytest.approx(expected["luminance"], rel=share)
    assert [flat.lux, flat.least, flat.most] == pytest.approx(expected[Receptor.FLAT], rel=share)
    assert [dome.lux, dome.least, dome.most] == pytest.approx(expected[Receptor.DOME], rel=share)


def test_the_constants_are_those_that_the_standard_is_quoted_for() -> None:
    # The article "Light meter", quoting ISO 2720:1974, which was not read.
    assert (FLAT.usual, FLAT.least, FLAT.most) == (250, 240, 400)
    assert (DOME.least, DOME.most) == (320, 540)
    assert (REFLECTED.usual, REFLECTED.least, REFLECTED.most) == (12.5, 10.6, 13.4)


@pytest.mark.parametrize(
    ("k", "c", "reflectance"), [(12.5, 250, 0.157), (14, 250, 0.176), (12.5, 330, 0.12)]
)
def test_the_reflectance_that_two_constants_imply(k: float, c: float, reflectance: float) -> None:
    # The article "Light meter", on calibrated reflectance: pi K / C.
    exposure = at_ev(10)
    lux = c * exposure.strength
    assert math.pi * luminance(exposure, k) / lux == pytest.approx(reflectance, abs=0.0011)


def test_a_card_tells_the_light_that_it_gives_18_per_cent_of_back() -> None:
    # L = E R/pi for a diffuse surface: the article "Light meter".
    exposure = Exposure(100, 1 / 20, 2.8)
    light = by_meter(exposure, Receptor.CARD)
    assert light.lux * 0.18 / math.pi == pytest.approx(luminance(exposure), rel=near.ARITHMETIC)
    assert light.least / light.lux == pytest.approx(10.6 / 12.5, rel=near.ARITHMETIC)


@pytest.mark.parametrize(("lux", "ev"), CASES["lux"])
def test_lux_as_exposure_value(lux: float, ev: float) -> None:
    # Computed with C = 250.
    assert exactly(lux).ev == pytest.approx(ev, abs=near.PRINTED_EV)


@pytest.mark.parametrize(("lux", "candelas"), CASES["paper_white"])
def test_bare_paper_is_as_bright_as_a_screen(lux: float, candelas: float) -> None:
    # Computed: E R/pi with paper of R 0.89; printed to whole candelas and lux.
    assert exactly(lux).paper_white == pytest.approx(candelas, rel=near.PRINTED_LUX_SHARE)


def test_a_phone_is_true_within_a_quarter() -> None:
    # Common practice, no source.
    light = by_phone(500)
    assert (light.least, light.lux, light.most) == (375, 500, 625)


def test_a_figure_given_in_lux_is_no_range() -> None:
    assert not exactly(500).is_range
    assert by_phone(500).is_range


@given(exposure=exposures)
def test_a_well_exposed_card_gives_the_reading_of_a_meter(exposure: Exposure) -> None:
    metered, seen = by_meter(exposure, Receptor.CARD), by_camera(exposure, 0.18)
    assert seen.lux == pytest.approx(metered.lux, rel=near.ARITHMETIC)
    assert seen.least < metered.least < metered.most < seen.most


@given(exposure=exposures)
def test_a_card_twice_as_light_tells_twice_the_light(exposure: Exposure) -> None:
    once, twice = by_camera(exposure, 0.18).lux, by_camera(exposure, 0.36).lux
    assert twice == pytest.approx(2 * once, rel=near.ARITHMETIC)


@given(exposure=exposures, stops=st.floats(0.1, 3))
def test_more_exposure_means_less_light(exposure: Exposure, stops: float) -> None:
    longer = Exposure(exposure.iso, exposure.seconds * 2**stops, exposure.aperture)
    assert exposure.ev - longer.ev == pytest.approx(stops, abs=near.ARITHMETIC)


@pytest.mark.parametrize("values", [(0, 1, 1), (100, -1, 1), (100, 1, math.inf), (math.nan, 1, 1)])
def test_an_exposure_of_nothing_is_none(values: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="not an exposure"):
        Exposure(*values)


@pytest.mark.parametrize("values", [(0, 0, 0), (5, 6, 7), (5, 4, 4.5), (5, 5, math.inf)])
def test_a_light_lies_within_its_range(values: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="not a measurable light"):
        Illuminance(*values)
