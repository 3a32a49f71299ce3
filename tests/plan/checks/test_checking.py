"""Verdicts: the rules of known kinds, the trade's worst mistakes, and remedies that work."""

import json
import re
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from math import ceil
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from proofs.findings import Finding, Severity, Status
from proofs.lengths import NM_PER_INCH, ZERO, Edge, Length, PixelSize, Unit, inches, millimetres
from proofs.measures import read_length, read_size
from proofs.plan.checks.checking import by_severity, check, status_of
from proofs.plan.checks.limits import length_finding
from proofs.plan.checks.size_checks import size_findings
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.cells import Orientation
from proofs.records.cutters import Cutter
from proofs.records.job import Job
from proofs.records.labs import Lab
from proofs.records.mounts import BevelKind, Mount, WindowKind
from proofs.records.rules import BoardRule, BorderRule, Rules, VisibleRule
from proofs.records.size_and_crop import read_size_wish
from tests import near
from tests.workbench import (
    BOARD,
    HAND,
    LAB,
    RAIL,
    SHIPPED,
    TRUE,
    TRUE_LAB,
    a_job,
    a_mount,
    a_plan,
    a_reveal,
    an_entry,
    facts,
    lengths_from,
    mounts,
    no_window,
    pixel_sizes,
    rule_sets,
    size_cell_of,
    sizes_asked,
    some_rules,
    words,
)

CASES = json.loads((Path(__file__).parents[2] / "cases" / "verdicts.json").read_text("utf-8"))
VISIBLE = [(s["rules"], *case) for s in CASES["sets"] for case in s["visible"]]
BORDERS = CASES["borders"]["cases"]

TEN_INCHES = some_rules(visible=VisibleRule(longest_least=inches(10)))
TWO_INCH_BORDER = some_rules(borders=(BorderRule(inches(2)),))
EXACT = some_rules(board=BoardRule(BOARD, exact=True, either_way=True))


def seeing(job: Job, visible: str) -> Plan:
    """Return the plan of a picture of which exactly this is seen."""
    hidden = job.mounts[0].overlap
    image = read_size(visible).grown(hidden)
    shape = facts(image.width.nm, image.height.nm)
    plan = plan_entry(job, an_entry(f"visible {visible}"), shape)
    assert plan.layout.pictures[0].sight.size == read_size(visible)
    return plan


def status_seeing(job: Job, visible: str) -> str:
    """Return the status of an entry of which this is seen."""
    return status_of(check(job, seeing(job, visible)))


def verdict(job: Job, plan: Plan, code: str) -> Finding:
    """Return the one finding of this code."""
    (finding,) = [f for f in check(job, plan) if f.code == code]
    return finding


def remedy_of(finding: Finding) -> str:
    """Return the remedy of a finding that has one."""
    assert finding.remedy
    return finding.remedy


def resized(job: Job, plan: Plan, remedy: str) -> Plan:
    """Return the plan with the remedy's cell written into the entries file."""
    wish = read_size_wish(size_cell_of(remedy))
    return plan_entry(job, an_entry(str(wish)), plan.parts[0].facts)


def scaled(scale_error: float) -> Lab:
    """Return a lab whose prints may come out off by this share."""
    return replace(LAB, scale_error=scale_error)


def cover_left(job: Job, plan: Plan) -> Finding:
    """Return the finding on what is left of the overlap, or of the paper seen."""
    (finding,) = [f for f in check(job, plan) if f.code in ("overlap-left", "reveal-left")]
    return finding


def an_overlap(overlap: Length) -> Mount:
    """Return a mat that hides this much."""
    return a_mount(overlap=overlap)


def length_in(remedy: str) -> Length:
    """Return the length that a remedy's words ask for."""
    found = re.search(r"at (?:least|most) (.+? (?:in|mm))", remedy)
    assert found is not None
    return read_length(found[1])


# Rule sets as they are published


