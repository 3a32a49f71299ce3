"""The order ticket: nothing overlaps or runs off the page, whatever the titles and however many."""

from dataclasses import replace
from decimal import Decimal
from itertools import combinations
from typing import Any

import pytest

from proofs.lengths import PixelSize, millimetres
from proofs.outside.fonts import load_fonts
from proofs.pages.delivery.order_lists import order_text, requests, ticket_rows
from proofs.pages.delivery.ticket import ticket_pages
from proofs.pages.delivery.totals import sum_rows
from proofs.pages.drawing import Page, Placed, Text
from proofs.pages.flow import PageLayout
from proofs.plan.delivery.deliveries import Companion, DeliveredFile, Delivery
from proofs.records.job import Customer
from proofs.records.lab_charges import Charges
from tests.deliveries import FACTS, a_delivery, a_file
from tests.workbench import LAB

LONG = "Donaudampfschifffahrtsgesellschaftskapitän and " * 4
FONTS = load_fonts()
CUSTOMER = Customer("A. Maker", "12 Quay Lane\nOld Harbour", "HB-2071")


def files(count: int, title: str) -> list[DeliveredFile]:
    sizes = [PixelSize(2400, 3000), PixelSize(7200, 4800), PixelSize(3000, 3000)]
    return [
        a_file(
            file=f"prints/{n}_{'a-very-long-name-' * 3 if len(title) > 40 else 'x'}.jpg",
            entry=f"2026-A-{n:04}",
            title=title,
            facts=replace(FACTS, pixels=sizes[n % 3]),
            copies=n % 4 + 1,
        )
        for n in range(count)
    ]


def pages(delivery: Delivery, paper: str = "a4") -> tuple[Page, ...]:
    return ticket_pages(delivery, PageLayout(paper, FONTS.width))


def box(text: Text) -> tuple[float, float, float, float]:
    wide = FONTS.width(text.text, text.weight, text.size)
    return text.x, text.y - text.size * 0.75, text.x + wide, text.y + text.size * 0.2


def overlap(one: Text, other: Text) -> bool:
    a, b = box(one), box(other)
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("title", ["Two", LONG])
@pytest.mark.parametrize("count", [1, 7, 60])
def test_nothing_overlaps_or_leaves_the_margins(count: int, title: str, paper: str) -> None:
    made = pages(a_delivery(*files(count, title)), paper)
    texts = [[mark for mark in page.marks if isinstance(mark, Text)] for page in made]
    assert not [pair for page in texts for pair in combinations(page, 2) if overlap(*pair)]
    margin = millimetres(14).points
    assert all(
        margin <= box(text)[0] and box(text)[2] <= page.width - margin
        for page, its in zip(made, texts, strict=True)
        for text in its
    )


@pytest.mark.parametrize("count", [1, 7, 60])
def test_every_file_is_shown_once_with_its_top_marked(count: int) -> None:
    made = pages(a_delivery(*files(count, "Two")))
    marks = [mark for page in made for mark in page.marks]
    assert [m.name for m in marks if isinstance(m, Placed)] == [f.file for f in files(count, "Two")]
    assert sum(isinstance(m, Text) and m.text == "TOP" for m in marks) == count


def test_a_lab_that_sharpens_is_asked_to_and_one_that_trims_a_bleed_too() -> None:
    lab = replace(LAB, sharpens=True, bleed=millimetres(3))
    asked = requests(a_delivery(lab=lab))
    assert asked[:2] == (
        "Print at 100 %: no fit, no crop, trim only the bleed of 0.12 in (3 mm).",
        "No correction, sharpen as usual.",
    )
    assert requests(a_delivery())[1] == "No correction, no sharpening."


def test_a_cost_that_is_known_in_part_says_so() -> None:
    delivery = a_delivery(a_file(copies=2), a_file(price=None))
    assert "Cost 12.00 EUR, without 1 print of unknown price" in order_text(delivery)


def test_without_prices_no_cost_is_told() -> None:
    delivery = a_delivery(a_file(price=None))
    assert "Cost" not in order_text(delivery)
    assert list(ticket_rows(delivery))[1][-2:] == ("", "")


