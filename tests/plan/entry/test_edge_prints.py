"""Prints to the edge of a sheet, and the largest image on a sheet, worked out on paper.

That labs enlarge or trim a print without a margin is common practice, no source. The figures
follow from those of the lab alone.
"""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.findings import Severity
from proofs.lengths import ZERO, Length, PixelSize, Size, Unit, inches, millimetres
from proofs.measures import read_size
from proofs.pixel_areas import Area
from proofs.plan.bench.mounting import covered_paper, prints_of
from proofs.plan.checks.checking import check
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.plan.entry.tolerances import covers, tolerances
from proofs.plan.entry.trims import trims
from proofs.plan.sheets.placing import place
from proofs.records.job import Job
from proofs.records.mounts import Mount, WindowKind
from proofs.records.rules import BoardRule, BorderRule, VisibleRule
from proofs.records.size_and_crop import SizeKind, SizeWish
from tests.workbench import (
    LAB,
    MAT,
    TRUE_LAB,
    a_job,
    a_mount,
    a_reveal,
    an_entry,
    by_code,
    facts,
    lengths_from,
    no_window,
    some_rules,
)

SHEET = read_size("12x8 in")
EDGED = replace(LAB, sheets=(SHEET, *LAB.sheets), edge_to_edge=(read_size("8x12 in"),))
TRUE_EDGED = replace(EDGED, scale_error=TRUE_LAB.scale_error)
JOB = a_job(lab=EDGED)
FLOATING = a_mount(window=WindowKind.FLOAT, overlap=ZERO, gap=inches("1/4"))


def planned(
    size: str, *, job: Job = JOB, crop: str = "", px: tuple[int, int] = (6000, 4000)
) -> Plan:
    return plan_entry(job, an_entry(size, crop=crop), facts(*px))


def test_the_image_of_a_print_to_the_edge_is_what_the_lab_leaves() -> None:
    """12 x 8 in less 1/8 in on each side; the mat hides 1/8 in more; 300 ppi."""
    plan = planned("print 12x8 in")
    part, picture = plan.parts[0], plan.layout.pictures[0]
    assert picture.image.size == read_size("11.75x7.75 in")
    assert picture.sight.size == read_size("11.5x7.5 in")
    assert (part.pixels, part.file_pixels) == (PixelSize(3525, 2325), PixelSize(3600, 2400))
    assert part.sheet == SHEET
    # 75 pixels are spare each way: 37 of them left and above, as on any sheet.
    assert part.image_area == Area(37, 37, 3525, 2325)


def test_a_file_has_the_bleed_of_the_lab_and_the_picture_covers_it() -> None:
    """1/8 in of bleed is 37.5, so 38 pixels a side: 3600 + 76 by 2400 + 76."""
    plan = planned("print 12x8 in", job=a_job(lab=replace(EDGED, bleed=inches("1/8"))))
    part = plan.parts[0]
    assert part.file_pixels == PixelSize(3676, 2476)
    assert part.pixels == PixelSize(3525, 2325)
    # The file is a little squarer than 3:2: 4000 x 3676 / 2476 = 5938.6 columns of the picture.
    assert part.file_crop == Area(30, 0, 5939, 4000)


def test_the_image_is_cut_from_the_picture_where_it_lies_in_the_file() -> None:
    """A pixel of the file is 6000 / 3600 = 5/3 of the picture: from 37 x 5/3 = 61.7 on."""
    assert planned("print 12x8 in").parts[0].crop == Area(62, 62, 5875, 3875)


def test_a_sheet_turns_with_its_picture() -> None:
    plan = planned("print 12x8 in", px=(4000, 6000))
    assert plan.parts[0].sheet == read_size("8x12 in")
    assert plan.layout.pictures[0].image.size == read_size("7.75x11.75 in")


def test_in_the_worst_case_the_mat_loses_cutting_placing_and_scale_of_what_is_left() -> None:
    """1/8 in less 1 mm of cutting, 1 mm of placing, and half of 0.005 x 11.75 in."""
    cover = covers(JOB, MAT, planned("print 12x8 in").layout)[0]
    half = inches("11.75") * Fraction("0.0025")
    assert cover.left == inches("1/8") - millimetres(2) - half


@pytest.mark.parametrize(
    ("rule", "severity"),
    [
        # At least: 11.75 in less 0.005 of it is 11.69125 in.
        (VisibleRule(longest_least=inches("11.69")), Severity.MET),
        (VisibleRule(longest_least=inches("11.70")), Severity.AT_RISK),
        (VisibleRule(longest_least=inches("11.76")), Severity.BROKEN),
        # At most: 12.05875 in, if the lab trims nothing and prints 0.005 of 11.75 in larger.
        (VisibleRule(longest_most=inches("12.06")), Severity.MET),
        (VisibleRule(longest_most=inches("12.05")), Severity.AT_RISK),
        (VisibleRule(longest_most=inches("11.74")), Severity.BROKEN),
    ],
)
def test_a_bare_print_is_judged_as_small_and_as_large_as_the_lab_may_make_it(
    rule: VisibleRule, severity: Severity
) -> None:
    job = a_job(no_window(), some_rules(visible=rule), lab=EDGED)
    findings = [f for f in check(job, planned("print 12x8 in", job=job)) if "side" in f.code]
    assert [f.severity for f in findings] == [severity]