@pytest.mark.parametrize(("rules", "visible", "by_hand", "true"), VISIBLE)
def test_a_visible_size_cut_by_hand(rules: str, visible: str, by_hand: str, true: str) -> None:
    job = Job(
        SHIPPED.rules(rules),
        (SHIPPED.mount("overlap-white"),),
        SHIPPED.paper("lustre"),
        SHIPPED.lab("srgb-jpeg-300"),
        SHIPPED.cutter("hand"),
    )
    assert status_seeing(job, visible) == by_hand


@pytest.mark.parametrize(("rules", "visible", "by_hand", "true"), VISIBLE)
def test_a_visible_size_when_everything_is_true(
    rules: str, visible: str, by_hand: str, true: str
) -> None:
    job = a_job(rules=SHIPPED.rules(rules), lab=TRUE_LAB, cutter=TRUE)
    assert status_seeing(job, visible) == true


def bordered(board: str, visible: str, bevel: str, cutter: Cutter) -> str:
    """Return what the rules on borders say to a picture on a board."""
    mount = a_mount(board=read_size(board), bevel=bevel)
    job = a_job(mount, SHIPPED.rules("white-mats-16x20-in"), cutter=cutter)
    return verdict(job, seeing(job, visible), "border").severity.word


@pytest.mark.parametrize(("board", "visible", "by_hand", "true", "bevelled"), BORDERS)
def test_a_border_that_follows_the_size_of_the_picture(
    board: str, visible: str, by_hand: str, true: str, bevelled: str
) -> None:
    assert bordered(board, visible, BevelKind.STRAIGHT, HAND) == by_hand
    assert bordered(board, visible, BevelKind.STRAIGHT, TRUE) == true
    assert bordered(board, visible, BevelKind.ORDINARY, HAND) == bevelled


@pytest.mark.parametrize(
    ("rules", "board", "word"),
    [
        ("print-16x20-in", "16x20 in", "met"),
        ("print-16x20-in", "406.4x508 mm", "met"),
        ("print-16x20-in", "400x500 mm", "broken"),
        ("print-16x20-in", "15.9375x20 in", "broken"),
        ("print-16x20-in", "16.001x20 in", "broken"),
        ("print-40x50-cm", "400x500 mm", "met"),
        ("print-40x50-cm", "16x20 in", "broken"),
        ("white-mats-16x20-in", "16x20 in", "met"),
        ("white-mats-16x20-in", "14x18 in", "met"),
        ("white-mats-16x20-in", "16x20.001 in", "broken"),
        ("white-mats-16x20-in", "16x24 in", "broken"),
        ("least-area-80-sq-in", "16x20 in", "met"),
    ],
)
def test_a_board_of_known_size(rules: str, board: str, word: str) -> None:
    # Common practice, no source.
    job = a_job(a_mount(board=read_size(board)), SHIPPED.rules(rules))
    found = verdict(job, a_plan(job), "board")
    assert found.severity.word == word
    assert (not found.remedy) == (word == "met")


@pytest.mark.parametrize(("width", "word"), [(3999, "broken"), (4000, "met"), (6000, "met")])
def test_a_panorama_may_have_the_longer_board(width: int, word: str) -> None:
    # Common practice, no source; twice as long as high counts as a panorama.
    job = a_job(a_mount(board=read_size("24x16 in")), SHIPPED.rules("white-mats-16x20-in"))
    assert verdict(job, a_plan(job, width=width, height=2000), "board").severity.word == word


def test_a_panorama_hangs_on_the_longer_board_by_itself() -> None:
    job = a_job(rules=SHIPPED.rules("white-mats-16x20-in"))
    plan = a_plan(job, width=5000, height=2000)
    assert plan.layout.board == read_size("24x16 in")
    assert verdict(job, plan, "board").severity is Severity.MET


def test_a_board_that_may_not_be_turned_is_broken_when_it_is() -> None:
    rule = BoardRule(BOARD, exact=True, either_way=False)
    job = a_job(a_mount(board=BOARD), some_rules(board=rule))
    found = verdict(job, a_plan(job, width=3000, height=2000), "board")
    assert found.severity is Severity.BROKEN
    assert "that way up" in found.message


