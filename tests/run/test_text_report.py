"""An entry as text: the verdict first, then sizes in inches and centimetres, then what to do."""

from dataclasses import replace
from typing import Any

from proofs.findings import Finding, Severity
from proofs.lengths import Edge, Unit
from proofs.plan.checks.checking import check, status_of
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import plan_entry
from proofs.records.job import Job
from proofs.run.preflight import not_understood, steps_planned
from proofs.run.text_report import (
    closing_line,
    decisions,
    new_warnings,
    not_understood_first,
    outcome_lines,
    summary_lines,
)
from tests.workbench import a_job, an_entry, facts


def outcome_of(job: Job, size: str, **changes: Any) -> Outcome:
    entry = an_entry(size, **changes)
    plan = plan_entry(job, entry, facts(3000, 2000))
    findings = check(job, plan)
    return Outcome(entry, status_of(findings), findings, plan, steps_planned(plan))


def test_the_verdict_is_on_the_line_of_number_and_title() -> None:
    outcome = outcome_of(a_job(), "long 12 in", number="7", title="Old pier")
    assert outcome_lines(outcome)[0] == "   7  MET        Old pier"


def test_sizes_are_in_inches_and_centimetres() -> None:
    lines = "\n".join(outcome_lines(outcome_of(a_job(), "long 12 in")))
    assert "image      12 × 8 in (30.48 × 20.32 cm)" in lines
    assert "visible    11 3/4 × 7 3/4 in (29.85 × 19.69 cm)" in lines


def test_a_turned_picture_is_described_in_words() -> None:
    lines = "\n".join(outcome_lines(outcome_of(a_job(), "long 12 in", top_edge=Edge.RIGHT)))
    assert "turned 90° anticlockwise" in lines


def test_rows_that_cannot_be_understood_come_first() -> None:
    met = outcome_of(a_job(), "long 12 in")
    odd = not_understood(replace(an_entry("largest"), line=9), "size: 'big'; write '12x8 in'")
    assert not_understood_first([met, odd]) == [odd, met]
    lines = outcome_lines(odd)
    assert lines[1].strip() == "line 9: size: 'big'"
    assert lines[2].strip() == "-> write '12x8 in'"


def test_the_summary_counts_entries_and_names_undecided_ones() -> None:
    undecided = outcome_of(a_job(), "long 12 in", number="3")
    decided = outcome_of(a_job(), "long 12 in", number="4", chosen=0.1)
    assert summary_lines([undecided, decided]) == ["2 entries: 2 met", "step not chosen yet: 1 (3)"]


def test_the_last_line_says_why_the_program_ends_with_its_code() -> None:
    odd = not_understood(an_entry("largest"), "size: 'big'; write '12x8 in'")
    assert closing_line([odd], 3).startswith("exit code 3: entry ")
    assert closing_line([odd], 3).endswith("cannot be understood")
    other = replace(odd, entry=replace(odd.entry, number="2"))
    assert closing_line([odd, other], 3) == "exit code 3: entries 1, 2 cannot be understood"


def test_two_rows_of_one_number_are_named_once() -> None:
    odd = not_understood(an_entry("largest"), "number: twice; give each row its own")
    assert closing_line([odd, odd], 3) == "exit code 3: entry 1 cannot be understood"
    assert closing_line([], 0) == ""


def test_what_needs_a_decision_is_wrapped_below_its_words() -> None:
    found = Finding("longest-side", Severity.BROKEN, "word " * 40, remedy="size: long 12 in")
    outcome = replace(outcome_of(a_job(), "long 12 in"), findings=(found,))
    lines = decisions(outcome, Unit.IN, 80)
    assert lines[0].startswith("      broken     word word")
    assert max(map(len, lines)) <= 80
    assert {line[:17].strip() for line in lines[1:]} == {""}


def test_new_warnings_of_a_run_are_listed_without_the_earlier_ones() -> None:
    quiet, lost = (outcome_of(a_job(), "long 12 in", number=number) for number in "34")
    found = Finding("blocked-shadows", Severity.WARNING, "step C: blocked", remedy="look")
    lines = new_warnings([quiet, lost], [quiet, replace(lost, findings=(*lost.findings, found))])
    assert [line.split() for line in lines] == [
        ["4", "Old", "pier"],
        ["warning", "step", "C:", "blocked"],
        ["->", "look"],
    ]
