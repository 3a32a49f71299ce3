"""Between which sizes a finished opening passes."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from proofs.findings import Severity
from proofs.lengths import ZERO, Length, Place, Size, inches
from proofs.measures import read_size
from proofs.plan.checks.size_checks import cut_findings
from proofs.plan.cutting.arrival import without_lab_error
from proofs.plan.cutting.bands import Band, bands, common_band
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.openings import innermost, with_opening
from proofs.plan.cutting.rounding import on_marks
from proofs.plan.entry.board import Opening
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.cutters import Cutter
from proofs.records.job import Job
from proofs.records.mounts import BevelKind, Mount
from proofs.records.rules import BorderRule, VisibleRule
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


def passes(band: Band, size: Length) -> bool:
    """Return whether a band contains a size; both its ends belong to it."""
    is_least = band.least is None or size >= band.least
    return is_least and (band.most is None or size <= band.most)


def band_of(job: Job, size: str, *, is_measured: bool = True) -> Band:
    """Return the band of the longer side of a picture of 3 to 2."""
    exact = without_lab_error(job) if is_measured else job
    return bands(exact, on_marks(job, a_plan(job, size)), 0)[0]


def test_a_print_of_10_3_8_in_needs_an_opening_from_10_1_8_to_10_1_4_in() -> None:
    # By hand: the rule requires 10 in; with 1 mm to spare at each end these are 10.079 in, and
    # the mark above that is 10 1/8 in. 10 3/8 in less 1 mm of placing at each end are 10.296 in,
    # and the mark below that is 10 1/4 in.
    band = band_of(a_job(rules=TEN), "long 10 3/8 in")
    assert (band.least, band.least_why) == (inches("10.125"), "for the rule")
    assert (band.most, band.most_why) == (inches("10.25"), "before paper shows")


def test_a_print_with_nothing_to_spare_gets_the_bare_least_and_the_words_for_it() -> None:
    # 10 1/8 in less 1 mm of placing at each end are 10.046 in: 10 in, less than 10 1/8 in.
    band = band_of(a_job(rules=TEN), "long 10 1/8 in")
    assert (band.least, band.least_why) == (inches(10), "for the rule, with nothing to spare")
    assert band.most == inches(10)


def test_a_side_that_cannot_mend_what_is_broken_has_no_least() -> None:
    # The longer side is the width: no height helps a print of 9 in, and no opening does.
    job = a_job(rules=TEN)
    wide, high = bands(without_lab_error(job), on_marks(job, a_plan(job, "long 9 in")), 0)
    assert (wide.least, high.least) == (None, None)


def test_before_it_is_measured_a_print_may_be_smaller_by_the_labs_error() -> None:
    # 0.5 % of 10 3/8 in are 0.052 in: 10.244 in, and the mark below is 10 3/16 in.
    band = band_of(a_job(rules=TEN), "long 10 3/8 in", is_measured=False)
    assert band.most == inches("10.1875")


def test_an_opening_may_be_so_narrow_that_a_picture_in_it_is_not_seen_at_all() -> None:
    mount = a_reveal(inches("1/4"), bar=inches(1), common=True)
    job = a_job(
        mount, some_rules(visible=VisibleRule(least_square_nm=read_size("2x3 in").square_nm))
    )
    plan = plan_entry(job, an_entry("long 6 in", file="a.jpg | b.jpg"), facts(), facts())
    (band, _) = bands(job, on_marks(job, plan), 0)
    assert passes(band, innermost(plan)[0].size.width)


def test_where_no_rule_asks_for_a_least_size_no_opening_is_too_small() -> None:
    assert band_of(a_job(), "long 10 3/8 in").least is None


def test_a_rule_on_borders_keeps_an_opening_small() -> None:
    # 2 in of face border on a board 20 in wide: 16 in at the face, 1.4 mm of bevel at each end
    # less at the back: 15.89 in, and the mark below is 15 7/8 in. Paper would show much later.
    rules = some_rules(borders=(BorderRule(inches(2)),))
    band = band_of(a_job(a_mount(overlap=inches("1/4")), rules), "long 16 3/8 in")
    assert (band.most, band.most_why) == (inches("15.875"), "for the rule")


def test_where_paper_is_seen_too_small_an_opening_hides_it_and_too_large_a_one_shows_its_end() -> (
    None
):
    # An image of 9 in with 1/4 in of paper: 9 1/2 in. Placed 1 mm off it still shows paper down
    # to 9.079 in; a sheet that reaches 1/4 in behind the mat is 10 in and good up to 9.921 in.
    job = a_job(a_reveal(inches("1/4")), rules=TEN)
    plan = on_marks(job, a_plan(job, "long 9 in"))
    (part,), (picture,) = plan.parts, plan.layout.pictures
    plan = replace(plan, parts=(replace(part, sheet=picture.paper_needed),))
    band, _ = bands(without_lab_error(a_job(job.mounts[0])), plan, 0)
    assert (band.least, band.least_why) == (inches("9.125"), "for paper all round")
    assert (band.most, band.most_why) == (inches("9.875"), "before the sheet's edge shows")


def test_one_side_that_fails_does_not_spoil_the_band_of_the_other() -> None:
    job = a_job(rules=TEN)
    plan = on_marks(job, a_plan(job, "long 12 in"))
    back = plan.layout.pictures[0].back
    assert back is not None
    high = Opening(Size(back.size.width, inches(9)), Place(back.place.x, inches(3)))
    (wide, _), (usual, _) = (bands(job, p, 0) for p in (with_opening(plan, 0, high), plan))
    assert wide == usual


def is_good(job: Job, plan: Plan, width: Length) -> bool:
    """Whether an opening cut to this width passes, asked of the checks themselves."""
    back = plan.layout.pictures[0].back
    assert back is not None
    x = back.place.x + Length((back.size.width - width).nm // 2)
    cut = with_opening(plan, 0, Opening(Size(width, back.size.height), Place(x, back.place.y)))
    exact = replace(job, cutter=replace(job.cutter, cut=ZERO))
    spare = [f for f in cut_findings(job, cut) if f.code == "longest-side"]
    return all(f.severity < Severity.AT_RISK for f in (*spare, *cut_findings(exact, cut)))


@settings(max_examples=60)
@given(
    st.sampled_from([a_mount(), a_mount(bevel=BevelKind.REVERSE), a_reveal(inches("3/8"))]),
    st.sampled_from(["long 10 1/2 in", "long 11 in", "long 30 cm"]),
    st.sampled_from([HAND, RAIL]),
    st.integers(-12, 12),
)
def test_an_opening_passes_if_and_only_if_the_checks_say_so(
    mount: Mount, size: str, cutter: Cutter, steps: int
) -> None:
    job = a_job(mount, TEN, cutter=cutter)
    plan = on_marks(job, a_plan(job, size))
    back = plan.layout.pictures[0].back
    assert back is not None
    width = back.size.width + marks_of(job).step * steps
    assert passes(bands(job, plan, 0)[0], width) == is_good(job, plan, width)


def test_what_suits_several_prints_is_what_suits_each_of_them() -> None:
    one = Band(inches(10), "for the rule", inches(11), "before paper shows")
    other = Band(None, "", inches(12), "before paper shows")
    assert common_band([one, other]) == one
    assert common_band([other]) == other
