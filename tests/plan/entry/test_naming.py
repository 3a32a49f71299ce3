"""File names: safe everywhere, one an entry, and nothing in them that a lab could act on."""

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.densities import signed
from proofs.plan.entry.naming import ascii_name, stems
from proofs.records.entries import Entry
from tests.workbench import an_entry

SAFE = re.compile(r"[a-z0-9][a-z0-9-]*_[a-z0-9][a-z0-9-]*")

hostile = st.one_of(
    st.text(max_size=60),
    st.text(st.sampled_from('aAbB-_ ./\\:*?"<>|\0\n\u202eé\u0301ßæ1'), max_size=60),
    st.sampled_from(
        ["con", "NUL", "..", ".", "~", "$(rm)", "-rf", "a" * 300, "дом", "写真", "a-2"]
    ),
)


def an_entry_named(number: str, title: str) -> Entry:
    """Return an entry of this number and title."""
    return replace(an_entry(), number=number, title=title)


@st.composite
def runs(draw: st.DrawFn) -> list[Entry]:
    """Some entries with unique numbers, as the entries file has them."""
    numbers = draw(st.lists(hostile.filter(bool), min_size=1, max_size=8, unique=True))
    return [an_entry_named(number, draw(hostile)) for number in numbers]


@given(entries=runs())
def test_every_entry_has_a_safe_lower_case_name(entries: list[Entry]) -> None:
    named = stems(entries)
    assert set(named) == {entry.number for entry in entries}
    assert [stem for stem in named.values() if not SAFE.fullmatch(stem)] == []


@given(entries=runs())
def test_no_two_entries_share_a_name_without_regard_to_case(entries: list[Entry]) -> None:
    assert len({stem.lower() for stem in stems(entries).values()}) == len(entries)


@given(entries=runs())
def test_names_stay_short(entries: list[Entry]) -> None:
    # 20 for the number, 40 for the title, and what keeps equals apart.
    assert max(len(stem) for stem in stems(entries).values()) <= 20 + 1 + 40 + 2


@given(entries=runs())
def test_names_are_the_same_each_time(entries: list[Entry]) -> None:
    assert stems(entries) == stems(entries)


@given(change=st.sampled_from([-0.1, 0.05, 0.1, 0.2]), title=hostile)
def test_no_density_stands_in_a_name(change: float, title: str) -> None:
    (stem,) = stems([an_entry_named("7", f"{title} {signed(change)}")]).values()
    assert not re.search(r"[+.,]|\d-?\.\d", stem)


def test_what_is_chosen_or_bracketed_leaves_the_name_alone() -> None:
    plain, chosen = an_entry(), an_entry(bracket=(0.1, 0.2), chosen=0.2)
    assert stems([plain]) == stems([chosen]) == {"1": "1_old-pier"}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Łódź: Évening / No. 7", "lodz-evening-no-7"),
        ("Straße & Ærø", "strasse-aero"),
        ("Þingvellir, Iceland", "thingvellir-iceland"),
        ("It's \u2019twas", "its-twas"),
        ("ﬁne ½", "fine-1-2"),
        ("--a__b  c--", "a-b-c"),
        ("Вечер", ""),
        ("", ""),
    ],
)
def test_letters_are_spelled_in_ascii(text: str, name: str) -> None:
    assert ascii_name(text) == name


def test_a_title_without_a_latin_letter_gives_way_to_the_file() -> None:
    entry = an_entry(title="Вечер", file="sea/Evening_Tide.final.TIF")
    assert stems([entry]) == {"1": "1_evening-tide-final"}


def test_a_picture_without_any_latin_letter_is_called_picture() -> None:
    assert stems([an_entry(title="Вечер", file="вечер.jpg")]) == {"1": "1_picture"}


def test_a_title_is_cut_at_forty_letters_and_does_not_end_in_a_dash() -> None:
    title = "a" * 39 + " lighthouse"
    assert stems([an_entry(title=title)]) == {"1": "1_" + "a" * 39}
    assert stems([an_entry(title="b" * 99)]) == {"1": "1_" + "b" * 40}


def test_equal_names_are_distinguished_by_a_count_that_no_title_has_taken() -> None:
    entries = [
        an_entry_named("1", "pier-2"),
        an_entry_named("1 ", "pier"),
        an_entry_named(" 1", "PIER"),
        an_entry_named("1.", "Pier!"),
    ]
    assert list(stems(entries).values()) == ["1_pier-2", "1_pier", "1_pier-3", "1_pier-4"]
