"""Entries of one shape share one search for a remedy; the rest of the laws are in checking."""

from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from proofs.findings import Finding, Severity
from proofs.lengths import Edge, PixelSize, inches
from proofs.measures import read_size
from proofs.plan.checks import remedies
from proofs.plan.checks.checking import check
from proofs.plan.checks.size_checks import size_findings
from proofs.plan.entry.facts import PhotoFacts
from proofs.plan.entry.planning import plan_entry
from proofs.records.cells import Orientation
from proofs.records.cutters import Cutter
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.mounts import Mount
from proofs.records.rules import Rules, VisibleRule
from proofs.records.size_and_crop import read_size_wish
from tests.workbench import (
    HAND,
    RAIL,
    a_job,
    a_mount,
    an_entry,
    by_code,
    facts,
    overlaps,
    pixel_sizes,
    reveals,
    rule_sets,
    size_cell_of,
    some_rules,
)

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


# Openings that are given: a larger image shows no more, so the remedy is another opening.


def taken(job: Job, remedy: str, entry: Entry, *pictures: PhotoFacts) -> tuple[Finding, ...]:
    """Return the findings on the size once a remedy's cell stands in the row of an entry."""
    sizes = tuple(read_size_wish(part) for part in size_cell_of(remedy).split("|"))
    return size_findings(job, plan_entry(job, replace(entry, sizes=sizes), *pictures))


def test_the_remedy_of_a_small_opening_is_the_first_one_on_the_marks_that_is_met() -> None:
    # 10 in and two cuts of 1 mm are 256 mm: 10 1/8 in. 7/9 of its 162 marks are 126: 7 7/8 in.
    entry = an_entry("opening 9x7 in")
    found = by_code(check(JOB, plan_entry(JOB, entry, WIDE)))["longest-side"]
    assert found.severity is Severity.BROKEN
    assert found.remedy == (
        "size: opening 10 1/8 x 7 7/8 in; that takes another mat, to buy or to cut"
    )
    assert {f.severity for f in taken(JOB, found.remedy, entry, WIDE)} == {Severity.MET}


def test_the_opening_of_a_mount_has_a_remedy_that_its_cell_can_hold() -> None:
    given = a_mount(board=read_size("16x20 in"), opening=read_size("7x9 in"))
    job = replace(JOB, mounts=(given,))
    found = by_code(check(job, plan_entry(job, an_entry(), PORTRAIT)))["longest-side"]
    assert size_cell_of(found.remedy) == "opening 7 7/8 x 10 1/8 in"
    assert {f.severity for f in taken(job, found.remedy, an_entry(), PORTRAIT)} == {Severity.MET}


def test_no_remedy_is_offered_if_no_opening_on_the_board_meets_the_rule() -> None:
    job = a_job(rules=some_rules(visible=VisibleRule(longest_least=inches(20))))
    found = by_code(check(job, plan_entry(job, an_entry("opening 9x7 in"), WIDE)))
    assert found["longest-side"].remedy == ""


@given(
    mount=st.one_of(overlaps, reveals),
    rules=rule_sets,
    picture=pixel_sizes,
    other=pixel_sizes,
    size=st.sampled_from(
        [
            *("opening 9x7 in", "opening 13 1/2 x 10 1/2 in", "opening 24x18 cm", "opening 5x4 in"),
            *("opening 7x5 in | opening 4x4 in", "opening 6x4 in | long 6 in"),
        ]
    ),
    cutter=st.sampled_from([HAND, RAIL]),
)
@settings(max_examples=150, deadline=None)
def test_every_remedy_of_a_given_opening_is_met_when_it_is_taken(
    mount: Mount, rules: Rules, picture: PixelSize, other: PixelSize, size: str, cutter: Cutter
) -> None:
    job, parts = a_job(mount, rules, cutter=cutter), size.split("|")
    entry = an_entry(size, file="|".join(f"{n}.jpg" for n in range(len(parts))))
    pictures = [facts(p.width, p.height) for p in (picture, other)][: len(parts)]
    try:
        plan = plan_entry(job, entry, *pictures)
    except ValueError:  # the openings leave the board
        reject()
    cells = [f.remedy for f in check(job, plan) if f.remedy and size_cell_of(f.remedy)]
    left = [f.severity for cell in cells for f in taken(job, cell, entry, *pictures)]
    assert set(left) <= {Severity.MET}
    assert all("opening" in size_cell_of(cell) for cell in cells)
