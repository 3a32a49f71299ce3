"""Labels read back from their PDF, in their places; codes read by a second library."""

import unicodedata
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import zxingcpp

from proofs.commands.mount.run import MountOptions
from proofs.lengths import Edge
from proofs.measures import read_size
from proofs.outside.bench_pdfs import labels_pdf
from proofs.outside.fonts import DOT
from proofs.outside.qr import qr_modules
from proofs.pages.typography import INK
from proofs.plan.bench.labels import LabelOrder
from proofs.plan.checks.outcomes import Outcome
from proofs.records.job import Exhibitor
from proofs.records.rules import LabelLine, Rules
from tests.pages.outcomes import LONG_TITLE, an_outcome, planned
from tests.pages_read import Words, rendered, text_within, words_of
from tests.workbench import SHIPPED, a_job, a_mount, some_rules

JOB = a_job()
SOMEBODY = Exhibitor("A. Maker", "12 Quay Lane, Old Harbour")
# By hand: letter-2x3 has labels of 101.6 x 84.67 mm from 3.97 and 12.7 mm, 4.76 mm apart across.
CELLS = [
    (3.97 + column * 106.36, 12.7 + row * 84.667, 105.57 + column * 106.36, 97.37 + row * 84.667)
    for row in range(3)
    for column in range(2)
]
TITLES = [
    "The old landing",
    "Ночной берег у старой пристани",
    "Άνεμος και άμμος",
    "Buổi sáng, Được mùa",
    "cafe\u0301 & <b>bold</b>",
    'Pier,  "Dawn"',
    LONG_TITLE,
    "x" * 300,
    "-",
]


def entered(number: str, title: str = "Old pier", category: str = "Open", **cells: Any) -> Outcome:
    plan = planned(JOB, number=number, title=title, category=category, bracket=(0.0,), **cells)
    return an_outcome(JOB, plan)


def labels(
    *outcomes: Outcome,
    sheet: str = "",
    rules: Rules | None = None,
    qr: bool = False,
    paper: str = "a4",
) -> bytes:
    order = LabelOrder(SHIPPED.label_sheet(sheet) if sheet else None, SOMEBODY, qr)
    job = replace(JOB, rules=rules)
    return labels_pdf(job, outcomes, order, MountOptions(out=Path(), paper_size=paper))


@cache
def many(count: int, sheet: str = "") -> bytes:
    """Labels of so many entries, each with a number and a title of its own."""
    return labels(*(entered(f"N{n}", f"Picture {n}q") for n in range(1, count + 1)), sheet=sheet)


def plain(text: str) -> str:
    """A text without its blanks, which lines take away."""
    return "".join(unicodedata.normalize("NFC", text).split())


def pieces(pdf: bytes) -> list[Words]:
    return [piece for page in words_of(pdf) for piece in page]


def all_text(pdf: bytes) -> str:
    return " ".join(piece.text for piece in pieces(pdf))


def placed(pdf: bytes, text: str) -> Words:
    """The first piece of this text."""
    return next(piece for piece in pieces(pdf) if piece.text == text)


@pytest.mark.parametrize("title", TITLES)
def test_a_title_stands_whole_on_its_label_as_it_was_entered(title: str) -> None:
    pdf = labels(entered("7Q", title), sheet="letter-2x3")
    assert plain(title) in plain(text_within(pdf, 0, CELLS[0]))


def test_a_character_that_no_font_has_stands_as_a_dot() -> None:
    assert f"{DOT}{DOT} ok" in all_text(labels(entered("7Q", "日本 ok")))


@pytest.mark.parametrize("count", [1, 7, 60])
def test_every_entry_has_its_label(count: int) -> None:
    text = all_text(many(count))
    assert [text.count(f"Picture {n}q") for n in range(1, count + 1)] == [1] * count
    assert [text.count(f"Open, {n} of {count}") for n in range(1, count + 1)] == [1] * count


