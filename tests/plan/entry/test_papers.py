"""One paper for each entry: thickness, weight, and what is refused. All profiles are made up."""

from dataclasses import replace
from typing import Any

import pytest

from proofs.lengths import inches, millimetres
from proofs.plan.bench.mounting import mounting
from proofs.plan.checks.checking import check
from proofs.plan.entry.planning import papers_of, plan_entry
from proofs.records.job import Job
from proofs.records.labs import Lab
from proofs.records.papers import Paper, Sharpening
from tests.workbench import LAB, PAPER, a_job, an_entry, facts, some_rules

MATT = Paper("rag", "A rag", "made up", millimetres("0.45"), "matt", Sharpening.STANDARD, 16.0)
LISTING = replace(LAB, papers=("Lustre", "Cotton matt", "Baryta"))
MAPPING = replace(LISTING, paper_profiles=(("Cotton matt", "rag"),))


def the_job(**changes: Any) -> Job:
    return replace(a_job(lab=MAPPING, lab_papers=(("Cotton matt", MATT),)), **changes)


def broken(job: Job, cell: str) -> list[str]:
    plan = plan_entry(job, an_entry("long 7 in", paper=cell), facts())
    return [f.code for f in check(job, plan) if f.severity.word == "broken"]


@pytest.mark.parametrize("cell", ["Cotton matt", "COTTON MATT"])
def test_the_cell_decides_the_paper(cell: str) -> None:
    plan = plan_entry(the_job(), an_entry("long 7 in", paper=cell), facts())
    assert (plan.paper, plan.lab_paper, plan.has_own_paper) == (MATT, "Cotton matt", True)
    # A backing of 3/16 in, a mat of 1.4 mm, the paper of 0.45 mm and the tape of the mount.
    tape = the_job().mounts[0].tape
    assert plan.thickness == inches("3/16") + millimetres("1.85") + tape


@pytest.mark.parametrize(("cell", "called"), [("", "Lustre"), ("baryta", "Baryta")])
def test_a_paper_without_a_profile_is_that_of_the_run(cell: str, called: str) -> None:
    plan = plan_entry(the_job(), an_entry("long 7 in", paper=cell), facts())
    assert (plan.paper, plan.lab_paper, plan.has_own_paper) == (PAPER, called, False)


def test_a_blank_cell_means_the_first_paper_of_the_lab() -> None:
    job = the_job(lab=replace(MAPPING, papers=("Cotton matt", "Lustre")))
    assert plan_entry(job, an_entry("long 7 in"), facts()).paper == MATT


def test_the_rule_on_thickness_is_checked_with_the_entrys_paper() -> None:
    thin = plan_entry(a_job(), an_entry("long 7 in"), facts()).thickness
    # The rag is 0.18 mm thicker than the paper of the run; the rule allows 0.1 mm more.
    job = the_job(rules=some_rules(thickness_most=thin + millimetres("0.1")))
    assert broken(job, "") == []
    assert broken(job, "Cotton matt") == ["thickness-most"]


def test_the_weight_of_a_mount_is_that_of_its_paper() -> None:
    light, heavy = (
        mounting(the_job(), plan_entry(the_job(), an_entry("long 7 in", paper=cell), facts()))
        for cell in ("", "Cotton matt")
    )
    # A sheet of 8 x 10 in is 0.203 x 0.254 m = 0.0516 square metres. Of paper with 1000 kg per
    # cubic metre, 0.18 mm more weighs 180 g per square metre: 9.29 g.
    assert heavy.grams - light.grams == pytest.approx(9.29, abs=0.01)


def test_each_paper_has_its_own_sharpening() -> None:
    on_rag = the_job().with_paper(MATT)
    assert (the_job().sharpening(), on_rag.sharpening()) == (Sharpening.LOW, Sharpening.STANDARD)
    assert replace(on_rag, lab=replace(LAB, sharpens=True)).sharpening() == Sharpening.OFF


@pytest.mark.parametrize(
    ("cell", "remedy"),
    [
        ("Coton matt", "did you mean 'Cotton matt'"),
        ("Zzz", "write one of Lustre, Cotton matt, Baryta"),
    ],
)
def test_a_paper_that_the_lab_does_not_have_is_refused(cell: str, remedy: str) -> None:
    with pytest.raises(ValueError, match=f"paper: the lab has no '{cell}'; {remedy}"):
        plan_entry(the_job(), an_entry("long 7 in", paper=cell), facts())


@pytest.mark.parametrize("lab", [LAB, LISTING])
def test_a_lab_that_states_no_profiles_of_its_papers_leaves_the_cell_to_the_order(
    lab: Lab,
) -> None:
    plan = plan_entry(a_job(lab=lab), an_entry("long 7 in", paper="Coton matt"), facts())
    assert (plan.paper, plan.lab_paper) == (PAPER, "Coton matt")


def test_papers_are_listed_once_by_the_labs_name_or_else_by_their_title() -> None:
    job = the_job(lab=replace(MAPPING, papers=(), paper_profiles=()), lab_papers=())
    cells = ("", "Cotton matt", "")
    plans = [plan_entry(job, an_entry("long 7 in", paper=cell), facts()) for cell in cells]
    assert papers_of(plans) == ("A paper", "Cotton matt")
