"""CIECAM16 against colour-science, an implementation of CIE 248:2022, over the lights and greys
of an exhibition; and against figures worked out with it once and kept.
"""

import json
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.plan.tones.appearance import (
    BACKGROUND,
    D50_WHITE,
    Surround,
    Triple,
    Viewing,
    adapting_luminance,
    appearance,
    grey_seen,
)
from tests import near

CASES = json.loads((Path(__file__).parents[2] / "cases" / "light.json").read_text("utf-8"))
TUNGSTEN: Triple = (109.85, 100.0, 35.585)  # illuminant A, ASTM E308, from memory

luxes = st.floats(1, 100_000)
shares = st.floats(0.001, 1)


def reference(xyz: Triple, lux: float, white: Triple = D50_WHITE) -> tuple[float, float]:
    """J and Q by colour-science."""
    cam = pytest.importorskip("colour.appearance.ciecam16")
    seen = cam.XYZ_to_CIECAM16(xyz, white, 0.2 * lux / math.pi, BACKGROUND, compute_H=False)
    return float(seen.J), float(seen.Q)


@pytest.mark.parametrize("lux", [1, 20, 50, 120, 392, 500, 1210, 2000, 20_000, 100_000])
@pytest.mark.parametrize("share", [0.0001, 0.003, 0.02, 0.18, 0.5, 0.89, 1.0])
def test_a_grey_looks_as_colour_science_says(share: float, lux: float) -> None:
    x, y, z = D50_WHITE
    seen = grey_seen(share, Viewing(lux))
    expected = reference((x * share, y * share, z * share), lux)
    assert (seen.lightness, seen.brightness) == pytest.approx(expected, rel=near.APPEARANCE_SHARE)


@pytest.mark.parametrize("surround", Surround)
@pytest.mark.parametrize("share", [0.02, 0.18, 0.89])
def test_a_grey_in_a_dim_room_looks_as_colour_science_says(
    share: float, surround: Surround
) -> None:
    cam = pytest.importorskip("colour.appearance.ciecam16")
    x, y, z = D50_WHITE
    seen = grey_seen(share, Viewing(420, surround))
    expected = cam.XYZ_to_CIECAM16(
        (x * share, y * share, z * share),
        D50_WHITE,
        adapting_luminance(420),
        BACKGROUND,
        surround=cam.VIEWING_CONDITIONS_CIECAM16[surround.name.capitalize()],
        compute_H=False,
    )
    found = float(expected.J), float(expected.Q)
    assert (seen.lightness, seen.brightness) == pytest.approx(found, rel=near.APPEARANCE_SHARE)


@pytest.mark.parametrize("white", [D50_WHITE, TUNGSTEN])
@pytest.mark.parametrize("xyz", [(20.0, 12.0, 2.0), (8.0, 15.0, 4.0), (6.0, 5.0, 30.0)])
def test_a_colour_looks_as_light_and_as_bright_as_colour_science_says(
    xyz: Triple, white: Triple
) -> None:
    seen = appearance(xyz, Viewing(500), white=white)
    expected = reference(xyz, 500, white)
    assert (seen.lightness, seen.brightness) == pytest.approx(expected, rel=near.APPEARANCE_SHARE)


@pytest.mark.parametrize(("lux", "lightness", "brightness"), CASES["appearance"])
def test_an_18_per_cent_grey_keeps_its_lightness_and_gains_brightness(
    lux: float, lightness: float, brightness: float
) -> None:
    # Computed with colour-science: D50, L_A = 0.2 E/pi, background 20, average surround.
    seen = grey_seen(0.18, Viewing(lux))
    assert seen.lightness == pytest.approx(lightness, abs=near.PRINTED_J)
    assert seen.brightness == pytest.approx(brightness, abs=near.PRINTED_Q)


@given(lux=luxes)
def test_white_has_the_lightness_100(lux: float) -> None:
    assert grey_seen(1, Viewing(lux)).lightness == pytest.approx(100, abs=near.ARITHMETIC)


@given(lux=luxes)
def test_black_has_neither_lightness_nor_brightness(lux: float) -> None:
    seen = grey_seen(0, Viewing(lux))
    assert (seen.lightness, seen.brightness) == (0, 0)


@given(one=shares, other=shares, lux=luxes)
def test_what_reflects_more_looks_lighter_and_brighter(
    one: float, other: float, lux: float
) -> None:
    dark, light = (grey_seen(share, Viewing(lux)) for share in sorted([one, other]))
    assert dark.lightness <= light.lightness
    assert dark.brightness <= light.brightness


@given(share=shares, one=luxes, other=luxes)
def test_more_light_makes_a_grey_brighter(share: float, one: float, other: float) -> None:
    dim, bright = (grey_seen(share, Viewing(lux)) for lux in sorted([one, other]))
    assert dim.brightness <= bright.brightness * (1 + near.ARITHMETIC)


def test_the_eye_adapts_to_a_fifth_of_what_a_matt_white_gives_back() -> None:
    # L = E R/pi for a diffuse surface: the public article "Light meter".
    assert adapting_luminance(500) == pytest.approx(0.2 * 159.15, rel=near.APPEARANCE_SHARE)
