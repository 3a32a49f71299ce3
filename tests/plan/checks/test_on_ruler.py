"""Lengths as a ruler reads them: to 1/16 in or 0.5 mm, and never onto or across a limit."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import Length, Size, Unit, inches, millimetres
from proofs.plan.checks.on_ruler import read_in, read_in_centimetres, read_in_inches, read_size
from proofs.records.rules import VisibleRule

any_length = st.integers(1, 2_000_000_000).map(Length)


def inches_of(text: str) -> Fraction:
    """The number that an inch text states: ``9 15/16`` or ``9.998``."""
    return sum((Fraction(part) for part in text.split()), Fraction(0))


@st.composite
def near_a_limit(draw: st.DrawFn) -> tuple[Length, Length]:
    """A length, and a limit at most a millimetre from it but not the same."""
    length = draw(any_length)
    away = draw(st.integers(1, 1_000_000)) * draw(st.sampled_from([-1, 1]))
    return length, Length(length.nm + away)


@given(near_a_limit())
def test_inches_are_never_rounded_onto_or_across_a_limit(pair: tuple[Length, Length]) -> None:
    length, limit = pair
    read = inches_of(read_in_inches(length, [limit])) * 25_400_000
    assert (read < limit.nm) == (length < limit)
    assert read != limit.nm


@given(near_a_limit())
def test_centimetres_are_never_rounded_onto_or_across_a_limit(
    pair: tuple[Length, Length],
) -> None:
    length, limit = pair
    read = Fraction(read_in_centimetres(length, [limit])) * 10_000_000
    assert (read < limit.nm) == (length < limit)
    assert read != limit.nm


@given(any_length)
def test_without_a_limit_a_length_is_read_to_the_marks_of_a_ruler(length: Length) -> None:
    read = inches_of(read_in_inches(length))
    assert (read * 16).denominator == 1
    assert abs(read * 25_400_000 - length.nm) <= Fraction(25_400_000, 32)
    tenths = Fraction(read_in_centimetres(length)) * 20
    assert tenths.denominator == 1
    assert abs(tenths * 500_000 - length.nm) <= 250_000


@pytest.mark.parametrize(
    ("length", "inch", "centimetre"),
    [
        # Worked by hand: 9.97 in are 9 15.52/16 in and 253.238 mm; 10.01 in are 254.254 mm.
        (inches("9.97"), "9.97 in", "25.3 cm"),
        (inches("10.01"), "10.01 in", "25.45 cm"),
        (inches("9.9999"), "9.9999 in", "25.3997 cm"),
        (inches(10), "10 in", "25.4 cm"),
        (inches("9.95"), "9 15/16 in", "25.25 cm"),
    ],
)
def test_a_length_near_ten_inches_shows_on_which_side_it_lies(
    length: Length, inch: str, centimetre: str
) -> None:
    limits = [inches(10)]
    assert read_in(length, Unit.IN, limits) == inch
    assert read_in(length, Unit.MM, limits) == centimetre


def test_a_length_that_is_its_limit_is_shown_exactly_if_a_ruler_could_not() -> None:
    # 250 mm are 9.8425 in, 9 13.48/16 in.
    assert read_in(millimetres(250), Unit.IN, [millimetres(250)]) == "9.843 in"
    assert read_in(millimetres(250), Unit.MM, [millimetres(250)]) == "25 cm"


def test_each_side_of_a_size_keeps_off_its_own_limits() -> None:
    rule = VisibleRule(longest_least=inches(10), shortest_least=inches(4))
    size = Size(inches("3.99"), inches("9.99"))
    assert read_size(size, rule, Unit.IN) == "3.99 × 9.99 in"
    # A side of 9.99 in that is the shorter one has no limit of 10 in.
    assert read_size(Size(inches("9.99"), inches(14)), rule, Unit.IN) == "10 × 14 in"


def test_sides_that_are_added_up_have_no_limit_each() -> None:
    rule = VisibleRule(longest_least=inches(10), sums=True)
    assert read_size(Size(inches("9.99"), inches(4)), rule, Unit.IN) == "10 × 4 in"
