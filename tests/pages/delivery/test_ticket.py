"""The order ticket: nothing overlaps or runs off the page, whatever the titles and however many."""

from dataclasses import replace
from decimal import Decimal
from itertools import combinations

import pytest

from proofs.lengths import PixelSize, millimetres
from proofs.outside.fonts import load_fonts
from proofs.pages.delivery.order_lists import order_text, requests, ticket_rows
from proofs.pages.delivery.ticket import ticket_pages
from proofs.pages.drawing import Page, Placed, Text
from proofs.pages.flow import PageLayout
from proofs.plan.delivery.deliveries import Companion, DeliveredFile, Delivery
from tests.deliveries import FACTS, a_delivery, a_file
from tests.workbench import LAB

LONG = "Donaudampfschifffahrtsgesellschaftskapitän and " * 4
FONTS = load_fonts()


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
