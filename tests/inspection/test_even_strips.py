"""Even strips along a side: borders, strokes, hairlines; and what is none of them."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofs.inspection.even_strips import even_strips
from proofs.inspection.strip_colours import Codes, Strip
from tests.inspection.grounds import MM, USUAL

MOST_PX = USUAL.borders.most_width_mm * MM
COLOURS = ((255, 255, 255), (0, 0, 0), (200, 20, 30), (128, 128, 128))


def picture(depth: int = 150, along: int = 240, seed: int = 1) -> Codes:
    """Return the lines of a lively picture: waves of all colours, and noise."""
    y, x = np.mgrid[0:depth, 0:along]
    waves = [np.sin(x / 9 + y / 31 + n) + np.cos(y / 17 - x / 23 + 2 * n) for n in range(3)]
    noise = np.random.default_rng(seed).normal(0, 2, (depth, along, 3))
    return np.asarray(np.clip(115 + 40 * np.stack(waves, axis=-1) + noise, 0, 255), np.float32)


def found(lines: Codes) -> tuple[Strip, ...]:
    return even_strips(lines, USUAL.borders, MOST_PX)


@settings(max_examples=25)
@given(width=st.integers(1, 70), colour=st.sampled_from(COLOURS))
def test_a_border_is_as_wide_as_it_is(width: int, colour: tuple[int, int, int]) -> None:
    lines = picture()
    lines[:width] = colour
    (strip,) = found(lines)
    assert (strip.start, strip.width, strip.is_stroke) == (0, width, False)
    assert strip.codes == pytest.approx(colour)


def test_a_picture_without_a_border_has_none() -> None:
    assert found(picture()) == ()


def test_a_plain_ground_has_none_either() -> None:
    assert found(np.full((150, 240, 3), 250, np.float32)) == ()


def test_what_is_wider_than_a_border_is_a_margin_and_meant() -> None:
    lines = picture()
    lines[: round(MOST_PX) + 5] = 255
    assert found(lines) == ()


@settings(max_examples=25)
@given(start=st.integers(5, 90), width=st.integers(1, 12))
def test_a_stroke_within_a_margin_is_found(start: int, width: int) -> None:
    lines = picture()
    lines[:110] = (255, 255, 255)
    lines[start : start + width] = (200, 20, 30)
    (stroke,) = found(lines)
    assert stroke.is_stroke
    assert (stroke.start, stroke.width) == (start, width)
    assert stroke.codes == pytest.approx((200, 20, 30))


def test_a_line_where_the_margin_meets_the_picture_is_a_stroke() -> None:
    lines = picture()
    lines[:40] = 255
    lines[40:43] = 0
    border, stroke = found(lines)
    assert (border.width, border.is_stroke) == (43, False)
    assert (stroke.start, stroke.width, stroke.is_stroke) == (40, 3, True)


def test_a_half_transparent_hairline_is_found() -> None:
    lines = picture()
    lines[0] = 0.6 * lines[0] + 0.4 * 250
    lines[1] = 0.8 * lines[1] + 0.2 * 250
    (strip,) = found(lines)
    assert strip.width == pytest.approx(1.5, abs=0.3)


def test_a_picture_that_changes_from_line_to_line_has_no_hairline() -> None:
    # Every line mixes a tenth of another one into the line before it, outwards as inwards.
    random = np.random.default_rng(2)
    lines = np.empty((150, 240, 1))
    lines[0] = random.normal(115, 30, (240, 1))
    for n in range(1, 150):
        lines[n] = 115 + 0.95 * (lines[n - 1] - 115) + random.normal(0, 3, (240, 1))
    assert found(np.asarray(np.clip(lines.repeat(3, axis=2), 0, 255), np.float32)) == ()


def boards(grain: float, own: float, seed: int = 4) -> Codes:
    """Return boards with a dark joint, two lines wide, along the side.

    The light varies along them. ``grain`` runs across the lines, codes; in the joint, which is in
    shadow, there is none, but unevenness of its ``own``.
    """
    random = np.random.default_rng(seed)
    x = np.arange(240)
    light = 120 + 25 * np.sin(x / 30)
    lines = np.tile(light + grain * random.normal(0, 1, 240), (150, 1))
    lines[:2] = 0.5 * light + 15 + own * random.normal(0, 1, 240)
    noise = random.normal(0, 0.5, lines.shape)
    return np.asarray((lines + noise)[..., None].repeat(3, axis=2), np.float32)


def test_a_joint_of_boards_through_which_no_grain_shows_is_no_hairline() -> None:
    assert found(boards(grain=8, own=1)) == ()


def test_a_joint_that_is_more_uneven_than_the_boards_is_no_hairline() -> None:
    assert found(boards(grain=0, own=5)) == ()


def test_a_hairline_over_boards_is_found() -> None:
    lines = boards(grain=8, own=0)
    lines[:2] = 0.5 * lines[2:4] + 15
    (strip,) = found(lines)
    assert strip.width == pytest.approx(2, abs=0.3)


def test_a_line_that_leaves_most_of_the_side_as_it_is_is_no_hairline() -> None:
    lines = picture()
    lines[:, :150] = 250
    lines[0] = 0.6 * lines[0] + 0.4 * 250
    assert found(lines) == ()


def test_a_slightly_turned_border_is_found_with_its_mean_width() -> None:
    lines = picture()
    depth = np.linspace(6, 12, lines.shape[1])
    cover = np.clip(depth - np.arange(150)[:, None], 0, 1)[..., None]
    (strip,) = found(np.asarray(lines * (1 - cover) + 255 * cover, np.float32))
    assert strip.width == pytest.approx(9, abs=1)


def test_a_sky_that_darkens_evenly_is_no_border() -> None:
    lines = np.broadcast_to(np.linspace(200, 120, 150)[:, None, None], (150, 240, 3))
    assert found(np.asarray(lines, np.float32)) == ()


def shaded(across: np.ndarray, along: np.ndarray) -> Codes:
    """A ground of one colour in a light that changes inwards and along a side, with grain."""
    grain = np.random.default_rng(3).normal(0, 1, (len(across), len(along)))
    tones = 150 * across[:, None] * along[None, :] + grain
    return np.asarray(np.clip(tones, 0, 255)[..., None].repeat(3, axis=2), np.float32)


@pytest.mark.parametrize("penumbra", [4, 8, 16])
@pytest.mark.parametrize("width", [3, 12, 40])
def test_a_soft_shadow_cut_along_its_length_is_no_border(width: int, penumbra: int) -> None:
    inwards = np.arange(150)
    edge = 0.6 + 0.4 * np.clip((inwards - width) / penumbra, 0, 1)
    along = np.linspace(1.04, 0.96, 240)  # light falls off along it
    assert found(shaded(edge, along)) == ()


def test_a_hard_shadow_whose_tone_changes_along_it_is_no_border() -> None:
    edge = np.where(np.arange(150) < 20, 0.6, 1.0)
    assert found(shaded(edge, np.linspace(1.05, 0.95, 240))) == ()
    (strip,) = found(shaded(edge, np.ones(240)))
    assert (strip.width, strip.is_stroke) == (20, False)


def test_a_sky_that_stops_darkening_holds_no_stroke() -> None:
    # As a sky between two clouds: even lines, first of slowly falling light, then of another tone.
    tones = np.concatenate([np.linspace(0.5, 0.58, 31), np.full(119, 0.64)])
    assert found(shaded(tones, np.ones(240))) == ()


def test_a_picture_that_fades_towards_its_edge_has_no_hairline() -> None:
    lines = picture()
    for n in range(8):
        lines[n] = lines[9] + (115 - lines[9]) * 0.22 * (1 - n / 8)
    assert found(lines) == ()


@pytest.mark.parametrize("enlarged", [2, 3])
def test_a_border_enlarged_with_its_picture_is_found(enlarged: int) -> None:
    lines = picture(along=120)
    lines[:2] = 250
    large = lines.repeat(enlarged, axis=0).repeat(enlarged, axis=1)
    kernel = np.ones(enlarged) / enlarged
    soft = np.apply_along_axis(
        np.convolve, 0, np.pad(large, ((8, 8), (0, 0), (0, 0)), "edge"), kernel, mode="same"
    )[8:-8]
    (strip,) = found(np.asarray(soft, np.float32))
    assert strip.width == pytest.approx(2 * enlarged, abs=1.5)
