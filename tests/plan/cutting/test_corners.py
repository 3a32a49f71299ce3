"""The parts of a board that show its corners; laws of geometry, and figures by hand."""

from hypothesis import given, settings
from hypothesis import strategies as st

from proofs.lengths import NM_PER_MM, ZERO, Size, inches, millimetres
from proofs.measures import read_size
from proofs.plan.cutting.corners import SIDES, corner_parts, corners_of, edges_shown
from proofs.plan.entry.board import Layout, Opening
from proofs.plan.entry.planning import plan_entry
from proofs.records.mounts import WindowShape
from tests.workbench import a_job, a_mount, a_plan, an_entry, facts

HALF = Size(millimetres(137), millimetres(158))  # about half of a page lengthwise


def one() -> Layout:
    """12 x 8 in in the middle of 20 x 16 in, 1/8 in hidden."""
    return a_plan(a_job(), "12x8 in").layout


def pair() -> Layout:
    """Two pictures side by side."""
    entry = an_entry("long 6 in", file="a.jpg | b.jpg")
    return plan_entry(a_job(), entry, facts(), facts()).layout


def oval() -> Layout:
    return a_plan(a_job(a_mount(shape=WindowShape.OVAL)), "12x8 in").layout


layouts = st.sampled_from([one(), pair(), oval()])
rooms = st.builds(
    Size, st.integers(90, 260).map(millimetres), st.integers(90, 260).map(millimetres)
)
quick = settings(max_examples=60, deadline=None)


@quick
@given(layouts, rooms)
def test_every_corner_is_in_one_part_with_its_sides(layout: Layout, room: Size) -> None:
    parts = corner_parts(layout, room)
    held = [(part.area, corner) for part in parts for corner in part.corners]
    assert sorted(map(str, corners_of(layout))) == sorted(str(corner) for _, corner in held)
    assert [c.name for area, c in held if c.shown.shared(area) != c.shown] == []


@quick
@given(layouts, rooms)
def test_marks_are_on_the_board_in_their_part_and_on_whole_millimetres(
    layout: Layout, room: Size
) -> None:
    board = Opening(layout.board)
    off = [
        (part.area, mark)
        for part in corner_parts(layout, room)
        for mark in part.marks
        if mark.x.nm % NM_PER_MM
        or mark.y.nm % NM_PER_MM
        or not all(
            edge.left <= mark.x <= edge.right and edge.top <= mark.y <= edge.bottom
            for edge in (board, part.area)
        )
    ]
    assert off == []


def test_a_part_that_is_large_enough_reaches_to_both_edges_of_the_board() -> None:
    # By hand: 4 1/8 in to the opening at the back, 1.4 mm less to the face, 1/8 in to the image;
    # with 18 mm of the sides that is 128 mm across and 115 mm down.
    layout = one()
    assert [edges_shown(part, layout.board) for part in corner_parts(layout, HALF)] == [2] * 4
    small = Size(millimetres(120), millimetres(110))
    assert [edges_shown(part, layout.board) for part in corner_parts(layout, small)] == [0] * 4


def test_what_is_shown_of_a_corner_begins_outside_all_its_lines_and_follows_both_sides() -> None:
    first = corners_of(one())[0]
    assert first.name == "top left"
    # The image begins 4 in from the left of the board, the back opening 1/8 in farther in.
    assert first.shown.left == inches(4) - millimetres(3)
    assert first.shown.right == inches("4.125") + SIDES


def test_marks_of_neighbours_are_in_line() -> None:
    upper_left, upper_right, lower_left, _ = corner_parts(one(), HALF)
    assert {m.y for m in upper_left.marks} & {m.y for m in upper_right.marks}
    assert {m.x for m in upper_left.marks} & {m.x for m in lower_left.marks}


def test_an_oval_has_the_ends_of_its_axes_in_place_of_corners() -> None:
    assert [corner.name for corner in corners_of(oval())] == ["left", "top", "right", "bottom"]


def test_corners_of_two_pictures_that_are_near_share_a_part() -> None:
    parts = corner_parts(pair(), HALF)
    assert [len(part.corners) for part in parts] == [1, 2, 1, 1, 2, 1]
    assert parts[1].area.left > ZERO
    assert read_size("20x16 in").width > parts[1].area.right
