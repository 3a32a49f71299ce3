"""Rectangles in whole pixels: what one leaves of another, and what they share (geometry)."""

from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import Length, PixelSize
from proofs.pixel_areas import Area, pixels, pixels_at_least, pixels_at_most

sides = st.integers(1, 4000)
areas = st.builds(Area, st.integers(-500, 500), st.integers(-500, 500), sides, sides)


@given(areas, areas)
def test_what_two_share_lies_in_both_and_what_is_around_them_holds_both(
    one: Area, other: Area
) -> None:
    shared, around = one.shared(other), Area.around([one, other])
    assert (min(shared.width, shared.height) > 0) == one.touches(other)
    if one.touches(other):
        assert one.holds(shared)
        assert other.holds(shared)
    assert around.holds(one)
    assert around.holds(other)


@given(areas, st.integers(0, 300))
def test_an_area_grown_and_shrunk_again_is_the_same(area: Area, by: int) -> None:
    assert area.grown(by).grown(-by) == area
    assert area.grown(by).holds(area)


def test_an_area_shrinks_to_nothing_at_the_least() -> None:
    assert (Area(0, 0, 5, 9).grown(-3).width, Area(0, 0, 5, 9).grown(-3).height) == (0, 3)


@given(areas, sides, sides)
def test_an_odd_pixel_is_left_over_right_and_below(area: Area, width: int, height: int) -> None:
    lying = area.centred(PixelSize(width, height))
    assert (area.right - lying.right) - (lying.left - area.left) in (0, 1)
    assert (area.bottom - lying.bottom) - (lying.top - area.top) in (0, 1)


@given(st.integers(-(10**9), 10**9).map(Length), st.integers(72, 2880))
def test_pixels_of_a_length_lie_between_the_fewest_and_the_most(length: Length, ppi: int) -> None:
    fewest, most = pixels_at_most(length, ppi), pixels_at_least(length, ppi)
    assert fewest <= pixels(length, ppi) <= most <= fewest + 1
