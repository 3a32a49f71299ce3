"""Openings that are given: figures worked by hand, and the laws of the images behind them."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import ZERO, Borders, Size, inches, millimetres
from proofs.measures import read_size
from proofs.plan.entry.board import Layout, Opening, Picture
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.cells import Orientation
from proofs.records.job import Job
from proofs.records.mounts import BevelKind, Mat, Mount, WindowShape
from tests import near
from tests.workbench import (
    SHIPPED,
    a_job,
    a_mount,
    a_reveal,
    an_entry,
    facts,
    lengths_from,
    overlaps,
    pixel_sizes,
    reveals,
)

LANDSCAPE, PORTRAIT, SQUARE = (3600, 2400), (2400, 3600), (3000, 3000)
WRITTEN = "opening 13 1/2 x 10 1/2 in"
INNER = Mat(shows=inches("1/4"), thickness=millimetres("1.4"))


def plan_of(
    *pictures: tuple[int, int], size: str = WRITTEN, job: Job | None = None, **cells: Any
) -> Plan:
    """Return the plan of pictures of these pixels in openings that are given."""
    names = "|".join(f"{n}.jpg" for n in range(len(pictures)))
    entry = an_entry(size, file=names, **cells)
    return plan_entry(job or a_job(), entry, *(facts(*picture) for picture in pictures))


def picture_of(*pixels: int, **cells: Any) -> Picture:
    """Return the only picture of a plan."""
    width, height = pixels
    (picture,) = plan_of((width, height), **cells).layout.pictures
    return picture


def in_inches(top: str, right: str, bottom: str, left: str) -> Borders:
    """Return a width for each side."""
    return Borders(*map(inches, (top, right, bottom, left)))


def limiting(picture: Picture) -> Opening:
    """Return the edge that limits the view of a picture."""
    assert picture.limiting is not None
    return picture.limiting


# Worked by hand, with the mat of the workbench, which hides 1/8 in: behind an opening of 13 1/2 x
# 10 1/2 in the image must cover 13 3/4 x 10 3/4 in.


def test_a_landscape_picture_in_a_given_opening() -> None:
    picture = picture_of(*LANDSCAPE)
    # 3:2 with a height of 10 3/4 in is 16 1/8 in wide, 2 3/8 in more than must be covered: the
    # mat hides 1 3/16 in more on the left and on the right, 1 5/16 in with its overlap.
    assert picture.image.size == read_size("16 1/8 x 10 3/4 in")
    assert picture.back is not None
    assert picture.back.size == picture.sight.size == read_size("13 1/2 x 10 1/2 in")
    assert picture.hidden == in_inches("1/8", "21/16", "1/8", "21/16")


def test_a_portrait_picture_turns_the_opening() -> None:
    picture = picture_of(*PORTRAIT)
    assert picture.image.size == read_size("10 3/4 x 16 1/8 in")
    assert picture.sight.size == read_size("10 1/2 x 13 1/2 in")
    assert picture.hidden == in_inches("21/16", "1/8", "21/16", "1/8")


def test_a_square_picture_in_an_opening_as_it_is_written() -> None:
    plan = plan_of(SQUARE)
    (picture,) = plan.layout.pictures
    # 13 3/4 in square covers the width; 3 in more than the height needs are hidden.
    assert picture.image.size == read_size("13 3/4 x 13 3/4 in")
    assert picture.sight.size == read_size("13 1/2 x 10 1/2 in")
    assert picture.hidden == in_inches("13/8", "1/8", "13/8", "1/8")
    assert plan.layout.board == read_size("20x16 in")


def test_a_square_picture_in_an_opening_that_is_written_upright() -> None:
    plan = plan_of(SQUARE, size="opening 10 1/2 x 13 1/2 in")
    assert plan.layout.pictures[0].sight.size == read_size("10 1/2 x 13 1/2 in")
    assert plan.layout.board == read_size("16x20 in")


def test_the_entry_may_still_ask_for_the_other_board() -> None:
    plan = plan_of(LANDSCAPE, size="opening 12x9 in", board=Orientation.PORTRAIT)
    assert plan.layout.board == read_size("16x20 in")
    # Half of 16 - 12 in at the sides, half of 20 - 9 in above and below.
    assert plan.layout.borders_back == in_inches("11/2", "2", "11/2", "2")


def test_a_picture_of_the_shape_of_its_opening_loses_nothing_but_the_overlap() -> None:
    picture = picture_of(*LANDSCAPE, size="opening 11 3/4 x 7 3/4 in")
    assert picture.image.size == read_size("12x8 in")
    assert picture.hidden == in_inches("1/8", "1/8", "1/8", "1/8")


def test_a_metric_opening() -> None:
    picture = picture_of(
        4000, 3000, size="opening 29 x 19 cm", job=a_job(a_mount(overlap=millimetres("5")))
    )
    # 300 x 200 mm must be covered; 4:3 is then 225 mm high, 12.5 mm more above and below.
    assert picture.image.size == read_size("30 x 22.5 cm")
    assert picture.hidden == Borders(
        millimetres("17.5"), millimetres("5"), millimetres("17.5"), millimetres("5")
    )


@pytest.mark.parametrize(
    ("opening", "print_size"),
    [
        ("3 1/2 x 4 1/2 in", "4x5 in"),
        ("4 1/2 x 6 1/2 in", "5x7 in"),
        ("7 1/2 x 9 1/2 in", "8x10 in"),
        ("10 1/2 x 13 1/2 in", "11x14 in"),
        ("15 1/2 x 19 1/2 in", "16x20 in"),
    ],
)
def test_ready_cut_mats_take_the_prints_that_they_are_sold_for(
    opening: str, print_size: str
) -> None:
    # From memory, common practice: the opening of a ready-cut mat is 1/2 in smaller each way than
    # the print that it is sold for, so it overlaps that by 1/4 in on each side.
    size = read_size(print_size)
    job, pixels = a_job(a_mount(overlap=inches("1/4"), board=read_size("22x28 in"))), size
    shape = round(pixels.width.inches * 100), round(pixels.height.inches * 100)
    picture = picture_of(*shape, size=f"opening {opening}", job=job)
    assert picture.image.size == size
    assert picture.hidden == Borders(*[inches("1/4")] * 4)


def test_a_landscape_picture_with_a_reveal_in_a_given_opening() -> None:
    mount = a_reveal(inches("1/4"), reveal_bottom=inches("1/2"))
    picture = picture_of(*LANDSCAPE, job=a_job(mount))
    # Inside the reveal are 13 x 9 3/4 in. 3:2 is 13 in wide and 8 2/3 in high there; of the 1 1/12
    # in that are left, half goes above and half below.
    third = inches(Fraction(26, 3))
    assert picture.image.size == Size(inches(13), third)
    assert picture.hidden == Borders(ZERO, ZERO, ZERO, ZERO)
    more = (inches("9.75") - third) // 2
    assert picture.seen_paper.left == picture.seen_paper.right == inches("1/4")
    assert picture.seen_paper.top == inches("1/4") + more
    assert abs((picture.seen_paper.bottom - inches("1/2") - more).nm) <= near.ONE_NM
    assert limiting(picture).size == read_size("13 1/2 x 10 1/2 in")


def test_portrait_and_square_pictures_with_a_reveal() -> None:
    job = a_job(a_reveal(inches("1/4")))
    # 10 x 13 in are left inside the reveal, turned for the portrait picture.
    assert picture_of(*PORTRAIT, job=job).image.size == Size(inches(Fraction(26, 3)), inches(13))
    square = picture_of(*SQUARE, job=job)
    assert square.image.size == read_size("10x10 in")
    assert square.seen_paper == in_inches("1/4", "7/4", "1/4", "7/4")


def test_a_double_mat_has_the_given_opening_in_its_top_mat() -> None:
    picture = picture_of(*LANDSCAPE, job=a_job(a_mount(inner=(INNER,))))
    top, bottom = picture.cuts
    # 342.9 x 266.7 mm at the back of the top mat. 6.35 mm of the lower mat and its bevel of 1.4 mm
    # lie inside that on each side: 15.5 mm less each way. With the overlap 333.75 x 257.55 mm are
    # to be covered, and 3:2 of that height is 386.325 mm wide.
    assert top.back.size == read_size("13 1/2 x 10 1/2 in")
    assert bottom.back.size == picture.sight.size == read_size("327.4 x 251.2 mm")
    assert picture.image.size == read_size("386.325 x 257.55 mm")
    assert picture.hidden.top == picture.hidden.bottom == inches("1/8")
    assert picture.hidden.left == picture.hidden.right == millimetres("29.4625")


@pytest.mark.parametrize(
    ("pixels", "image", "sight"),
    [
        # Portrait: the same turned. Square: as wide as is to be covered, 333.75 mm.
        (PORTRAIT, "257.55 x 386.325 mm", "251.2 x 327.4 mm"),
        (SQUARE, "333.75 x 333.75 mm", "327.4 x 251.2 mm"),
    ],
)
def test_portrait_and_square_pictures_in_a_double_mat(
    pixels: tuple[int, int], image: str, sight: str
) -> None:
    picture = picture_of(*pixels, job=a_job(a_mount(inner=(INNER,))))
    assert picture.image.size == read_size(image)
    assert picture.sight.size == read_size(sight)


def test_two_windows_each_get_the_opening_turned_with_the_picture() -> None:
    layout = plan_of(LANDSCAPE, PORTRAIT, size="opening 7x5 in").layout
    left, right = layout.pictures
    # 7 1/4 x 5 1/4 in are to be covered: 3:2 of 5 1/4 in is 7 7/8 in wide.
    assert left.image.size == read_size("7 7/8 x 5 1/4 in")
    assert right.image.size == read_size("5 1/4 x 7 7/8 in")
    assert [p.cuts[0].back.size for p in layout.pictures] == [
        read_size("7x5 in"),
        read_size("5x7 in"),
    ]
    # 508 - 177.8 - 28.2 - 127 mm leave 87.5 mm at the left and at the right.
    assert layout.board == read_size("20x16 in")
    assert layout.borders_back.left == layout.borders_back.right == millimetres("87.5")


def test_two_square_pictures_in_openings_as_written() -> None:
    layout = plan_of(SQUARE, SQUARE, size="opening 5x7 in").layout
    assert [p.sight.size for p in layout.pictures] == [read_size("5x7 in")] * 2
    assert [p.image.size for p in layout.pictures] == [read_size("7 1/4 x 7 1/4 in")] * 2


def test_each_picture_may_have_an_opening_of_its_own_beside_one_that_follows_its_image() -> None:
    layout = plan_of(LANDSCAPE, LANDSCAPE, size="opening 5 3/4 x 5 3/4 in | long 6 in").layout
    assert [p.sight.size for p in layout.pictures] == [
        read_size("5.75x5.75 in"),
        read_size("5.75x3.75 in"),
    ]
    assert layout.pictures[0].image.size == read_size("9x6 in")


def test_pictures_in_a_common_window_leave_its_reveal_and_their_bar() -> None:
    mount = a_reveal(inches("1/2"), common=True, bar=inches(1))
    layout = plan_of(SQUARE, SQUARE, size="opening 12x7 in", job=a_job(mount)).layout
    # Two of 5 in and the bar are 11 in wide; 1 in is left above and below instead of 1/2 in.
    assert [p.image.size for p in layout.pictures] == [read_size("5x5 in")] * 2
    assert layout.windows[0][0].back.size == read_size("12x7 in")
    assert layout.pictures[0].seen_paper == in_inches("1", "1/2", "1", "1/2")


def test_the_opening_of_a_reverse_bevel_is_its_face() -> None:
    picture = picture_of(*LANDSCAPE, job=a_job(a_mount(bevel=BevelKind.REVERSE)))
    assert picture.face is not None
    assert picture.back is not None
    assert picture.face.size == picture.sight.size == read_size("13 1/2 x 10 1/2 in")
    assert picture.back.size == read_size("13 1/2 x 10 1/2 in").grown(millimetres("1.4"))


# What is seen of the picture


@pytest.mark.parametrize(
    ("pixels", "place", "hidden"),
    [
        (LANDSCAPE, "left", ("1/8", "5/2", "1/8", "1/8")),
        (LANDSCAPE, "right", ("1/8", "1/8", "1/8", "5/2")),
        (LANDSCAPE, "centre", ("1/8", "21/16", "1/8", "21/16")),
        (LANDSCAPE, "top", ("1/8", "21/16", "1/8", "21/16")),
        (PORTRAIT, "top", ("1/8", "1/8", "5/2", "1/8")),
        (PORTRAIT, "bottom", ("5/2", "1/8", "1/8", "1/8")),
        (SQUARE, "top", ("1/8", "1/8", "25/8", "1/8")),
    ],
)
def test_a_place_chooses_the_part_that_is_seen(
    pixels: tuple[int, int], place: str, hidden: tuple[str, str, str, str]
) -> None:
    picture = picture_of(*pixels, crop=place)
    assert picture.hidden == in_inches(*hidden)
    assert picture.sight == limiting(picture)


def test_a_crop_to_a_shape_comes_first_and_its_place_counts_for_both() -> None:
    plan = plan_of(PORTRAIT, crop="4x5 top")
    (picture,), (part,) = plan.layout.pictures, plan.parts
    # 2400 x 3000 of 2400 x 3600 pixels, from the top. 4:5 with a width of 10 3/4 in is 13 7/16 in
    # high, less than 13 3/4 in; with that height it is 11 in wide.
    assert (part.crop.top, part.crop.height) == (0, 3000)
    assert picture.image.size == read_size("11 x 13 3/4 in")
    assert picture.hidden == in_inches("1/8", "1/4", "1/8", "1/4")


@pytest.mark.parametrize("mount", [a_mount(), a_reveal(inches("1/4"))], ids=["overlap", "reveal"])
@pytest.mark.parametrize("size", ["largest", "long 10 in"])
def test_a_place_alone_is_refused_where_no_opening_needs_it(mount: Mount, size: str) -> None:
    with pytest.raises(ValueError, match=r"crop: 'top' names no shape, .* such as '4x5 top'"):
        plan_of(LANDSCAPE, size=size, crop="top", job=a_job(mount))


def test_a_place_alone_is_refused_with_a_reveal_which_hides_nothing() -> None:
    with pytest.raises(ValueError, match="crop: 'top' names no shape"):
        plan_of(LANDSCAPE, crop="top", job=a_job(a_reveal(inches("1/4"))))


# The opening of a mount profile

GIVEN = a_mount(
    name="ready-cut", board=read_size("16x20 in"), opening=read_size("10 1/2 x 13 1/2 in")
)


def test_a_blank_cell_asks_for_the_opening_of_the_mount() -> None:
    picture = picture_of(*LANDSCAPE, size="largest", job=a_job(GIVEN))
    assert picture == picture_of(*LANDSCAPE)


def test_an_opening_in_the_cell_comes_before_that_of_the_mount() -> None:
    picture = picture_of(*LANDSCAPE, size="opening 8x6 in", job=a_job(GIVEN))
    assert picture.sight.size == read_size("8x6 in")


@pytest.mark.parametrize("size", ["long 12 in", "12x8 in", "visible 10x8 in", "short 8 in"])
def test_another_size_is_refused_on_a_mount_whose_opening_is_given(size: str) -> None:
    with pytest.raises(ValueError, match="the mount 'ready-cut' gives an opening") as caught:
        plan_of(LANDSCAPE, size=size, job=a_job(GIVEN))
    assert "leave the cell blank" in str(caught.value)


@pytest.mark.parametrize("name", ["float-window", "float-bare", "printed-surround", "no-window"])
def test_mounts_without_a_mat_on_the_print_refuse_an_opening(name: str) -> None:
    with pytest.raises(ValueError, match="can give its opening"):
        plan_of(LANDSCAPE, job=a_job(SHIPPED.mount(name)))


@pytest.mark.parametrize(
    ("size", "mount"),
    [
        ("opening 20x12 in", a_mount()),
        ("opening 21x17 in", a_mount()),
        # At its back it is 2.8 mm larger than at its face.
        ("opening 19.9x12 in", a_mount(bevel=BevelKind.REVERSE)),
    ],
)
def test_an_opening_whose_borders_leave_the_board_is_refused(size: str, mount: Mount) -> None:
    with pytest.raises(ValueError, match="leaves no border on a board of 20 × 16 in"):
        plan_of(LANDSCAPE, size=size, job=a_job(mount))


def test_openings_that_leave_the_board_only_together_are_refused() -> None:
    with pytest.raises(ValueError, match="these openings leave no border"):
        plan_of(LANDSCAPE, LANDSCAPE, size="opening 10x8 in")


def test_an_opening_that_its_inner_mats_shut_is_refused() -> None:
    job = a_job(a_mount(inner=(INNER,)))
    with pytest.raises(ValueError, match="leaves nothing visible"):
        plan_of(LANDSCAPE, size="opening 3 x 0.6 in", job=job)


def test_a_round_window_has_an_opening_with_equal_sides() -> None:
    job = a_job(a_mount(shape=WindowShape.ROUND))
    with pytest.raises(ValueError, match="is round; write equal sides"):
        plan_of(LANDSCAPE, job=job)
    picture = picture_of(*LANDSCAPE, size="opening 8x8 in", job=job)
    # 8 1/4 in high, so 12 3/8 in wide.
    assert picture.image.size == read_size("12 3/8 x 8 1/4 in")
    assert picture.is_oval


# Laws

LARGE_BOARD = read_size("60x60 cm")
# So large that something is seen inside two inner mats.
openings = st.builds(Size, lengths_from(67, 250), lengths_from(67, 250))
inner_mats = st.lists(
    st.builds(Mat, shows=lengths_from(2, 8), thickness=lengths_from(1, 3)), max_size=2
).map(tuple)
places = st.sampled_from(["", "centre", "top", "bottom", "left", "right"])


def planned(mount: Mount, opening: Size, pixels: Any, crop: str = "") -> tuple[Plan, Layout]:
    """Return the plan of one picture behind an opening, and its layout."""
    size = f"opening {opening.width.mm:.6f}x{opening.height.mm:.6f} mm"
    plan = plan_of((pixels.width, pixels.height), size=size, job=a_job(mount), crop=crop)
    return plan, plan.layout


@given(mount=overlaps, inner=inner_mats, opening=openings, pixels=pixel_sizes, crop=places)
def test_the_image_is_the_smallest_that_covers_the_opening_and_the_overlap(
    mount: Mount, inner: tuple[Mat, ...], opening: Size, pixels: Any, crop: str
) -> None:
    mount = replace(mount, inner=inner, board=LARGE_BOARD)
    plan, layout = planned(mount, opening, pixels, crop)
    (picture,) = layout.pictures
    hidden, least = picture.hidden, mount.overlap
    across, down = (hidden.left, hidden.right), (hidden.top, hidden.bottom)
    assert hidden.least == least
    assert {*across} == {least} or {*down} == {least}
    assert limiting(picture).borders_in(picture.image) == hidden
    off = picture.image.size.width - picture.image.size.height * plan.parts[0].image.aspect
    assert abs(off.nm) <= near.ONE_NM * 4


@given(mount=reveals, opening=openings, pixels=pixel_sizes)
def test_the_image_is_the_largest_that_leaves_the_reveal_on_every_side(
    mount: Mount, opening: Size, pixels: Any
) -> None:
    _, layout = planned(replace(mount, board=LARGE_BOARD), opening, pixels)
    (picture,) = layout.pictures
    paper = picture.seen_paper
    more = (
        paper.top - mount.reveal,
        paper.right - mount.reveal,
        paper.bottom - mount.reveal_bottom,
        paper.left - mount.reveal,
    )
    assert min(more) >= ZERO
    assert (more[0], more[2]) == (ZERO, ZERO) or (more[1], more[3]) == (ZERO, ZERO)
    assert picture.sight == picture.image


@given(mount=st.one_of(overlaps, reveals), opening=openings, pixels=pixel_sizes)
def test_the_top_mat_has_the_opening_that_is_given(
    mount: Mount, opening: Size, pixels: Any
) -> None:
    _, layout = planned(replace(mount, board=LARGE_BOARD), opening, pixels)
    found = layout.pictures[0].cuts[0].limiting.size
    assert found in (opening, opening.turned)
    assert (found.width - found.height).nm * (pixels.width - pixels.height) >= 0
