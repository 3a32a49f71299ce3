"""Specks: many of a kind are the subject, and what is not closed or not alone is none."""

import numpy as np
import pytest

from proofs.inspection.marks import MarkKind
from proofs.inspection.specks import level_count
from tests.inspection.grounds import PPI, marks_of, sky
from tests.inspection.planting import Codes, Planter


def with_dots(count: int, contrast: int = 60) -> Codes:
    """Return a sky with round dots of 0.07 mm2 at even distances, as drawn."""
    codes = sky().astype(int)
    y, x = np.mgrid[0:500, 0:700]
    columns = int(np.ceil(np.sqrt(count * 1.4)))
    for n in range(count):
        at = 60 + 580 * (n % columns) / columns, 60 + 380 * (n // columns) * columns / count
        codes[np.hypot(x - at[0], y - at[1]) < 1.8] += contrast
    return np.asarray(np.clip(codes, 0, 255), np.uint8)


def test_a_few_dots_are_marked() -> None:
    assert len(marks_of(with_dots(4), MarkKind.SPECK)) == 4


def test_a_sky_full_of_stars_is_the_subject() -> None:
    assert len(marks_of(with_dots(90), MarkKind.SPECK)) == 0


def test_dust_of_the_other_sign_is_still_found_among_stars() -> None:
    planter = Planter(with_dots(90), PPI, 2)
    planter.speck(0.6, -14)
    found = marks_of(planter.codes, MarkKind.SPECK)
    assert [mark.contrast < 0 for mark in found] == [True]


def test_a_line_is_no_speck() -> None:
    codes = sky()
    codes[250:253, 100:600] = 60
    assert marks_of(codes, MarkKind.SPECK) == []


def test_the_corner_of_a_wall_is_no_speck() -> None:
    codes = sky()
    codes[250:, 350:] = 60
    assert marks_of(codes, MarkKind.SPECK) == []


@pytest.mark.parametrize(("ppi", "levels"), [(150, 3), (300, 5), (720, 6)])
def test_there_are_levels_enough_for_the_largest_specks(ppi: int, levels: int) -> None:
    widest = 1.4 * np.sqrt(2) * 2 ** (level_count(ppi / 25.4) - 1)  # pixels, of the coarsest level
    assert widest >= ppi / 25.4  # a radius of 1 mm
    assert level_count(ppi / 25.4) <= levels
