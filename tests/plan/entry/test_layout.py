"""Where everything lies: the laws of the board, and figures worked by hand."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import NO_BORDERS, ZERO, Borders, Length, Size, inches, millimetres
from proofs.measures import read_length, read_size
from proofs.plan.entry.board import Layout, Opening, Picture
from proofs.plan.entry.layout import lay_out
from proofs.records.mounts import BevelKind, Mount, WindowPlacing
from tests import near
from tests.workbench import (
    BOARD,
    a_mount,
    a_reveal,
    bare,
    boards,
    images,
    lengths_from,
    mounts,
    no_window,
    overlaps,
    reveals,
    widened,
    windows,
)

lays = st.builds(lay_out, mounts, boards, images)


def picture_of(layout: Layout) -> Picture:
    """Return the one picture of a layout."""
    (picture,) = layout.pictures
    return picture


def back_of(layout: Layout) -> Opening:
    """Return the opening at the back."""
    back = picture_of(layout).back
    assert back is not None
    return back


def face_of(layout: Layout) -> Opening:
    """Return the opening at the face."""
    face = picture_of(layout).face
    assert face is not None
    return face


def across(borders: Borders, opening: Opening) -> tuple[Length, Length]:
    """Return how wide and how high borders and opening are together."""
    width = borders.left + opening.size.width + borders.right
    return width, borders.top + opening.size.height + borders.bottom


def between(outer: Opening, inner: Opening) -> Borders:
    """Return how far the inner edges lie inside the outer ones."""
    left, top = inner.place.x - outer.place.x, inner.place.y - outer.place.y
    right = outer.place.x + outer.size.width - inner.place.x - inner.size.width
    bottom = outer.place.y + outer.size.height - inner.place.y - inner.size.height
    return Borders(top, right, bottom, left)


@given(mount=windows, board=boards, image=images)
def test_borders_and_opening_make_up_the_board_at_the_back(
    mount: Mount, board: Size, image: Size
) -> None:
    layout = lay_out(mount, board, image)
    assert across(layout.borders_back, back_of(layout)) == (board.width, board.height)


@given(mount=windows, board=boards, image=images)
def test_borders_and_opening_make_up_the_board_at_the_face(
    mount: Mount, board: Size, image: Size
) -> None:
    layout = lay_out(mount, board, image)
    assert across(layout.borders_face, face_of(layout)) == (board.width, board.height)


@given(mount=bare, board=boards, image=images)
def test_without_a_window_borders_and_image_make_up_the_board(
    mount: Mount, board: Size, image: Size
) -> None:
    layout = lay_out(mount, board, image)
    assert across(layout.borders_face, picture_of(layout).image) == (board.width, board.height)
    assert layout.borders_back == layout.borders_face


@given(mount=windows, board=boards, image=images)
def test_an_opening_lies_where_its_borders_say(mount: Mount, board: Size, image: Size) -> None:
    layout = lay_out(mount, board, image)
    back, face = back_of(layout).place, face_of(layout).place
    assert (back.x, back.y) == (layout.borders_back.left, layout.borders_back.top)
    assert (face.x, face.y) == (layout.borders_face.left, layout.borders_face.top)


@pytest.mark.parametrize(
    ("bevel", "times"), [(BevelKind.ORDINARY, 1), (BevelKind.REVERSE, -1), (BevelKind.STRAIGHT, 0)]
)
@given(board=boards, image=images, mat=lengths_from(1, 4))
def test_the_face_lies_a_thickness_farther_out_than_the_back(
    bevel: str, times: int, board: Size, image: Size, mat: Length
) -> None:
    layout = lay_out(a_mount(bevel=bevel, mat=mat), board, image)
    apart = Length(times * mat.nm)
    assert between(face_of(layout), back_of(layout)) == Borders(apart, apart, apart, apart)
    assert layout.borders_back == widened(layout.borders_face, apart)


@given(layout=lays)
def test_what_is_seen_never_exceeds_either_edge_of_the_opening(layout: Layout) -> None:
    picture = picture_of(layout)
    edges = [edge for edge in (picture.back, picture.face) if edge]
    assert all(between(edge, picture.sight).least >= ZERO for edge in edges)


@given(layout=lays)
def test_what_is_seen_is_a_part_of_the_image(layout: Layout) -> None:
    picture = picture_of(layout)
    assert between(picture.image, picture.sight).least >= ZERO


@given(mount=overlaps, board=boards, image=images)
def test_a_mat_hides_its_overlap_on_all_four_sides(mount: Mount, board: Size, image: Size) -> None:
    picture = picture_of(lay_out(mount, board, image))
    v = mount.overlap
    assert between(picture.image, picture.sight) == Borders(v, v, v, v)
    assert picture.sight == picture.limiting
    assert picture.hidden == Borders(v, v, v, v)
    assert picture.is_cut_off


@given(mount=reveals, board=boards, image=images)
def test_a_reveal_shows_the_whole_image_with_paper_round_it(
    mount: Mount, board: Size, image: Size
) -> None:
    picture = picture_of(lay_out(mount, board, image))
    assert picture.sight.size == picture.image.size == image
    assert picture.limiting is not None
    side, below = mount.reveal, mount.reveal_bottom
    assert between(picture.limiting, picture.sight) == Borders(side, side, below, side)
    assert picture.seen_paper == Borders(side, side, below, side)
    assert not picture.is_cut_off


@given(mount=reveals, board=boards, image=images)
def test_paper_lies_behind_the_mat_on_all_sides(mount: Mount, board: Size, image: Size) -> None:
    # The image is in the middle of its sheet, also where more paper shows below it.
    layout = lay_out(mount, board, image)
    picture = picture_of(layout)
    behind = back_of(layout).borders_in(picture.image.centred(picture.paper_needed))
    assert behind.least == mount.hold
    assert behind.left == behind.right
    assert behind.top == behind.bottom + (mount.reveal_bottom - mount.reveal)


def test_a_sheet_reaches_behind_the_mat_below_too() -> None:
    # 12 x 8 in, 1/4 in of paper, 3/8 in below: the opening ends 4 + 3/8 in below the middle of the
    # image, and with 1/4 in behind the mat the sheet is 2 x 4 5/8 = 9 1/4 in high. Its width is
    # 12 in and 2 x 1/2 in.
    mount = a_reveal(inches("1/4"), reveal_bottom=inches("3/8"))
    picture = picture_of(lay_out(mount, read_size("20x16 in"), read_size("12x8 in")))
    assert picture.paper_needed == read_size("13x9.25 in")


@given(mount=st.one_of(overlaps, bare), board=boards, image=images)
def test_without_paper_seen_the_image_is_all_the_paper_needed(
    mount: Mount, board: Size, image: Size
) -> None:
    assert picture_of(lay_out(mount, board, image)).paper_needed == image


@given(
    bevel=st.sampled_from([BevelKind.ORDINARY, BevelKind.REVERSE, BevelKind.STRAIGHT]),
    board=boards,
    image=images,
)
def test_turning_the_board_and_the_picture_turns_the_layout(
    bevel: str, board: Size, image: Size
) -> None:
    mount = a_mount(bevel=bevel)
    lying, standing = lay_out(mount, board, image), lay_out(mount, board.turned, image.turned)
    face = standing.borders_face
    assert lying.borders_face == Borders(face.left, face.bottom, face.right, face.top)
    assert picture_of(lying).sight.size == picture_of(standing).sight.size.turned


@given(mount=mounts, board=boards, image=images)
def test_left_and_right_borders_are_the_same(mount: Mount, board: Size, image: Size) -> None:
    borders = lay_out(mount, board, image).borders_face
    assert borders.right.nm - borders.left.nm in (0, near.ONE_NM)


@given(board=boards, image=images)
def test_centred_borders_are_the_same_above_and_below(board: Size, image: Size) -> None:
    borders = lay_out(a_mount(placing=WindowPlacing.CENTRED), board, image).borders_face
    assert borders.bottom.nm - borders.top.nm in (0, near.ONE_NM)


@given(board=boards, image=images)
def test_bottom_weighted_has_half_an_inch_more_below(board: Size, image: Size) -> None:
    borders = lay_out(a_mount(placing=WindowPlacing.BOTTOM_WEIGHTED), board, image).borders_face
    assert borders.bottom.nm - borders.top.nm in (12_700_000, 12_700_000 + near.ONE_NM)


@given(board=boards, opening=images)
def test_the_optical_centre_follows_the_corner_line_construction(
    board: Size, opening: Size
) -> None:
    mount = no_window(placing=WindowPlacing.OPTICAL_CENTRE)
    top = lay_out(mount, board, opening).borders_back.top
    spare, widths = board.height.nm - opening.height.nm, board.width.nm + opening.width.nm
    assert abs(top.nm - Fraction(spare * widths, 4 * board.width.nm)) < near.ONE_NM


@pytest.mark.parametrize(
    ("board", "opening", "top", "bottom", "side"),
    [
        ("16x20 in", "11x14 in", "2.53125 in", "3.46875 in", "2.5 in"),
        ("20x16 in", "14x11 in", "2.125 in", "2.875 in", "3 in"),
        ("16x20 in", "10.5x13.5 in", "68.361718 mm", "96.738282 mm", "2.75 in"),
        ("16x20 in", "8x10 in", "3.75 in", "6.25 in", "4 in"),
        ("400x500 mm", "300x400 mm", "43.75 mm", "56.25 mm", "50 mm"),
    ],
)
def test_the_optical_centre_of_known_boards(
    board: str, opening: str, top: str, bottom: str, side: str
) -> None:
    # T = (H - h)(W + w) / 4W of the classic corner-line construction, as a teaching page on
    # matting draws it; the algebra and these figures are computed. The third is 2.69140625 in,
    # which is no whole number of nanometres and is rounded down.
    mount = a_mount(placing=WindowPlacing.OPTICAL_CENTRE)
    image = read_size(opening).grown(mount.overlap)
    borders = lay_out(mount, read_size(board), image).borders_back
    expected = [read_length(text) for text in (top, side, bottom, side)]
    assert borders == Borders(*expected)


def test_an_overlap_of_a_quarter_inch_leaves_7_1_2_by_9_1_2_of_an_8_by_10_print() -> None:
    # A published page on measuring mat windows, with an 11 x 14 in mat.
    mount = a_mount(overlap=inches("1/4"))
    layout = lay_out(mount, read_size("11x14 in"), read_size("8x10 in"))
    assert picture_of(layout).sight.size == read_size("7.5x9.5 in")
    assert layout.borders_back.left == layout.borders_back.right == inches("1.75")
    assert layout.borders_back.top == layout.borders_back.bottom == inches("2.25")


def test_a_window_of_7_1_2_by_9_1_2_leaves_a_quarter_inch_of_paper_round_7_by_9() -> None:
    # A published page on cutting a mat.
    layout = lay_out(a_reveal(inches("1/4")), BOARD, read_size("7x9 in"))
    assert back_of(layout).size == read_size("7.5x9.5 in")
    assert picture_of(layout).paper_needed == read_size("8x10 in")


@pytest.mark.parametrize(
    ("mat", "difference"),
    [("1.4 mm", "2.8 mm"), ("0.060 in", "3.048 mm"), ("0.125 in", "6.35 mm")],
)
def test_a_bevel_opens_the_face_by_twice_the_thickness_of_the_board(
    mat: str, difference: str
) -> None:
    # Computed from a bevel of 45 degrees.
    layout = lay_out(a_mount(mat=read_length(mat)), BOARD, read_size("8x10 in"))
    apart = read_length(difference)
    assert face_of(layout).size.width - back_of(layout).size.width == apart
    assert face_of(layout).size.height - back_of(layout).size.height == apart


def test_a_reverse_bevel_limits_the_view_at_the_face() -> None:
    picture = picture_of(lay_out(a_mount(bevel=BevelKind.REVERSE), BOARD, read_size("8x10 in")))
    assert picture.limiting == picture.face
    assert picture.sight.size == read_size("7.75x9.75 in")


def test_without_a_window_there_is_no_opening_and_all_is_seen() -> None:
    picture = picture_of(lay_out(no_window(), BOARD, read_size("8x10 in")))
    assert (picture.back, picture.face, picture.limiting) == (None, None, None)
    assert picture.sight.size == read_size("8x10 in")
    assert picture.hidden == NO_BORDERS


def test_an_opening_larger_than_its_board_has_borders_below_nothing() -> None:
    layout = lay_out(no_window(), BOARD, read_size("18x10 in"))
    assert layout.borders_face.left == -inches(1)


@pytest.mark.parametrize(
    ("backing", "mat", "print_", "tape", "thickness"),
    [
        ("3/16 in", "0.0525 in", "0.27 mm", "0 mm", "6.366 mm"),
        ("3/16 in", "0.060 in", "0 mm", "0 mm", "6.2865 mm"),
        ("3/16 in", "2.8 mm", "0 mm", "0 mm", "7.5625 mm"),
        ("1.4 mm", "1.4 mm", "0 mm", "0 mm", "2.8 mm"),
        ("1/8 in", "1.4 mm", "0 mm", "0 mm", "4.575 mm"),
        ("3/16 in", "1.4 mm", "0.27 mm", "0.1 mm", "6.5325 mm"),
    ],
)
def test_a_mount_is_as_thick_as_all_its_layers(
    backing: str, mat: str, print_: str, tape: str, thickness: str
) -> None:
    # 0.0525 + 0.1875 in are 1.3335 + 4.7625 mm, and a print of 0.27 mm makes 6.366; so the rest.
    layers = {"backing": read_length(backing), "mat": read_length(mat), "tape": read_length(tape)}
    assert a_mount(**layers).thickness(read_length(print_)) == read_length(thickness)


def test_a_mount_without_a_window_has_no_bevel() -> None:
    assert no_window().bevel_width == ZERO
    assert a_mount(bevel=BevelKind.STRAIGHT).bevel_width == ZERO
    assert a_mount(bevel=BevelKind.ORDINARY).bevel_width == millimetres("1.4")
