"""How prints are held: by size and by the paper behind the mat.

What counts as small or large is common practice, no source; so is 1/4 to 3/8 in for a hinge.
"""

import math
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.findings import Severity
from proofs.lengths import NM_PER_INCH, ZERO, Borders, Length, inches, millimetres
from proofs.measures import read_size
from proofs.plan.bench.mounting import (
    Attachment,
    AttachmentMethod,
    MountedPrint,
    attachment,
    corner_leg,
    covered_by_strips,
    covered_paper,
    mounting,
    prints_of,
)
from proofs.plan.bench.weights import backing_weight, in_weights, mat_weight, mount_grams
from proofs.plan.cutting.arrival import arrive
from proofs.plan.cutting.rounding import on_marks
from proofs.plan.entry.board import Cut, Layout, Opening, Picture
from proofs.plan.entry.layout import lay_out
from proofs.plan.entry.planning import plan_entry
from proofs.records.mounts import Mat, Mount, WindowKind, WindowShape
from proofs.records.ruler_readings import RulerReading
from tests.near import ARITHMETIC
from tests.pages.outcomes import planned
from tests.workbench import (
    BOARD,
    a_job,
    a_mount,
    a_reveal,
    an_entry,
    facts,
    lengths_from,
    no_window,
    some_rules,
    widened,
)

SLACK = millimetres(2)
covers = st.builds(Borders, *[lengths_from(0, 60)] * 4)


def held(image: str, sheet: str, mount: Mount | None = None) -> Attachment:
    layout = lay_out(mount or a_mount(), BOARD, read_size(image))
    return attachment(layout, a_print(layout, sheet), SLACK)


def a_print(layout: Layout, sheet: str, number: int = 0) -> MountedPrint:
    picture = layout.pictures[number]
    return MountedPrint(picture.image, picture.limiting, read_size(sheet))


def reach(borders: Borders, leg: Length) -> list[bool]:
    """Whether a corner of this leg is seen at each corner: its slant passes the opening's corner.

    The slant from (leg, 0) to (0, leg) passes a point (x, y) where x + y is less than leg.
    """
    upright, level = (borders.top, borders.bottom), (borders.left, borders.right)
    return [Fraction(x.nm + y.nm, leg.nm) < 1 for x in upright for y in level]


@given(covers)
def test_a_corner_of_the_longest_leg_stays_hidden_and_a_longer_one_does_not(
    covered: Borders,
) -> None:
    leg = corner_leg(replace(covered, top=covered.top + millimetres(1)))
    longer = corner_leg(covered) + Length(1)
    assert not leg or not any(reach(replace(covered, top=covered.top + millimetres(1)), leg))
    assert any(reach(covered, longer))


@given(lengths_from(1, 60))
def test_a_corner_hides_only_under_half_its_leg_of_covered_paper(covered: Length) -> None:
    assert corner_leg(Borders(covered, covered, covered, covered)) == 2 * covered


def test_the_mat_covers_what_the_published_example_says() -> None:
    # "Measuring Mat Windows" (1998): an 8 x 10 in print and 1/4 in of overlap give a window of
    # 7 1/2 x 9 1/2 in; the paper behind the mat is then those 1/4 in all round.
    layout = lay_out(a_mount(overlap=inches("1/4")), read_size("11x14 in"), read_size("8x10 in"))
    covered, is_trimmed = covered_paper(layout, a_print(layout, "8x10 in"))
    assert layout.pictures[0].sight.size == read_size("7.5x9.5 in")
    assert covered == Borders(*[inches("1/4")] * 4)
    assert not is_trimmed


def test_white_paper_round_the_image_lies_behind_the_mat_too() -> None:
    # Arithmetic: half of 10 - 8 in next to the image, half of 12 - 10 in above it, 1/8 in hidden.
    layout = lay_out(a_mount(), BOARD, read_size("8x10 in"))
    covered, _ = covered_paper(layout, a_print(layout, "10x12 in"))
    assert covered == Borders(*[inches("1.125")] * 4)


