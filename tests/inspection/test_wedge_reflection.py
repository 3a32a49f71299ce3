"""Reflections and shadows on the wedge: measured, taken off, cautioned about or refused.

The light added is the reference; so is the error given to the simulated lab (all computed).
"""

import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from proofs.commands.strip_read import cautions
from proofs.inspection.wedge_finding import find_wedge
from proofs.inspection.wedge_light import white_field
from proofs.inspection.wedge_pose import WedgePose
from proofs.inspection.wedge_reading import WedgeReading
from proofs.inspection.wedge_reflection import StrayLight, stray_light
from tests.inspection.photographs import (
    LEFT_IN,
    TOP_IN,
    Photograph,
    Shadow,
    Spot,
    codes_with_spot,
    drawn,
    lamp_over_the_middle,
    photographed,
)
from tests.inspection.print_and_scan import Scan, light_of, linear
from tests.near import ADDED_LIGHT, CODES_8_BIT, PHOTOGRAPHED, READ_BACK

SCAN = Scan(exposure=0.75, surroundings=False)
SEARCH_SECONDS = 5.0  # of processor, for a picture of 12 megapixels without a wedge


def under_a_lamp(strength: float, scan: Scan = SCAN) -> NDArray[np.float32]:
    return linear(codes_with_spot(scan, lamp_over_the_middle(strength, scan)))


def stray_in(light: NDArray[np.float32], scan: Scan = SCAN) -> StrayLight:
    """The stray light of a scan that is not turned, at the place where the wedge was drawn."""
    unit = scan.width.inches * scan.ppi / 100
    left, top = LEFT_IN * scan.ppi - 0.5, TOP_IN * scan.ppi - 0.5
    pose = WedgePose(np.array([[unit, 0, left], [0, unit, top], [0, 0, 1.0]]))
    return stray_light(light, pose, white_field(light, pose))


def cautioned(reading: WedgeReading) -> bool:
    words = ("a reflection or a shadow", "as from a small reflection")
    return any(word in caution for caution in cautions(reading) for word in words)


@pytest.mark.parametrize(
    ("strength", "offset"), [(0.02, 0.0), (0.02, 0.12), (0.05, 0.0), (0.05, 0.12), (0.10, 0.0)]
)
def test_a_lamp_over_the_middle_is_taken_off_and_cautioned_about(
    strength: float, offset: float
) -> None:
    reading = find_wedge(under_a_lamp(strength, replace(SCAN, offset=offset, noise=1)))
    assert reading.offset == pytest.approx(offset, abs=READ_BACK)
    assert abs(reading.offset - offset) < reading.doubt
    assert cautioned(reading)


def test_a_strong_lamp_is_refused_with_the_remedy() -> None:
    with pytest.raises(ValueError, match=r"reflection.*switch the light off.*tilt.*or scan"):
        find_wedge(under_a_lamp(0.20))


def test_what_a_lamp_added_is_what_is_made_up_for() -> None:
    """Mid grey: Y 0.1842 of white. The scan's black is 0.0084, its white 0.75; a lamp adds 0.02.

    Mid grey was 0.0084 + 0.7416 x 0.1842 = 0.1450, and is 0.1650. Measured against the white of the
    whole wedge it looks -log10(0.1566 / 0.7416) = 0.675 D, against white that has all of the lamp
    on it -log10(0.1566 / 0.7616) = 0.687 D, rather than 0.735: 0.048 to 0.060 D too light. White
    follows the lamp only in part, so the truth lies between.
    """
    assert 0.048 < find_wedge(under_a_lamp(0.02)).reflection < 0.060


def test_the_light_added_to_each_step_is_measured() -> None:
    """A lamp of 0.10, spreading 0.533 in: on L* 50 it adds 0.10, and z spreads away exp(-z² / 2).

    A step is 0.32 in wide. L* 40 is 0.60 spreads away (0.0835), L* 30 1.20 (0.0487), L* 20 1.80
    (0.0198), L* 10 2.40 (0.0056); black is 3 spreads away, and its 0.0011 counts as none.
    """
    light = under_a_lamp(0.10)
    stray, clean = stray_in(light), stray_in(under_a_lamp(0.0))
    expected = np.array([0.0, 0.0056, 0.0198, 0.0487, 0.0835, 0.100])
    # In shares of white: that of the scan, 0.75, times what is said to fall is what is there.
    white = 0.75 * clean.fallen[:6] / stray.fallen[:6]
    assert (stray.added[:6] * white).tolist() == pytest.approx(expected.tolist(), abs=ADDED_LIGHT)
    assert np.abs(clean.added).max() < ADDED_LIGHT / 4


def test_an_even_veil_is_no_reflection() -> None:
    reading = find_wedge(light_of(replace(SCAN, veil=0.05)))
    assert reading.reflection == pytest.approx(0, abs=CODES_8_BIT / 2)
    assert not cautioned(reading)


