"""How far errors go, each side by its own."""

from dataclasses import replace
from fractions import Fraction

import pytest

from proofs.findings import Severity
from proofs.lengths import Size, Unit, inches, millimetres
from proofs.measures import read_size
from proofs.plan.checks.size_checks import size_findings
from proofs.plan.entry.planning import plan_entry
from proofs.plan.entry.tolerances import Cover, covers, tolerances
from proofs.records.rules import BorderRule, VisibleRule
from tests.workbench import (
    HAND,
    LAB,
    a_job,
    a_mount,
    a_plan,
    a_reveal,
    an_entry,
    by_code,
    facts,
    no_window,
    some_rules,
)


def test_a_print_grows_on_each_side_by_its_own_share() -> None:
    # 0.5 % of 12 in and of 8 in.
    assert tolerances(a_job()).of_print(read_size("12x8 in")) == read_size("0.06x0.04 in")


def test_once_measured_a_print_is_off_by_the_reading_instead() -> None:
    job = replace(a_job(), is_measured=True)
    assert tolerances(job).of_print(read_size("12x8 in")) == Size(inches("1/32"), inches("1/32"))


def test_a_ruler_in_millimetres_is_read_to_half_of_one_unless_the_cutter_says_otherwise() -> None:
    metric = replace(a_job(), is_measured=True, rules=some_rules(unit=Unit.MM))
    fine = replace(metric, cutter=replace(HAND, reading=millimetres("0.2")))
    assert tolerances(metric).reading == millimetres("0.5")
    assert tolerances(fine).reading == millimetres("0.2")


def test_the_error_of_the_reading_is_part_of_that_of_placing() -> None:
    # Placing by hand is 1 mm, and the ruler 1/32 in (0.79 mm) of it; with the cut 2 mm in all.
    measured = replace(a_job(), is_measured=True)
    assert tolerances(measured).of_cover(read_size("12x8 in")) == read_size("2x2 mm")


def test_a_short_side_is_judged_by_its_own_share() -> None:
    # 7.04 in less 0.5 % are 7.0048 in: 7 in are met. By 0.5 % of the longer side, 10.56 in, they
    # would not be.
    rules = some_rules(visible=VisibleRule(shortest_least=inches(7)))
    job = a_job(no_window(), rules)
    assert by_code(size_findings(job, a_plan(job, "short 7.04 in")))["shortest-side"].severity is (
        Severity.MET
    )
    assert by_code(size_findings(job, a_plan(job, "short 7.03 in")))["shortest-side"].severity is (
        Severity.AT_RISK
    )


