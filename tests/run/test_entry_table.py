"""One line for each entry: aligned, in the width of the terminal, in the unit of the rules."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.findings import Status
from proofs.lengths import Unit, inches, millimetres
from proofs.pages.columns import cut_to, display_width
from proofs.plan.checks.checking import check, status_of
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import plan_entry
from proofs.records.job import Job
from proofs.records.rules import VisibleRule
from proofs.run.entry_table import entry_table
from proofs.run.preflight import not_understood, steps_planned
from tests.workbench import a_job, an_entry, facts, some_rules

LONG = "Waiting for wind: three boats at anchor off Marrow Skerry before the fog lifted"
WIDE = "霧の中の三艘の舟と遠くの島影"


def outcome_of(job: Job, size: str, **changes: Any) -> Outcome:
    entry = an_entry(size, **changes)
    plan = plan_entry(job, entry, facts(3000, 2000))
    findings = check(job, plan)
    return Outcome(entry, status_of(findings), findings, plan, steps_planned(plan))


def lines(job: Job, outcomes: list[Outcome], width: int) -> list[str]:
    return [str(line) for entry in entry_table(job, outcomes, width) for line in entry]


def entries(job: Job) -> list[Outcome]:
    titles = ["Old pier", LONG, WIDE, "cafe\u0301 " * 9]
    return [
        outcome_of(job, "long 12 in", number=str(n), title=title)
        for n, title in enumerate(titles, 8)
    ]


def test_a_line_states_what_decides() -> None:
    job = a_job()
    head, line = lines(job, [outcome_of(job, "long 12 in", number="7", title="Old pier")], 100)
    assert head.split() == ["no", "title", "verdict", "visible", "sheet", "step", "to", "spare"]
    # 12x8 in less 1/8 in of overlap on each side; 298.45 and 196.85 mm are read to 0.5 mm.
    assert " ".join(line.split()).startswith("7 Old pier met 11 3/4 × 7 3/4 in (29.85 × 19.7 cm)")


def test_the_unit_of_the_rules_is_first() -> None:
    rules = some_rules(unit=Unit.MM, visible=VisibleRule(longest_least=millimetres(250)))
    job = a_job(rules=rules)
    _, wide = lines(job, [outcome_of(job, "long 12 in")], 120)
    assert "29.85 × 19.7 cm (11 3/4 × 7 3/4 in)" in wide


def test_a_size_below_its_limit_is_never_shown_on_it() -> None:
    # 10.24 in less 2 x 1/8 in are 9.99 in, which the nearest 1/16 in would call 10.
    rules = some_rules(visible=VisibleRule(longest_least=inches(10)))
    _, line = lines(a_job(rules=rules), [outcome_of(a_job(rules=rules), "long 10.24 in")], 100)
    assert "broken" in line
    assert "9.99 × " in line


@pytest.mark.parametrize("width", [80, 100, 132, 200])
def test_columns_are_aligned_and_fit(width: int) -> None:
    table = lines(a_job(), entries(a_job()), width)
    assert max(display_width(line) for line in table) <= width
    starts = {display_width(line[: line.index(" met ")]) for line in table[1:]}
    assert starts == {display_width(table[0][: table[0].index(" verdict")])}


def test_both_units_are_shown_where_there_is_room() -> None:
    assert "cm" in lines(a_job(), entries(a_job()), 132)[1]
    assert "cm" not in lines(a_job(), entries(a_job()), 80)[1]


def test_an_entry_without_a_plan_has_its_verdict_alone() -> None:
    odd = not_understood(replace(an_entry("largest", number="3"), line=9), "size: 'big'")
    table = lines(a_job(), [outcome_of(a_job(), "long 12 in"), odd], 80)
    assert table[2].endswith("not understood")


def test_only_what_is_met_states_what_is_to_spare() -> None:
    met = outcome_of(a_job(), "long 12 in")
    table = lines(a_job(), [met, replace(met, status=Status.BROKEN)], 100)
    assert [line.endswith(("just enough", "enough", "ample")) for line in table] == [
        *(False, True, False)
    ]


@given(text=st.text(), width=st.integers(1, 40))
def test_what_is_cut_takes_at_most_its_columns(text: str, width: int) -> None:
    shown = "".join(character for character in text if character.isprintable())
    assert display_width(cut_to(shown, width)) <= width