def test_paper_seen_in_the_window_is_not_covered() -> None:
    # The reveal's published worked example: image 7 x 9 in, window 7 1/2 x 9 1/2 in.
    layout = lay_out(a_reveal(inches("1/4")), read_size("11x14 in"), read_size("7x9 in"))
    covered, _ = covered_paper(layout, a_print(layout, "8x10 in"))
    assert covered == Borders(*[inches("1/4")] * 4)


def test_paper_counts_no_farther_than_the_board() -> None:
    layout = lay_out(a_mount(), BOARD, read_size("12x16 in"))
    covered, is_trimmed = covered_paper(layout, a_print(layout, "20x24 in"))
    assert covered == layout.borders_back
    assert is_trimmed


@pytest.mark.parametrize(
    ("image", "sheet", "method", "paper"),
    [
        ("8x10 in", "8.5x10.5 in", AttachmentMethod.HINGES, "1/4"),  # 3/8 in covered, less 2 mm
        ("8x10 in", "10x12 in", AttachmentMethod.HINGES, "3/8"),
        ("8x10 in", "8.25x10.25 in", AttachmentMethod.STRIPS, "1/8"),
        ("10x14 in", "12x16 in", AttachmentMethod.CORNERS, "3/2"),
        (
            "10x14 in",
            "10.75x14.75 in",
            AttachmentMethod.CORNERS,
            "3/4",
        ),  # 1/2 + 1/2 in, less 4 mm, in eighths
        ("10x14 in", "10.25x14.25 in", AttachmentMethod.STRIPS, "1/8"),
        ("10x14 in", "10x14 in", AttachmentMethod.DRY_MOUNT, "0"),
        (
            "16.1x12 in",
            "18x14 in",
            AttachmentMethod.DRY_MOUNT,
            "0",
        ),  # the sides of the mat are narrower than 2 mm
    ],
)
def test_a_print_behind_a_window_is_held_by_its_size_and_the_paper_covered(
    image: str, sheet: str, method: str, paper: str
) -> None:
    found = held(image, sheet)
    assert (found.method, found.size) == (method, inches(paper))


def test_a_large_print_is_dry_mounted() -> None:
    layout = lay_out(a_mount(), read_size("24x30 in"), read_size("16x22 in"))
    assert (
        attachment(layout, a_print(layout, "18x24 in"), SLACK).method == AttachmentMethod.DRY_MOUNT
    )


def test_strips_ask_for_paper_only_where_they_hold() -> None:
    covered = Borders(inches("1/8"), inches("5/8"), inches("3/8"), inches("1/2"))
    assert covered_by_strips(covered) == inches("3/8")


def test_where_too_little_paper_is_covered_more_white_is_asked_for() -> None:
    (note,) = held("10x14 in", "10x14 in").notes
    assert note.startswith("the mat covers only 1/8 in (3.18 mm) of paper")


def test_a_sheet_that_outgrows_the_board_is_to_be_trimmed() -> None:
    assert held("8x10 in", "20x24 in").notes == ("trim the sheet: it reaches beyond the board",)


def two_windows(gap: Length) -> Layout:
    """Return two pictures of 6 x 6 in side by side, this much mat between their openings."""
    layout = lay_out(a_mount(), read_size("20x16 in"), read_size("6x6 in"))
    (picture,) = layout.pictures
    half = (picture.sight.size.width + gap) * Fraction(1, 2)
    return replace(layout, pictures=(shifted(picture, -half), shifted(picture, half)))


def shifted(picture: Picture, right: Length) -> Picture:
    def moved(opening: Opening) -> Opening:
        return replace(opening, place=replace(opening.place, x=opening.place.x + right))

    cuts = tuple(Cut(moved(cut.back), moved(cut.face)) for cut in picture.cuts)
    return replace(picture, image=moved(picture.image), sight=moved(picture.sight), cuts=cuts)


