"""Lightness and density against tables and colour-science, and the laws of the tone curve."""

import json
import warnings
from pathlib import Path
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.plan.entry.planning import plan_entry, steps_of
from proofs.plan.tones.tone import (
    DEFAULT_BRACKET,
    Variant,
    bracket,
    density,
    depth,
    lightness,
    reflectance,
    tone_curve,
)
from proofs.records.cells import FROM_LIGHT
from tests import near
from tests.workbench import a_job, an_entry, facts

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it misses the plotting library, which is not wanted here
    from colour.colorimetry import lightness_CIE1976, luminance_CIE1976

CASES = json.loads((Path(__file__).parents[2] / "cases" / "curve.json").read_text("utf-8"))

changes = st.floats(-0.3, 0.6)
tones = st.floats(0, 100)


# Computed from the CIE's definitions, cross-checked with colour-science 0.4.7.
@pytest.mark.parametrize(
    ("l_star", "share", "dens"),
    [
        (5, 0.005535, 2.2569),
        (8, 0.008856, 2.0527),
        (10, 0.011260, 1.9485),
        (20, 0.029891, 1.5245),
        (30, 0.062359, 1.2051),
        (40, 0.112510, 0.9488),
        (50, 0.184187, 0.7347),
        (60, 0.281233, 0.5509),
        (70, 0.407494, 0.3899),
        (80, 0.566813, 0.2466),
        (90, 0.763034, 0.1175),
        (95, 0.876183, 0.0574),
        (100, 1.0, 0.0),
    ],
)
def test_tones_of_known_lightness(l_star: float, share: float, dens: float) -> None:
    assert reflectance(l_star) == pytest.approx(share, abs=near.SIX_DECIMALS)
    assert density(l_star) == pytest.approx(dens, abs=near.PRINTED_DENSITY)
    assert lightness(share) == pytest.approx(l_star, abs=near.PRINTED_LIGHTNESS)


@pytest.mark.parametrize(
    ("dens", "l_star"),
    [
        (0.05, 95.633),
        (0.10, 91.430),
        (0.20, 83.493),
        (0.30, 76.142),
        (0.45, 66.122),
        (0.60, 57.191),
        (0.75, 49.232),
        (0.90, 42.138),
        (1.00, 37.842),
        (1.20, 30.180),
        (1.50, 20.682),
        (2.00, 8.991),
    ],
)
def test_lightness_of_known_densities(dens: float, l_star: float) -> None:
    assert lightness(10**-dens) == pytest.approx(l_star, abs=near.PRINTED_LIGHTNESS)


def test_an_18_percent_grey_is_a_little_darker_than_the_middle() -> None:
    assert lightness(0.18) == pytest.approx(49.496, abs=near.PRINTED_LIGHTNESS)
    assert density(lightness(0.18)) == pytest.approx(0.7447, abs=near.PRINTED_DENSITY)


@given(tone=tones)
def test_reflectance_agrees_with_colour_science(tone: float) -> None:
    assert reflectance(tone) == pytest.approx(
        float(luminance_CIE1976(tone)) / 100, abs=near.CIE_CONSTANTS
    )


@given(share=st.floats(0, 1))
def test_lightness_agrees_with_colour_science(share: float) -> None:
    assert lightness(share) == pytest.approx(
        float(lightness_CIE1976(100 * share)), abs=near.CIE_CONSTANTS
    )


@given(tone=tones)
def test_lightness_undoes_reflectance(tone: float) -> None:
    assert lightness(reflectance(tone)) == pytest.approx(tone, abs=near.ARITHMETIC)


@pytest.mark.parametrize(("change", "k", "before", "after"), CASES["cases"])
def test_the_curve_at_known_tones(change: float, k: float, before: float, after: float) -> None:
    assert depth(change) == pytest.approx(k, abs=near.SIX_DECIMALS)
    assert tone_curve(change)(before) == pytest.approx(after, abs=near.SIX_DECIMALS)


@given(change=changes)
def test_the_middle_tone_gets_exactly_the_density_asked_for(change: float) -> None:
    reflected = float(luminance_CIE1976(tone_curve(change)(50))) / 100
    wanted = float(luminance_CIE1976(50)) / 100 / 10**change
    assert reflected == pytest.approx(wanted, abs=near.CIE_CONSTANTS)


@given(change=changes)
def test_black_and_white_stay(change: float) -> None:
    curve = tone_curve(change)
    assert (curve(0), curve(100)) == (0.0, 100.0)


@given(tone=tones)
def test_no_change_is_the_identity_to_the_last_bit(tone: float) -> None:
    assert tone_curve(0.0)(tone) == tone


