"""Hairs and scratches alone: what is found of planted ones, and what is none of them."""

from collections.abc import Sequence

import numpy as np
import pytest

from proofs.inspection.lightness_levels import levels_of
from proofs.inspection.lines import lines
from proofs.inspection.marks import Mark
from tests.inspection.grounds import MM, PPI, USUAL, sky
from tests.inspection.planting import Codes, Planted, Planter, lightness

ROWS = 256


def found(codes: Codes) -> list[Mark]:
    full, half = levels_of(lightness(codes), 2)
    return lines(full, half, USUAL.lines, MM, ROWS)


def is_on(mark: Mark, line: Planted) -> bool:
    """Whether a mark covers the middle of a planted line, and is about as long."""
    area, (x, y) = mark.area, (line.x / MM, line.y / MM)
    is_there = area.left - 1 <= x <= area.left + area.width + 1
    is_there &= area.top - 1 <= y <= area.top + area.height + 1
    return is_there and mark.length_mm == pytest.approx(line.length_mm, rel=0.35)


def share_found(marks: Sequence[Mark], planted: Sequence[Planted]) -> float:
    return float(np.mean([any(is_on(mark, line) for mark in marks) for line in planted]))


def hairs(seed: int, lengths_mm: tuple[float, float], contrast: float) -> Planter:
    """A sky with bent hairs of about one contrast."""
    planter = Planter(sky(seed=seed), PPI, seed)
    for _ in range(4):
        length = float(planter.random.uniform(*lengths_mm))
        planter.line("hair", length, contrast, bend=0.8 / length)
    return planter


@pytest.mark.parametrize("seed", [11, 12, 13])
@pytest.mark.parametrize("contrast", [-20, 20])
def test_short_bent_hairs_are_found_light_or_dark(seed: int, contrast: float) -> None:
    planter = hairs(seed, (5, 10), contrast)
    assert len(planter.planted) >= 2
    assert share_found(found(planter.codes), planter.planted) == 1


@pytest.mark.parametrize("seed", [21, 22, 23])
def test_faint_scratches_are_found(seed: int) -> None:
    planter = Planter(sky(seed=seed), PPI, seed)
    planter.line("scratch", 22, -8)
    planter.line("scratch", 16, 8)
    assert share_found(found(planter.codes), planter.planted) == 1


def test_a_mark_has_the_sign_of_its_line() -> None:
    for contrast in (-14.0, 14.0):
        planter = Planter(sky(), PPI, 7)
        planter.line("scratch", 25, contrast)
        (mark,) = found(planter.codes)
        assert mark.contrast * contrast > 0


def test_a_hair_beside_a_slanting_scratch_is_a_mark_of_its_own() -> None:
    # The rectangle round the scratch holds the hair: only what continues a line belongs to it.
    planter = Planter(sky(), PPI, 1)
    y, x = np.mgrid[0:500, 0:700]
    codes = planter.codes.astype(int)
    codes[np.abs(y - 0.6 * x - 30) < 1] -= 40
    codes[(np.abs(y - 0.6 * (x - 420) - 60) < 1) & (x > 420) & (x < 500)] -= 40
    marks = found(np.asarray(np.clip(codes, 0, 255), np.uint8))
    assert sorted(round(mark.length_mm or 0) for mark in marks) == pytest.approx([8, 68], abs=2)


def test_an_interrupted_scratch_is_one_mark() -> None:
    codes = sky().astype(int)
    codes[250:252, 100:600] -= 35
    codes[250:252, 340:356] += 35  # a gap of 1.4 mm
    (mark,) = found(np.asarray(codes, np.uint8))
    assert mark.length_mm == pytest.approx(500 / MM, abs=2)


def test_two_scratches_end_to_end_but_far_apart_are_two() -> None:
    codes = sky().astype(int)
    codes[250:252, 60:300] -= 35
    codes[250:252, 400:640] -= 35  # a gap of 8 mm
    assert len(found(np.asarray(codes, np.uint8))) == 2


def test_an_edge_is_no_line() -> None:
    codes = sky()
    codes[250:] = 60
    assert found(codes) == []


def test_a_broad_band_is_no_hair() -> None:
    codes = sky()
    codes[240:275, 100:600] = 60  # 3 mm
    assert found(codes) == []


def test_the_strings_of_a_harp_are_the_subject() -> None:
    one, many = sky().astype(int), sky().astype(int)
    one[40:460, 350:352] -= 25
    for x in range(60, 660, 22):
        many[40:460, x : x + 2] -= 25
    assert len(found(np.asarray(one, np.uint8))) == 1
    assert len(found(np.asarray(many, np.uint8))) <= 3  # of 28: the outermost have few beside them


@pytest.mark.parametrize("seed", [31, 32, 33])
def test_grain_alone_has_no_lines(seed: int) -> None:
    assert found(sky(seed=seed, grain=3)) == []


def test_the_height_of_the_strips_changes_no_line() -> None:
    planter = hairs(11, (5, 10), -20)
    full, half = levels_of(lightness(planter.codes), 2)
    assert lines(full, half, USUAL.lines, MM, 48) == found(planter.codes)


@pytest.mark.parametrize("seed", [41, 42, 43])
@pytest.mark.parametrize("contrast", [-6, 6])
def test_long_hairs_of_low_contrast_are_found(seed: int, contrast: float) -> None:
    planter = hairs(seed, (12, 25), contrast)
    assert len(planter.planted) >= 2
    assert share_found(found(planter.codes), planter.planted) == 1
