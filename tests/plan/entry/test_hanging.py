"""Which edge is at the top, and which way up the board is."""

import pytest
from hypothesis import given

from proofs.lengths import Edge, PixelSize, Size, inches
from proofs.measures import read_size
from proofs.plan.entry.hanging import as_hung, board_for, quarter_turns, turn_in_words
from proofs.records.cells import Orientation
from proofs.records.rules import BoardRule
from tests.workbench import BOARD, a_mount, pixel_sizes, some_rules

LANDSCAPE, PORTRAIT, SQUARE = PixelSize(3, 2), PixelSize(2, 3), PixelSize(2, 2)
EITHER = some_rules(board=BoardRule(read_size("40x50 cm"), exact=True, either_way=True))
AS_WRITTEN = some_rules(board=BoardRule(read_size("40x50 cm"), exact=True, either_way=False))
PANORAMA = some_rules(
    board=BoardRule(BOARD, exact=False, either_way=True, panorama=read_size("16x24 in"))
)


@pytest.mark.parametrize(
    ("edge", "turns", "said"),
    [
        (Edge.TOP, 0, "as it is"),
        (Edge.LEFT, 1, "turned 90° clockwise"),
        (Edge.BOTTOM, 2, "turned upside down"),
        (Edge.RIGHT, 3, "turned 90° anticlockwise"),
    ],
)
def test_the_edge_that_hangs_up_says_the_turn(edge: Edge, turns: int, said: str) -> None:
    # A quarter turn clockwise brings the left edge to the top.
    assert quarter_turns(edge) == turns
    assert turn_in_words(edge) == said


@pytest.mark.parametrize(
    ("edge", "hung"),
    [(Edge.TOP, (3, 2)), (Edge.LEFT, (2, 3)), (Edge.BOTTOM, (3, 2)), (Edge.RIGHT, (2, 3))],
)
def test_a_picture_on_its_side_changes_width_and_height(edge: Edge, hung: tuple[int, int]) -> None:
    assert as_hung(PixelSize(3, 2), edge) == PixelSize(*hung)


@pytest.mark.parametrize(
    ("picture", "asked", "board"),
    [
        (LANDSCAPE, None, "20x16 in"),
        (PORTRAIT, None, "16x20 in"),
        (SQUARE, None, "16x20 in"),
        (LANDSCAPE, Orientation.PORTRAIT, "16x20 in"),
        (PORTRAIT, Orientation.LANDSCAPE, "20x16 in"),
        (SQUARE, Orientation.LANDSCAPE, "20x16 in"),
    ],
)
def test_a_board_lies_as_the_picture_does_unless_asked_otherwise(
    picture: PixelSize, asked: Orientation | None, board: str
) -> None:
    assert board_for(picture.aspect, asked, a_mount(), None) == read_size(board)


def test_the_mounts_board_wins_over_the_rules() -> None:
    mount = a_mount(board=read_size("11x14 in"))
    assert board_for(LANDSCAPE.aspect, None, mount, EITHER) == read_size("14x11 in")


def test_the_rules_board_wins_over_the_usual_one() -> None:
    assert board_for(LANDSCAPE.aspect, None, a_mount(), EITHER) == read_size("50x40 cm")


@given(picture=pixel_sizes)
def test_a_board_that_the_rules_fix_is_not_turned(picture: PixelSize) -> None:
    assert board_for(picture.aspect, Orientation.LANDSCAPE, a_mount(), AS_WRITTEN) == read_size(
        "40x50 cm"
    )


def test_a_square_board_has_only_one_way() -> None:
    square = Size(inches(12), inches(12))
    assert board_for(LANDSCAPE.aspect, Orientation.PORTRAIT, a_mount(board=square), None) == square


@pytest.mark.parametrize(
    ("width", "height", "board"),
    [(4, 2, "24x16 in"), (2, 4, "16x24 in"), (399, 200, "20x16 in"), (3, 2, "20x16 in")],
)
def test_a_picture_twice_as_long_as_high_may_have_the_panorama_board(
    width: int, height: int, board: str
) -> None:
    found = board_for(PixelSize(width, height).aspect, None, a_mount(), PANORAMA)
    assert found == read_size(board)
