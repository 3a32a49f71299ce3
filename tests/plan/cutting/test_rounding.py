"""The rounding chain: openings and borders on the cutter's marks, the rules run again on them."""

from dataclasses import replace
from fractions import Fraction
from itertools import product
from math import ceil, floor

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofs.findings import Severity
from proofs.lengths import ZERO, Borders, Length, Place, Size, Unit, inches, millimetres
from proofs.measures import read_length, read_size
from proofs.plan.checks.size_checks import badness, cut_findings
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.openings import with_openings
from proofs.plan.cutting.rounding import on_marks
from proofs.plan.entry.board import Opening
from proofs.plan.entry.layout import lay_out
from proofs.plan.entry.planning import Plan
from proofs.records.cutters import Cutter
from proofs.records.job import Job
from proofs.records.mounts import Mount, WindowPlacing
from proofs.records.rules import BorderRule, Rules, VisibleRule
from tests.workbench import (
    BOARD,
    HAND,
    TRUE,
    TRUE_LAB,
    a_job,
    a_mount,
    a_plan,
    a_reveal,
    boards,
    by_code,
    images,
    no_window,
    rule_sets,
    some_rules,
    windows,
)

INCHES = replace(HAND, unit=Unit.IN, step=inches("1/16"))
FINE_INCHES = replace(INCHES, step=inches("1/32"))
METRIC = replace(HAND, unit=Unit.MM, step=millimetres(1))
FINE_METRIC = replace(METRIC, step=millimetres("0.5"))
cutters = st.sampled_from([INCHES, FINE_INCHES, METRIC, FINE_METRIC])
# Boards as they are sold, some of which no mark of the other unit divides.
sold = st.sampled_from([read_size(s) for s in ("16x20 in", "400x500 mm", "11x14 in", "20x16 in")])


def planned(job: Job, board: Size, image: Size) -> Plan:
    """Return a plan with this board and image, regardless of the rules."""
    plan = a_plan(job)
    return replace(plan, layout=lay_out(plan.mount, board, image))


def back_of(plan: Plan) -> Opening:
    back = plan.layout.pictures[0].back
    assert back is not None
    return back


def is_safe(job: Job, plan: Plan) -> bool:
    return badness(cut_findings(job, plan))[0] < Severity.AT_RISK


def in_order(borders: Borders) -> tuple[Length, ...]:
    return borders.top, borders.right, borders.bottom, borders.left


def in_words(borders: Borders, job: Job) -> list[str]:
    """Borders as pages state them: top, right, bottom, left."""
    return [marks_of(job).with_unit(border) for border in in_order(borders)]


def around(job: Job, exact: Plan) -> list[Plan]:
    """The plans with the openings next to the exact one whose borders are all on marks.

    Worked out from the borders, by hand: each border up and down to a mark by itself.
    """
    step, layout = marks_of(job).step.nm, exact.layout
    exact_borders = [Fraction(b.nm, step) for b in in_order(layout.borders_back)]
    found = []
    for ways in product((floor, ceil), repeat=4):
        top, right, bottom, left = (
            Length(way(border) * step) for way, border in zip(ways, exact_borders, strict=True)
        )
        size = Size(layout.board.width - left - right, layout.board.height - top - bottom)
        found.append(with_openings(exact, [Opening(size, Place(left, top))]))
    return found


@settings(max_examples=500)
@given(st.one_of(sold, boards), images, windows, rule_sets, cutters)
def test_what_stands_on_paper_is_on_the_marks_and_adds_up_to_the_board(
    board: Size, image: Size, mount: Mount, rules: Rules, cutter: Cutter
) -> None:
    job = a_job(mount, rules, cutter=cutter)
    plan = on_marks(job, planned(job, board, image))
    borders, back, step = plan.layout.borders_back, back_of(plan).size, marks_of(job).step
    top, right, bottom, left = in_order(borders)
    assert left + back.width + right == board.width
    assert top + back.height + bottom == board.height
    assert {border.nm % step.nm for border in in_order(borders)} == {0}
    # Read back from its own words, no border has lost anything.
    positive = [border for border in in_order(borders) if border >= ZERO]
    assert [read_length(marks_of(job).with_unit(border)) for border in positive] == positive


@settings(max_examples=500)
@given(st.one_of(sold, boards), images, windows, rule_sets, cutters)
def test_rules_are_still_met_wherever_an_opening_near_the_exact_one_meets_them(
    board: Size, image: Size, mount: Mount, rules: Rules, cutter: Cutter
) -> None:
    job = a_job(mount, rules, cutter=cutter)
    exact = planned(job, board, image)
    could = any(is_safe(job, plan) for plan in around(job, exact))
    assert is_safe(job, on_marks(job, exact)) >= could