@pytest.mark.parametrize("way", [0, 45, 90, 200])
def test_light_that_falls_off_is_no_reflection(way: float) -> None:
    reading = find_wedge(light_of(replace(SCAN, gradient=0.4, gradient_way=way, noise=2)))
    assert reading.reflection == pytest.approx(0, abs=CODES_8_BIT)
    assert reading.reflection_doubt < READ_BACK / 2
    assert not cautioned(reading)


def test_the_shadow_of_a_hand_is_made_up_for() -> None:
    """Its edge lies across L* 50, where half of what is taken, a quarter of the light, is gone."""
    shadow = Shadow(0.5, LEFT_IN + 2.0, TOP_IN + 0.32, 0.0, 0.4)
    taken = Photograph(replace(SCAN, offset=0.05, noise=1), shadows=(shadow,))
    reading = find_wedge(photographed(taken))
    assert reading.offset == pytest.approx(0.05, abs=READ_BACK)


def small_lamp(strength: float, wide_in: float) -> NDArray[np.float32]:
    """A lamp on the step of L* 50 that hardly reaches the frame, if at all.

    A step is 0.32 x 0.16 in, and the frame's line is 0.24 in from its middle: of a spread of
    0.08 in it gets exp(-9 / 2), or 1 %.
    """
    spot = Spot(strength, LEFT_IN + 2.0, TOP_IN + 0.32, wide_in, wide_in)
    return linear(codes_with_spot(replace(SCAN, noise=1), spot))


@pytest.mark.parametrize("wide_in", [0.05, 0.08, 0.10, 0.12, 0.16])
def test_a_small_lamp_on_one_step_is_cautioned_about(wide_in: float) -> None:
    reading = find_wedge(small_lamp(0.02, wide_in))
    assert READ_BACK < abs(reading.offset) < reading.doubt + READ_BACK / 2
    assert cautioned(reading)


@pytest.mark.parametrize("wide_in", [0.08, 0.10])
def test_a_stronger_small_lamp_on_one_step_is_refused(wide_in: float) -> None:
    with pytest.raises(ValueError, match=r"reflection.*switch the light off"):
        find_wedge(small_lamp(0.05, wide_in))


@pytest.mark.parametrize("seed", [8, 24, 29, 43, 45, 57, 67, 118])
def test_a_photograph_with_a_reflection_is_read_right(seed: int) -> None:
    """Without the frame's help, all of these were read 0.06 to 0.21 D off."""
    taken = drawn(seed)
    reading = find_wedge(photographed(taken))
    assert reading.offset == pytest.approx(taken.print.offset, abs=PHOTOGRAPHED)
    assert cautioned(reading)


@pytest.mark.parametrize("seed", [63, 158, 196, 198])
def test_what_is_still_read_wrong_is_cautioned_about(seed: int) -> None:
    """Small spots beside the frame's reach, and the edge of a hard shadow on a small wedge."""
    taken = drawn(seed)
    reading = find_wedge(photographed(taken))
    assert READ_BACK < abs(reading.offset - taken.print.offset) < 2 * reading.doubt
    assert cautioned(reading)


@pytest.mark.parametrize("seed", [91, 102, 108])
def test_a_photograph_under_a_strong_reflection_is_refused(seed: int) -> None:
    with pytest.raises(ValueError, match="a reflection or a shadow"):
        find_wedge(photographed(drawn(seed)))


@pytest.mark.parametrize("seed", [0, 2, 10, 15, 19, 52])
def test_a_photograph_without_reflection_or_shadow_gets_no_caution(seed: int) -> None:
    taken = drawn(seed)
    reading = find_wedge(photographed(taken))
    assert (taken.spots, taken.shadows) == ((), ())
    assert reading.offset == pytest.approx(taken.print.offset, abs=PHOTOGRAPHED)
    assert not cautioned(reading)


def boxes() -> NDArray[np.bool_]:
    """Twenty thousand empty frames of the wedge's proportions."""
    rows, columns = np.mgrid[0:3000, 0:4000]
    across, down = columns % 126, rows % 21
    inside = (across >= 2) & (across < 118) & (down >= 2) & (down < 15)
    return np.asarray((across < 120) & (down < 17) & ~inside)


def comb() -> NDArray[np.bool_]:
    """A comb of a thousand teeth."""
    rows, columns = np.mgrid[0:3000, 0:4000]
    return np.asarray((columns % 4 < 2) | (rows >= 2997))


def grains() -> NDArray[np.bool_]:
    """Noise, as dense as noise can be before it is one shape: 0.41 of pixels, from memory."""
    return np.asarray(np.random.default_rng(2).random((3000, 4000)) < 0.40)


@pytest.mark.parametrize("pattern", [boxes, comb, grains])
def test_a_search_in_vain_ends_in_time(pattern: Callable[[], NDArray[np.bool_]]) -> None:
    light = np.where(pattern(), np.float32(0.01), np.float32(0.9))
    before = time.process_time()
    with pytest.raises(ValueError, match="scan"):
        find_wedge(light)
    assert time.process_time() - before < SEARCH_SECONDS