def test_prints_side_by_side_share_the_mat_between_them() -> None:
    layout = two_windows(inches(1))
    left, right = (covered_paper(layout, a_print(layout, "8x8 in", n)) for n in (0, 1))
    assert (left[0].right, right[0].left) == (inches("1/2"), inches("1/2"))
    assert (left[0].left, left[0].top, right[0].right) == (*[inches("1.125")] * 3,)
    assert left[1]
    assert right[1]


def test_a_print_that_reaches_behind_its_neighbour_is_to_be_trimmed() -> None:
    layout = two_windows(inches(1))
    (note,) = attachment(layout, a_print(layout, "8x8 in"), SLACK).notes
    assert note == "trim the sheet: it reaches beyond the board or behind the next picture"
    assert attachment(layout, a_print(layout, "6.5x6.5 in"), SLACK).notes == ()


@given(st.integers(6, 20), st.integers(6, 20))
def test_no_hold_is_seen_at_the_worst(width: int, height: int) -> None:
    layout = lay_out(a_mount(), BOARD, read_size("6x6 in"))
    found = attachment(layout, a_print(layout, f"{width}x{height} in"), SLACK)
    worst = widened(found.covered, -SLACK)
    hidden = {
        AttachmentMethod.HINGES: found.size <= worst.top,
        AttachmentMethod.CORNERS: found.size and not any(reach(worst, found.size)),
        AttachmentMethod.STRIPS: found.size <= worst.least,
        AttachmentMethod.DRY_MOUNT: found.size == ZERO,
    }
    assert hidden[found.method]


@pytest.mark.parametrize("size", ["long 4 in", "long 10 in", "long 15 in"])
def test_a_print_without_a_window_is_always_stuck_down_whole(size: str) -> None:
    job = a_job(mount=no_window())
    (found,) = mounting(job, planned(job, size)).attachments
    assert (found.method, found.size) == (AttachmentMethod.DRY_MOUNT, ZERO)


def test_a_measured_sheet_takes_the_place_of_the_planned_one() -> None:
    job = a_job()
    plan = planned(job, "long 10 in")
    trimmed = replace(plan.parts[0], sheet=plan.layout.pictures[0].image.size)
    assert mounting(job, plan).attachments[0].method == AttachmentMethod.CORNERS
    assert (
        mounting(job, replace(plan, parts=(trimmed,))).attachments[0].method
        == AttachmentMethod.DRY_MOUNT
    )


def test_a_thickness_past_the_rules_is_found() -> None:
    # Arithmetic: 4-ply board of .0525 in and foam of 3/16 in are 6.10 mm, with a print of 0.27 mm
    # 6.37 mm, which is more than 1/4 in (6.35 mm) and less than 7 mm.
    job = a_job(mount=a_mount(mat=inches("0.0525")), rules=some_rules(thickness_most=inches("1/4")))
    (finding,) = mounting(job, planned(job)).thickness_findings
    assert finding.severity is Severity.BROKEN
    wide = replace(job, rules=some_rules(thickness_most=millimetres(7)))
    (finding,) = mounting(wide, planned(wide)).thickness_findings
    assert finding.severity is Severity.MET


@pytest.mark.parametrize(
    ("window", "notes"),
    # Arithmetic: 8 x 6 in on a board of 20 x 16 in, with 1/2 in of paper, or all paper up to the
    # board's edge: half of 20 - 8 in and half of 16 - 6 in.
    [
        (WindowKind.NONE, ("trim to 8 × 6 in (20.32 × 15.24 cm): along the image",)),
        (
            WindowKind.FLOAT,
            (
                "trim to 9 × 7 in (22.86 × 17.78 cm): 1/2 in (1.27 cm) outside the image on each"
                " side",
                "cut cleanly: the edge of the paper is visible",
            ),
        ),
        (
            WindowKind.SURROUND,
            (
                "trim to 20 × 16 in (50.8 × 40.64 cm): 5 in (12.7 cm) above and below the image,"
                " 6 in (15.24 cm) at its sides",
                "the paper ends with the board",
            ),
        ),
    ],
)
def test_a_print_whose_edge_no_mat_covers_is_trimmed_and_dry_mounted(
    window: str, notes: tuple[str, ...]
) -> None:
    job = a_job(mount=no_window(window=window, paper=inches("1/2")))
    (found,) = mounting(job, planned(job, "8x6 in", crop="4x3 centre")).attachments
    assert (found.method, found.notes) == (AttachmentMethod.DRY_MOUNT, notes)


