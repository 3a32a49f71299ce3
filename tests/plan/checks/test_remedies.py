"""Entries of one shape share one search for a remedy; the rest of the laws are in checking."""

from collections.abc import Iterable
from dataclasses import replace

import pytest

from proofs.findings import Finding
from proofs.lengths import Edge, inches
from proofs.plan.checks import remedies
from proofs.plan.checks.checking import check
from proofs.plan.entry.facts import PhotoFacts
from proofs.plan.entry.planning import plan_entry
from proofs.records.cells import Orientation
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.rules import VisibleRule
from tests.workbench import a_job, a_mount, an_entry, facts, some_rules

TALL = a_mount(name="thick", overlap=inches("1/4"))
JOB = a_job(rules=some_rules(visible=VisibleRule(longest_least=inches(10))))
WIDE, PORTRAIT = facts(3000, 2000), facts(2000, 3000)
SHAPES = [
    (JOB, an_entry("long 5 in"), WIDE),
    (JOB, an_entry("short 5 in"), WIDE),
    (JOB, an_entry("long 5 in", crop="1:1"), WIDE),
    (JOB, an_entry("long 5 in", top_edge=Edge.LEFT), WIDE),
    (JOB, an_entry("long 5 in", board=Orientation.PORTRAIT), WIDE),
    (JOB, an_entry("long 5 in"), PORTRAIT),
    (JOB, an_entry("long 5 in"), facts(3000, 1999)),
    (replace(JOB, mounts=(TALL,)), an_entry("long 5 in"), WIDE),
    (replace(JOB, mounts=(*JOB.mounts, TALL)), an_entry("long 5 in", mount="thick"), WIDE),
    (
        a_job(rules=some_rules(visible=VisibleRule(longest_least=inches(9)))),
        an_entry("long 5 in"),
        WIDE,
    ),
]


def remedies_of(findings: Iterable[Finding]) -> list[str | None]:
    return [finding.remedy for finding in findings]


@pytest.mark.parametrize(("job", "entry", "picture"), SHAPES)
def test_a_remedy_is_that_of_its_own_entry_whatever_was_checked_before(
    job: Job, entry: Entry, picture: PhotoFacts
) -> None:
    plan = plan_entry(job, entry, picture)
    remedies._remedy.cache_clear()
    alone = remedies_of(check(job, plan))
    remedies._remedy.cache_clear()
    for_all = [check(j, plan_entry(j, e, p)) for j, e, p in SHAPES]
    assert len(for_all) == len(SHAPES)
    assert remedies_of(check(job, plan)) == alone
    assert any(alone)


def test_entries_that_differ_in_nothing_but_their_names_are_searched_for_once() -> None:
    remedies._remedy.cache_clear()
    for_all = [
        check(JOB, plan_entry(JOB, an_entry("long 5 in", file=f"{n}.jpg", number=str(n)), WIDE))
        for n in range(1, 9)
    ]
    assert len(for_all) == 8
    assert remedies._remedy.cache_info().misses == 1
