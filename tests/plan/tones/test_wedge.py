"""The wedge as it is drawn: its steps, its frame, and that it keeps its proportions."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import ZERO, Length, inches, millimetres
from proofs.plan.tones.wedge import STEPS, UNITS_WIDE, Patch, step_box, wedge, wedge_size
from tests.near import ONE_NM

WIDTHS = st.integers(20_000_000, 200_000_000).map(Length)
SIZES = pytest.mark.parametrize("width", [inches(4), inches("1.5"), millimetres(100)])


def right(patch: Patch) -> Length:
    return patch.place.x + patch.size.width


def bottom(patch: Patch) -> Length:
    return patch.place.y + patch.size.height


def lies_inside(inner: Patch, outer: Patch) -> bool:
    across = outer.place.x < inner.place.x and right(inner) < right(outer)
    return across and outer.place.y < inner.place.y and bottom(inner) < bottom(outer)


def test_there_are_eleven_steps_from_black_to_white() -> None:
    assert [patch.lightness for patch in wedge(inches(4))[-11:]] == [10.0 * n for n in range(11)]


@SIZES
def test_the_steps_are_of_equal_width_and_touch(width: Length) -> None:
    steps = wedge(width)[-11:]
    assert {step.size for step in steps} == {steps[0].size}
    assert all(right(one) == other.place.x for one, other in pairwise(steps))


def test_a_wedge_of_any_width_leaves_no_gap_between_its_steps() -> None:
    steps = wedge(Length(37_654_321))[-11:]
    assert all(right(one) == other.place.x for one, other in pairwise(steps))


@given(WIDTHS)
def test_steps_differ_by_no_more_than_rounding(width: Length) -> None:
    widths = [step.size.width.nm for step in wedge(width)[-11:]]
    assert max(widths) - min(widths) <= ONE_NM


@given(WIDTHS)
def test_rim_frame_and_gap_lie_within_one_another(width: Length) -> None:
    rim, frame, gap, *steps = wedge(width)
    assert [rim.lightness, frame.lightness, gap.lightness] == [100, 0, 100]
    assert lies_inside(frame, rim)
    assert lies_inside(gap, frame)
    assert all(lies_inside(step, gap) for step in steps)


@given(WIDTHS)
def test_the_rim_is_the_whole_wedge(width: Length) -> None:
    rim = wedge(width)[0]
    assert (rim.place.x, rim.place.y, rim.size) == (ZERO, ZERO, wedge_size(width))


@given(WIDTHS, st.integers(0, 13))
def test_the_small_wedge_is_of_the_same_make_as_the_large(width: Length, number: int) -> None:
    large, small = wedge(3 * width)[number], wedge(width)[number]
    assert large.lightness == small.lightness
    assert abs(large.place.x.nm - 3 * small.place.x.nm) <= 3 * ONE_NM
    assert abs(large.size.height.nm - 3 * small.size.height.nm) <= 6 * ONE_NM


def test_a_small_wedge_fits_into_a_quarter_inch_of_margin() -> None:
    assert wedge_size(inches("1.5")).height <= inches("0.25")


@pytest.mark.parametrize(("number", "tone"), list(enumerate(STEPS)))
def test_a_step_lies_where_its_box_says(number: int, tone: float) -> None:
    width = inches(4)
    step = wedge(width)[3 + number]
    left, top, _, _ = step_box(number)
    assert step.lightness == tone
    assert (step.place.x * UNITS_WIDE, step.place.y * UNITS_WIDE) == (width * left, width * top)
