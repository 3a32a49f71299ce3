"""Catalogue copies decided: within the box, never larger, and names that every system takes."""

import math
import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import PixelSize
from proofs.plan.delivery.catalogue import (
    catalogue_names,
    catalogue_pixels,
    fewer_pixels,
    is_named_by,
)
from proofs.records.entries import Entry
from proofs.records.rules import CatalogueRule
from tests.workbench import an_entry

SAFE = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_-]*\.jpg")
# Names of devices that some systems take for no file (from memory).
DEVICES = {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(10))}

sides = st.integers(1, 30_000)
sizes = st.builds(PixelSize, sides, sides)
limits = st.none() | st.integers(100, 8000)
boxes = st.builds(CatalogueRule, width_px=limits, height_px=limits)
hostile = st.one_of(
    st.text(max_size=60),
    st.text(st.sampled_from('aAbB-_ ./\\:*?"<>|\0\n\u202eé\u0301ßæ1{}'), max_size=60),
    st.sampled_from(
        ["con", "NUL", "Lpt1", "..", ".", "~", "$(rm)", "-rf", "a" * 300, "дом", "写真", "a-2"]
    ),
)
patterns = st.sampled_from(
    [
        "{title}",
        "{number}_{title}",
        "{category}-{number}",
        "{category}",
        "x{title}--{title}",
        "-{title}_",
    ]
)


def pictures(*titles: str, category: str = "") -> list[tuple[Entry, str]]:
    """Return an entry a title, with its file."""
    named = (replace(an_entry(), title=title, category=category) for title in titles)
    return [(replace(e, number=str(n)), "old_pier.jpg") for n, e in enumerate(named, 1)]


@st.composite
def runs(draw: st.DrawFn) -> list[tuple[Entry, str]]:
    """Some entries with unique numbers and any texts, and the names of their files."""
    numbers = draw(st.lists(hostile.filter(bool), min_size=1, max_size=8, unique=True))
    return [
        (
            replace(an_entry(), number=number, title=draw(hostile), category=draw(hostile)),
            draw(hostile.filter(bool)),
        )
        for number in numbers
    ]


@given(hung=sizes, rule=boxes)
def test_a_copy_lies_within_the_box_and_is_never_larger(
    hung: PixelSize, rule: CatalogueRule
) -> None:
    copy = catalogue_pixels(hung, rule)
    assert copy.width <= min(hung.width, rule.width_px or hung.width)
    assert copy.height <= min(hung.height, rule.height_px or hung.height)


@given(hung=sizes, rule=boxes)
def test_a_copy_touches_the_box_or_keeps_all_its_pixels(
    hung: PixelSize, rule: CatalogueRule
) -> None:
    copy = catalogue_pixels(hung, rule)
    assert copy == hung or copy.width == rule.width_px or copy.height == rule.height_px


@given(hung=sizes, rule=boxes)
def test_a_copy_has_the_shape_of_the_picture_to_half_a_pixel(
    hung: PixelSize, rule: CatalogueRule
) -> None:
    copy = catalogue_pixels(hung, rule)
    smallest = min(
        Fraction(1),
        Fraction(rule.width_px or hung.width, hung.width),
        Fraction(rule.height_px or hung.height, hung.height),
    )
    assert abs(copy.width - hung.width * smallest) <= max(Fraction(1, 2), 1 - hung.width * smallest)
    assert abs(copy.height - hung.height * smallest) <= max(
        Fraction(1, 2), 1 - hung.height * smallest
    )


@pytest.mark.parametrize(
    ("hung", "copy"),
    [
        ((6000, 4000), (1800, 1200)),  # by hand: the height decides, 1200 x 3 / 2
        ((4000, 6000), (800, 1200)),  # the box does not turn with a portrait
        ((6000, 2000), (1920, 640)),  # the width decides
        ((1200, 800), (1200, 800)),
        ((1920, 1200), (1920, 1200)),
    ],
)
def test_copies_by_hand(hung: tuple[int, int], copy: tuple[int, int]) -> None:
    assert catalogue_pixels(PixelSize(*hung), CatalogueRule(1920, 1200)) == PixelSize(*copy)


@given(size=sizes.filter(lambda s: s.width > 1 or s.height > 1), over=st.floats(1.0001, 1000))
def test_fewer_pixels_are_fewer_and_still_a_picture(size: PixelSize, over: float) -> None:
    most = 100_000
    fewer = fewer_pixels(size, math.ceil(most * over), most)
    assert max(fewer.width, fewer.height) < max(size.width, size.height)
    assert min(fewer.width, fewer.height) >= 1


@given(run=runs(), pattern=patterns)
def test_names_are_safe_on_every_file_system(run: list[tuple[Entry, str]], pattern: str) -> None:
    names = catalogue_names(run, pattern)
    assert len(names) == len(run)
    assert [name for name in names if not SAFE.fullmatch(name) or len(name) > 120] == []
    assert [name for name in names if name.lower().removesuffix(".jpg") in DEVICES] == []


@given(run=runs(), pattern=patterns)
def test_names_are_unique_without_regard_to_case(
    run: list[tuple[Entry, str]], pattern: str
) -> None:
    assert len({name.lower() for name in catalogue_names(run, pattern)}) == len(run)


def test_the_pattern_of_the_rules_is_filled_in() -> None:
    names = catalogue_names(
        pictures("Old Pier at Dawn", category="Sea"), "{category}_{number}-{title}"
    )
    assert names == ("Sea_1-Old-Pier-at-Dawn.jpg",)


def test_a_blank_category_drops_out_with_the_mark_behind_it() -> None:
    assert catalogue_names(pictures("Old Pier"), "{category}_{number}__{title}") == (
        "1__Old-Pier.jpg",
    )
    assert catalogue_names(pictures("Old Pier"), "{title}_{category}") == ("Old-Pier.jpg",)


def test_titles_that_differ_only_in_capitals_get_different_names() -> None:
    names = catalogue_names(pictures("Old Pier", "OLD PIER", "old pier-2"), "{title}")
    assert names == ("Old-Pier.jpg", "OLD-PIER-2.jpg", "old-pier-2-2.jpg")


def test_a_title_without_a_latin_letter_gives_way_to_the_file_s_name() -> None:
    assert catalogue_names(pictures("写真"), "{title}") == ("old-pier.jpg",)


def test_a_title_that_names_a_device_is_changed() -> None:
    assert catalogue_names(pictures("Con", "Aux"), "{title}") == ("Con_.jpg", "Aux_.jpg")


@given(run=runs(), pattern=patterns)
def test_a_name_is_known_as_one_of_its_pattern(run: list[tuple[Entry, str]], pattern: str) -> None:
    named = zip(run, catalogue_names(run, pattern), strict=True)
    assert all(
        is_named_by(pattern, name, number=e.number, title=e.title, category=e.category)
        for (e, _), name in named
    )


@pytest.mark.parametrize(
    "name", ["1_Old-Pier.jpg", "1_Old-pier.jpeg", "2_Old-pier.jpg", "1_Old-pier-b.jpg", ".jpg"]
)
def test_another_name_is_none_of_the_pattern(name: str) -> None:
    assert not is_named_by("{number}_{title}", name, number="1", title="Old pier", category="")


def test_a_name_that_was_counted_up_is_one_of_the_pattern() -> None:
    name = "1_Old-pier-2.jpg"
    assert is_named_by("{number}_{title}", name, number="1", title="Old pier", category="")
