"""Crowds: many of a kind, nearly as sure, are the subject, at any size of print."""

from dataclasses import replace

import numpy as np
import pytest

from proofs.inspection.speck_candidates import Floats
from proofs.inspection.speck_crowds import crowd_taken
from proofs.inspection.speck_shapes import Shapes
from tests.inspection.grounds import MM, USUAL

LIMITS = replace(USUAL.specks, crowd_count=4, crowd_radius_mm=30, crowd_radius_share=0.25)
SMALL = 21_000.0  # mm²: 7 x 4 2/3 in
ROW: Floats = np.arange(7, dtype=np.float64) * 5  # mm: each is within 30 mm of all others


def spots(x_mm: Floats, radius_mm: float = 0.25, contrast: float = 10) -> Shapes:
    """Return shapes in a row, of 0.2 mm² each."""
    flat = {name: np.zeros(len(x_mm)) for name in Shapes.__slots__}
    flat |= {"x": x_mm * MM, "radius": np.full(len(x_mm), radius_mm * MM)}
    return Shapes(**flat | {"contrast": np.full(len(x_mm), contrast)})


def taken(shapes: Shapes, scores: Floats, area_mm2: float = SMALL) -> Floats:
    """Return what the crowd takes off each of these scores."""
    every = np.ones(len(scores), np.bool_)
    return crowd_taken(shapes, scores, every, LIMITS, px_per_mm=MM, area_mm2=area_mm2)


def test_each_one_beyond_the_count_takes_as_much_off_all_others() -> None:
    assert taken(spots(ROW[:5]), np.full(5, 2.0)).tolist() == [0] * 5
    assert taken(spots(ROW), np.full(7, 2.0)) == pytest.approx(np.full(7, 2 * 0.6))


def test_what_is_far_less_sure_is_no_company_but_a_surer_one_is() -> None:
    scores = np.array([6.0, *[1.5] * 6])
    assert taken(spots(ROW), scores) == pytest.approx([0, *[2 * 0.6] * 6])


def test_dark_specks_are_no_company_to_light_ones() -> None:
    shapes = spots(ROW)
    shapes = replace(shapes, contrast=np.where(np.arange(7) < 3, -10.0, 10.0))
    assert taken(shapes, np.full(7, 2.0)).tolist() == [0] * 7


def test_small_ones_as_strong_as_many_others_are_grain_whatever_their_sign() -> None:
    shapes = spots(np.linspace(0, 40, 9), radius_mm=0.1)
    shapes = replace(shapes, contrast=np.where(np.arange(9) % 2, -10.0, 10.0))
    assert taken(shapes, np.full(9, 2.0)) == pytest.approx(np.full(9, 2 * 0.6))


@pytest.mark.parametrize("times", [1, 2, 3])
def test_the_same_subject_is_a_crowd_at_any_size_of_print(times: int) -> None:
    """Its parts are ``times`` as far apart on a print of so much more on a side."""
    side = 4 * 35.0  # mm: a quarter of it is more than the least radius
    shapes = spots(ROW * times)
    found = taken(shapes, np.full(7, 2.0), area_mm2=(side * times) ** 2)
    assert found == pytest.approx(np.full(7, 2 * 0.6))


def test_dust_as_far_apart_is_no_crowd_on_a_small_print() -> None:
    assert taken(spots(ROW * 3), np.full(7, 2.0), area_mm2=140.0**2).tolist() == [0] * 7


def test_only_what_is_asked_for_is_worked_out() -> None:
    which = np.arange(7) == 3
    scores = np.full(7, 2.0)
    found = crowd_taken(spots(ROW), scores, which, LIMITS, px_per_mm=MM, area_mm2=SMALL)
    assert found == pytest.approx(np.where(which, 2 * 0.6, 0))
