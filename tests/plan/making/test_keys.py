"""Two recipes have one key only if all that decides the bytes is equal."""

import datetime
import hashlib
from collections.abc import Iterable
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import Length, PixelSize, Size, Unit, inches
from proofs.plan.entry.facts import PhotoFacts
from proofs.plan.making.keys import key_of, without
from proofs.plan.making.recipes import MadeWith
from proofs.records.labs import FileFormat, RenderingIntent
from tests.workbench import LAB

plain = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(allow_nan=False).filter(bool),
    st.text(),
    st.fractions(),
    st.dates(),
    st.sampled_from(Unit),
)
values = st.recursive(
    plain, lambda inner: st.one_of(st.tuples(inner), st.tuples(inner, inner)), max_leaves=6
)


def alike(one: Any, other: Any) -> bool:
    """Whether two values are equal and of the same types, all through."""
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(map(alike, one, other))
    return type(one) is type(other) and one == other


@given(one=values, other=values)
def test_keys_are_equal_exactly_if_the_values_are(one: Any, other: Any) -> None:
    assert (key_of(one) == key_of(other)) == alike(one, other)


def test_values_of_different_kinds_never_share_a_key() -> None:
    different: tuple[Any, ...] = (
        *(None, "", "None", 0, 0.0, False, "0", (), ((),), {}, set(), [0], {"a": 1}, {"a"}),
        *(Unit.IN, "in", "IN", Fraction(1), Decimal(1), datetime.date(2030, 1, 2), "2030-01-02"),
        *(Length(1), Size(Length(1), Length(2)), PixelSize(1, 2), (1, 2)),
    )
    keys = [key_of(value) for value in different]
    assert [pair for pair in combinations(keys, 2) if pair[0] == pair[1]] == []


def test_the_key_is_the_sha_256_of_the_values_as_json() -> None:
    # Worked by hand: a tuple is a list that opens with null, a dataclass one that opens with its
    # name; each field is a pair of its name and its value.
    text = '[null,"a",["Length",["nm",25400000]]]'
    assert key_of("a", inches(1)) == hashlib.sha256(text.encode()).hexdigest()


def test_the_order_of_a_mapping_or_a_set_does_not_matter() -> None:
    assert key_of({"a": 1, "b": 2}) == key_of({"b": 2, "a": 1})
    assert key_of({"a", "b"}) == key_of(frozenset({"b", "a"}))


def test_a_field_that_does_not_make_values_different_does_not_count() -> None:
    facts = PhotoFacts(PixelSize(3, 2), 8, 3, file_state=(1, 2))
    assert key_of(facts) == key_of(replace(facts, file_state=(3, 4)))
    assert key_of(facts) != key_of(replace(facts, bits=16))


@pytest.mark.parametrize("value", [Path("a"), b"a", object(), 1j, print])
def test_what_has_no_place_in_a_recipe_is_refused(value: object) -> None:
    with pytest.raises(TypeError, match="has no place in a recipe"):
        key_of(value)


@pytest.mark.parametrize("reasons", [{"colour": "not a field"}, {"title": ""}])
def test_only_fields_that_there_are_can_be_left_out_and_only_with_a_reason(
    reasons: dict[str, str],
) -> None:
    with pytest.raises(ValueError, match="cannot be left out"):
        without(LAB, reasons)


def test_a_field_left_out_does_not_count_and_all_others_do() -> None:
    reasons = {"title": "only words"}
    key = key_of(without(LAB, reasons))
    assert key == key_of(without(replace(LAB, title="Another"), reasons))
    assert key != key_of(without(replace(LAB, name="another"), reasons))


CHANGED: dict[str, Any] = {
    "ppi": 301,
    "format": FileFormat.PNG,
    "bits": 16,
    "quality": 94,
    "compression": "deflate",
    "intent": RenderingIntent.PERCEPTUAL,
    "black_point_compensation": False,
}


def names_of(kind: Any) -> Iterable[str]:
    assert is_dataclass(kind)
    return [field.name for field in fields(kind)]


@pytest.mark.parametrize("name", names_of(LAB))
def test_of_a_lab_a_print_depends_on_what_its_encoder_and_its_colours_take(name: str) -> None:
    made_with = MadeWith((), "digest of the profile")
    value: Any = CHANGED.get(name, "changed")
    changed = replace(LAB, **{name: value})
    same = key_of(made_with.print_lab(changed)) == key_of(made_with.print_lab(LAB))
    assert same == (name not in CHANGED)


def test_another_profile_of_the_lab_counts() -> None:
    one, other = MadeWith((), "a"), MadeWith((), "b")
    assert key_of(one.print_lab(LAB)) != key_of(other.print_lab(LAB))