def test_behind_a_mat_it_does_not_matter_how_much_the_lab_leaves() -> None:
    """The opening is 11.5 in, with two cuts of 1 mm: at most 11.5787 in."""
    job = a_job(rules=some_rules(visible=VisibleRule(longest_most=inches("11.58"))), lab=EDGED)
    found = by_code(check(job, planned("print 12x8 in", job=job)))
    assert found["longest-side-most"].severity is Severity.MET


def test_the_border_of_a_bare_print_is_judged_for_one_that_is_not_trimmed() -> None:
    """A board of 16 in, 11.75 in printed: 2.125 in, less 1 mm, 1/8 in and a quarter percent."""
    rules = some_rules(
        board=BoardRule(read_size("20x16 in"), exact=True, either_way=True),
        borders=(BorderRule(inches(1)),),
    )
    job = a_job(no_window(), rules, lab=EDGED)
    layout = planned("print 12x8 in", job=job).layout
    borders = layout.borders_face
    assert (borders.left, borders.top) == (inches("33/8"), inches("33/8"))
    worst = tolerances(job).narrowest_border(job.mounts[0], layout)
    assert worst == inches("4") - millimetres(1) - inches("11.75") * Fraction("0.0025")


def test_the_gap_round_a_floating_print_is_less_if_the_lab_trims_nothing() -> None:
    layout = planned("print 12x8 in", job=a_job(FLOATING, lab=TRUE_EDGED)).layout
    cover = covers(a_job(FLOATING, lab=TRUE_EDGED), FLOATING, layout)[0]
    assert cover.left == inches("1/4") - inches("1/8") - millimetres(2)


def test_nothing_is_left_to_trim_of_a_print_to_the_edge() -> None:
    (trim,) = trims(planned("print 12x8 in", job=a_job(no_window(), lab=EDGED)))
    assert trim.is_done


def test_the_mat_covers_only_the_paper_that_the_lab_leaves() -> None:
    """The image is all of the paper, and the mat hides 1/8 in of it."""
    plan = planned("print 12x8 in")
    (one,) = prints_of(plan)
    assert one.sheet == read_size("11.75x7.75 in")
    covered, is_trimmed = covered_paper(plan.layout, one)
    assert (covered.least, is_trimmed) == (inches("1/8"), False)


@pytest.mark.parametrize("crop", ["", "4x3 top", "1x1 left"])
def test_a_picture_of_another_shape_is_refused_with_the_crop_to_write(crop: str) -> None:
    place = crop.partition(" ")[2] or "centre"
    with pytest.raises(ValueError, match=f"write 3x2 {place} under crop"):
        planned("print 12x8 in", crop=crop, px=(4000, 3000))


def test_the_crop_that_a_refusal_names_is_enough() -> None:
    plan = planned("print 12x8 in", crop="3x2 top", px=(4000, 3000))
    assert plan.parts[0].file_crop == Area(0, 0, 4000, 2667)


def test_a_sliver_that_the_lab_trims_anyway_needs_no_crop() -> None:
    """7360 x 4912 on 12 x 8 in hangs over by (12 / 1.4984 - 8) / 2 = 0.004 in."""
    assert planned("print 12x8 in", px=(7360, 4912)).parts[0].file_crop == Area(0, 2, 7360, 4907)


@pytest.mark.parametrize(
    ("px", "is_refused"),
    [
        # At 12 in across, (h - 8) / 2 hangs over at each side: 1/8 in at a height of 8.25 in.
        ((12_000, 8_250), False),
        ((12_000, 8_252), True),
    ],
)
def test_a_sliver_may_be_as_wide_as_what_the_lab_trims(
    px: tuple[int, int], is_refused: bool
) -> None:
    assert _is_refused(px) == is_refused


def _is_refused(px: tuple[int, int]) -> bool:
    try:
        planned("print 12x8 in", px=px)
    except ValueError:
        return True
    return False


def test_a_sheet_that_the_lab_does_not_print_to_the_edge_is_refused_with_those_it_does() -> None:
    with pytest.raises(ValueError, match=r"does not print 10 × 8 in .* write one of 8 × 12 in"):
        planned("print 10x8 in", crop="5x4")


def test_a_lab_without_such_sheets_says_so() -> None:
    with pytest.raises(ValueError, match="its profile lists no sheets under edge_to_edge"):
        planned("print 12x8 in", job=a_job())