@pytest.mark.parametrize(
    ("rules", "mount", "word"),
    [
        ("print-40x50-cm", "overlap-white", "met"),
        ("print-40x50-cm", "overlap-8-ply", "met"),
        ("print-16x20-in", "overlap-white", "met"),
    ],
)
def test_a_shipped_mount_is_thin_enough(rules: str, mount: str, word: str) -> None:
    # 4.7625 + 1.4 + 0.27 + 0.1 = 6.5325 mm; 3.175 + 3.175 + 0.27 + 0.1 = 6.72 mm; both under 7.
    job = a_job(SHIPPED.mount(mount), SHIPPED.rules(rules))
    assert verdict(job, a_plan(job), "thickness-most").severity.word == word


def test_a_double_mat_on_3_16_in_foam_is_thicker_than_7_mm() -> None:
    # 2 x 1.4 + 4.7625 = 7.5625 mm, and the print.
    job = a_job(a_mount(mat=millimetres("2.8")), SHIPPED.rules("print-40x50-cm"))
    found = verdict(job, a_plan(job), "thickness-most")
    assert found.severity is Severity.BROKEN
    assert found.measured == pytest.approx(7.8325, abs=near.MILLIMETRES)


def test_a_print_by_itself_is_thinner_than_3_mm() -> None:
    job = a_job(no_window(backing=millimetres(1)), SHIPPED.rules("print-16x20-in"))
    found = verdict(job, a_plan(job), "thickness-least")
    assert found.severity is Severity.BROKEN
    # 3 - 0.27 = 2.73 mm, up to the next tenth.
    assert remedy_of(found) == "a backing of at least 2.8 mm"


@pytest.mark.parametrize(
    ("rules", "mat", "core", "found"),
    [
        ("white-mats-16x20-in", "white", "white", {"mat-colour": "met", "core-colour": "met"}),
        ("white-mats-16x20-in", "black", "white", {"mat-colour": "broken", "core-colour": "met"}),
        ("white-mats-16x20-in", "white", "black", {"mat-colour": "met", "core-colour": "broken"}),
        ("least-area-80-sq-in", "black", "black", {"mat-colour": "met"}),
        ("least-area-80-sq-in", "off-white", "white", {"mat-colour": "broken"}),
        ("print-16x20-in", "red", "red", {}),
    ],
)
def test_mats_and_their_cores_have_an_allowed_colour(
    rules: str, mat: str, core: str, found: dict[str, str]
) -> None:
    # Common practice, no source.
    job = a_job(a_mount(mat_colour=mat, core_colour=core), SHIPPED.rules(rules))
    said = words(check(job, a_plan(job)))
    assert {code: word for code, word in said.items() if code.endswith("colour")} == found


def test_a_print_without_a_mat_has_no_mat_of_a_wrong_colour() -> None:
    job = a_job(no_window(mat_colour="red"), SHIPPED.rules("white-mats-16x20-in"))
    assert "mat-colour" not in words(check(job, a_plan(job)))


@pytest.mark.parametrize(
    ("title", "word"), [("abcde", "met"), ("abcdef", "broken"), ("e\u0301" * 5, "met")]
)
def test_a_title_is_as_long_as_its_characters(title: str, word: str) -> None:
    job = a_job(rules=some_rules(title_most=5))
    plan = plan_entry(job, an_entry(title=title), facts())
    assert verdict(job, plan, "title-length").severity.word == word


@pytest.mark.parametrize(
    ("category", "channels", "word"),
    [
        ("Monochrome", 1, "met"),
        ("Monochrome", 3, "note"),
        (" MONOCHROME ", 3, "note"),
        ("Colour", 3, None),
    ],
)
def test_a_monochrome_category_asks_for_a_look_at_colour_files(
    category: str, channels: int, word: str | None
) -> None:
    job = a_job(rules=some_rules(monochrome_categories=("Monochrome",)))
    plan = plan_entry(job, an_entry(category=category), facts(channels=channels))
    assert words(check(job, plan)).get("monochrome") == word


