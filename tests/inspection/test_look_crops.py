"""What a crop shows of a print, and its twin of raised contrast."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from proofs.inspection.look_crops import (
    MOST_CROPS,
    crop_area,
    cropped_marks,
    overview_pixels,
    with_raised_contrast,
)
from proofs.inspection.marks import MarkKind
from proofs.lengths import Edge, PixelSize
from proofs.pixel_areas import Area
from tests.looks import a_speck, along, looked_at
from tests.workbench import a_job, a_plan

PRINT = PixelSize(3600, 2400)  # 12 x 8 in at 300 ppi


def test_a_crop_is_16_mm_round_the_middle_of_its_mark() -> None:
    area = crop_area(a_speck(100, 50, 1), PRINT, 300)
    assert area.size == PixelSize(189, 189)  # 16 mm
    middle = area.left + area.width / 2, area.top + area.height / 2
    assert np.abs(np.array(middle) / 300 * 25.4 - [100.5, 50.5]).max() < 0.1  # a pixel is 0.085 mm


@given(left=st.floats(0, 304), top=st.floats(0, 203), width=st.integers(20, 4000))
def test_a_crop_lies_in_the_print_and_holds_the_middle_of_its_mark(
    left: float, top: float, width: int
) -> None:
    whole = PixelSize(width, 2400)
    mark = a_speck(min(left, width / 300 * 25.4 - 0.6), top, 0.2)
    area = crop_area(mark, whole, 300)
    assert Area.of(whole).holds(area)
    x, y = (mm / 25.4 * 300 for mm in mark.area.centre)
    assert area.left - 1 <= x <= area.right + 1
    assert area.top - 1 <= y <= area.bottom + 1


def test_crops_are_of_borders_and_flaws_at_most_ten() -> None:
    plan = a_plan(a_job(), "12x8 in")
    border = along(Edge.TOP, (304.8, 203.2), width=5)
    picture = looked_at(plan, border, *(a_speck(20 + 9 * n, 50) for n in range(12)))
    kinds = [seen.mark.kind for _, seen in cropped_marks(picture)]
    assert kinds == [MarkKind.BORDER, *[MarkKind.SPECK] * (MOST_CROPS - 1)]
    assert all(picture.marks[place] is seen for place, seen in cropped_marks(picture))


@given(width=st.integers(1, 20_000), height=st.integers(1, 20_000))
def test_the_whole_picture_keeps_its_shape_and_is_never_enlarged(width: int, height: int) -> None:
    small = overview_pixels(PixelSize(width, height))
    assert small.width <= min(width, 917)  # 330 points at 200 ppi
    assert small.height <= min(height, 834)  # 300 points
    assert abs(small.width / width - small.height / height) <= 1 / min(width, height)


def test_raised_contrast_shows_a_faint_speck_eight_times_as_strong() -> None:
    codes = np.full((60, 60, 3), 150, np.uint8)
    codes[28:32, 28:32] = 145
    raised = with_raised_contrast(codes)
    assert (raised[0, 0] == 128).all()
    assert (raised[30, 30] == 128 - 8 * 5).all()


def test_raised_contrast_leaves_strong_crops_as_strong_as_they_are() -> None:
    random = np.random.default_rng(1)
    codes = random.choice([10, 128, 245], size=(60, 60, 3)).astype(np.uint8)
    raised = with_raised_contrast(codes).astype(int)
    assert np.abs(raised - codes).max() <= 1
