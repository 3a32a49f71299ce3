"""The cuts of a mat, seen from the back."""

from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import ZERO, Edge, Length, Place, Size, inches
from proofs.measures import read_size
from proofs.plan.cutting.cut_lines import CutLine, cut_lines
from proofs.plan.entry.board import Opening
from tests.workbench import BOARD, boards, lengths_from

LEFT_OF_MIDDLE = Opening(read_size("5x7 in"), Place(inches(2), inches(3)))


def a_window(x: int, y: int, size: str = "4x5 in") -> Opening:
    return Opening(read_size(size), Place(inches(x), inches(y)))


def places(lines: tuple[CutLine, ...]) -> list[tuple[str, Length, int]]:
    return [(line.edge, line.at, len(line.strokes)) for line in lines]


def test_left_and_right_change_places_and_top_and_bottom_do_not() -> None:
    # 2 in from the left of the front are 2 in from the right of the back (geometry).
    assert places(cut_lines(BOARD, [LEFT_OF_MIDDLE])) == [
        (Edge.LEFT, inches(9), 1),
        (Edge.RIGHT, inches(2), 1),
        (Edge.TOP, inches(3), 1),
        (Edge.BOTTOM, inches(10), 1),
    ]


def test_a_cut_runs_from_corner_to_corner() -> None:
    left, _, top, _ = cut_lines(BOARD, [LEFT_OF_MIDDLE])
    assert (left.strokes[0].start, left.strokes[0].end) == (inches(3), inches(10))
    assert (top.strokes[0].start, top.strokes[0].end) == (inches(9), inches(14))


def test_windows_in_rows_and_columns_share_their_lines() -> None:
    backs = [a_window(x, y) for y in (3, 11) for x in (2, 10)]
    found = cut_lines(BOARD, backs)
    assert places(found) == [
        (Edge.LEFT, inches(2), 2),
        (Edge.LEFT, inches(10), 2),
        (Edge.RIGHT, inches(2), 2),
        (Edge.RIGHT, inches(10), 2),
        (Edge.TOP, inches(3), 2),
        (Edge.TOP, inches(11), 2),
        (Edge.BOTTOM, inches(4), 2),
        (Edge.BOTTOM, inches(12), 2),
    ]


def test_windows_out_of_line_have_lines_of_their_own() -> None:
    found = cut_lines(BOARD, [a_window(2, 3), a_window(10, 4)])
    assert [line.at for line in found if line.edge == Edge.TOP] == [inches(3), inches(4)]


@given(boards, st.tuples(lengths_from(10, 140), lengths_from(10, 140)), lengths_from(20, 150))
def test_the_lines_of_a_window_leave_just_its_size(
    board: Size, corner: tuple[Length, Length], side: Length
) -> None:
    back = Opening(Size(side, side + corner[0]), Place(*corner))
    at = {line.edge: line.at for line in cut_lines(board, [back])}
    assert board.width - at[Edge.LEFT] - at[Edge.RIGHT] == back.size.width
    assert board.height - at[Edge.TOP] - at[Edge.BOTTOM] == back.size.height


def test_without_a_window_nothing_is_cut() -> None:
    assert cut_lines(Size(inches(1), ZERO), []) == ()
