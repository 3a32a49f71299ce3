"""What an inspection says of an entry: each finding in words, with its severity and its remedy."""

from dataclasses import replace
from typing import Any

import pytest

from proofs.findings import Finding
from proofs.inspection.inspected import InspectedPicture
from proofs.inspection.look_findings import (
    look_findings,
    share_range,
    share_words,
    tone_shares,
)
from proofs.inspection.marks import Area, Mark, MarkKind
from proofs.lengths import Edge
from proofs.plan.entry.planning import plan_entry
from proofs.records.cells import Orientation
from proofs.records.job import Job
from tests.looks import a_hair, a_look, a_speck, looked_at
from tests.workbench import SHIPPED, a_job, a_mount, a_plan, an_entry, by_code, facts

SHARP = SHIPPED.inspection("usual").sharpness
JOB = a_job()
PLAN = a_plan(JOB, "12x8 in")


def found(*pictures: InspectedPicture, job: Job = JOB) -> dict[str, Finding]:
    return by_code(look_findings(job, SHARP, pictures))


def with_look(**changes: Any) -> InspectedPicture:
    return InspectedPicture.of_look(PLAN, 0, a_look(**changes), ())


def entered(entry: dict[str, Any], **photograph: Any) -> dict[str, Finding]:
    """The findings on an entry of one picture without marks."""
    plan = plan_entry(JOB, an_entry("long 10 in", **entry), facts(**photograph))
    return found(looked_at(plan))


def test_marks_are_counted_by_what_they_may_be_and_the_surest_is_placed() -> None:
    marks = [a_speck(25.15, 50.55), a_speck(90, 80, confidence=0.7), a_hair(100, 100)]
    finding = found(looked_at(PLAN, *marks))["marks"]
    assert finding.severity.word == "warning"
    assert finding.message == (
        "look at these: 2 dark specks, 1 light hair or scratch; the surest is 1 in (2.54 cm) from"
        " the left, 2 in (5.08 cm) from the top"
    )
    assert "spotted.csv" in finding.remedy


def test_a_calm_picture_has_only_notes_and_says_how_much_was_searched() -> None:
    calm = look_findings(JOB, SHARP, [looked_at(PLAN)])
    assert {finding.severity.word for finding in calm} <= {"note", "met"}
    assert by_code(calm)["searched"].message.startswith("66 % of it is calm enough")


def test_several_pictures_are_told_apart() -> None:
    plan = plan_entry(JOB, an_entry(file="a.jpg | b.jpg"), facts(), facts())
    messages = [
        finding.message
        for finding in look_findings(
            JOB, SHARP, [looked_at(plan), looked_at(plan, a_speck(20, 20), n=1)]
        )
    ]
    assert messages[0].startswith("picture 2: look at these: 1 dark speck;")


def test_a_mark_under_the_mat_is_only_noted_as_hidden() -> None:
    findings = found(looked_at(PLAN, a_speck(0.5, 90)))
    assert "marks" not in findings
    assert findings["hidden-marks"].message == (
        "hidden by the mat, if the print lies in its place: 1 dark speck"
    )


def test_a_lost_edge_names_side_length_and_ways_out() -> None:
    edge = Mark(MarkKind.LOST_EDGE, Area(0, 20, 1, 90), 2, 1, length_mm=88.9, side=Edge.LEFT)
    finding = found(looked_at(PLAN, edge))["lost-edge"]
    assert finding.message == "no edge between picture and the mat: left over 3 1/2 in (8.89 cm)"
    assert "another mat or a reveal" in finding.remedy
    assert "keyline" in finding.remedy


def test_lost_tones_are_shares_of_the_image_by_step() -> None:
    tones = [
        Mark(MarkKind.BLOCKED, Area(50, 50, 9, 9), 0, 1, area_mm2=area, step=step)
        for area, step in ((619.35, "B"), (309.68, "A"), (309.68, "B"))
    ]
    picture = looked_at(PLAN, *tones)
    shares = tone_shares(picture)[MarkKind.BLOCKED]
    # 304.8 x 203.2 mm
    assert shares == pytest.approx({"A": 0.005, "B": 0.015}, abs=1e-5)
    assert share_words(shares) == "A 0.5 %, B 1.5 %"
    finding = found(picture)["blocked-areas"]
    assert finding.severity.word == "note"
    assert "blocked shadows in areas: A 0.5 %, B 1.5 %; the largest is" in finding.message


