"""What a mat with a given opening hides beyond its overlap: figures worked by hand."""

import pytest

from proofs.findings import Finding, Severity, Status
from proofs.lengths import Borders, Size, inches, millimetres
from proofs.measures import read_size
from proofs.plan.checks.checking import check, status_of
from proofs.plan.checks.hidden_checks import hidden_beyond, hidden_words
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.mounts import WindowShape
from tests.workbench import a_job, a_mount, a_reveal, an_entry, facts

JOB = a_job()


def plan_of(width: int, height: int, size: str, crop: str = "") -> Plan:
    """Return the plan of a picture of these pixels."""
    return plan_entry(JOB, an_entry(size, crop=crop), facts(width, height))


def hidden(plan: Plan) -> list[Finding]:
    """Return the findings on what is hidden."""
    return [f for f in check(JOB, plan) if f.code == "hidden-beyond"]


def test_a_note_states_each_side_in_mm_and_as_a_share() -> None:
    # The image is 16 1/8 in wide, 13 3/4 in are covered or seen; half of 2 3/8 in is 30.1625 mm,
    # 7.36 % of 409.575 mm, on each side.
    (found,) = hidden(plan_of(3000, 2000, "opening 13 1/2 x 10 1/2 in"))
    assert found.severity is Severity.NOTE
    assert found.message == (
        "beyond its overlap the mat hides 30.16 mm (7.4 %) at the left and 30.16 mm (7.4 %) at the"
        " right of the picture"
    )
    assert (found.measured, found.limit, found.unit) == (14.7, 3.0, "%")
    assert found.remedy.endswith("'left' or 'right' in the crop cell chooses the side that stays")
    assert status_of([found]) == Status.MET


def test_a_place_puts_all_of_it_on_one_side() -> None:
    (found,) = hidden(plan_of(2000, 3000, "opening 10 1/2 x 13 1/2 in", crop="top"))
    # All of 2 3/8 in, 60.325 mm, is 14.7 % of 409.575 mm.
    assert "hides 60.33 mm (14.7 %) at the bottom of the picture" in found.message
    assert found.remedy == "another opening, or another crop"


@pytest.mark.parametrize(
    ("opening", "share", "severity"),
    [("293.65x187.65 mm", 3.0, Severity.MET), ("293.65x187.45 mm", 3.1, Severity.NOTE)],
)
def test_more_than_3_per_cent_is_worth_a_note(
    opening: str, share: float, severity: Severity
) -> None:
    # With the overlap of 3.175 mm on each side, 300 mm must be covered across: 3:2 is 200 mm high
    # there. Of these 194 mm are needed, then 193.8 mm: 6 mm and 6.2 mm are hidden beyond that.
    (found,) = hidden(plan_of(3000, 2000, f"opening {opening}"))
    assert (found.measured, found.severity) == (share, severity)


def test_a_picture_of_the_shape_of_the_opening_loses_nothing() -> None:
    (found,) = hidden(plan_of(3000, 2000, "opening 11 3/4 x 7 3/4 in"))
    assert found.severity is Severity.MET
    assert found.message == "the mat hides nothing of the picture beyond its overlap"


@pytest.mark.parametrize("size", ["largest", "long 12 in", "visible 10x8 in"])
def test_an_opening_that_follows_from_the_image_hides_only_the_overlap(size: str) -> None:
    plan = plan_of(3000, 2000, size)
    assert hidden(plan) == []
    assert hidden_beyond(plan, 0) == Borders(*[millimetres(0)] * 4)


def test_a_round_window_that_follows_from_the_image_has_no_such_finding() -> None:
    job = a_job(a_mount(shape=WindowShape.ROUND))
    plan = plan_entry(job, an_entry("long 9 in"), facts(3000, 2000))
    assert "hidden-beyond" not in [f.code for f in check(job, plan)]
    # 9 x 6 in in a circle of 5 3/4 in: 1 5/8 in are covered at the left and at the right.
    assert plan.layout.pictures[0].hidden.left == inches("13/8")


def test_a_reveal_hides_nothing() -> None:
    job = a_job(a_reveal(inches("1/4")))
    plan = plan_entry(job, an_entry("opening 13x10 in"), facts(3000, 2000))
    assert "hidden-beyond" not in [f.code for f in check(job, plan)]


def test_each_of_several_pictures_is_told_apart() -> None:
    entry = an_entry("opening 7x5 in", file="a.jpg | b.jpg")
    plan = plan_entry(JOB, entry, facts(3000, 2000), facts(2000, 3000))
    first, second = hidden(plan)
    # 7 7/8 in less 7 1/4 in is 15.875 mm; half of it is 7.94 mm, 4 % of 200 mm.
    assert "7.94 mm (4.0 %) at the left and 7.94 mm (4.0 %) at the right of picture 1" in (
        first.message
    )
    assert "at the top and 7.94 mm (4.0 %) at the bottom of picture 2" in second.message


def test_less_than_a_twentieth_of_a_millimetre_is_not_worth_a_word() -> None:
    sides = [millimetres("0.04")] * 4
    assert hidden_words(Borders(*sides), Size(inches(12), inches(8))) == ""
    assert hidden_words(Borders(inches(1), *sides[1:]), read_size("12x8 in")) == (
        "25.4 mm (12.5 %) at the top"
    )