@given(change=changes, tone=st.floats(0, 99.9))
def test_tones_keep_their_order_and_a_slope_of_a_quarter_to_one_and_three_quarters(
    change: float, tone: float
) -> None:
    curve, step = tone_curve(change), 0.1
    slope = (curve(tone + step) - curve(tone)) / step
    assert 0.25 <= slope <= 1.75


@given(change=changes, more=changes, tone=st.floats(1, 99))
def test_a_higher_density_prints_every_tone_darker(change: float, more: float, tone: float) -> None:
    low, high = sorted([change, more])
    assert tone_curve(high)(tone) <= tone_curve(low)(tone)


@given(change=changes, tone=tones)
def test_no_tone_moves_farther_than_the_middle(change: float, tone: float) -> None:
    curve = tone_curve(change)
    assert abs(curve(tone) - tone) <= abs(curve(50) - 50) + near.ARITHMETIC


@pytest.mark.parametrize("change", [-0.31, 0.61, 3.0])
def test_a_change_that_the_curve_cannot_carry_is_refused(change: float) -> None:
    with pytest.raises(ValueError, match=r"outside -0\.30"):
        tone_curve(change)


def test_the_usual_bracket_has_four_steps() -> None:
    assert bracket(DEFAULT_BRACKET) == (
        Variant(-0.1, "A"),
        Variant(0.0, "B"),
        Variant(0.1, "C"),
        Variant(0.2, "D"),
    )


@given(densities=st.lists(st.integers(-30, 60), max_size=20))
def test_steps_rise_in_density_with_letters_from_a_and_hold_the_plain_picture(
    densities: list[int],
) -> None:
    steps = bracket(tuple(d / 100 for d in densities))
    assert [s.density for s in steps] == sorted({0.0, *(d / 100 for d in densities)})
    assert "".join(s.step for s in steps) == "ABCDEFGHIJKLMNOPQRSTUVWXYZ"[: len(steps)]
    assert [s.density for s in steps if s.is_plain] == [0.0]


def test_more_steps_than_letters_are_refused() -> None:
    with pytest.raises(ValueError, match="more than the alphabet"):
        bracket(tuple(n / 100 for n in range(1, 27)))


def test_an_entry_without_a_bracket_gets_the_usual_one() -> None:
    assert steps_of(an_entry()) == bracket((-0.1, 0.0, 0.1, 0.2))


def test_a_density_that_was_chosen_is_always_a_step() -> None:
    steps = steps_of(an_entry(bracket=(0.1,), chosen=0.25))
    assert [(s.step, s.density) for s in steps] == [("A", 0.0), ("B", 0.1), ("C", 0.25)]


@pytest.mark.parametrize(
    ("chosen", "step", "printed"), [("C", "C", "C"), (0.2, "D", "D"), (None, None, "B")]
)
def test_the_chosen_step_is_printed_and_else_the_plain_picture(
    chosen: str | float | None, step: str | None, printed: str
) -> None:
    plan = plan_entry(a_job(), an_entry("long 10 in", chosen=chosen), facts())
    assert (plan.chosen.step if plan.chosen else None) == step
    assert plan.printed.step == printed


def test_a_letter_that_is_no_step_is_refused_with_the_letters_there_are() -> None:
    entry = an_entry("long 10 in", bracket=(0.1,), chosen="C")
    with pytest.raises(ValueError, match=r"no step C; the steps are A \(0\), B \(\+0.10\)"):
        plan_entry(a_job(), entry, facts())


@pytest.mark.parametrize("bracket", [None, FROM_LIGHT])
def test_a_letter_of_a_bracket_that_follows_the_light_is_refused(
    bracket: Literal["from light"] | None,
) -> None:
    job = a_job(light_bracket=(0.0, 0.1))
    entry = an_entry("long 10 in", bracket=bracket, chosen="B")
    with pytest.raises(ValueError, match=r"follows the judges' light.*'proofs choose'"):
        plan_entry(job, entry, facts())


def test_a_density_stays_the_same_in_any_light() -> None:
    entry = an_entry("long 10 in", chosen=0.1)
    lights = ((-0.2, -0.1, 0.0), (0.0, 0.1, 0.2))
    plans = [plan_entry(a_job(light_bracket=light), entry, facts()) for light in lights]
    assert [plan.printed.density for plan in plans] == [0.1, 0.1]
    # Rising from A: -0.2, -0.1, 0, then 0.1; and 0, then 0.1.
    assert [plan.printed.words for plan in plans] == ["D (+0.10)", "B (+0.10)"]


def test_a_letter_of_a_written_bracket_or_of_the_default_keeps_its_meaning() -> None:
    written = an_entry("long 10 in", bracket=(0.0, 0.15), chosen="B")
    assert plan_entry(a_job(light_bracket=(0.3,)), written, facts()).printed.density == 0.15
    blank = an_entry("long 10 in", chosen="C")
    assert plan_entry(a_job(), blank, facts()).printed.density == 0.1