def test_a_sheet_that_was_measured_trimmed_is_not_to_be_trimmed_again() -> None:
    job = a_job(mount=no_window(window=WindowKind.FLOAT, paper=inches("1/2")))
    plan = on_marks(job, planned(job, "8x6 in", crop="4x3 centre"))
    sheets = (read_size(sheet) for sheet in ("8.5x7 in", "12x10 in"))
    arrived = (arrive(job, plan, [RulerReading("1", read_size("8x6 in"), s)]).plan for s in sheets)
    done, to_do = (mounting(job, one).attachments[0] for one in arrived)
    assert (done.is_trimmed, to_do.is_trimmed) == (False, True)
    assert done.notes[0].startswith("trimmed to 8 1/2 × 7 in")
    assert to_do.notes[0].startswith("trim to 9 × 7 in")


TWO: dict[str, Any] = {"file": "one.jpg | two.jpg", "bracket": (0.0,)}


def test_each_print_of_a_group_has_its_own_hold() -> None:
    job = a_job()
    plan = plan_entry(job, an_entry("long 6 in", **TWO), facts(), facts())
    assert len(mounting(job, plan).attachments) == 2


def test_pictures_in_a_common_window_are_one_print() -> None:
    job = a_job(mount=a_reveal(inches("1/4"), common=True))
    plan = plan_entry(job, an_entry("long 6 in", **TWO), facts(), facts())
    (one,) = prints_of(plan)
    assert one.opening == plan.layout.pictures[0].limiting
    assert one.image.grown(inches("1/4")) == one.opening
    assert len(mounting(job, plan).attachments) == 1


def test_a_mount_weighs_its_boards_and_its_print_without_what_is_cut_out() -> None:
    mount = a_mount(mat_weight=1000.0, backing_weight=500.0)
    plan = planned(a_job(mount=mount), "10.25x8.25 in", crop="41x33 centre")
    sheet = read_size("12x10 in")
    square_metre_in = (Fraction(10**9) / NM_PER_INCH) ** 2
    # 320 sq in of board, 80 of them cut from the mat; 120 sq in of paper at 270 g a square metre.
    grams = (240 * 1000 + 320 * 500 + 120 * 270) / square_metre_in
    assert mount_grams(plan, millimetres("0.27"), [sheet]) == pytest.approx(
        float(grams), ARITHMETIC
    )


@pytest.mark.parametrize(
    ("window", "paper", "square_in"),
    # 8 x 6 in, trimmed to the image, 1/4 in outside it, or flush with the board of 20 x 16 in;
    # the sheet planned for it is 10 x 8 in, and the backing is 320 sq in.
    [
        (WindowKind.NONE, ZERO, 48),
        (WindowKind.FLOAT, inches("1/4"), Fraction("55.25")),
        (WindowKind.SURROUND, ZERO, 320),
    ],
)
def test_a_print_whose_edge_no_mat_covers_weighs_what_is_left_of_it(
    window: str, paper: Length, square_in: Fraction
) -> None:
    job = a_job(mount=no_window(window=window, paper=paper, backing_weight=500.0))
    plan = planned(job, "8x6 in", crop="4x3 centre")
    square_metre_in = (Fraction(10**9) / NM_PER_INCH) ** 2
    grams = (320 * 500 + square_in * 270) / square_metre_in
    assert mounting(job, plan).grams == pytest.approx(float(grams), ARITHMETIC)


