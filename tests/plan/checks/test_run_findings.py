"""What shows only when all entries are seen together."""

import datetime
from typing import Any

import pytest

from proofs.findings import Finding, Severity
from proofs.plan.checks.checking import rules_age, run_findings
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.job import Job
from tests.workbench import SHIPPED, a_job, an_entry, facts, some_rules, words

FOUR = a_job(rules=some_rules(most_per_category=4))
READ = datetime.date(2026, 1, 31)


def plans_in(job: Job, *categories: str) -> list[Plan]:
    """Return plans of different pictures, one in each of these categories."""
    return [
        plan_entry(
            job, an_entry(number=f"{n}", title=f"t{n}", file=f"{n}.jpg", category=c), facts()
        )
        for n, c in enumerate(categories)
    ]


def seen_together(job: Job, plans: list[Plan]) -> dict[str, tuple[Finding, ...]]:
    """Return what is found where every entry of the run has a plan."""
    return run_findings(job, plans, [plan.entry for plan in plans])


def counts(job: Job, *categories: str) -> list[str]:
    """Return the word of each entry's finding on its category."""
    found = seen_together(job, plans_in(job, *categories))
    return [words(findings).get("category-count", "") for findings in found.values()]


def entries_like(**changes: Any) -> dict[str, tuple[Finding, ...]]:
    """Return what is found on two entries that differ in this alone from being the same."""
    job = a_job()
    first = plan_entry(job, an_entry(number="1"), facts())
    second = plan_entry(job, an_entry(number="2", **changes), facts())
    return seen_together(job, [first, second])


def test_five_entries_in_a_category_of_four_are_broken_every_one() -> None:
    assert counts(FOUR, *["Open"] * 5) == ["broken"] * 5


def test_four_entries_in_a_category_of_four_are_met() -> None:
    assert counts(FOUR, *["Open"] * 4) == ["met"] * 4


def test_a_full_category_does_not_touch_another() -> None:
    assert counts(FOUR, *["Open"] * 5, "Nature") == ["broken"] * 5 + ["met"]


def test_a_category_is_the_same_in_capitals_and_with_more_blanks() -> None:
    assert counts(FOUR, "Open", "OPEN", " open", "open ", "Open") == ["broken"] * 5


def test_a_picture_that_cannot_be_read_still_takes_its_place_in_a_category() -> None:
    plans = plans_in(FOUR, *["Open"] * 4)
    unreadable = an_entry(number="x", file="cut.jpg", category="Open")
    found = run_findings(FOUR, plans, [*(plan.entry for plan in plans), unreadable])
    assert [words(f)["category-count"] for f in found.values()] == ["broken"] * 4


def test_the_finding_on_a_category_says_how_many_to_leave_out() -> None:
    found = seen_together(FOUR, plans_in(FOUR, *["Open"] * 6))["0"][0]
    assert (found.measured, found.limit, found.severity) == (6, 4, Severity.BROKEN)
    assert found.remedy
    assert "leave out 2" in found.remedy


def test_entries_without_a_category_are_not_counted_against_it() -> None:
    assert "broken" not in counts(FOUR, *[""] * 5)


def test_rules_that_limit_no_category_find_nothing() -> None:
    assert counts(a_job(rules=some_rules()), *["Open"] * 9) == [""] * 9


def test_every_shipped_set_takes_four_in_a_category() -> None:
    # Common practice, no source.
    sets = [SHIPPED.rules(name) for name in SHIPPED.names("rules")]
    assert {rules.most_per_category for rules in sets} == {4}


def test_the_same_file_twice_is_warned_about_in_both_entries() -> None:
    found = entries_like(title="Another")
    assert [words(f) for f in found.values()] == [{"same-file": "warning"}] * 2


@pytest.mark.parametrize("title", ["Old pier", "OLD PIER", " old   pier "])
def test_the_same_title_twice_is_warned_about_in_both_entries(title: str) -> None:
    found = entries_like(file="another.jpg", title=title)
    assert [words(f) for f in found.values()] == [{"same-title": "warning"}] * 2


def test_different_pictures_with_different_titles_find_nothing() -> None:
    found = entries_like(file="another.jpg", title="Another")
    assert found == {"1": (), "2": ()}


def test_titles_are_the_same_however_their_accents_are_encoded() -> None:
    job = a_job()
    pair = [("1", "Caf\u00e9", "a.jpg"), ("2", "Cafe\u0301", "b.jpg")]
    plans = [plan_entry(job, an_entry(number=n, title=t, file=f), facts()) for n, t, f in pair]
    found = seen_together(job, plans)
    assert [words(f) for f in found.values()] == [{"same-title": "warning"}] * 2


@pytest.mark.parametrize(
    ("days", "is_old"), [(0, False), (364, False), (365, False), (366, True), (4000, True)]
)
def test_rules_read_over_twelve_months_ago_are_to_be_read_again(days: int, is_old: bool) -> None:
    said = rules_age(some_rules(read_on=READ), READ + datetime.timedelta(days=days))
    assert ["over twelve months ago" in line for line in said] == [True] * is_old


@pytest.mark.parametrize(("days", "is_past"), [(-1, False), (0, False), (1, True)])
def test_a_closing_date_has_passed_the_day_after(days: int, is_past: bool) -> None:
    said = rules_age(some_rules(closing_date=READ), READ + datetime.timedelta(days=days))
    assert ["has passed" in line for line in said] == [True] * is_past


def test_rules_without_dates_and_no_rules_say_nothing() -> None:
    assert rules_age(some_rules(), READ) == rules_age(None, READ) == ()