@pytest.mark.parametrize(
    "mount",
    [
        a_reveal(inches("1/4")),
        replace(FLOATING, paper=inches("1/2")),
        no_window(window=WindowKind.SURROUND),
    ],
)
def test_a_mount_that_shows_paper_cannot_have_a_print_to_the_edge(mount: Mount) -> None:
    with pytest.raises(ValueError, match="has no white, and the mount 'mat'"):
        planned("print 12x8 in", job=a_job(mount, lab=EDGED))


def test_each_of_several_pictures_has_a_sheet_of_its_own() -> None:
    entry = an_entry("print 12x8 in", file="a.jpg | b.jpg")
    plan = plan_entry(JOB, entry, facts(6000, 4000), facts(4000, 6000))
    assert [part.sheet for part in plan.parts] == [SHEET, SHEET.turned]


def test_what_the_lab_may_take_is_noted() -> None:
    """1/8 in trimmed and half of 0.005 x 12 in enlarged away: 0.155 in."""
    note = by_code(check(JOB, planned("print 12x8 in")))["edges"]
    assert note.severity is Severity.NOTE
    assert "take up to 0.16 in (3.94 mm) off each side" in note.message


def test_the_largest_image_on_a_sheet_leaves_the_white_in_whole_pixels() -> None:
    """1/8 in is 37.5, so 38 pixels: 2400 - 76 = 2324 high, and 3/2 of that wide."""
    part = planned("sheet 12x8 in").parts[0]
    assert part.pixels == PixelSize(3486, 2324)
    assert part.sheet == SHEET


def test_a_named_sheet_is_used_although_a_smaller_one_would_do() -> None:
    """4:3 on 18 x 12 in: 11.74667 in high and 15.66 in wide, which a sheet of 16 x 12 in holds."""
    lab = replace(LAB, sheets=(read_size("12x16 in"), read_size("12x18 in")))
    plan = planned("sheet 18x12 in", job=a_job(lab=lab), px=(4000, 3000))
    assert plan.parts[0].sheet == read_size("18x12 in")
    assert plan.parts[0].pixels == PixelSize(4699, 3524)


def test_a_sheet_reaches_behind_the_mat_if_paper_is_seen() -> None:
    """1/4 in of paper and 1/4 in more behind the mat: 1 in less than the sheet each way."""
    plan = planned("sheet 12x8 in", job=a_job(a_reveal(inches("1/4")), lab=EDGED))
    assert plan.layout.pictures[0].image.size.height == inches(7)


def test_a_sheet_that_the_lab_does_not_sell_is_refused_with_those_it_does() -> None:
    with pytest.raises(ValueError, match=r"does not sell 10 × 7 in .*; write one of 12 × 8 in"):
        planned("sheet 10x7 in")


def test_a_printed_surround_has_no_largest_image_on_a_sheet() -> None:
    with pytest.raises(ValueError, match="is its whole board"):
        planned("sheet 12x8 in", job=a_job(no_window(window=WindowKind.SURROUND), lab=EDGED))


sheets = st.builds(Size, lengths_from(90, 600), lengths_from(90, 600))


@given(sheet=sheets, loss=lengths_from(0, 8), ppi=st.integers(72, 720), unit=st.sampled_from(Unit))
def test_image_and_what_the_lab_takes_make_up_any_sheet(
    sheet: Size, loss: Length, ppi: int, unit: Unit
) -> None:
    lab = replace(LAB, sheets=(sheet,), edge_to_edge=(sheet,), edge_loss=loss, ppi=ppi)
    wish = SizeWish(SizeKind.PRINT, box=sheet, unit=unit)
    px = (sheet.width.nm * 6000 // sheet.longest.nm, sheet.height.nm * 6000 // sheet.longest.nm)
    entry = replace(an_entry(), sizes=(wish,))
    plan = plan_entry(a_job(no_window(), lab=lab), entry, facts(*px))
    image = plan.layout.pictures[0].image.size
    assert image.grown(loss) in (sheet, sheet.turned)
    assert plan.parts[0].image_area.size == plan.parts[0].pixels


@given(
    sheet=sheets,
    ppi=st.integers(72, 720),
    white=lengths_from(0, 10),
    px=st.tuples(st.integers(2000, 6000), st.integers(2000, 6000)),
)
def test_the_largest_image_on_any_sheet_can_be_placed_on_it_and_a_larger_one_cannot(
    sheet: Size, ppi: int, white: Length, px: tuple[int, int]
) -> None:
    lab = replace(LAB, sheets=(sheet,), margin=white, edge_loss=ZERO, ppi=ppi)
    entry = replace(an_entry(), sizes=(SizeWish(SizeKind.SHEET, box=sheet),))
    part = plan_entry(a_job(no_window(), lab=lab), entry, facts(*px)).parts[0]
    assert part.sheet is not None
    placing = place(lab, part.sheet, part.pixels)
    spare = (
        placing.free.width - part.pixels.width,
        placing.free.height - part.pixels.height,
    )
    assert min(spare) == 0
