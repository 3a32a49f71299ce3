"""Which sizes of a finished opening pass."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofs.findings import Severity
from proofs.lengths import ZERO, Size, Unit, inches, millimetres
from proofs.measures import read_size
from proofs.plan.checks.limits import LEAST_SIZES
from proofs.plan.checks.size_checks import cut_findings
from proofs.plan.cutting.arrival import as_measured
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.mount_kinds import at_bench
from proofs.plan.cutting.opening_limits import (
    MountLimits,
    OpeningLimits,
    common_limits,
    mount_limits,
)
from proofs.plan.cutting.openings import innermost, opened
from proofs.plan.cutting.rounding import on_marks
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.cutters import Cutter
from proofs.records.job import Job
from proofs.records.mounts import BevelKind, Mount, WindowKind
from proofs.records.rules import BoardRule, BorderRule, Rules, VisibleRule
from tests.workbench import (
    HAND,
    RAIL,
    a_job,
    a_mount,
    a_plan,
    a_reveal,
    an_entry,
    facts,
    some_rules,
)

TEN = some_rules(visible=VisibleRule(longest_least=inches(10)))
NO_SIDES = Size(ZERO, ZERO)


def limits_of(
    job: Job, size: str, *, is_measured: bool = True, pixels: tuple[int, int] = (3000, 2000)
) -> OpeningLimits:
    """Return the limits of the opening of a picture of these pixels."""
    measured = as_measured(job) if is_measured else job
    return mount_limits(measured, on_marks(job, a_plan(job, size, *pixels))).windows[0]


def test_a_print_of_10_3_8_in_needs_an_opening_from_10_1_8_to_10_1_4_in() -> None:
    # By hand: the rule requires 10 in; with 1 mm to spare at each end these are 10.079 in, and
    # the mark above that is 10 1/8 in. 10 3/8 in less 1 mm of placing at each end are 10.296 in,
    # and the mark below that is 10 1/4 in. Of the 6.917 in the other way 6.838 in are left:
    # 6 13/16 in.
    limits = limits_of(a_job(rules=TEN), "long 10 3/8 in")
    assert limits.least == (Size(inches("10.125"), ZERO),)
    assert limits.most == (Size(inches("10.25"), inches("6.8125")),)
    assert (limits.least_why[0], limits.most_why[0]) == ("for the rule", "before paper shows")


def test_a_square_print_needs_one_side_for_the_longest_side_and_the_other_may_be_less() -> None:
    # The same print, square, and a rule of 4 in for the shortest side: 4.079 in, so 4 1/8 in. An
    # opening of 9 3/4 x 9 3/4 in keeps no side of 10 in.
    both = VisibleRule(longest_least=inches(10), shortest_least=inches(4))
    limits = limits_of(a_job(rules=some_rules(visible=both)), "long 10 3/8 in", pixels=(900, 900))
    long, short = inches("10.125"), inches("4.125")
    assert limits.least == (Size(long, short), Size(short, long))
    assert not limits.passes(read_size("9 3/4 x 9 3/4 in"))
    assert limits.passes(read_size("10 1/8 x 4 1/8 in"))
    assert limits.passes(read_size("4 1/8 x 10 1/4 in"))
    assert not limits.passes(read_size("10 1/8 x 4 1/16 in"))


def test_a_least_area_is_that_of_the_opening_with_both_its_cuts_to_spare() -> None:
    # 80 sq in of a print of 10 3/8 x 10 3/8 in. With 2 mm (0.079 in) to spare each way an opening
    # of 8 x 10 1/4 in keeps 7.921 x 10.171 = 80.57 sq in; one of 7 15/16 x 10 1/4 in keeps
    # 7.859 x 10.171 = 79.93 sq in. Openings of 81.4 sq in, such as 9 x 9 1/16 in (8.921 x 8.984 =
    # 80.14 sq in), are the largest that may fail, so 81.5 sq in or a little more always pass.
    rule = VisibleRule(least_square_nm=read_size("8x10 in").square_nm)
    limits = limits_of(a_job(rules=some_rules(visible=rule)), "long 10 3/8 in", pixels=(900, 900))
    assert limits.passes(read_size("8 x 10 1/4 in"))
    assert not limits.passes(read_size("7 15/16 x 10 1/4 in"))
    assert limits.least_square_nm is not None
    assert 81.0 < limits.least_square_nm / inches(1).nm ** 2 < 81.8


def test_a_print_with_nothing_to_spare_gets_the_bare_least_and_the_words_for_it() -> None:
    # 10 1/8 in less 1 mm of placing at each end are 10.046 in: 10 in, less than 10 1/8 in.
    limits = limits_of(a_job(rules=TEN), "long 10 1/8 in")
    assert limits.least == (Size(inches(10), ZERO),)
    assert limits.least_why[0] == "for the rule, with nothing to spare"
    assert limits.most[0].width == inches(10)


def test_the_labs_error_counts_for_no_opening_that_is_cut() -> None:
    # 10 1/4 in, before it is measured, are sure to be 10.199 in; less 1 mm at each end 10.12 in,
    # so at most 10 1/16 in. Nothing is to spare for the cut, and 10 in are just enough.
    limits = limits_of(a_job(rules=TEN), "long 10 1/4 in", is_measured=False, pixels=(800, 1000))
    assert (limits.least[0].height, limits.most[0].height) == (inches(10), inches("10.0625"))


def test_a_print_that_is_too_small_has_no_opening_that_passes() -> None:
    limits = limits_of(a_job(rules=TEN), "long 9 in")
    assert (limits.least, limits.passes(read_size("8 3/4 x 5 3/4 in"))) == ((), False)


def test_before_it_is_measured_a_print_may_be_smaller_by_the_labs_error() -> None:
    # 0.5 % of 10 3/8 in are 0.052 in: 10.244 in, and the mark below is 10 3/16 in.
    limits = limits_of(a_job(rules=TEN), "long 10 3/8 in", is_measured=False)
    assert limits.most[0].width == inches("10.1875")


def test_where_no_rule_asks_for_a_least_size_no_opening_is_too_small() -> None:
    assert limits_of(a_job(), "long 10 3/8 in").least == (NO_SIDES,)


def test_a_rule_on_borders_keeps_an_opening_small() -> None:
    # 2 in of face border on a board 20 in wide: 16 in at the face, 1.4 mm of bevel at each end
    # less at the back: 15.89 in, and the mark below is 15 7/8 in. Paper would show much later.
    rules = some_rules(borders=(BorderRule(inches(2)),))
    limits = limits_of(a_job(a_mount(overlap=inches("1/4")), rules), "long 16 3/8 in")
    assert limits.most[0].width == inches("15.875")
    assert limits.most_why[0] == "for the rule"


def a_float(**changes: object) -> Mount:
    """Return a float mount with 1/2 in of paper and a gap of 1/4 in round the print."""
    return a_mount(
        window=WindowKind.FLOAT,
        overlap=ZERO,
        paper=inches("1/2"),
        gap=inches("1/4"),
        spacer=millimetres(5),
        **changes,
    )


def test_the_opening_of_a_float_stops_at_the_mounts_own_border() -> None:
    # Neither paper nor rules stop it; but 2 in of border leave 16 in at the face of a board 20 in
    # wide, 15 7/8 in at the back.
    limits = limits_of(a_job(a_float(least_border=inches(2))), "long 10 in")
    assert limits.most[0].width == inches("15.875")
    assert limits.most_why[0] == "for the mount's border"
    assert not limits.passes(read_size("19 11/16 x 15 11/16 in"))


def test_where_paper_is_seen_too_small_an_opening_hides_it_and_too_large_a_one_shows_its_end() -> (
    None
):
    # An image of 9 in with 1/4 in of paper: 9 1/2 in. Placed 1 mm off it still shows paper down
    # to 9.079 in; a sheet that reaches 1/4 in behind the mat is 10 in and good up to 9.921 in.
    job = a_job(a_reveal(inches("1/4")), rules=TEN)
    plan = on_marks(job, a_plan(job, "long 9 in"))
    (part,), (picture,) = plan.parts, plan.layout.pictures
    plan = replace(plan, parts=(replace(part, sheet=picture.paper_needed),))
    limits = mount_limits(as_measured(a_job(job.mounts[0])), plan).windows[0]
    assert (limits.least[0].width, limits.least_why[0]) == (inches("9.125"), "for paper all round")
    assert limits.most[0].width == inches("9.875")
    assert limits.most_why[0] == "before the sheet's edge shows"


SUM = some_rules(visible=VisibleRule(longest_least=inches(14), sums=True))


def test_the_longest_sides_of_two_openings_are_limited_together() -> None:
    # 14 in for two pictures, each cut twice with an error of 1 mm: 4 mm or 0.157 in to spare, so
    # 14.157 in, and the mark above is 14 3/16 in. No single opening has a least.
    job = a_job(rules=SUM)
    plan = on_marks(job, plan_entry(job, an_entry("long 8 in", file="a | b"), facts(), facts()))
    limits = mount_limits(as_measured(job), plan)
    assert limits.sides_least == inches("14.1875")
    assert [window.least for window in limits.windows] == [(NO_SIDES,), (NO_SIDES,)]
    seven, more = read_size("7 x 5 in"), read_size("7 3/16 x 5 in")
    assert (limits.passes([seven, seven]), limits.passes([seven, more])) == (False, True)


def test_an_opening_on_a_board_of_odd_size_keeps_its_own_limits() -> None:
    # Marks of 1/16 in do not divide a board of 500 x 400 mm: the opening takes the odd rest.
    rules = replace(TEN, board=BoardRule(read_size("400x500 mm"), exact=True, either_way=True))
    job = a_job(rules=rules, cutter=replace(HAND, unit=Unit.IN, step=inches("1/16")))
    bench = at_bench(job, a_plan(job, "long 10 1/2 in"), {})
    (told,), (limits,) = innermost(bench.plan), bench.limits.windows
    assert told.size.width.nm % inches("1/16").nm != 0
    assert limits.passes(told.size)
    assert (limits.least[0].width.nm - told.size.width.nm) % inches("1/16").nm == 0


DOUBLE = VisibleRule(longest_least=inches(10), shortest_least=inches(5))
RULES = st.sampled_from(
    [
        TEN,
        some_rules(visible=DOUBLE),
        some_rules(visible=replace(DOUBLE, longest_most=inches(12), shortest_most=inches(9))),
        some_rules(visible=VisibleRule(least_square_nm=read_size("8x10 in").square_nm)),
        some_rules(unit=Unit.MM, visible=VisibleRule(longest_least=millimetres(250))),
        some_rules(
            borders=(BorderRule(inches("3/2"), read_size("8x10 in")), BorderRule(inches(2)))
        ),
    ]
)
MOUNTS = st.sampled_from(
    [
        a_mount(),
        a_mount(bevel=BevelKind.REVERSE, overlap=inches("1/4")),
        a_reveal(inches("3/8")),
        a_float(least_border=inches(1)),
    ]
)


def is_good(job: Job, plan: Plan, size: Size) -> bool:
    """Whether a finished opening of this size passes, asked of the checks themselves."""
    tried = opened(plan, size)
    bare = replace(job, cutter=replace(job.cutter, cut=ZERO))
    rules = [f for f in cut_findings(job, tried) if f.code in LEAST_SIZES]
    cover = [f for f in cut_findings(bare, tried) if f.code not in LEAST_SIZES]
    own = any(f.code == "mount-border" for f in cover)
    return not own and all(f.severity < Severity.AT_RISK for f in (*rules, *cover))


@settings(max_examples=80, deadline=None)
@given(
    MOUNTS,
    RULES,
    st.sampled_from([(900, 900), (3000, 2000), (1000, 1400)]),
    st.sampled_from(["long 10 3/4 in", "long 11 1/2 in", "long 30 cm"]),
    st.sampled_from([HAND, RAIL]),
    st.tuples(st.integers(0, 70), st.integers(0, 70)),
)
def test_a_pair_passes_if_and_only_if_every_check_says_so(
    mount: Mount,
    rules: Rules,
    pixels: tuple[int, int],
    size: str,
    cutter: Cutter,
    down: tuple[int, int],
) -> None:
    # Downwards from 2 in above the planned opening; an area is stated to a tenth of a square
    # inch, and so may refuse what is within a mark of it.
    job = a_job(mount, rules, cutter=cutter)
    plan = on_marks(job, a_plan(job, size, *pixels))
    limits, marks = mount_limits(job, plan).windows[0], marks_of(job)
    told = innermost(plan)[0].size
    tried = Size(
        *(
            side + marks.step * (20 - n)
            for side, n in zip((told.width, told.height), down, strict=True)
        )
    )
    larger = Size(tried.width + marks.step, tried.height + marks.step)
    spared = not any("spare" in why for why in limits.least_why) and bool(limits.least)
    good = is_good(job, plan, tried)
    assert not (limits.passes(tried) and spared) or good
    assert (
        not (good and spared)
        or limits.passes(tried)
        or (limits.least_square_nm is not None and limits.passes(larger))
    )


def test_what_suits_several_prints_is_what_suits_each_of_them() -> None:
    board, one = read_size("20x16 in"), read_size("10x4 in")
    first = OpeningLimits(board, (one, one.turned), (read_size("12x12 in"),))
    second = OpeningLimits(board, (read_size("5x5 in"),), (read_size("14x11 in"),))
    (both,) = common_limits([MountLimits((first,)), MountLimits((second,))]).windows
    assert both.least == (read_size("10x5 in"), read_size("5x10 in"))
    assert both.most == (read_size("12x11 in"),)
    assert common_limits([MountLimits((second,))]) == MountLimits((second,))


@pytest.mark.parametrize(
    ("size", "passes"),
    [("9 x 9 in", False), ("10 x 4 in", True), ("12 x 12 in", True), ("12 x 13 in", False)],
)
def test_limits_hold_at_both_their_ends(size: str, passes: bool) -> None:
    limits = OpeningLimits(read_size("20x16 in"), (read_size("10x4 in"),), (read_size("12x12 in"),))
    assert limits.passes(read_size(size)) is passes


@settings(max_examples=60, deadline=None)
@given(
    MOUNTS,
    RULES,
    st.sampled_from([None, read_size("400x500 mm"), read_size("15 3/8 x 19.9 in")]),
    st.sampled_from(["largest", "long 10 in", "long 10 1/4 in", "long 10 3/4 in", "long 30 cm"]),
    st.sampled_from([HAND, RAIL, replace(HAND, unit=Unit.MM, step=millimetres("0.5"))]),
)
def test_an_opening_that_is_stated_passes_its_own_limits_if_any_does(
    mount: Mount, rules: Rules, board: Size | None, size: str, cutter: Cutter
) -> None:
    job = a_job(replace(mount, board=board), rules, cutter=cutter)
    bench = at_bench(job, a_plan(job, size), {})
    (told,), (limits,) = innermost(bench.plan), bench.limits.windows
    any_passes = any(limits.passes(high) for high in limits.most)
    assert limits.passes(told.size) or not any_passes
    borders, back = bench.plan.layout.borders_back, bench.plan.layout.pictures[0].cuts[0].back
    assert borders.left + back.size.width + borders.right == bench.plan.layout.board.width
    assert borders.left.nm % marks_of(job).step.nm == 0
