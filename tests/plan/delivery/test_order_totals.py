"""The sums of an order, worked out by hand. All prices and rates are made up.

Rounding half up, once on the sum, is common practice, no source; an invoice of the lab may differ
by a hundredth.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from proofs.measures import read_size
from proofs.plan.delivery.deliveries import Delivery
from proofs.plan.delivery.order_totals import OrderTotals, order_totals
from proofs.records.lab_charges import Charges
from tests.deliveries import a_delivery, a_file


def an_order(**charges: Any) -> Delivery:
    """Two prints of 8 x 10 in at 4.50, one of 11 x 14 in at 9.80, and two of it on cotton at 12.40.

    That is 9.00 + 9.80 + 24.80 = 43.60.
    """
    large = read_size("11x14 in")
    made = a_delivery(
        a_file(copies=1, price=Decimal("4.50")),
        a_file(copies=1, price=Decimal("9.80"), sheet=large),
        a_file(copies=1, price=Decimal("4.50"), sheet=read_size("10x8 in")),
        a_file(copies=2, price=Decimal("12.40"), sheet=large.turned, paper="Cotton"),
    )
    return replace(made, lab=replace(made.lab, charges=Charges(**charges)))


def totals(**charges: Any) -> OrderTotals:
    read = {key: Decimal(v) if isinstance(v, str) else v for key, v in charges.items()}
    return order_totals(an_order(**read))


def test_prints_are_added_up_by_sheet_either_way_round_paper_and_finish() -> None:
    lines = [(str(one.sheet), one.made_of, one.prints, one.cost) for one in totals().lines]
    assert lines == [
        ("8 × 10 in (20.32 × 25.4 cm)", ("Lustre", "matt"), 2, Decimal("9.00")),
        ("11 × 14 in (27.94 × 35.56 cm)", ("Cotton", "matt"), 2, Decimal("24.80")),
        ("11 × 14 in (27.94 × 35.56 cm)", ("Lustre", "matt"), 1, Decimal("9.80")),
    ]


def test_without_charges_the_prints_are_all_there_is_to_pay() -> None:
    made = totals()
    assert (made.prints, made.postage, made.tax, made.to_pay) == (
        Decimal("43.60"),
        None,
        None,
        Decimal("43.60"),
    )


def test_tax_is_added_to_prints_and_postage() -> None:
    """43.60 + 6.50 = 50.10; 20 % of that is 10.02; together 60.12."""
    made = totals(postage="6.50", tax_percent="20")
    assert (made.tax, made.to_pay) == (Decimal("10.02"), Decimal("60.12"))


def test_tax_that_prices_include_is_stated_and_not_added() -> None:
    """Of 50.10 with 20 % in it, 50.10 x 20 / 120 = 8.35 is tax."""
    made = totals(postage="6.50", tax_percent="20", prices_include_tax=True)
    assert (made.tax, made.to_pay) == (Decimal("8.35"), Decimal("50.10"))


@pytest.mark.parametrize(
    ("percent", "tax"),
    [
        ("8.1", "3.53"),  # of 43.60: 3.5316
        ("7.5", "3.27"),  # exactly 3.27
        ("2.5", "1.09"),  # exactly 1.09
        ("8.085", "3.53"),  # 3.52506
        ("0.125", "0.05"),  # 0.0545
    ],
)
def test_tax_is_rounded_half_up_to_a_hundredth(percent: str, tax: str) -> None:
    assert totals(tax_percent=percent).tax == Decimal(tax)


def test_half_a_hundredth_is_rounded_up() -> None:
    """25 % of 0.02 is 0.005."""
    file = a_file(copies=1, price=Decimal("0.02"))
    made = a_delivery(file)
    charges = Charges(tax_percent=Decimal(25))
    assert order_totals(replace(made, lab=replace(made.lab, charges=charges))).tax == Decimal(
        "0.01"
    )


@pytest.mark.parametrize(("free_from", "postage"), [("43.60", "0"), ("43.61", "6.50")])
def test_postage_is_free_from_an_amount_on(free_from: str, postage: str) -> None:
    made = totals(postage="6.50", postage_free_from=free_from)
    assert made.postage == Decimal(postage)
    assert made.to_pay == Decimal("43.60") + Decimal(postage)


def test_prints_of_unknown_price_have_a_line_without_a_cost() -> None:
    made = order_totals(a_delivery(a_file(price=None, copies=3), a_file(paper="Cotton")))
    assert [(line.prints, line.cost) for line in made.lines] == [(1, Decimal("6.00")), (3, None)]
    assert made.to_pay == Decimal("6.00")


def test_without_any_price_nothing_is_to_pay_not_even_postage() -> None:
    made = a_delivery(a_file(price=None))
    charges = Charges(postage=Decimal("6.50"))
    found = order_totals(replace(made, lab=replace(made.lab, charges=charges)))
    assert (found.postage, found.to_pay) == (None, None)
