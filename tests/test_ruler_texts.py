"""Lengths as a ruler reads them: on its marks, but never on the wrong side of a limit."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import Length, Size, Unit, inches, millimetres
from proofs.ruler_texts import first_in, ruler_size, ruler_text

LENGTHS = st.integers(1_000_000, 1_500_000_000).map(Length)
NEAR = st.integers(-2_000_000, 2_000_000)
UNITS = st.sampled_from([Unit.IN, Unit.MM])


def read_back(text: str, unit: Unit) -> Fraction:
    """The nanometres that a text states, in inches or in centimetres."""
    value = sum((Fraction(part) for part in text.split(" ")), Fraction(0))
    return value * (25_400_000 if unit == Unit.IN else 10_000_000)


def side(length: Fraction | int, limit: int) -> int:
    return (length > limit) - (length < limit)


@pytest.mark.parametrize(
    ("length", "unit", "text"),
    [
        (inches("11.75"), Unit.IN, "11 3/4"),
        (millimetres("403.6"), Unit.IN, "15 7/8"),  # 15.89 in: 15 14/16 is 15.875, 15 15/16 15.94
        (millimetres("403.6"), Unit.MM, "40.35"),
        (millimetres(300), Unit.MM, "30"),
        (inches("0.03"), Unit.IN, "0"),
    ],
)
def test_a_length_is_read_to_the_nearest_mark(length: Length, unit: Unit, text: str) -> None:
    assert ruler_text(length, unit) == text


@pytest.mark.parametrize(
    ("length", "limit", "unit", "text"),
    [
        # 9.99 in would be read as 10 in, which is enough; it is not.
        (inches("9.99"), inches(10), Unit.IN, "9.990"),
        (inches("9.99996"), inches(10), Unit.IN, "9.99996"),
        # 259.9 mm would be read as 26 cm.
        (millimetres("259.9"), millimetres(260), Unit.MM, "25.99"),
        # 10 in is 254 mm exactly: it is on its limit, and is read there.
        (inches(10), inches(10), Unit.IN, "10"),
    ],
)
def test_rounding_does_not_reach_a_limit(
    length: Length, limit: Length, unit: Unit, text: str
) -> None:
    assert ruler_text(length, unit, [limit]) == text


@given(limit=LENGTHS, off=NEAR.filter(bool), unit=UNITS)
def test_what_is_read_is_on_the_same_side_of_the_limit(limit: Length, off: int, unit: Unit) -> None:
    length = Length(limit.nm + off)
    read = read_back(ruler_text(length, unit, [limit]), unit)
    assert side(read, limit.nm) == side(length.nm, limit.nm)


def test_a_length_on_a_limit_that_is_on_no_mark_reads_like_the_limit() -> None:
    # 260 mm are 10.2362 in: at 10 1/4 in it would seem to have more than enough.
    assert ruler_text(millimetres(260), Unit.IN, [millimetres(260)]) == "10.236"


@given(length=LENGTHS, unit=UNITS)
def test_what_is_read_is_at_most_half_a_mark_off(length: Length, unit: Unit) -> None:
    mark = 25_400_000 // 16 if unit == Unit.IN else 500_000
    assert abs(read_back(ruler_text(length, unit), unit) - length.nm) <= Fraction(mark, 2)


def test_a_size_has_its_unit_once() -> None:
    size = Size(millimetres("298.4"), inches("7.75"))
    assert ruler_size(size, Unit.IN) == "11 3/4 × 7 3/4 in"
    assert ruler_size(size, Unit.MM) == "29.85 × 19.7 cm"


@given(one=LENGTHS, other=LENGTHS)
def test_a_text_is_turned_to_the_unit_of_the_rules(one: Length, other: Length) -> None:
    inch, metric = str(one)[:-1].split(" (")
    size, metric_size = str(Size(one, other))[:-1].split(" (")
    text = f"image {Size(one, other)}, overlap {one}, at least"
    turned = f"image {metric_size} ({size}), overlap {metric} ({inch}), at least"
    assert first_in(Unit.MM, text) == turned
    assert first_in(Unit.IN, text) == text