def test_an_area_is_judged_with_each_side_by_its_own_share() -> None:
    # 12 x 8 in less 0.5 % each way are 11.94 x 7.96 = 95.04 sq in.
    areas = {"95 sq in": inches(1).nm ** 2 * 95, "95.1 sq in": inches(1).nm ** 2 * 951 // 10}
    found = []
    for area in areas.values():
        job = a_job(no_window(), some_rules(visible=VisibleRule(least_square_nm=area)))
        found.append(by_code(size_findings(job, a_plan(job, "12x8 in")))["visible-area"].severity)
    assert found == [Severity.MET, Severity.AT_RISK]


def test_a_bare_border_is_judged_by_the_growth_across_it() -> None:
    # A print of 16 x 4 in on a board of 20 x 16 in: 2 in left and right, 6 in above. Placing is
    # 1 mm; half of 0.5 % of 16 in is 0.04 in or 1.016 mm: 2 in less 2.016 mm are left.
    rules = some_rules(borders=(BorderRule(inches(2) - millimetres("2.016")),))
    job = a_job(no_window(), rules)
    plan = a_plan(job, "16x4 in", 4000, 1000)
    assert by_code(size_findings(job, plan))["border"].severity is Severity.MET
    tighter = some_rules(borders=(BorderRule(inches(2) - millimetres("2.015")),))
    other = a_job(no_window(), tighter)
    assert by_code(size_findings(other, plan))["border"].severity is Severity.AT_RISK


def test_where_paper_counts_the_opening_is_cut_and_two_cuts_may_go_against_it() -> None:
    # 11.57 in with 1/4 in of paper on each side show 12.07 in; two cuts by hand may take 2 mm
    # (0.079 in) of that, so 12 in are at risk. 11.58 in show 12.08 in: met.
    rules = some_rules(visible=VisibleRule(longest_least=inches(12), counts_paper=True))
    job = a_job(a_reveal(inches("1/4")), rules)
    found = [by_code(size_findings(job, a_plan(job, f"long {n} in"))) for n in ("11.57", "11.58")]
    assert [f["longest-side"].severity for f in found] == [Severity.AT_RISK, Severity.MET]


TIERS = (BorderRule(inches("3/2"), read_size("8x10 in")), BorderRule(inches(2)))


def test_at_the_edge_of_a_tier_the_border_asked_and_the_worst_border_are_both_named() -> None:
    # A board of 11 x 13 in shows 8 x 10 in with 1 1/2 in all round: cut too large, it owes 2 in.
    rules = some_rules(borders=TIERS)
    job = a_job(a_mount(board=read_size("12x14 in"), bevel="straight"), rules)
    finding = by_code(size_findings(job, a_plan(job, "visible 8x10 in", 800, 1000)))["border"]
    assert finding.severity is Severity.AT_RISK
    assert finding.message == (
        "narrowest border at the face 2 in (5.08 cm), at least 1 1/2 in (3.81 cm); but if the"
        " visible size comes out larger, the minimum is 2 in (5.08 cm), and the border 1.96 in"
        " (4.98 cm) when every tolerance goes against it"
    )


@pytest.mark.parametrize("bevel", ["ordinary", "straight"])
def test_the_largest_picture_keeps_two_cuts_to_spare_at_the_edge_of_a_tier(bevel: str) -> None:
    # On 11 x 14 in no picture keeps 2 in beyond 8 x 10 in, so the tier of 1 1/2 in decides; cut
    # 1 mm too wide at both ends, a sight of 8 in would leave it.
    job = a_job(a_mount(board=read_size("11x14 in"), bevel=bevel), some_rules(borders=TIERS))
    plan = a_plan(job, "largest", 800, 1000)
    assert by_code(size_findings(job, plan))["border"].severity is Severity.MET
    sight = plan.layout.pictures[0].sight.size
    assert sight.width <= inches(8) - millimetres(2)
    assert sight.height <= inches(10) - millimetres(2)


def test_a_share_is_read_as_it_is_written() -> None:
    assert tolerances(a_job()).share == Fraction(5, 1000)


def test_a_print_off_the_middle_is_placed_by_where_the_mat_covers_less() -> None:
    # 3:2 behind 11 1/2 x 7 3/4 in is 12 x 8 in, 1/4 in more than is needed across. Shown from its
    # left, 1/8 in is covered there: 1 mm of a cut and 1 mm of placing may go. On the other side
    # 3/8 in are covered, less the same and 0.5 % of 12 in, 1.524 mm.
    job = a_job()
    plan = plan_entry(job, an_entry("opening 11 1/2 x 7 3/4 in", crop="left"), facts(3000, 2000))
    across, down = covers(job, plan.mount, plan.layout)
    assert across == Cover(inches("1/8"), millimetres(2))
    assert down == Cover(inches("1/8"), millimetres("2.508"))  # half of 0.5 % of 8 in as well


def test_a_print_that_may_come_much_too_small_is_judged_on_its_other_side() -> None:
    # 5 % of 12 in is 15.24 mm, more than 3/8 in.
    job = a_job(lab=replace(LAB, scale_error=0.05))
    plan = plan_entry(job, an_entry("opening 11 1/2 x 7 3/4 in", crop="left"), facts(3000, 2000))
    across, _ = covers(job, plan.mount, plan.layout)
    assert across == Cover(inches("3/8"), millimetres("17.24"))