@pytest.mark.parametrize(
    ("category", "word", "remedy"),
    [
        ("Colour", "met", ""),
        (" NATURE ", "met", ""),
        ("Natur", "broken", "category: Nature"),
        ("Sports", "broken", "category: one of them"),
        ("", "note", ""),
    ],
)
def test_a_category_is_among_those_of_the_exhibition(category: str, word: str, remedy: str) -> None:
    job = a_job(rules=some_rules(categories=("Colour", "Nature")))
    found = verdict(job, plan_entry(job, an_entry(category=category), facts()), "category")
    assert (found.severity.word, found.remedy or "") == (word, remedy)


def test_without_a_list_any_category_will_do() -> None:
    job = a_job(rules=some_rules())
    plan = plan_entry(job, an_entry(category="Sports"), facts())
    assert "category" not in words(check(job, plan))


def test_every_rule_in_force_has_one_finding_also_when_it_is_met() -> None:
    job = a_job(SHIPPED.mount("overlap-white"), SHIPPED.rules("print-16x20-in"))
    found = check(job, a_plan(job, "12x8 in", 6000, 4000))
    assert sorted(f.code for f in found) == [
        "board",
        "longest-side",
        "overlap-left",
        "resolution",
        "shortest-side",
        "thickness-least",
        "thickness-most",
    ]
    assert {f.severity for f in found} == {Severity.MET}


def test_without_rules_the_workshop_is_still_checked() -> None:
    job = a_job()
    assert set(words(check(job, a_plan(job)))) == {"overlap-left", "resolution"}


# The trade's worst mistakes


@pytest.mark.parametrize(
    ("cutter", "cell", "opening"),
    [(HAND, "long 10 3/8 in", "10 1/8 in"), (RAIL, "long 10 5/16 in", "10 1/16 in")],
)
def test_an_image_of_10_in_under_an_overlap_is_too_small_for_a_10_in_rule(
    cutter: Cutter, cell: str, opening: str
) -> None:
    # 10 in less 2 x 1/8 in are 9 3/4 in. Worst cuts of 2 mm (0.079 in) need 10 1/8 in of
    # opening, those of 1 mm (0.039 in) 10 1/16 in, and the overlap comes on top.
    job = a_job(rules=TEN_INCHES, cutter=cutter)
    found = verdict(job, a_plan(job, "long 10 in"), "longest-side")
    assert found.severity is Severity.BROKEN
    assert found.measured == pytest.approx(247.65, abs=near.MILLIMETRES)
    assert found.limit == pytest.approx(254, abs=near.MILLIMETRES)
    assert size_cell_of(remedy_of(found)) == cell
    assert f"image {cell.removeprefix('long ')}" in remedy_of(found)
    assert f"back opening {opening}" in remedy_of(found)


@pytest.mark.parametrize("cutter", [HAND, RAIL])
def test_an_opening_of_exactly_10_in_is_at_risk(cutter: Cutter) -> None:
    job = a_job(rules=TEN_INCHES, cutter=cutter)
    found = verdict(job, a_plan(job, "long 10.25 in"), "longest-side")
    assert found.severity is Severity.AT_RISK


def test_an_opening_of_exactly_10_in_is_met_where_nothing_can_go_wrong() -> None:
    job = a_job(rules=TEN_INCHES, cutter=TRUE)
    assert verdict(job, a_plan(job, "long 10.25 in"), "longest-side").severity is Severity.MET


def test_an_image_wholly_seen_can_only_lose_to_the_labs_scale() -> None:
    job = a_job(a_reveal(inches("1/4")), TEN_INCHES)
    # 0.5 % of 255.2 mm are 1.276 mm, of 255.3 mm 1.2765 mm: 253.924 and 254.0235 mm are left.
    assert verdict(job, a_plan(job, "long 255.2 mm"), "longest-side").severity is Severity.AT_RISK
    assert verdict(job, a_plan(job, "long 255.3 mm"), "longest-side").severity is Severity.MET


@given(mount=mounts, picture=pixel_sizes, asked=sizes_asked)
@settings(max_examples=30, deadline=None)
def test_a_board_of_exactly_the_right_size_never_warns(
    mount: Mount, picture: PixelSize, asked: str
) -> None:
    job = a_job(mount, EXACT)
    plan = a_plan(job, asked, picture.width, picture.height)
    assert verdict(job, plan, "board").severity is Severity.MET