@pytest.mark.parametrize(
    ("width", "severity", "words"),
    [
        (0.25, "met", "sharp"),
        (0.26, "note", "a little soft"),
        (0.4, "note", "a little soft"),
        (0.41, "warning", "soft at its print's size"),
        (None, "note", "not measured"),
    ],
)
def test_sharpness_is_judged_by_the_width_of_edges(
    width: float | None, severity: str, words: str
) -> None:
    finding = found(with_look(edge_width_mm=width))["sharpness"]
    assert finding.severity.word == severity
    assert words in finding.message


@pytest.mark.parametrize(
    ("own", "width", "hints"), [(3000, 0.36, True), (3000, 0.34, False), (2400, 0.36, False)]
)
def test_soft_edges_of_many_pixels_hint_at_an_earlier_enlargement(
    own: int, width: float, hints: bool
) -> None:
    plan = a_plan(JOB, "12x8 in", own, own * 2 // 3)  # 250 or 200 pixels per inch
    picture = InspectedPicture.of_look(plan, 0, a_look(edge_width_mm=width), ())
    assert ("looks-enlarged" in found(picture)) == hints


def test_own_pixels_are_compared_with_an_eye_of_one_minute_of_arc() -> None:
    # At 12 in, 286 per inch are 1 minute of arc apart: 1 / (12 tan 1/60 degree) = 286.5.
    finding = found(looked_at(a_plan(JOB, "12x8 in", 3438, 2292)))["own-pixels"]
    assert "no eye sees them from 12 in (30.48 cm) on" in finding.message
    assert finding.severity.word == "met"
    far = found(looked_at(a_plan(JOB, "12x8 in", 1800, 1200)))["own-pixels"]
    assert far.severity.word == "note"


@pytest.mark.parametrize(
    ("quality", "severity"), [(None, None), (92, None), (75, None), (74, "note"), (39, "warning")]
)
def test_a_jpeg_of_low_quality_is_named(quality: int | None, severity: str | None) -> None:
    finding = entered({}, jpeg_quality=quality).get("jpeg-quality")
    assert (finding.severity.word if finding else None) == severity


def test_a_turn_by_exif_and_another_by_the_row_ask_which_way_is_up() -> None:
    asked = entered({"top_edge": Edge.LEFT}, orientation=6)["which-way-up"]
    assert asked.severity.word == "warning"
    assert "EXIF turns it by 90°, and top_edge (left) turns it once more" in asked.message
    assert "which-way-up" not in entered({"top_edge": Edge.LEFT}, orientation=1)
    assert "which-way-up" not in entered({}, orientation=6)


@pytest.mark.parametrize(("board", "asks"), [("portrait", True), ("landscape", False)])
def test_a_board_turned_against_its_picture_asks_which_way_is_up(board: str, asks: bool) -> None:
    findings = entered({"board": Orientation(board)})
    assert ("which-way-up" in findings) == asks


@pytest.mark.parametrize(
    ("colour", "words"),
    [
        ("white", ""),
        ("off-white", ""),
        ("black", "a dark mat"),
        ("cream", "a coloured mat"),
        ("mauve", "a coloured mat"),
    ],
)
def test_a_mat_that_is_not_white_gets_a_caution_and_no_refusal(colour: str, words: str) -> None:
    job = a_job(a_mount(mat_colour=colour))
    findings = found(looked_at(a_plan(job, "12x8 in")), job=job)
    advice = findings.get("mat-colour-advice")
    assert words in advice.message if advice else not words
    assert advice is None or advice.severity.word == "note"


def test_the_same_findings_come_out_in_the_order_of_their_severity() -> None:
    picture = replace(looked_at(PLAN, a_speck(50, 50)), look=a_look(edge_width_mm=0.5))
    severities = [finding.severity for finding in look_findings(JOB, SHARP, [picture])]
    assert severities == sorted(severities, reverse=True)


def test_shares_of_many_steps_are_stated_from_the_first_to_the_last() -> None:
    assert share_range({"A": 0.02, "B": 0.03, "C": 0.045}) == "A 2.0 % to C 4.5 %"
    assert share_range({"A": 0.02, "B": 0.03}) == "A 2.0 %, B 3.0 %"


def test_a_share_that_is_there_is_never_stated_as_nothing() -> None:
    assert share_words({"A": 0.0003, "": 0.0006}) == "A below 0.1 %, 0.1 %"