@pytest.mark.parametrize("count", [1, 7, 60])
def test_on_a_label_sheet_each_entry_has_its_own_label(count: int) -> None:
    pdf = many(count, "letter-2x3")
    found = [text_within(pdf, (n - 1) // 6, CELLS[(n - 1) % 6]) for n in range(1, count + 1)]
    wanted = [f"TOP N{n} Open, {n} of {count} Picture {n}q" for n in range(1, count + 1)]
    assert [plain(text) for text in found] == [plain(f"{w} organiser's number") for w in wanted]


def test_a_sheet_of_labels_carries_nothing_but_its_labels() -> None:
    first, *_ = words_of(many(7, "letter-2x3"))
    outside = [w for w in first if not any(is_within(w, cell) for cell in CELLS)]
    assert outside == []


def is_within(words: Words, box: tuple[float, float, float, float]) -> bool:
    left, top, right, bottom = box
    return left <= words.left and words.right <= right and top <= words.top <= bottom


@pytest.mark.parametrize("title", TITLES)
@pytest.mark.parametrize("sheet", SHIPPED.names("labels"))
def test_nothing_of_a_label_reaches_past_its_edge(sheet: str, title: str) -> None:
    lying = SHIPPED.label_sheet(sheet)
    place, size = next(lying.places), lying.label
    right, bottom = place.x + size.width, place.y + size.height
    box = (place.x.mm, place.y.mm, right.mm, bottom.mm)
    first, *_ = words_of(labels(entered("2026-A-0017", title, "Open " * 12), sheet=sheet))
    assert [w for w in first if not is_within(w, box) or w.bottom > bottom.mm] == []


@pytest.mark.parametrize("sheet", ["", "letter-2x3", "a4-2x5"])
def test_a_title_and_a_category_that_have_room_are_large_enough_for_1_m(sheet: str) -> None:
    pdf = labels(entered("7Q", "HUT"), sheet=sheet)
    # Capitals of 16 minutes of arc: 4.65 mm (NUREG-0700 rev. 2, guideline 1.3.1-4).
    title, number = placed(pdf, "HUT"), placed(pdf, "7Q")
    assert title.bottom - title.top > 4.65
    assert number.bottom - number.top > 4.65


def test_a_title_too_long_for_that_is_told() -> None:
    assert "too small to read from 1 m" in all_text(labels(entered("7Q", LONG_TITLE)))
    assert "too small" not in all_text(labels(entered("7Q", "The old landing")))


def test_the_label_lies_top_left_on_the_back_and_not_on_the_front() -> None:
    pdf = labels(entered("7Q"), sheet="a4-2x4")
    front, back = placed(pdf, "front"), placed(pdf, "back, from behind")
    on_drawing = [p for p in pieces(pdf) if p.text == "7Q" and front.left <= p.left][-1]
    width = back.left - front.left
    # The board is 20 x 16 in: the label is in the left third and the upper quarter of its back.
    assert back.left < on_drawing.left < back.left + width / 3
    height = width * 16 / 20
    assert back.top - height < on_drawing.top < back.top - height * 0.6


def test_beside_a_label_on_plain_paper_the_back_is_below_the_front() -> None:
    pdf = labels(entered("7Q"))
    front, back = placed(pdf, "front"), placed(pdf, "back, from behind")
    on_drawing = [p for p in pieces(pdf) if p.text == "7Q" and front.left <= p.left][-1]
    assert front.left == pytest.approx(back.left, abs=0.3)  # letters begin where they begin
    # Between the two names are 20 pt for the gaps and for TOP; the rest is a board of 20 x 16 in.
    height = back.top - front.bottom - 20 * 25.4 / 72
    assert back.left < on_drawing.left < back.left + height * 20 / 16 / 3
    assert back.top - height < on_drawing.top < back.top - height * 0.6


@pytest.mark.parametrize(("sheet", "is_told"), [("a4-2x2", True), ("letter-2x5", False)])
def test_a_label_too_large_for_a_back_is_told_and_drawn_within_it(
    sheet: str, is_told: bool
) -> None:
    # 139 mm of label and 7.94 mm above it on a board of 5 in (127 mm); 2 in are 50.8 mm.
    job = a_job(a_mount(board=read_size("5x7 in")))
    outcome = an_outcome(job, planned(job, "3x2 in", bracket=(0.0,)))
    pdf = labels(outcome, sheet=sheet)
    assert ("Too large for this back" in all_text(pdf)) is is_told
    *_, drawing = rendered(pdf, 144)
    below = placed(pdf, "back, from behind")
    caption = drawing[round(below.top / 25.4 * 144) :, round(below.left / 25.4 * 144) :]
    assert not np.all(caption == INK, axis=2).any()  # of the label's arrow


@pytest.mark.parametrize("edge", [Edge.LEFT, Edge.RIGHT, Edge.BOTTOM])
def test_a_picture_that_hangs_turned_says_so_and_shows_where_its_files_top_is(edge: str) -> None:
    pdf = labels(entered("7Q", top_edge=edge), sheet="a4-2x4")
    assert f"TOP is the file's {edge} edge" in all_text(pdf)
    assert "file's top" in all_text(pdf)


def test_a_picture_that_hangs_as_its_file_stands_says_nothing() -> None:
    assert "file's" not in all_text(labels(entered("7Q")))


def test_the_files_top_is_drawn_where_it_comes_to_lie() -> None:
    # Geometry: with the left edge up the file's top lies on the right, and the other way round.
    left = placed(labels(entered("7Q", top_edge=Edge.RIGHT), sheet="a4-2x4"), "file's top")
    right = placed(labels(entered("7Q", top_edge=Edge.LEFT), sheet="a4-2x4"), "file's top")
    assert left.left < right.left


def test_nobody_is_named_unless_the_rules_ask() -> None:
    assert "Maker" not in all_text(labels(entered("7Q")))
    asked = all_text(labels(entered("7Q"), rules=some_rules(label_lines=(LabelLine.NAME,))))
    assert "A. Maker" in asked
    assert "Quay" not in asked


@pytest.mark.parametrize("title", [*TITLES[:-3], LONG_TITLE, "-"])
@pytest.mark.parametrize("sheet", ["", "letter-2x5"])
def test_the_code_is_read_back_by_a_second_library(sheet: str, title: str) -> None:
    first, *_ = rendered(labels(entered("7Q", title), sheet=sheet, qr=True), 300)
    (code,) = zxingcpp.read_barcodes(np.ascontiguousarray(first))
    assert code.text == f"7Q\n{title}\nOpen, 1 of 1"


def test_there_is_no_code_unless_it_is_asked_for() -> None:
    first, *_ = rendered(labels(entered("7Q")), 200)
    assert zxingcpp.read_barcodes(np.ascontiguousarray(first)) == []


def test_a_code_leaves_four_modules_free_all_round() -> None:
    # ISO/IEC 18004: the quiet zone of a QR Code is four modules wide (from memory).
    code = np.array(qr_modules("The old landing"))
    rows, columns = np.nonzero(code)
    assert (rows.min(), columns.min()) == (4, 4)
    assert (len(code) - 1 - rows.max(), len(code) - 1 - columns.max()) == (4, 4)


@pytest.mark.parametrize("title", ["Ночной берег", "Άνεμος", "Café", "日本 ok"])
def test_a_code_beyond_ascii_is_utf_8_so_that_no_telephone_guesses(title: str) -> None:
    modules = np.array(qr_modules(f"7\n{title}"))
    picture = np.where(modules, 0, 255).astype(np.uint8).repeat(4, 0).repeat(4, 1)
    (code,) = zxingcpp.read_barcodes(picture)
    assert code.bytes == f"7\n{title}".encode()


def test_a_code_too_fine_for_most_telephones_is_told() -> None:
    # Arithmetic: 62 modules or so on 14 mm of a label 2 in high are finer than 0.25 mm.
    fine = labels(entered("7Q", LONG_TITLE), sheet="letter-2x5", qr=True)
    assert "too fine for most phones" in all_text(fine)
    assert "too fine" not in all_text(labels(entered("7Q"), sheet="letter-2x5", qr=True))
    assert "too fine" not in all_text(labels(entered("7Q", LONG_TITLE), sheet="letter-2x5"))


def test_a_text_that_no_code_can_hold_has_none() -> None:
    assert qr_modules("x" * 5000) == ()


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_nothing_lies_outside_the_page(paper: str) -> None:
    pdf = labels(*(entered(f"N{n}", LONG_TITLE) for n in range(7)), qr=True, paper=paper)
    page = (0.0, 0.0, *{"a4": (210.0, 297.0), "letter": (215.9, 279.4)}[paper])
    assert [w for w in pieces(pdf) if not is_within(w, page)] == []


def test_the_same_entries_give_the_same_bytes() -> None:
    assert labels(entered("7Q"), qr=True) == labels(entered("7Q"), qr=True)
