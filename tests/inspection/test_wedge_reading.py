"""The wedge found in simulated scans and read back, and refused where there is none.

The lab and the scanner are those of ``print_and_scan``; their settings are the reference, so
that every figure here is computed. Densities: -log10 R (CIE e-ILV 17-24-073), L* by CIE 15.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from proofs.inspection.wedge_finding import find_wedge
from proofs.inspection.wedge_reading import WedgeReading
from proofs.lengths import Length
from tests.inspection.print_and_scan import (
    INK,
    LARGE,
    MID_DENSITY,
    PAPER,
    SMALL,
    Scan,
    light_of,
    linear,
    printed,
    scanned,
    sheet,
)
from tests.near import CODES_8_BIT, PRINTED_DENSITY, READ_BACK, TURN_DEGREES

BOTH_SIZES = pytest.mark.parametrize("width", [LARGE, SMALL], ids=["large", "small"])
ROUGH = Scan(turn=-8, ppi=200, noise=2, gradient=0.35, gradient_way=30, blur=0.7, veil=0.01)


def hundredths(least: float, most: float) -> st.SearchStrategy[float]:
    """Numbers of two decimals."""
    return st.integers(round(100 * least), round(100 * most)).map(lambda number: number / 100)


SCANS = st.builds(
    Scan,
    width=st.sampled_from([LARGE, SMALL]),
    offset=hundredths(-0.10, 0.20),
    turn=hundredths(-10, 10),
    ppi=st.sampled_from([160, 200]),
    noise=hundredths(0, 2.5),
    gradient=hundredths(0, 0.4),
    gradient_way=hundredths(0, 360),
    blur=hundredths(0, 0.9),
    veil=hundredths(0, 0.02),
    exposure=hundredths(0.7, 0.95),
    seed=st.integers(0, 99),
)
CLEAN = Scan(ppi=100, surroundings=False)
LEFT_PX, TOP_PX = 160, 240  # the wedge's top left in a clean scan: 1.6 in, 2.4 in


def refusal(light: NDArray[np.float32]) -> str:
    with pytest.raises(ValueError, match="scan") as refused:
        find_wedge(light)
    return str(refused.value)


def framed(tones: NDArray[np.float64]) -> NDArray[np.float32]:
    """A clean scan whose wedge holds these L* from left to right, instead of its own."""
    paper = sheet(CLEAN)
    rows, columns = slice(480 + 48, 480 + 80), slice(320 + 48, 320 + 752)
    paper = paper.copy()
    paper[rows, columns] = [printed(float(t), 0) for t in np.repeat(tones, 704 // len(tones))]
    return linear(scanned(paper, CLEAN))


def turn_found(reading: WedgeReading, asked: float) -> float:
    return (reading.turn_degrees - asked + 180) % 360 - 180


@settings(max_examples=10)
@given(SCANS)
def test_an_offset_of_the_lab_is_read_back(scan: Scan) -> None:
    reading = find_wedge(light_of(scan))
    assert reading.offset == pytest.approx(scan.offset, abs=READ_BACK)
    assert turn_found(reading, scan.turn) == pytest.approx(0, abs=TURN_DEGREES)


@BOTH_SIZES
@pytest.mark.parametrize("offset", [-0.10, 0.0, 0.20])
def test_the_offset_is_read_from_a_rough_scan_too(width: Length, offset: float) -> None:
    reading = find_wedge(light_of(replace(ROUGH, width=width, offset=offset)))
    assert reading.offset == pytest.approx(offset, abs=READ_BACK)


@BOTH_SIZES
@pytest.mark.parametrize("turn", [0, 90, 180, 270, 97])
def test_the_dark_end_is_found_however_the_sheet_is_turned(width: Length, turn: float) -> None:
    reading = find_wedge(light_of(Scan(width=width, turn=turn, offset=0.1)))
    assert turn_found(reading, turn) == pytest.approx(0, abs=TURN_DEGREES)
    assert reading.offset == pytest.approx(0.1, abs=READ_BACK)


def test_every_step_is_read() -> None:
    """The lab's error is a power of the light, so each density grows by the same share."""
    reading = find_wedge(light_of(Scan(offset=0.10, ppi=200)))
    share = 0.10 / MID_DENSITY
    asked = [step.density_asked or 0 for step in reading.steps[4:]]
    found = [step.difference for step in reading.steps[4:]]
    assert found == pytest.approx([share * density for density in asked], abs=READ_BACK / 2)


def test_the_requested_densities_match_the_table() -> None:
    """L* 20, 50, 80 and 90 are the D below: -log10 of CIE's Y, computed."""
    steps = find_wedge(light_of(CLEAN)).steps
    asked = [steps[number].density_asked for number in (2, 5, 8, 9)]
    assert asked == pytest.approx([1.52447, 0.73474, 0.24656, 0.11746], abs=PRINTED_DENSITY)


def test_a_clean_scan_of_a_perfect_print_reads_as_requested() -> None:
    reading = find_wedge(light_of(CLEAN))
    assert [step.lightness_read for step in reading.steps] == pytest.approx(
        [10.0 * n for n in range(11)], abs=0.5
    )
    assert reading.offset == pytest.approx(0, abs=CODES_8_BIT)


def test_the_black_step_has_no_density() -> None:
    black = find_wedge(light_of(CLEAN)).steps[0]
    assert (black.density_asked, black.density_read, black.difference) == (None, None, None)


def test_the_prints_black_is_given_as_a_share_of_white() -> None:
    assert find_wedge(light_of(CLEAN)).black == pytest.approx(INK / PAPER, abs=0.003)


