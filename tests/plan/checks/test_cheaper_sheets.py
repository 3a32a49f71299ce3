"""The note on a cheaper sheet, worked out by hand. All prices are made up.

A picture of 3:2 at 12 x 8 in needs 12.25 x 8.25 in with the lab's 1/8 in of white, so 11 x 14 in at
9.80. On 8 x 12 in at 4.75 the white is 38 pixels of 300 per inch: 2400 - 76 = 2324 pixels of height
leave 7.74667 in, and 3/2 of that is 11.62 in, 3.2 % less than 12 in. The saving is 5.05.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from proofs.findings import Finding, Severity
from proofs.lengths import inches
from proofs.measures import read_size
from proofs.plan.checks.checking import CHEAPER_SHEET, cheaper_sheet, check
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.job import Job
from proofs.records.labs import Lab
from proofs.records.rules import VisibleRule
from tests.workbench import LAB, a_job, an_entry, by_code, facts, some_rules

PRICES = {"8x10 in": "6.00", "8x12 in": "4.75", "11x14 in": "9.80", "16x20 in": "18.00"}


def a_lab(**prices_and_changes: Any) -> Lab:
    return replace(PRICED, **prices_and_changes)


PRICED = replace(
    LAB,
    sheets=tuple(map(read_size, PRICES)),
    prices=tuple((read_size(sheet), Decimal(price)) for sheet, price in PRICES.items()),
    currency="EUR",
)
JOB = a_job(lab=PRICED)


def planned(size: str, job: Job = JOB, px: tuple[int, int] = (6000, 4000), **entry: Any) -> Plan:
    return plan_entry(job, an_entry(size, **entry), facts(*px))


def note(size: str, job: Job = JOB, **changes: Any) -> Finding | None:
    return by_code(check(job, planned(size, job, **changes))).get(CHEAPER_SHEET)


def remedy(size: str, job: Job = JOB, **changes: Any) -> str:
    found = note(size, job, **changes)
    return found.remedy if found else ""


def test_a_slightly_smaller_image_fits_a_cheaper_sheet() -> None:
    found = note("12x8 in")
    assert found is not None
    assert found.severity is Severity.NOTE
    assert found.message == (
        "an image of 11.62 × 7.75 in (29.51 × 19.68 cm) fits 12 × 8 in (30.48 × 20.32 cm), a"
        " cheaper sheet than 14 × 11 in (35.56 × 27.94 cm): it saves 5.05 EUR a print"
    )
    assert (found.remedy, found.measured, found.unit) == ("size: sheet 8x12 in", "5.05", "EUR")


def test_the_cell_that_the_note_names_gives_that_image_on_that_sheet() -> None:
    part = planned("sheet 8x12 in").parts[0]
    assert part.sheet == read_size("12x8 in")
    assert str(part.image.size.width) == str(inches("11.62"))


@pytest.mark.parametrize(
    ("least", "is_noted"),
    [
        # The mat hides 1/4 in of 11.62 in and two cuts of 1 mm may take 0.079 in: 11.291 in.
        ("11.29", True),
        ("11.30", False),
    ],
)
def test_it_is_noted_only_if_every_rule_stays_met(least: str, is_noted: bool) -> None:
    rules = some_rules(visible=VisibleRule(longest_least=inches(least)))
    assert bool(note("12x8 in", replace(JOB, rules=rules))) == is_noted


def test_nothing_is_noted_where_a_rule_is_not_met_as_it_is() -> None:
    rules = some_rules(visible=VisibleRule(longest_most=inches(11)))
    assert note("12x8 in", replace(JOB, rules=rules)) is None


def test_a_print_to_the_edge_may_be_slightly_larger() -> None:
    """11.7 x 7.8 in needs 8.05 in with its white; to the edge of 12 x 8 in it is 11.75 in long."""
    job = a_job(lab=a_lab(edge_to_edge=(read_size("8x12 in"),)))
    assert remedy("long 11.7 in", job) == "size: print 8x12 in"
    found = note("long 11.7 in", job)
    assert found is not None
    assert found.message.startswith("an image of 11 3/4 × 7 3/4 in ")


def test_of_two_images_on_one_sheet_that_which_differs_least_is_named() -> None:
    job = a_job(lab=a_lab(edge_to_edge=(read_size("8x12 in"),)))
    assert remedy("12x8 in", job) == "size: print 8x12 in"


def test_a_cheaper_sheet_that_holds_the_image_as_it_is_needs_no_other_size() -> None:
    """9 x 6 in fits 8 x 10 in at 6.00, and 8 x 12 in at 4.75 as well."""
    found = note("9x6 in")
    assert found is not None
    assert (found.remedy, found.measured) == ("deliver it with --cheapest", "1.25")


def test_a_sheet_that_was_ordered_as_the_cheapest_has_none_cheaper() -> None:
    plan = planned("9x6 in")
    assert cheaper_sheet(JOB, plan, read_size("8x12 in"), check(JOB, plan)) is None


def test_a_named_sheet_is_compared_too() -> None:
    """4:3 on 12 x 18 in is 11.747 in high, and on 12 x 16 in it is the same."""
    sheets = tuple(map(read_size, ("12x16 in", "12x18 in")))
    prices = tuple(zip(sheets, map(Decimal, ("10", "12")), strict=True))
    job = a_job(lab=a_lab(sheets=sheets, prices=prices))
    assert remedy("sheet 18x12 in", job, px=(4000, 3000)) == "size: sheet 12x16 in"


def test_a_metric_sheet_is_named_in_millimetres() -> None:
    sheets = tuple(map(read_size, ("210x297 mm", "297x420 mm")))
    prices = tuple(zip(sheets, map(Decimal, ("5", "9")), strict=True))
    job = a_job(lab=a_lab(sheets=sheets, prices=prices))
    assert remedy("long 297 mm", job) == "size: sheet 210x297 mm"


def test_a_price_of_the_entrys_paper_counts() -> None:
    """On cotton, 8 x 12 in costs as much as 11 x 14 in."""
    small = read_size("8x12 in")
    lab = a_lab(papers=("Lustre", "Cotton"), paper_prices=(("Cotton", small, Decimal("9.80")),))
    job = a_job(lab=lab)
    assert note("12x8 in", job) is not None
    assert note("12x8 in", job, paper="Cotton") is None


@pytest.mark.parametrize(
    ("size", "changes"),
    [
        ("long 13 in", {}),  # 11.62 in is 10.6 % less
        ("12x8 in", {"copies": 0}),
        ("sheet 8x12 in", {}),  # nothing is cheaper
    ],
)
def test_there_is_no_note_where_nothing_is_saved(size: str, changes: dict[str, Any]) -> None:
    assert note(size, **changes) is None


def test_a_given_opening_is_never_given_up_for_a_cheaper_sheet() -> None:
    """The opening and its overlap need 12 x 8 in, and so 11 x 14 in of paper."""
    assert planned("opening 11.75x7.75 in").parts[0].sheet == read_size("14x11 in")
    assert note("opening 11.75x7.75 in") is None


def test_a_lab_without_prices_has_no_note() -> None:
    assert note("12x8 in", a_job(lab=replace(PRICED, prices=()))) is None


def test_a_note_never_leads_to_a_new_warning() -> None:
    """To the edge, all pixels lie on 12 in: 2124 of them are 177 per inch, below 180.

    At 11.7 in they are 181. The sheet with its white is smaller, so its pixels are denser.
    """
    job = a_job(lab=a_lab(edge_to_edge=(read_size("8x12 in"),)))
    assert remedy("long 11.7 in", job, px=(2220, 1480)) == "size: print 8x12 in"
    assert remedy("long 11.7 in", job, px=(2124, 1416)) == "size: sheet 8x12 in"
