"""Rectangles on a board: what one leaves of another, and what they share (geometry)."""

from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import ZERO, Borders, Length, Place, Size, inches
from proofs.plan.entry.board import Cut, Opening
from tests.workbench import lengths_from

sizes = st.builds(Size, lengths_from(1, 400), lengths_from(1, 400))
places = st.builds(Place, lengths_from(-50, 400), lengths_from(-50, 400))
openings = st.builds(Opening, sizes, places)


@given(openings, openings)
def test_borders_in_another_line_lead_back_to_it(inner: Opening, outer: Opening) -> None:
    assert inner.bordered(inner.borders_in(outer)) == outer


@given(openings, openings)
def test_what_two_share_lies_in_both_and_what_is_around_them_holds_both(
    one: Opening, other: Opening
) -> None:
    shared, around = one.shared(other), Opening.around([one, other])
    if shared.size.shortest > ZERO:
        assert min(shared.borders_in(one).least, shared.borders_in(other).least) >= ZERO
    assert min(one.borders_in(around).least, other.borders_in(around).least) == ZERO
    assert one.shared(around) == one


@given(openings, sizes)
def test_a_centred_rectangle_has_the_same_middle_to_the_nanometre(one: Opening, size: Size) -> None:
    borders = one.centred(size).borders_in(one)
    assert ZERO <= borders.right - borders.left <= Length(1)
    assert ZERO <= borders.bottom - borders.top <= Length(1)


@given(openings, openings)
def test_a_place_counted_from_another_rectangle_is_counted_back(
    one: Opening, other: Opening
) -> None:
    assert one.counted_from(other).shifted(other.left, other.top) == one


def test_rectangles_that_share_nothing_share_no_width() -> None:
    left = Opening(Size(inches(2), inches(2)))
    right = left.shifted(inches(3), ZERO)
    assert left.shared(right).size.width == ZERO


def test_without_a_place_it_is_the_board() -> None:
    board = Size(inches(16), inches(20))
    assert Opening(board).place == Place(ZERO, ZERO)
    assert Opening(board).grown(inches(1)).within(board) == Opening(board)


def test_a_cut_moved_keeps_the_width_of_its_bevel() -> None:
    back = Opening(Size(inches(8), inches(10)))
    cut = Cut(back, back.grown(inches("1/16")))
    moved = cut.moved_to(back.grown(-inches(1)))
    bevel = inches("1/16")
    assert moved.back.borders_in(moved.face) == Borders(bevel, bevel, bevel, bevel)
