"""Two lights compared, and one with the viewing conditions.

Levels: ISO 3664:2009 as secondary sources quote it. What would hold a grey: CIECAM16, which
test_appearance compares with colour-science. The steps suggested are the program's own.
"""

import json
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.plan.tones.appearance import Surround, Viewing, grey_seen
from proofs.plan.tones.metering import Illuminance
from proofs.plan.tones.tone import density, reflectance
from proofs.plan.tones.viewing import (
    VIEWING_CONDITIONS,
    bracket_reason,
    change_for_same_brightness,
    change_for_same_lightness,
    compliance,
    ratio_warning,
    stops_between,
    suggested_bracket,
    viewing_on_screen,
)
from tests import near

CASES = json.loads((Path(__file__).parents[2] / "cases" / "light.json").read_text("utf-8"))
BY_NAME = {level.name: level for level in VIEWING_CONDITIONS}

luxes = st.floats(10, 20_000)
viewings = st.builds(Viewing, luxes, st.sampled_from(Surround))
rooms = luxes.map(Viewing)


@pytest.mark.parametrize(("light", "level", "expected"), CASES["standing"])
def test_a_light_is_compared_with_a_viewing_condition(
    light: list[float], level: str, expected: str
) -> None:
    # P1 2000 lx within 500 and P2 500 lx within 125: ISO 3664:2009, secondary sources.
    assert compliance(Illuminance(*light), BY_NAME[level]) == expected


@pytest.mark.parametrize(("home", "judging", "stops"), CASES["stops"])
def test_the_difference_of_two_lights_in_stops(home: float, judging: float, stops: float) -> None:
    # Computed: log2 of the ratio, printed to three decimals.
    assert stops_between(Viewing(home), Viewing(judging)) == pytest.approx(stops, abs=0.0006)


def test_next_to_nothing_holds_lightness_from_500_to_2000_lux() -> None:
    # 0.003 D: CIECAM16 by colour-science, D50, background 20, average surround.
    assert change_for_same_lightness(Viewing(500), Viewing(2000)) == pytest.approx(
        0.003, abs=0.0005
    )


def test_nearly_half_a_density_would_hold_brightness_from_500_to_2000_lux() -> None:
    # 0.45 D: CIECAM16 by colour-science, as above.
    assert change_for_same_brightness(Viewing(500), Viewing(2000)) == pytest.approx(0.45, abs=0.005)


@given(home=rooms, judging=rooms)
def test_the_density_that_holds_lightness_leaves_it_as_it_was(
    home: Viewing, judging: Viewing
) -> None:
    change = change_for_same_lightness(home, judging)
    assert change is not None
    printed = grey_seen(10 ** -(density(50) + change), judging)
    assert printed.lightness == pytest.approx(grey_seen(reflectance(50), home).lightness, abs=1e-6)


@given(home=luxes, brighter=st.floats(1, 100))
def test_the_density_that_holds_brightness_leaves_it_as_it_was(
    home: float, brighter: float
) -> None:
    finished, judging = Viewing(home), Viewing(home * brighter)
    change = change_for_same_brightness(finished, judging)
    assert change is not None
    printed = grey_seen(10 ** -(density(50) + change), judging)
    assert printed.brightness == pytest.approx(
        grey_seen(reflectance(50), finished).brightness, rel=1e-6
    )


@given(home=rooms, judging=rooms)
def test_a_brighter_light_never_asks_for_a_lighter_print(home: Viewing, judging: Viewing) -> None:
    change = change_for_same_brightness(home, judging)
    assert change is None or change * stops_between(home, judging) >= 0


@given(home=rooms, judging=rooms)
def test_no_light_asks_for_as_much_as_its_ratio(home: Viewing, judging: Viewing) -> None:
    change = change_for_same_lightness(home, judging)
    assert change is not None
    assert abs(change) <= 0.02 * abs(stops_between(home, judging)) * 0.30103 + near.ARITHMETIC


def test_white_itself_can_fall_short() -> None:
    assert change_for_same_brightness(Viewing(2000), Viewing(200)) is None


@pytest.mark.parametrize(("lights", "steps"), CASES["brackets"])
def test_the_steps_suggested(lights: list[float], steps: list[float]) -> None:
    home, judging = lights
    assert suggested_bracket(Viewing(home), Viewing(judging)) == tuple(steps)


@given(finished=viewings, judging=rooms)
def test_the_steps_are_three_in_a_row_and_the_plain_picture(
    finished: Viewing, judging: Viewing
) -> None:
    steps = suggested_bracket(finished, judging)
    assert 0.0 in steps
    assert list(steps) == sorted(set(steps))
    assert len(steps) in (3, 4)
    assert -0.25 <= steps[0] <= steps[-1] <= 0.25
    assert all(round(step / 0.05, 6) == round(step / 0.05) for step in steps)


@given(home=rooms, judging=rooms)
def test_the_steps_follow_half_of_what_would_hold_the_brightness(
    home: Viewing, judging: Viewing
) -> None:
    hold = change_for_same_brightness(home, judging)
    half = -0.2 if hold is None else max(-0.2, min(0.2, hold / 2))
    steps = suggested_bracket(home, judging)
    middle = steps[1] if len(steps) == 3 else steps[1 if half < 0 else 2]
    assert abs(middle - half) <= 0.025 + near.ARITHMETIC


@given(home=rooms, judging=rooms)
def test_the_further_steps_go_darker_for_a_brighter_light(home: Viewing, judging: Viewing) -> None:
    assert sum(suggested_bracket(home, judging)) * stops_between(home, judging) >= 0


@pytest.mark.parametrize(
    ("white", "room_lux", "lux", "surround"),
    [
        # White paper reflects 0.89: 120 cd/m2 x pi / 0.89 = 423.6 lx. 75.4 lx on white are 24
        # cd/m2, a fifth of 120 (surround ratio of CIE 159:2004, from memory).
        (120, 0, 423.6, Surround.DARK),
        (120, 75, 423.6, Surround.DIM),
        (120, 76, 423.6, Surround.AVERAGE),
        (80, 50, 282.4, Surround.DIM),
    ],
)
def test_a_screen_counts_as_white_paper_of_its_brightness(
    white: float, room_lux: float, lux: float, surround: Surround
) -> None:
    viewing = viewing_on_screen(white, room_lux)
    assert viewing.lux == pytest.approx(lux, abs=0.05)
    assert viewing.surround is surround


@pytest.mark.parametrize(
    ("home", "judging", "words"),
    [
        (500, 2000, r"2.0 stops brighter: \+0.45 D .*about half of that, \+0.20 "),
        (2000, 500, r"2.0 stops dimmer: -0.46 D .*about half of that, -0.20 "),
        (500, 1210, r"1.3 stops brighter: \+0.29 D .*about half of that, \+0.15 "),
        (2000, 200, r"dimmer: no density .*bare white is dimmer.*part of the way, -0.20 "),
        (400, 500, r"0.3 stops brighter: \+0.0[67] D .*about half of that, \+0.05 "),
        (450, 500, r"0.2 stops brighter: \+0.03 D .*less than a step"),
        (500, 500, "alike"),
    ],
)
def test_the_reason_says_where_the_steps_lie(home: float, judging: float, words: str) -> None:
    assert re.search(words, bracket_reason(Viewing(home), Viewing(judging)))


def test_it_is_said_plainly_that_density_does_not_follow_the_light() -> None:
    assert ratio_warning(2.0).startswith("Density does not follow the ratio of the lights")
    assert "0.60 D" in ratio_warning(2.0)
    assert ratio_warning(0.0) == "Density does not follow the ratio of the lights."