def test_uneven_light_is_measured() -> None:
    even = find_wedge(light_of(CLEAN)).evenness
    uneven = find_wedge(light_of(replace(CLEAN, gradient=0.5))).evenness
    assert even > 0.98
    assert 0.6 < uneven < 0.85


def test_burnt_white_is_measured() -> None:
    assert find_wedge(light_of(replace(CLEAN, exposure=0.9))).burnt == 0
    assert find_wedge(light_of(replace(CLEAN, exposure=1.1))).burnt > 0.95


def test_noise_increases_the_doubt() -> None:
    quiet = find_wedge(light_of(replace(CLEAN, noise=1))).noise
    noisy = find_wedge(light_of(replace(CLEAN, noise=4))).noise
    assert 2 * quiet < noisy < READ_BACK


def test_a_photograph_taken_at_an_angle_is_read() -> None:
    light = light_of(Scan(ppi=150, offset=0.1, noise=1))
    rows, columns = np.mgrid[0 : light.shape[0], 0 : light.shape[1]].astype(float)
    depth = 1 + 0.12 * columns / light.shape[1] + 0.06 * rows / light.shape[0]
    y = np.clip(rows * depth / 1.05, 0, light.shape[0] - 1).astype(int)
    x = np.clip(columns * depth / 1.05, 0, light.shape[1] - 1).astype(int)
    assert find_wedge(light[y, x]).offset == pytest.approx(0.1, abs=READ_BACK)


def test_a_wedge_alone_on_a_black_background_is_read() -> None:
    clean = light_of(CLEAN)
    ground = np.full((500, 700), 0.01, np.float32)
    ground[200:264, 150:550] = clean[TOP_PX : TOP_PX + 64, LEFT_PX : LEFT_PX + 400]
    assert find_wedge(ground).offset == pytest.approx(0, abs=CODES_8_BIT)


def test_a_dark_photograph_of_a_sheet_on_a_bright_table_is_read() -> None:
    table = np.ones((700, 1000), np.float32)
    table[100:600, 100:900] = light_of(CLEAN) * 0.3
    assert find_wedge(table).offset == pytest.approx(0, abs=CODES_8_BIT)


def test_dust_and_a_hair_on_the_wedge_do_not_count() -> None:
    light = light_of(CLEAN).copy()
    light[TOP_PX + 16 : TOP_PX + 20, LEFT_PX + 60 : LEFT_PX + 90] = 0.4  # in the gap
    light[TOP_PX + 30 : TOP_PX + 32, LEFT_PX + 30 : LEFT_PX + 370] = 0.9  # along the steps
    light[TOP_PX + 26 : TOP_PX + 38, LEFT_PX + 192] = 0.02  # across L* 50
    assert find_wedge(light).offset == pytest.approx(0, abs=READ_BACK)


@pytest.mark.parametrize(
    "light",
    [
        np.full((600, 800), 0.9, np.float32),
        np.zeros((600, 800), np.float32),
        np.full((2, 3), 0.5, np.float32),
        np.random.default_rng(1).random((600, 800), np.float32),
    ],
    ids=["white", "black", "tiny", "noise"],
)
def test_a_picture_without_a_wedge_is_refused(light: NDArray[np.float32]) -> None:
    assert "no whole grey wedge" in refusal(light)


def test_a_sheet_without_a_wedge_is_refused() -> None:
    light = light_of(Scan(ppi=150)).copy()
    light[345:480, 225:860] = 0.9  # its surroundings stay: pictures, frame, rule, lettering
    assert "no whole grey wedge" in refusal(light)


def test_a_wedge_cut_in_half_is_refused() -> None:
    assert "no whole grey wedge" in refusal(light_of(CLEAN)[:, LEFT_PX + 200 :])


@pytest.mark.parametrize(
    "part",
    [
        np.s_[:, LEFT_PX + 8 :],
        np.s_[:, : LEFT_PX + 392],
        np.s_[: TOP_PX + 59, :],
        np.s_[TOP_PX + 5 :, :],
    ],
    ids=["left", "right", "bottom", "top"],
)
def test_a_frame_cut_off_by_the_edge_of_the_scan_is_refused(part: tuple[slice, slice]) -> None:
    assert "touches the edge" in refusal(light_of(CLEAN)[part])


@pytest.mark.parametrize(
    "tones",
    [
        np.linspace(0, 100, 704),
        np.repeat(np.linspace(0, 100, 22), 32),
        np.linspace(0, 100, 8),
        np.full(11, 50.0),
        np.array([0, 40, 10, 30, 20, 50, 60, 70, 80, 90, 100.0]),
    ],
    ids=["smooth", "too-many", "too-few", "grey", "mixed-up"],
)
def test_a_frame_without_the_steps_is_refused(tones: NDArray[np.float64]) -> None:
    assert "not its eleven grey steps" in refusal(framed(tones))


def test_the_steps_of_the_wedge_in_the_same_frame_are_read() -> None:
    assert find_wedge(framed(np.linspace(0, 100, 11))).offset == pytest.approx(0, abs=CODES_8_BIT)


def test_a_hand_over_the_steps_is_refused() -> None:
    light = light_of(CLEAN).copy()
    light[TOP_PX + 12 : TOP_PX + 52, LEFT_PX + 150 : LEFT_PX + 260] = 0.35
    assert "nothing may cover" in refusal(light)


def test_a_blurred_wedge_is_refused_rather_than_misread() -> None:
    scan = Scan(width=SMALL, ppi=300, blur=4, offset=0.1, surroundings=False)
    assert "too blurred" in refusal(light_of(scan))
