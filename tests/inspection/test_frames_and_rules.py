"""A border does not count as visible image; a keyline has its limit; a loud line gets advice."""

import pytest

from proofs.findings import Finding
from proofs.inspection.frames_and_rules import frame_findings, visible_without
from proofs.inspection.marks import Mark
from proofs.lengths import Edge, Size, inches, millimetres
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.rules import VisibleRule
from proofs.records.spotted import TickWord
from tests.looks import BLACK, RED, a_tick, along, looked_at
from tests.workbench import TRUE, TRUE_LAB, a_job, a_plan, a_reveal, by_code, some_rules

TEN = some_rules(visible=VisibleRule(longest_least=inches(10)))
JOB = a_job(rules=TEN, lab=TRUE_LAB, cutter=TRUE)
PLAN = a_plan(JOB, "long 10 1/4 in")  # of which 10 in are visible
SIZE = (260.35, 260.35 * 2 / 3)
KEYED = a_job(a_reveal(inches("1/4")), some_rules(keyline_most=millimetres(1)))
KEYED_PLAN, KEYED_SIZE = a_plan(KEYED, "12x8 in"), (304.8, 203.2)
ON_THE_LEFT = along(Edge.LEFT, SIZE, width=5)  # 1.8 mm more than the mat hides


def findings(
    *marks: Mark, job: Job = JOB, plan: Plan = PLAN, word: TickWord | None = None
) -> dict[str, Finding]:
    ticks = tuple(a_tick(plan, mark, word) for mark in marks) if word else ()
    return by_code(frame_findings(job, [looked_at(plan, *marks, ticks=ticks)]))


def test_where_a_rule_is_met_only_with_a_border_the_entry_is_at_risk() -> None:
    found = findings(ON_THE_LEFT)["border-in-file"]
    assert found.severity.word == "at-risk"
    assert "white border along the left: without it 9.93 × " in found.message
    assert "longest visible side 9.93 in (25.22 cm)" in found.message
    assert "tick it as meant in spotted.csv" in found.remedy


def test_a_border_that_is_ticked_as_meant_counts_as_image() -> None:
    assert findings(ON_THE_LEFT, word=TickWord.MEANT) == {}


def test_a_border_that_will_be_spotted_still_does_not_count() -> None:
    found = findings(ON_THE_LEFT, word=TickWord.SPOTTED)
    assert found["border-in-file"].severity.word == "at-risk"


def test_a_border_that_no_rule_needs_is_a_warning() -> None:
    found = findings(ON_THE_LEFT, job=a_job(rules=None))
    assert found["border-in-file"].severity.word == "warning"
    assert found["border-in-file"].measured == pytest.approx(252.175, abs=0.01)  # rounded marks


def test_a_border_under_the_mat_means_nothing() -> None:
    assert findings(along(Edge.LEFT, SIZE, width=3)) == {}


def test_of_a_border_and_a_stroke_the_deeper_one_counts() -> None:
    stroke = along(Edge.LEFT, SIZE, width=0.5, start=9, colour=RED)
    (picture,) = PLAN.layout.pictures
    found = findings(ON_THE_LEFT, stroke)["border-in-file"]
    assert "white border along the left, red stroke along the left: without them" in found.message
    without = visible_without(picture, {Edge.LEFT: millimetres("9.5")})
    assert str(without) in found.message


def test_what_borders_leave_visible_is_counted_from_the_sight_on_each_side() -> None:
    (picture,) = PLAN.layout.pictures
    sight = picture.sight.size
    lost = {Edge.LEFT: millimetres(5), Edge.RIGHT: millimetres(1), Edge.TOP: millimetres(10)}
    assert visible_without(picture, lost) == Size(
        sight.width - millimetres("1.825"), sight.height - millimetres("6.825")
    )
    assert visible_without(picture, {}) == sight


@pytest.mark.parametrize("word", [None, TickWord.MEANT])
def test_a_keyline_wider_than_the_rules_allow_breaks_the_rule_meant_or_not(
    word: TickWord | None,
) -> None:
    wide = along(Edge.TOP, KEYED_SIZE, width=1.5, colour=BLACK)
    found = findings(wide, job=KEYED, plan=KEYED_PLAN, word=word)["keyline-in-file"]
    assert found.severity.word == "broken"
    assert found.message == (
        "black border along the top is 0.059 in (1.5 mm) wide, but a keyline may be at most"
        " 0.039 in (1 mm)"
    )


def test_a_keyline_within_the_rules_breaks_nothing() -> None:
    thin = along(Edge.TOP, KEYED_SIZE, width=0.9, colour=BLACK)
    assert "keyline-in-file" not in findings(thin, job=KEYED, plan=KEYED_PLAN)


def test_white_paper_round_the_picture_is_no_keyline() -> None:
    white = along(Edge.TOP, KEYED_SIZE, width=5)
    assert "keyline-in-file" not in findings(white, job=KEYED, plan=KEYED_PLAN)


@pytest.mark.parametrize(("colour", "name"), [(RED, "red"), (BLACK, "black")])
def test_a_loud_line_gets_the_advice_of_the_trade(
    colour: tuple[float, float, float], name: str
) -> None:
    stroke = along(Edge.RIGHT, SIZE, width=0.6, start=4, colour=colour)
    advice = findings(stroke)["stroke-in-file"]
    assert advice.severity.word == "note"
    assert advice.message.startswith(f"{name} stroke along the right: ")
    assert advice.message.endswith("let the picture speak")
    assert "stroke-in-file" not in findings(stroke, word=TickWord.MEANT)
    assert "stroke-in-file" not in findings(ON_THE_LEFT)