@pytest.mark.parametrize("board", ["16x20 in", "20x16 in", "406.4x508 mm", "50.8x40.64 cm"])
def test_a_board_of_exactly_the_right_size_never_warns_for_its_unit(board: str) -> None:
    job = a_job(a_mount(board=read_size(board)), EXACT)
    assert verdict(job, a_plan(job), "board").severity is Severity.MET


def test_a_border_that_holds_at_the_back_and_fails_at_the_face_is_broken() -> None:
    # A window of 16 in on 20 in leaves 2 in at the back; the bevel takes 1.4 mm at the face.
    job = a_job(rules=TWO_INCH_BORDER)
    plan = a_plan(job, "long 16.25 in")
    assert plan.layout.borders_back.least == inches(2)
    found = verdict(job, plan, "border")
    assert found.severity is Severity.BROKEN
    assert found.measured == pytest.approx(50.8 - 1.4, abs=near.MILLIMETRES)
    # With 1.4 mm of bevel and 1 mm of cut a side 401.6 mm are left for it: 15 3/4 in.
    assert size_cell_of(remedy_of(found)) == "long 16 in"


def test_a_mat_3_16_in_foam_and_a_print_are_thicker_than_a_quarter_inch() -> None:
    # 1.3335 + 4.7625 + 0.27 = 6.366 mm; 6.35 - 1.6035 = 4.7465 mm, down to the tenth.
    job = a_job(a_mount(mat=inches("0.0525")), some_rules(thickness_most=inches("1/4")))
    plan = a_plan(job)
    assert plan.thickness == Length(6_366_000)
    found = verdict(job, plan, "thickness-most")
    assert found.severity is Severity.BROKEN
    assert remedy_of(found) == "a backing of at most 4.7 mm"


@pytest.mark.parametrize(("scale_error", "word"), [(0.01, "at-risk"), (0.005, "met")])
def test_an_overlap_can_be_used_up_by_a_print_a_hundredth_small(
    scale_error: float, word: str
) -> None:
    # Half of 1 % of 304.8 mm is 1.524 mm; with 1 mm of placing and 1 mm of cut more than 3.175.
    job = a_job(lab=scaled(scale_error))
    found = verdict(job, a_plan(job, "long 12 in"), "overlap-left")
    assert found.severity.word == word


@pytest.mark.parametrize(("size", "word"), [("long 200 mm", "at-risk"), ("long 199 mm", "met")])
def test_an_overlap_must_stay_above_nothing(size: str, word: str) -> None:
    job = a_job(a_mount(overlap=millimetres(1)), cutter=TRUE, lab=scaled(0.01))
    assert verdict(job, a_plan(job, size), "overlap-left").severity.word == word


@pytest.mark.parametrize(
    ("board", "top_edge", "is_warned"),
    [
        (Orientation.PORTRAIT, Edge.LEFT, True),
        (Orientation.PORTRAIT, Edge.RIGHT, True),
        (Orientation.LANDSCAPE, Edge.LEFT, False),
        (None, Edge.LEFT, False),
    ],
)
def test_a_board_against_the_turn_of_its_picture_is_warned_about(
    board: Orientation | None, top_edge: Edge, is_warned: bool
) -> None:
    job = a_job(rules=EXACT)
    plan = plan_entry(
        job, an_entry("long 12 in", board=board, top_edge=top_edge), facts(2000, 3000)
    )
    said = words(check(job, plan))
    assert (said.get("board-against-turn") == "warning") == is_warned
    assert status_of(check(job, plan)) == Status.MET


def test_a_landscape_on_a_portrait_board_is_no_slip_when_nothing_was_turned() -> None:
    job = a_job(rules=EXACT)
    plan = plan_entry(job, an_entry(board=Orientation.PORTRAIT), facts(3000, 2000))
    assert plan.layout.board == BOARD
    assert "board-against-turn" not in words(check(job, plan))


