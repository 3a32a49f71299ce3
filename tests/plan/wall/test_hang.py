"""Where mounts hang: laws for any run, and figures by hand."""

from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofs.lengths import Size, inches
from proofs.plan.wall.hang import Hang, HungMount, Mounted, Wall, _Hanger, hang
from tests.workbench import BOARD, boards

WALL = Wall(8000, 8000, 100 / 3, title=50, heading=60, least_gap=24)
SMALL = Wall(500, 700, 7.0, title=12, heading=16, least_gap=6)
WHOLE_UNITS = 0.51  # a side is rounded to the nearest unit

some_mounts = st.lists(
    st.builds(Mounted, boards, st.sampled_from(["", "Open", "open ", "Nature", "Mono"])),
    min_size=1,
    max_size=40,
)
walls = st.sampled_from([WALL, SMALL])
LANDSCAPE = BOARD.turned


def run_of(count: int, *categories: str) -> list[Mounted]:
    """A run of boards of 16 x 20 in, every third of them turned, shared among categories."""
    names = categories or ("",)
    return [
        Mounted(LANDSCAPE if n % 3 == 0 else BOARD, names[n * len(names) // count])
        for n in range(count)
    ]


def overlap(one: HungMount, other: HungMount) -> bool:
    across = one.left < other.right and other.left < one.right
    return across and one.top < other.bottom and other.top < one.bottom


@given(some_mounts, walls)
def test_nothing_overlaps_and_nothing_leaves_the_wall(mounts: list[Mounted], wall: Wall) -> None:
    found = hang(mounts, wall)
    hung = found.mounts
    assert [(a, b) for n, a in enumerate(hung) for b in hung[:n] if overlap(a, b)] == []
    assert min(m.left for m in hung) >= wall.least_gap
    assert max(m.right for m in hung) <= found.width - wall.least_gap
    assert min(m.top for m in hung) >= wall.least_gap
    assert max(m.bottom for m in hung) <= found.height - wall.least_gap - wall.title


@given(some_mounts, walls)
def test_a_wall_keeps_its_limits(mounts: list[Mounted], wall: Wall) -> None:
    found = hang(mounts, wall)
    assert (found.width <= wall.most_width, found.height <= wall.most_height) == (True, True)
    assert 0 < found.scale <= wall.largest


@given(some_mounts, walls)
@settings(max_examples=30, deadline=None)
def test_scales_that_are_ruled_out_by_their_area_would_not_have_fitted(
    mounts: list[Mounted], wall: Wall
) -> None:
    found = hang(mounts, wall)
    with mock.patch.object(_Hanger, "may_fit", True):
        assert hang(mounts, wall) == found


@given(some_mounts, walls)
def test_every_mount_hangs_once_at_the_one_scale(mounts: list[Mounted], wall: Wall) -> None:
    found = hang(mounts, wall)
    assert sorted(m.place for m in found.mounts) == list(range(len(mounts)))
    sides = [
        (hung.width - mounts[hung.place].board.width.inches * found.scale) for hung in found.mounts
    ]
    sides += [
        (hung.height - mounts[hung.place].board.height.inches * found.scale)
        for hung in found.mounts
    ]
    assert max(map(abs, sides)) <= max(WHOLE_UNITS, 1 - found.scale)


@given(some_mounts, walls)
def test_entries_keep_their_order_in_each_category(mounts: list[Mounted], wall: Wall) -> None:
    names = [" ".join(mount.category.casefold().split()) for mount in mounts]
    first = {name: names.index(name) for name in names}
    expected = sorted(range(len(mounts)), key=lambda n: (first[names[n]], n))
    assert [m.place for m in hang(mounts, wall).mounts] == expected


@given(some_mounts, walls)
def test_a_row_has_one_centre_line_and_reads_from_left_to_right(
    mounts: list[Mounted], wall: Wall
) -> None:
    rows = hang(mounts, wall).rows
    off = [
        abs((m.top + m.bottom) - (row.mounts[0].top + row.mounts[0].bottom))
        for row in rows
        for m in row.mounts
    ]
    assert max(off) <= 2  # half a unit each, where heights are odd and even
    lefts = [[m.left for m in row.mounts] for row in rows]
    assert lefts == [sorted(row) for row in lefts]


@given(some_mounts, walls)
def test_rows_share_out_the_whole_wall_and_hold_their_mounts(
    mounts: list[Mounted], wall: Wall
) -> None:
    found = hang(mounts, wall)
    edges = [row.top for row in found.rows] + [found.height]
    assert edges == [0, *(row.bottom for row in found.rows)]
    assert all(
        row.top <= row.headings_top <= m.top and m.bottom <= row.captions_top <= row.bottom
        for row in found.rows
        for m in row.mounts
    )


@given(some_mounts, walls)
def test_categories_are_named_once_each_if_there_are_several(
    mounts: list[Mounted], wall: Wall
) -> None:
    found = hang(mounts, wall)
    names = [" ".join(mount.category.casefold().split()) for mount in mounts]
    headings = [heading for row in found.rows for heading in row.headings]
    several = len(set(names)) > 1
    expected = [name or "no category" for name in dict.fromkeys(names)] if several else []
    assert [heading.words.casefold() for heading in headings] == expected


def test_a_mount_alone_hangs_in_the_middle_at_the_largest_scale() -> None:
    # By hand: 16 x 20 in at 100/3 px an inch are 533 x 667 px, with 7 in of wall, 233 px, around
    # and 50 px of words below.
    (mount,) = hang([Mounted(BOARD)], WALL).mounts
    assert mount == HungMount(0, 233, 233, 533, 667)
    found = hang([Mounted(BOARD)], WALL)
    assert (found.width, found.height) == (533 + 2 * 233, 667 + 50 + 2 * 233)


def test_ten_mounts_hang_at_the_largest_scale_in_a_few_even_rows() -> None:
    found = hang(run_of(10, "Open", "Nature"), WALL)
    assert found.scale == WALL.largest
    assert [len(row.mounts) for row in found.rows] == [5, 5]
    assert [[h.words for h in row.headings] for row in found.rows] == [["Open"], ["Nature"]]


def test_a_short_category_joins_the_row_of_the_one_before() -> None:
    found = hang(run_of(6, "Open", "Open", "Nature", "Mono"), WALL)
    shared = [row for row in found.rows if len(row.headings) > 1]
    assert len(shared) == 1
    left, right = shared[0].headings[-2:]
    assert left.left + left.width < right.left


def test_three_hundred_mounts_are_smaller_and_have_room() -> None:
    found = hang(run_of(300, *"ABCDEFGH"), WALL)
    assert len(found.mounts) == 300
    assert 12 < found.scale < 20  # 300 mounts with their gaps on 64 megapixels
    assert found.width * found.height > 0.7 * 8000 * 8000


def test_as_many_categories_as_entries_have_room_too() -> None:
    mounts = [Mounted(BOARD, f"Class {n}") for n in range(300)]
    assert shape(hang(mounts, WALL)) <= (8000, 8000)


def shape(found: Hang) -> tuple[int, int]:
    return found.width, found.height


def test_boards_of_very_different_sizes_keep_their_proportion() -> None:
    large, small = hang([Mounted(Size(inches(40), inches(60))), Mounted(BOARD)], WALL).mounts
    assert large.width / small.width == pytest.approx(40 / 16, rel=0.01)


def test_no_mount_at_all_is_refused_and_so_are_far_too_many() -> None:
    with pytest.raises(ValueError, match="no mount"):
        hang([], WALL)
    with pytest.raises(ValueError, match="too many"):
        hang(run_of(50), Wall(60, 60, 1.0, title=12, heading=16, least_gap=6))
