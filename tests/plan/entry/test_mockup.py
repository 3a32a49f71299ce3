"""Where things fall on a mock-up; figures by hand, colours common practice, no source."""

import pytest
from hypothesis import given

from proofs.lengths import PixelSize, Place, Size, inches
from proofs.measures import read_size
from proofs.plan.entry.board import Opening
from proofs.plan.entry.layout import lay_out
from proofs.plan.entry.mockup import (
    Bevel,
    bevel_colours,
    board_colour,
    board_pixels,
    is_dark,
    label_place,
    mockup_pixels,
    on_board,
    on_mockup,
    picture_pixels,
    seen,
)
from proofs.records.mounts import Mount
from tests.workbench import BOARD, a_job, a_mount, a_plan, boards, images, mounts

_NEUTRAL = 4  # codes between red, green and blue; a warmth that nobody would give a name


def test_a_board_of_16_x_20_in_is_1600_x_2000_px() -> None:
    # 100 px an inch, by hand.
    assert board_pixels(a_plan(a_job(), width=2000)) == PixelSize(1600, 2000)


def test_the_size_in_pixels_is_that_of_the_whole_image_with_what_the_mat_hides() -> None:
    # 12 x 8 in at 100 px an inch, by hand.
    assert picture_pixels(a_plan(a_job(), "12x8 in")) == PixelSize(1200, 800)


def test_an_edge_line_falls_where_its_inches_say() -> None:
    # By hand: 1 1/8 in and 2 in from the corner, 8 x 10 in large; an inch of ground round it.
    edge = Opening(read_size("8x10 in"), Place(inches("9/8"), inches(2)))
    box, whole = on_board(edge), on_mockup(edge)
    assert (box.left, box.top, box.right, box.bottom) == (112.5, 200, 912.5, 1200)
    assert (whole.left, whole.top, whole.right, whole.bottom) == (212.5, 300, 1012.5, 1300)


def test_an_inch_of_ground_is_round_the_board() -> None:
    assert mockup_pixels(a_plan(a_job(), width=2000)) == PixelSize(1800, 2200)


@given(mount=mounts, board=boards, image=images)
def test_what_lies_left_lies_right_when_seen_from_behind(
    mount: Mount, board: Size, image: Size
) -> None:
    # Geometry: the left border seen from behind is the right one seen from the front.
    lying = lay_out(mount, board, image).pictures[0].image
    behind = lying.mirrored(board)
    assert behind.place.x + lying.size.width + lying.place.x == board.width
    assert behind.place.y == lying.place.y
    assert behind.mirrored(board) == lying


def test_an_opening_off_the_middle_lies_mirrored() -> None:
    # By hand: 2 in from the left of a board 16 in wide, 10 in wide, so 4 in from the right.
    opening = Opening(read_size("10x8 in"), Place(inches(2), inches(3)))
    assert opening.mirrored(BOARD).place == Place(inches(4), inches(3))


@given(mount=mounts, board=boards, image=images)
def test_nothing_is_seen_beyond_the_board(mount: Mount, board: Size, image: Size) -> None:
    layout = lay_out(mount, board, image)
    shown = seen(layout)
    assert shown.within(board) == shown


def test_an_opening_larger_than_its_board_is_seen_as_large_as_the_board() -> None:
    layout = lay_out(a_mount(), BOARD, read_size("30x40 in"))
    assert seen(layout).size == BOARD


@pytest.mark.parametrize("name", ["white", "off-white", "cream", "grey", "black"])
def test_a_named_colour_is_its_own(name: str) -> None:
    others = {"white", "off-white", "cream", "grey", "black", "some other"} - {name}
    assert board_colour(name) not in {board_colour(other) for other in others}


def test_a_colour_nobody_knows_is_shown_as_neutral() -> None:
    colour = board_colour("aubergine")
    assert max(colour) - min(colour) <= _NEUTRAL


def test_light_from_the_top_left_leaves_the_upper_and_left_faces_darker() -> None:
    # Geometry: those two faces of the opening turn away from the light.
    bevel: Bevel = bevel_colours("white")
    assert max(bevel.top, bevel.left) < min(bevel.right, bevel.bottom)


def test_only_dark_boards_are_dark() -> None:
    assert [is_dark(board_colour(c)) for c in ("white", "cream", "grey", "black")] == [
        *(False, False, False, True)
    ]


def test_the_label_lies_top_left_on_the_board() -> None:
    label = label_place(Size(inches(16), inches(20)))
    assert label.place.x < inches(1)
    assert label.place.y < inches(1)
    assert label.place.x + label.size.width < inches(8)