@pytest.mark.parametrize(
    ("mount", "size", "measured"),
    [
        (a_mount(), "long 30 in", -123.825 - 1.4),  # half of 20 - 29 3/4 in, and the bevel
        (no_window(), "long 22 in", -25.4),
    ],
)
def test_a_picture_larger_than_its_board_is_broken_also_where_no_border_is_asked_for(
    mount: Mount, size: str, measured: float
) -> None:
    job = a_job(mount)
    found = verdict(job, a_plan(job, size), "mount-border")
    assert found.severity is Severity.BROKEN
    assert "does not fit the board" in found.message
    assert found.measured == pytest.approx(measured, abs=near.MILLIMETRES)


def test_a_print_may_be_as_large_as_its_board() -> None:
    job = a_job(no_window())
    assert "mount-border" not in words(check(job, a_plan(job, "long 20 in", 5000, 4000)))


def test_a_border_below_the_mounts_own_is_a_warning_with_a_size_that_keeps_it() -> None:
    job = a_job(a_mount(least_border=inches(2), bevel=BevelKind.STRAIGHT))
    found = verdict(job, a_plan(job, "long 17 in"), "mount-border")
    assert found.severity is Severity.WARNING
    assert size_cell_of(remedy_of(found)) == "long 16 1/4 in"


# Resolution, sheets, order


