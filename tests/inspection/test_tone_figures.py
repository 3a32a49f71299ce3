"""Tone figures: densities above white, percentiles by plain names, clipped shares.

Outside source: the table of CIE L*, Y and D computed with colour-science from CIE 015 and
-log10 Y (CIE e-ILV 17-24-073). L* 99.5 as bare paper is common practice, no source.
"""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.inspection.tone_figures import (
    DENSEST,
    ToneFigures,
    clipped_shares,
    clipped_shares_at,
    tone_figures,
)
from tests import near

TABLE = [(5, 2.2569), (8, 2.0527), (20, 1.5245), (50, 0.7347), (60, 0.5509), (90, 0.1175)]

tones = st.lists(st.floats(0, 100, width=32), min_size=1, max_size=60)


def figures(values: list[float], black: float = 9.0) -> ToneFigures:
    return tone_figures(np.array([values], np.float32), black)


@pytest.mark.parametrize(("tone", "density"), TABLE)
def test_a_uniform_picture_has_the_density_of_its_tone(tone: float, density: float) -> None:
    found = figures([tone] * 9)
    told = (found.mean, found.median, found.lightest, found.darkest)
    assert told == pytest.approx((density,) * 4, abs=near.PRINTED_DENSITY)


def test_the_mean_is_that_of_the_light_and_the_median_that_of_the_middle_tone() -> None:
    # By hand from the table: Y 0.763034, 0.184187 and 0.029891 make a mean of 0.325704.
    found = figures([90, 50, 20])
    assert found.mean == pytest.approx(-math.log10(0.325704), abs=near.PRINTED_DENSITY)
    assert found.median == pytest.approx(0.7347, abs=near.PRINTED_DENSITY)


def test_a_speck_of_white_or_black_does_not_count_as_a_hundredth() -> None:
    found = figures([50.0] * 998 + [100.0, 0.0])
    assert found.lightest == found.darkest == found.median


def test_two_hundredths_of_white_and_black_do() -> None:
    found = figures([50.0] * 96 + [90.0] * 2 + [20.0] * 2)
    assert found.lightest == pytest.approx(0.1175, abs=near.PRINTED_DENSITY)
    assert found.darkest == pytest.approx(1.5245, abs=near.PRINTED_DENSITY)


def test_clipped_tones_are_given_as_shares() -> None:
    found = figures([0, 5, 8.9, 9, 50, 99, 99.5, 100], black=9.0)
    assert (found.blocked_share, found.bare_share) == (3 / 8, 2 / 8)


def test_black_has_the_greatest_density_and_white_has_none() -> None:
    assert figures([0.0]) == ToneFigures(DENSEST, DENSEST, DENSEST, DENSEST, 1.0, 0.0)
    assert figures([100.0]) == ToneFigures(0.0, 0.0, 0.0, 0.0, 0.0, 1.0)
    assert math.copysign(1, figures([100.0]).mean) == 1  # never "-0.00"


@given(values=tones)
def test_densities_are_in_order(values: list[float]) -> None:
    found = figures(values)
    assert 0 <= found.lightest <= found.median <= found.darkest <= DENSEST
    # A float32 and a table of light differ by less than this.
    slack = near.PRINTED_DENSITY
    darkest = min(values)
    assert found.mean <= figures([darkest]).mean + slack
    assert found.mean >= figures([max(values)]).mean - slack


@given(values=tones)
def test_the_order_of_the_pixels_does_not_matter(values: list[float]) -> None:
    found, other = figures(values), figures(values[::-1])
    assert (found.median, found.lightest, found.darkest) == (
        other.median,
        other.lightest,
        other.darkest,
    )


def test_shares_count_what_is_darker_than_the_paper_and_what_is_bare() -> None:
    ramp = np.linspace(0, 100, 1001, dtype=np.float32)[None]
    found = clipped_shares(ramp, 9.05)
    assert found.blocked == pytest.approx(91 / 1001)
    assert found.bare == pytest.approx(6 / 1001)


def test_a_darker_step_blocks_more_shadow_and_leaves_less_bare_white() -> None:
    tones = np.linspace(0, 100, 5001, dtype=np.float32)[None]
    lighter, plain, darker = (clipped_shares_at(tones, d, 9.0) for d in (-0.1, 0.0, 0.2))
    assert lighter.blocked < plain.blocked < darker.blocked
    assert lighter.bare >= plain.bare >= darker.bare


@given(st.floats(0, 20))
def test_the_unadjusted_step_does_not_change_the_shares(black: float) -> None:
    tones = np.linspace(0, 100, 301, dtype=np.float32)[None]
    plain, before = clipped_shares_at(tones, 0.0, black), clipped_shares(tones, black)
    assert plain.blocked == pytest.approx(before.blocked, abs=1 / 301)
    assert plain.bare == before.bare