@pytest.mark.parametrize("cutter", [INCHES, FINE_INCHES, METRIC, FINE_METRIC])
@pytest.mark.parametrize("board", ["16x20 in", "400x500 mm", "20x16 in"])
@pytest.mark.parametrize("size", ["long 10 1/4 in", "long 11 in", "largest", "30x20 cm"])
def test_the_sizes_that_people_ask_for_still_meet_the_rules(
    size: str, board: str, cutter: Cutter
) -> None:
    rules = some_rules(
        visible=VisibleRule(longest_least=millimetres(240), shortest_least=inches(4)),
        borders=(BorderRule(inches("1.5")),),
    )
    mount = a_mount(board=read_size(board), overlap=inches("3/16"))
    job = a_job(mount, rules, cutter=cutter)
    exact = a_plan(job, size)
    assert is_safe(job, exact)
    assert is_safe(job, on_marks(job, exact))


@settings(max_examples=200)
@given(images, st.sampled_from([read_size("16x20 in"), read_size("20x16 in")]))
def test_an_opening_moves_less_than_two_marks_from_its_plan(image: Size, board: Size) -> None:
    job = a_job(cutter=INCHES)
    exact = planned(job, board, image)
    rounded = back_of(on_marks(job, exact))
    moved = rounded.size.width - back_of(exact).size.width
    assert abs(moved.nm) < 2 * inches("1/16").nm
    middle = rounded.place.x + rounded.place.x + rounded.size.width - board.width
    assert abs(middle.nm) <= inches("1/16").nm


def test_a_print_of_8x10_under_a_quarter_inch_on_11x14_has_the_borders_of_the_teaching_page() -> (
    None
):
    # Source: kellyworld.com, "Measuring Mat Windows" (1998): an 8 x 10 in print, 1/4 in of it
    # hidden, needs a window of 7 1/2 x 9 1/2 in, and 11 x 14 in borders of 1 3/4 and 2 1/4 in.
    mount = a_mount(overlap=inches("1/4"), board=read_size("11x14 in"))
    job = a_job(mount, cutter=INCHES)
    plan = on_marks(job, a_plan(job, "8x10 in", 2400, 3000))
    assert back_of(plan).size == read_size("7 1/2 x 9 1/2 in")
    assert in_words(plan.layout.borders_back, job) == [
        "2 1/4 in",
        "1 3/4 in",
        "2 1/4 in",
        "1 3/4 in",
    ]


def test_a_window_with_paper_all_round_keeps_the_paper_of_the_teaching_page() -> None:
    # Source: filnenna.com, "A simple way to cut a mat" (2021): a window of 7 1/2 x 9 1/2 in over
    # an image of 7 x 9 in leaves 1/4 in of paper all round.
    job = a_job(a_reveal(inches("1/4")), cutter=INCHES)
    plan = on_marks(job, planned(job, BOARD, read_size("7x9 in")))
    (picture,) = plan.layout.pictures
    assert back_of(plan).size == read_size("7 1/2 x 9 1/2 in")
    assert set(in_order(picture.seen_paper)) == {inches("1/4")}


@pytest.mark.parametrize(
    ("board", "opening", "cutter", "borders"),
    [
        # Corner-line construction of the teaching page mmresourcecenter.org/matting.html: exact
        # tops of 2.53125, 2.125 and 43.75; here to the nearest mark, the rest falls below.
        ("16x20 in", "11x14 in", INCHES, ["2 1/2 in", "2 1/2 in", "3 1/2 in", "2 1/2 in"]),
        ("20x16 in", "14x11 in", INCHES, ["2 1/8 in", "3 in", "2 7/8 in", "3 in"]),
        ("16x20 in", "11x14 in", FINE_INCHES, ["2 17/32 in", "2 1/2 in", "3 15/32 in", "2 1/2 in"]),
        ("400x500 mm", "300x400 mm", METRIC, ["44 mm", "50 mm", "56 mm", "50 mm"]),
        ("400x500 mm", "300x400 mm", FINE_METRIC, ["43.5 mm", "50 mm", "56.5 mm", "50 mm"]),
    ],
)
def test_an_opening_at_the_optical_centre_goes_to_the_nearest_marks(
    board: str, opening: str, cutter: Cutter, borders: list[str]
) -> None:
    true = replace(cutter, cut=ZERO, placing=ZERO)  # so that the size of the opening stays
    job = a_job(a_mount(placing=WindowPlacing.OPTICAL_CENTRE), cutter=true, lab=TRUE_LAB)
    image = read_size(opening).grown(inches("1/8"))
    plan = on_marks(job, planned(job, read_size(board), image))
    assert back_of(plan).size == read_size(opening)
    assert in_words(plan.layout.borders_back, job) == borders