@pytest.mark.parametrize(
    ("width", "word", "said"),
    [
        (2400, "met", "240"),
        (2399, "note", "below 240"),
        (1800, "note", "below 240"),
        (1799, "warning", "below 180"),
        (1500, "warning", "below 180"),
        (1499, "warning", "below 150"),
    ],
)
def test_few_pixels_are_said_and_never_change_the_status(width: int, word: str, said: str) -> None:
    # 10 in wide; the ladder of 240, 180 and 150 is common practice, no source.
    job = a_job()
    plan = a_plan(job, "10x10 in", width, 2 * width // 3)
    found = verdict(job, plan, "resolution")
    assert found.severity.word == word
    assert said in found.message
    assert status_of(check(job, plan)) == Status.MET


def test_an_image_that_no_stock_sheet_carries_is_warned_about() -> None:
    job = a_job()
    found = verdict(job, a_plan(job, "long 24 in"), "sheet")
    assert found.severity is Severity.WARNING


def test_the_gravest_finding_comes_first_and_equals_keep_their_order() -> None:
    made = [Finding(str(n), Severity(s), "") for n, s in enumerate([0, 3, 4, 0, 4])]
    assert [f.code for f in by_severity(made)] == ["2", "4", "1", "0", "3"]


@pytest.mark.parametrize(
    ("severities", "status"),
    [
        ([], "met"),
        ([0, 1, 2], "met"),
        ([2, 3], "at-risk"),
        ([3, 4, 0], "broken"),
        ([4, 5], "unreadable"),
    ],
)
def test_the_worst_finding_makes_the_status(severities: list[int], status: str) -> None:
    assert status_of(Finding("a", Severity(s), "") for s in severities) == status


# Laws of verdicts and remedies


@given(measured=lengths_from(0, 500), least=lengths_from(0, 500), slack=lengths_from(0, 5))
def test_a_least_length_is_met_at_risk_or_broken(
    measured: Length, least: Length, slack: Length
) -> None:
    over = measured.nm - least.nm
    expected = ["broken", "at-risk", "met"][(over >= 0) + (over >= slack.nm and over >= 0)]
    found = length_finding("code", "length", measured, least, is_least=True, slack=slack)
    assert found.severity.word == expected


@given(measured=lengths_from(0, 500), most=lengths_from(0, 500), slack=lengths_from(0, 5))
def test_a_greatest_length_is_met_at_risk_or_broken(
    measured: Length, most: Length, slack: Length
) -> None:
    under = most.nm - measured.nm
    expected = ["broken", "at-risk", "met"][(under >= 0) + (under >= slack.nm and under >= 0)]
    found = length_finding("code", "length", measured, most, is_least=False, slack=slack)
    assert found.severity.word == expected


cuts = st.integers(0, 3_000_000).map(Length)


def severities(job: Job, plan: Plan) -> dict[str, int]:
    """Return how grave each finding on the plan's size is."""
    return {f.code: int(f.severity) for f in size_findings(job, plan)}


def better_codes(worse: dict[str, int], better: dict[str, int]) -> list[str]:
    """Return the codes that are graver in the second than in the first."""
    return [code for code in better if better[code] > worse[code]]


@given(mount=mounts, rules=rule_sets, picture=pixel_sizes, asked=sizes_asked, cut=cuts, more=cuts)
@settings(max_examples=60, deadline=None)
def test_a_worse_cutter_never_makes_a_verdict_better(
    mount: Mount, rules: Rules, picture: PixelSize, asked: str, cut: Length, more: Length
) -> None:
    fine, coarse = Cutter("a", "", "", cut, cut), Cutter("b", "", "", cut + more, cut + more)
    job = a_job(mount, rules, cutter=fine)
    plan = a_plan(job, asked, picture.width, picture.height)
    better = severities(job, plan)
    worse = severities(a_job(mount, rules, cutter=coarse), plan)
    assert worse.keys() == better.keys()
    assert better_codes(worse, better) == []


@given(
    mount=mounts,
    rules=rule_sets,
    picture=pixel_sizes,
    asked=sizes_asked,
    cutter=st.sampled_from([HAND, RAIL, TRUE]),
)
@settings(max_examples=150, deadline=None)
def test_every_size_that_is_a_remedy_makes_all_rules_on_size_met(
    mount: Mount, rules: Rules, picture: PixelSize, asked: str, cutter: Cutter
) -> None:
    job = a_job(mount, rules, cutter=cutter)
    plan = a_plan(job, asked, picture.width, picture.height)
    remedies = [f.remedy for f in check(job, plan) if f.remedy and size_cell_of(f.remedy)]
    mended = [resized(job, plan, remedy) for remedy in remedies]
    left = [f.severity for m in mended for f in size_findings(job, m)]
    assert set(left) <= {Severity.MET}


@given(
    least=st.integers(150, 300),
    overlap=lengths_from(4, 6),
    cut=st.integers(0, 1_500_000).map(Length),
    aspect=st.fractions(Fraction(1, 2), 2, max_denominator=100),
    unit=st.sampled_from([Unit.IN, Unit.MM]),
)
@settings(max_examples=60, deadline=None)
def test_the_remedy_of_a_small_image_is_the_first_mark_of_the_ruler_that_is_met(
    least: int, overlap: Length, cut: Length, aspect: Fraction, unit: str
) -> None:
    # An opening on the first mark that two worst cuts leave large enough, and the overlap.
    rules = some_rules(visible=VisibleRule(longest_least=millimetres(least)), unit=unit)
    cutter = Cutter("any", "", "", cut, placing=ZERO)
    job = a_job(a_mount(overlap=overlap), rules, cutter=cutter, lab=TRUE_LAB)
    plan = a_plan(job, "long 120 mm", aspect.numerator, aspect.denominator)
    mark = NM_PER_INCH // 16 if unit == Unit.IN else 1_000_000
    opening = ceil(Fraction(least * 1_000_000 + 2 * cut.nm, mark)) * mark
    mended = resized(job, plan, remedy_of(verdict(job, plan, "longest-side")))
    assert mended.parts[0].image.size.longest.nm == opening + 2 * overlap.nm


@given(mount=mounts, picture=pixel_sizes, cutter=st.sampled_from([HAND, RAIL]))
@settings(max_examples=60, deadline=None)
def test_the_largest_image_meets_the_rule_on_borders_also_in_the_worst_case(
    mount: Mount, picture: PixelSize, cutter: Cutter
) -> None:
    job = a_job(mount, TWO_INCH_BORDER, cutter=cutter)
    plan = a_plan(job, "largest", picture.width, picture.height)
    assert verdict(job, plan, "border").severity is Severity.MET


def test_a_remedy_that_would_eat_the_border_is_left_out() -> None:
    # 2 1/2 in of border leave 6 x 8 in of an 11 x 13 in board: there is no way to 10 in.
    mount = a_mount(board=read_size("11x13 in"), least_border=inches("2.5"))
    job = a_job(mount, TEN_INCHES)
    assert verdict(job, a_plan(job, "largest", 3, 4), "longest-side").remedy == ""


def test_a_remedy_that_would_use_up_the_overlap_is_left_out() -> None:
    # 1 % of 260 mm takes 1.3 mm a side of an overlap of 1 mm.
    job = a_job(a_mount(overlap=millimetres(1)), TEN_INCHES, cutter=TRUE, lab=scaled(0.01))
    plan = a_plan(job, "long 190 mm")
    assert words(check(job, plan))["overlap-left"] == "met"
    assert verdict(job, plan, "longest-side").remedy == ""


def test_rules_that_contradict_each_other_have_no_remedy() -> None:
    visible = VisibleRule(longest_least=inches(10), shortest_most=inches(5))
    job = a_job(rules=some_rules(visible=visible))
    plan = a_plan(job, "long 9 in", 3000, 3000)
    assert verdict(job, plan, "longest-side").remedy == ""
    assert verdict(job, plan, "shortest-side-most").remedy == ""


@pytest.mark.parametrize("make", [an_overlap, a_reveal])
@given(scale=st.integers(0, 30), unit=st.sampled_from([Unit.IN, Unit.MM]))
@settings(max_examples=40, deadline=None)
def test_the_overlap_or_paper_of_a_remedy_outlasts_the_tolerances(
    make: Callable[[Length], Mount], scale: int, unit: str
) -> None:
    lab = scaled(scale / 1000)
    job = a_job(make(millimetres(1)), some_rules(unit=unit), lab=lab)
    found = cover_left(job, a_plan(job, "long 300 mm"))
    assert found.severity is Severity.AT_RISK
    wanted = length_in(remedy_of(found))
    mended = a_job(make(wanted), some_rules(unit=unit), lab=lab)
    assert cover_left(mended, a_plan(mended, "long 300 mm")).severity is Severity.MET


@given(most=st.integers(3_000, 12_000), backing=st.integers(500, 9_000), is_cap=st.booleans())
@settings(max_examples=60, deadline=None)
def test_the_backing_of_a_remedy_makes_the_thickness_met(
    most: int, backing: int, is_cap: bool
) -> None:
    limit = {"thickness_most" if is_cap else "thickness_least": Length(most * 1000)}
    job = a_job(a_mount(backing=Length(backing * 1000)), some_rules(**limit))
    code = "thickness-most" if is_cap else "thickness-least"
    found = verdict(job, a_plan(job, "long 200 mm"), code)
    assume(found.severity is Severity.BROKEN)
    thickness = length_in(remedy_of(found))
    mended = a_job(a_mount(backing=thickness), some_rules(**limit))
    assert verdict(mended, a_plan(mended, "long 200 mm"), code).severity is Severity.MET


def test_a_mat_thicker_than_the_rules_allow_has_no_backing_for_a_remedy() -> None:
    job = a_job(a_mount(mat=millimetres(4)), some_rules(thickness_most=millimetres(4)))
    assert verdict(job, a_plan(job), "thickness-most").remedy == ""


@given(most=st.integers(100_000, 3_000_000))
@settings(max_examples=60, deadline=None)
def test_the_keyline_of_a_remedy_is_met_as_it_is_written_in_either_unit(most: int) -> None:
    # 0.4 mm are 0.01575 in: rounded to 0.016 in the remedy itself would break the rule.
    rules = some_rules(keyline_most=Length(most))
    job = a_job(replace(no_window(), window=WindowKind.SURROUND, keyline=millimetres(4)), rules)
    remedy = verdict(job, a_plan(job, "long 200 mm"), "keyline").remedy
    written = re.findall(r"[\d./ ]+ (?:in|mm)", remedy.removeprefix("a keyline of at most"))
    assert len(written) == 2
    for length in map(read_length, map(str.strip, written)):
        mended = a_job(replace(job.mounts[0], keyline=length), rules)
        assert verdict(mended, a_plan(mended, "long 200 mm"), "keyline").severity is Severity.MET
