"""Names for a lab: safe, unique, within its limit, and silent about density.

Names reserved on Windows: con, prn, aux, nul, com1 to com9, lpt1 to lpt9 (from memory).
"""

import re
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.densities import signed
from proofs.measures import read_size
from proofs.plan.delivery.delivery_names import delivery_name, fits_pattern, sheet_word, sheet_words
from proofs.records.labs import PLACEHOLDERS, Lab
from tests.workbench import LAB

RESERVED = {"con", "prn", "aux", "nul"} | {f"{p}{n}" for p in ("com", "lpt") for n in range(10)}
HOSTILE = [
    *("../../etc/passwd", "C:\\CON", "nul", ".hidden", "-rf *", "a/b\\c", "  ", "\u202egpj.exe"),
    *("x" * 300, "Élan vital", "Вечер", "日没", "a\nb", "'; DROP TABLE", "%s%n", "con", "{title}"),
    *("dusk +0.10 D", "–0,20", "one 1/3 stop", "😀", "\0", "COM1.jpg", "aux.", "𝕿𝖍𝖊 𝖊𝖓𝖉", "İı"),
]
titles = st.one_of(st.sampled_from(HOSTILE), st.text(max_size=80))
patterns = st.lists(
    st.sampled_from([*(f"{{{word}}}" for word in PLACEHOLDERS), "_", "-", "Lab", "print7"]),
    min_size=1,
    max_size=6,
).map("".join)


def a_lab(pattern: str = "{number}_{title}", most: int = 60, **changes: Any) -> Lab:
    return replace(LAB, pattern=pattern, name_most=most, **changes)


def words(**own: str) -> dict[str, str]:
    return {"number": "7", "title": "Old pier", "sheet": "8x10in", "copies": "2x"} | own


@given(
    titles=st.lists(titles, min_size=1, max_size=12),
    numbers=st.lists(titles, min_size=12, max_size=12),
    pattern=patterns,
    most=st.integers(8, 60),
    format_=st.sampled_from(["jpeg", "tiff", "png"]),
)
def test_names_are_safe_and_unique_and_short_whatever_the_title(
    titles: list[str], numbers: list[str], pattern: str, most: int, format_: str
) -> None:
    lab, taken = a_lab(pattern, most, format=format_), set[str]()
    for title, number in zip(titles, numbers, strict=False):
        taken.add(delivery_name(lab, words(title=title, number=number, paper=title), taken))
    assert len({name.casefold() for name in taken}) == len(titles)
    assert all(re.fullmatch(r"[a-z0-9][a-z0-9_-]*\.(jpg|tif|png)", name) for name in taken)
    assert all(len(name) <= most for name in taken)
    assert not {name.partition(".")[0] for name in taken} & RESERVED
    assert all(fits_pattern(lab, name) for name in taken)


@given(
    density=st.floats(-0.3, 0.6).map(lambda d: round(d, 2)).filter(bool),
    unit=st.sampled_from(["", " D", "D"]),
)
def test_a_density_in_a_title_does_not_come_through(density: float, unit: str) -> None:
    plain = delivery_name(LAB, words(title="Dusk at sea"), ())
    assert delivery_name(LAB, words(title=f"Dusk {signed(density)}{unit} at sea"), ()) == plain


@pytest.mark.parametrize("title", ["Dusk at 1/3 stop sea", "Dusk at 0,10 D sea"])
def test_neither_do_stops_or_a_bare_density(title: str) -> None:
    assert delivery_name(LAB, words(title=title), ()) == "7_dusk-at-sea.jpg"


@pytest.mark.parametrize(
    ("pattern", "name"),
    [
        ("{number}_{title}", "7_old-pier.jpg"),
        ("{copies}_{sheet}_{title}", "2x_8x10in_old-pier.jpg"),
        ("{number}", "7.jpg"),
        ("Order-{category}-{number}", "order-7.jpg"),
    ],
)
def test_the_labs_pattern_is_followed(pattern: str, name: str) -> None:
    assert delivery_name(a_lab(pattern), words(), ()) == name


def test_the_title_gives_way_first_where_a_name_is_too_long() -> None:
    lab = a_lab("{title}_{number}", 15)
    assert delivery_name(lab, words(number="2026-17"), ()) == "old_2026-17.jpg"


def test_names_that_differ_only_in_capitals_stay_different() -> None:
    first = delivery_name(LAB, words(title="PIER"), ())
    assert (first, delivery_name(LAB, words(title="pier"), {first})) == (
        "7_pier.jpg",
        "7_pier-2.jpg",
    )


@pytest.mark.parametrize(
    "name", ["7_Pier.jpg", "7 pier.jpg", "7_pier.tif", "con.jpg", "../7.jpg", "7" * 60 + ".jpg"]
)
def test_a_name_that_no_pattern_gives_is_known(name: str) -> None:
    assert not fits_pattern(LAB, name)


@pytest.mark.parametrize(
    ("sheet", "word", "words_"),
    [("14x11 in", "11x14in", "11 × 14 in"), ("297x210 mm", "210x297mm", "210 × 297 mm")],
)
def test_a_sheet_is_named_as_labs_sell_it(sheet: str, word: str, words_: str) -> None:
    assert (sheet_word(read_size(sheet)), sheet_words(read_size(sheet))) == (word, words_)