def charged(**changes: Any) -> Delivery:
    """Two prints at 6.00, postage of 6.50, and 20 % of tax: 12.00 + 6.50 + 3.70 = 22.20."""
    delivery = a_delivery(a_file(copies=2), customer=CUSTOMER)
    charges = replace(Charges(Decimal("6.50"), None, Decimal(20)), **changes)
    return replace(delivery, lab=replace(delivery.lab, charges=charges))


def test_the_order_states_whom_it_is_for_and_what_is_to_pay() -> None:
    lines = order_text(charged()).splitlines()
    at = lines.index("For")
    assert lines[at + 1 : at + 5] == ["A. Maker", "12 Quay Lane", "Old Harbour", "Account HB-2071"]
    at = lines.index("Totals")
    assert lines[at + 1 : at + 6] == [
        "2 x  8 × 10 in  Lustre, matt  6.00  12.00",
        "Prints       12.00 EUR",
        "Postage       6.50 EUR",
        "Tax at 20 %   3.70 EUR",
        "To pay       22.20 EUR",
    ]
    assert "Cost 22.20 EUR" in lines


def test_tax_in_the_prices_is_stated_behind_what_is_to_pay() -> None:
    """Of 18.50, 18.50 x 20 / 120 = 3.08 is tax."""
    rows = list(sum_rows(charged(prices_include_tax=True)))
    assert rows[-2:] == [("To pay", "18.50 EUR"), ("Of it tax at 20 %", "3.08 EUR")]


def test_postage_that_is_free_is_said_to_be() -> None:
    assert ("Postage", "free") in sum_rows(charged(postage_free_from=Decimal(12)))


def test_the_ticket_has_the_same_words_and_sums() -> None:
    words = {m.text for page in pages(charged()) for m in page.marks if isinstance(m, Text)}
    assert {"A. Maker", "12 Quay Lane", "Account HB-2071", "Lustre, matt"} <= words
    assert {"12.00 EUR", "6.50 EUR", "3.70 EUR", "22.20 EUR", "To pay"} <= words


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_long_addresses_and_many_papers_neither_overlap_nor_leave_the_margins(paper: str) -> None:
    address = "\n".join([LONG, "12 Quay Lane", LONG])
    many = [
        replace(file, paper=f"{n} {LONG[:90]}", copies=500 + n, price=Decimal("9999.99"))
        for n, file in enumerate(files(40, "Two"))
    ]
    customer = Customer(LONG, address, "HB-2071")
    delivery = replace(charged(), files=tuple(many), customer=customer)
    made = pages(delivery, paper)
    texts = [[mark for mark in page.marks if isinstance(mark, Text)] for page in made]
    assert not [pair for page in texts for pair in combinations(page, 2) if overlap(*pair)]
    margin = millimetres(14).points
    assert all(
        margin <= box(text)[0] and box(text)[2] <= page.width - margin + 0.01
        for page, its in zip(made, texts, strict=True)
        for text in its
    )


def test_an_order_of_one_kind_without_prices_has_no_totals() -> None:
    assert "Totals" not in order_text(a_delivery(a_file(price=None)))
    two = a_delivery(a_file(price=None), a_file(price=None, paper="Cotton"))
    assert order_text(two).count("Totals") == 1


def test_a_finish_that_is_the_name_of_the_paper_is_stated_once() -> None:
    assert a_file(paper="Lustre", finish="lustre").made_of == ("Lustre",)
    assert a_file(paper="Cotton", finish="matt").made_of == ("Cotton", "matt")
    assert a_file(paper="", finish="matt").made_of == ("matt",)


def test_prices_stand_in_the_table() -> None:
    rows = list(ticket_rows(a_delivery(a_file(copies=3, price=Decimal("2.50")))))
    assert rows[1][-2:] == ("2.50", "7.50")


def test_what_is_not_for_printing_is_said_once_and_only_where_it_is_there() -> None:
    beside = a_delivery(soft_proof=Companion("soft-proof.pdf", "ef" * 32))
    line = "Not for printing: soft-proof.pdf."
    assert order_text(beside).count(line) == 1
    assert "Not for printing" not in order_text(a_delivery())
    words = [m.text for page in pages(beside) for m in page.marks if isinstance(m, Text)]
    assert words.count(line) == 1