def test_pictures_with_a_printed_surround_are_one_print() -> None:
    job = a_job(mount=no_window(window=WindowKind.SURROUND))
    plan = plan_entry(job, an_entry("long 6 in", **TWO), facts(), facts())
    assert len(prints_of(plan)) == 1
    one = planned(job, "long 6 in")
    assert mounting(job, plan).grams == pytest.approx(mounting(job, one).grams, ARITHMETIC)


def test_an_oval_takes_less_out_of_its_mat_than_a_rectangle() -> None:
    # An ellipse has pi/4 of the rectangle round it: of 80 sq in 21.46 % stay in the mat.
    square, oval = (
        planned(a_job(mount=a_mount(mat_weight=1000.0, shape=shape)), "10.25x8.25 in", crop="41x33")
        for shape in (WindowShape.RECTANGLE, WindowShape.OVAL)
    )
    more = mount_grams(oval, ZERO, []) - mount_grams(square, ZERO, [])
    assert more == pytest.approx(80 * 0.0254**2 * 1000 * (1 - math.pi / 4), ARITHMETIC)


def test_an_inner_mat_weighs_its_smaller_board_without_its_own_opening() -> None:
    # 20 x 16 in less 1/8 in all round, less 8 x 10 in, of 1.4 mm at 650 kg a cubic metre; the
    # first mat's opening is larger by what shows and by the bevel: 10.61 x 8.61 in.
    inner = Mat(shows=inches("1/4"), thickness=millimetres("1.4"))
    one, two = (
        planned(a_job(mount=mount), "10.25x8.25 in", crop="41x33")
        for mount in (a_mount(mat_weight=1000.0), a_mount(mat_weight=1000.0, inner=(inner,)))
    )
    shows = 0.5 + 2 * 1.4 / 25.4
    inside = (19.75 * 15.75 - 80) * 1.4 * 650 / 1000
    outside = -((10 + shows) * (8 + shows) - 80)
    more = mount_grams(two, ZERO, []) - mount_grams(one, ZERO, [])
    assert more == pytest.approx((inside + outside) * 0.0254**2 * 1000, ARITHMETIC)


def test_board_weighs_by_its_thickness_where_the_profile_is_silent() -> None:
    # Common practice, no source: 1.4 mm of solid board about 0.9 kg a square metre, 3/16 in with
    # a core of foam about 0.6 kg.
    assert mat_weight(a_mount()) == pytest.approx(900, rel=0.05)
    assert backing_weight(a_mount()) == pytest.approx(600, rel=0.06)
    assert backing_weight(a_mount(backing=millimetres("1.4"))) == mat_weight(a_mount())
    assert (mat_weight(a_mount(mat_weight=0.0)), mat_weight(no_window())) == (0, 0)


@pytest.mark.parametrize(
    ("grams", "words"),
    # Arithmetic, from 453.59237 g to the pound: 0.595, 0.617, 0.992, 1.102, 2.205 and 3.307 lb.
    [
        (272, "0.6 lb (270 g)"),
        (279, "0.62 lb (280 g)"),
        (453.6, "0.99 lb (450 g)"),
        (499, "1.1 lb (500 g)"),
        (997, "2.2 lb (1 kg)"),
        (1500, "3.3 lb (1.5 kg)"),
    ],
)
def test_weights_are_written_in_both_units(grams: float, words: str) -> None:
    assert in_weights(grams) == words


@given(st.integers(1, 30_000), st.integers(1, 30_000))
def test_both_units_of_a_weight_differ_together(one: int, other: int) -> None:
    pounds, metric = zip(*(in_weights(g).split(" lb ") for g in (one, other)), strict=True)
    assert (pounds[0] == pounds[1]) == (metric[0] == metric[1])