def test_an_opening_grows_to_the_mark_for_a_least_size_and_shrinks_without_one() -> None:
    image = read_size("10.3 x 7.3 in")  # 10.05 x 7.05 in at the back
    asking = some_rules(visible=VisibleRule(longest_least=inches(10)))
    jobs = [a_job(rules=r, cutter=replace(INCHES, cut=ZERO), lab=TRUE_LAB) for r in (asking, None)]
    sizes = [back_of(on_marks(job, planned(job, BOARD, image))).size for job in jobs]
    assert sizes == [read_size("10 1/16 x 7 1/16 in"), read_size("10 x 7 in")]


def test_an_opening_never_grows_past_the_overlap() -> None:
    # 2.3 mm are hidden and 2 mm wanted for cut and place; grown from 294.1 to 295 mm, the
    # opening would leave 1.85 mm.
    asking = some_rules(visible=VisibleRule(longest_least=millimetres(200)))
    job = a_job(a_mount(overlap=millimetres("2.3")), asking, cutter=METRIC, lab=TRUE_LAB)
    board = read_size("400x500 mm")
    plan = on_marks(job, planned(job, board, read_size("298.7 x 223.7 mm")))
    assert back_of(plan).size == read_size("294x219 mm")


def test_what_a_board_that_no_mark_divides_leaves_falls_to_the_opening() -> None:
    # 400 mm are 15 3/4 in less 0.05 mm; the four numbers set are marks all the same.
    job = a_job(a_mount(board=read_size("400x500 mm")), cutter=INCHES)
    plan = on_marks(job, a_plan(job, "30x20 cm"))
    back, borders = back_of(plan).size, plan.layout.borders_back
    assert back.width.nm % inches("1/16").nm != 0
    assert {border.nm % inches("1/16").nm for border in in_order(borders)} == {0}
    assert borders.left + back.width + borders.right == millimetres(500)


def test_an_odd_step_too_many_goes_to_the_right_and_below() -> None:
    job = a_job(cutter=replace(TRUE, unit=Unit.IN, step=inches("1/16")), lab=TRUE_LAB)
    image = read_size("10 x 8 in").grown(inches("1/8"))
    odd = Size(image.width + inches("1/16"), image.height + inches("1/16"))
    borders = on_marks(job, planned(job, BOARD, odd)).layout.borders_back
    assert borders.right - borders.left == inches("1/16")
    assert borders.bottom - borders.top == inches("1/16")


def test_a_mount_without_a_window_stays_as_it_is() -> None:
    job = a_job(no_window())
    plan = a_plan(job)
    assert on_marks(job, plan) == plan


def test_a_measured_image_smaller_than_its_opening_is_found_to_show_paper() -> None:
    job = a_job(cutter=INCHES)
    plan = on_marks(job, a_plan(job, "12x8 in"))
    small = with_openings(plan, [back_of(plan)], [read_size("11 1/2 x 8 in")])
    finding = by_code(cut_findings(job, small))["overlap-left"]
    assert finding.severity is Severity.BROKEN
    assert "1/4 in (6.35 mm) smaller than its opening" in finding.message


def test_a_sheet_that_ends_inside_the_opening_is_found_where_paper_is_seen() -> None:
    job = a_job(a_reveal(inches("1/4")), cutter=INCHES)
    plan = on_marks(job, planned(job, BOARD, read_size("7x9 in")))
    (part,) = plan.parts
    narrow = replace(plan, parts=(replace(part, sheet=read_size("7 3/8 x 11 in")),))
    assert by_code(cut_findings(job, plan))["sheet-left"].severity is Severity.MET
    assert by_code(cut_findings(job, narrow))["sheet-left"].severity is Severity.BROKEN


def test_what_a_cutter_leaves_open_follows_the_rules_unit() -> None:
    metric = a_job(rules=some_rules(unit=Unit.MM))
    assert marks_of(metric).with_unit(millimetres(12)) == "12 mm"
    assert (marks_of(metric).step, marks_of(a_job()).step) == (millimetres(1), inches("1/16"))


@given(st.integers(0, 10**9).map(Length), st.sampled_from([INCHES, METRIC]))
def test_the_nearest_mark_is_half_a_step_away_at_most(length: Length, cutter: Cutter) -> None:
    marks = marks_of(a_job(cutter=cutter))
    assert abs(2 * (marks.nearest(length) - length).nm) <= marks.step.nm


def test_facts_of_the_plan_stay_what_they_were() -> None:
    job = a_job(cutter=INCHES)
    plan = a_plan(job, "12x8 in")
    rounded = on_marks(job, plan)
    assert (rounded.entry, rounded.parts) == (plan.entry, plan.parts)
