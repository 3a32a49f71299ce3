"""Staircases of sizes, compared with a trial of every size on a small grid."""

from collections.abc import Collection, Iterable

from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import Length, Size
from proofs.plan.cutting.staircases import (
    largest_of,
    least_sizes,
    most_sizes,
    nearest_between,
    sides_inside,
    smallest_of,
)

SIDES = tuple(Length(n) for n in range(1, 8))
GRID = [Size(width, height) for width in SIDES for height in SIDES]
sizes = st.builds(Size, st.sampled_from(SIDES), st.sampled_from(SIDES))
several = st.lists(sizes, max_size=4)


def holds_any(size: Size, corners: Iterable[Size]) -> bool:
    return any(size.holds(corner) for corner in corners)


def is_held(size: Size, corners: Iterable[Size]) -> bool:
    return any(corner.holds(size) for corner in corners)


def passing(least: Collection[Size], most: Collection[Size]) -> list[Size]:
    """All sizes of the grid that contain a least size and fit in a most size."""
    return [size for size in GRID if holds_any(size, least) and is_held(size, most)]


@given(several)
def test_the_least_sizes_are_all_that_suit_and_contain_no_other_that_does(
    corners: list[Size],
) -> None:
    found = least_sizes(lambda size: holds_any(size, corners), SIDES, SIDES)
    suiting = [size for size in GRID if holds_any(size, corners)]
    assert set(found) == {s for s in suiting if not any(s.holds(o) for o in suiting if o != s)}
    assert set(found) == set(smallest_of(corners))
    assert found == sorted(found, key=lambda size: -size.width.nm)


@given(several)
def test_the_most_sizes_are_all_that_suit_and_fit_in_no_other_that_does(
    corners: list[Size],
) -> None:
    found = most_sizes(lambda size: is_held(size, corners), SIDES, SIDES)
    suiting = [size for size in GRID if is_held(size, corners)]
    assert set(found) == {s for s in suiting if not any(o.holds(s) for o in suiting if o != s)}
    assert set(found) == set(largest_of(corners))
    assert found == sorted(found, key=lambda size: size.width.nm)


@given(several)
def test_sides_inside_are_those_of_the_sizes_that_fit(most: list[Size]) -> None:
    fitting = [size for size in GRID if is_held(size, most)]
    widths, heights = sides_inside(most, SIDES, SIDES)
    assert set(widths) == {size.width for size in fitting}
    assert set(heights) == {size.height for size in fitting}


@given(sizes, several, several)
def test_no_size_that_passes_is_nearer_than_the_nearest(
    wanted: Size, least: list[Size], most: list[Size]
) -> None:
    found = nearest_between(wanted, least, most)
    good = passing(least, most)
    squares = [size for size in good if size.width == size.height]
    asked = squares if wanted.width == wanted.height and squares else good
    assert (found in asked) == bool(asked)
    assert (found.apart_nm(wanted) if found else None) == min(
        (size.apart_nm(wanted) for size in asked), default=None
    )
