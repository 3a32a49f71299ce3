"""Lengths are exact in both systems; texts are read, or refused with a reason."""

import json
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import (
    Borders,
    Length,
    PixelSize,
    Size,
    Unit,
    area_text,
    distinct_texts,
    half_up,
    in_inches,
    inches,
    millimetres,
    shown,
    total,
)
from proofs.measures import read_area, read_bytes_limit, read_length, read_size
from tests import near

CASES = json.loads((Path(__file__).parent / "cases" / "lengths.json").read_text("utf-8"))

lengths = st.integers(-3_000_000_000, 3_000_000_000).map(Length)
paper = st.integers(1, 3_000_000_000).map(Length)
shares = st.fractions(Fraction(1, 50), 50, max_denominator=1000)
ruler_marks = st.integers(0, 40 * 16)


@pytest.mark.parametrize(("text", "nm"), CASES["read"])
def test_a_length_is_read_to_the_nanometre(text: str, nm: int) -> None:
    assert read_length(text) == Length(nm)


@pytest.mark.parametrize(("text", "reason"), CASES["refused"])
def test_a_text_that_is_not_a_length_is_refused_with_the_reason(text: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        read_length(text)


@pytest.mark.parametrize(("text", "width", "height"), CASES["sizes"])
def test_a_size_is_read_width_first(text: str, width: int, height: int) -> None:
    assert read_size(text) == Size(Length(width), Length(height))


@pytest.mark.parametrize(("text", "reason"), CASES["sizes_refused"])
def test_a_text_that_is_not_a_size_is_refused_with_the_reason(text: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        read_size(text)


@pytest.mark.parametrize(("text", "square_nm"), CASES["areas"])
def test_an_area_is_read_exactly(text: str, square_nm: int) -> None:
    assert read_area(text) == square_nm


@pytest.mark.parametrize("text", CASES["areas_refused"])
def test_a_text_that_is_not_an_area_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not a"):
        read_area(text)


# kB and MB in thousands and millions, KiB and MiB in powers of 1024: IEC 80000-13 (from memory).
@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("2 MB", 2_000_000),
        ("2MB", 2_000_000),
        ("1.5 mb", 1_500_000),
        ("800 kB", 800_000),
        ("2 MiB", 2_097_152),
        ("512 KiB", 524_288),
    ],
)
def test_the_size_of_a_file_is_read_to_the_byte(text: str, count: int) -> None:
    assert read_bytes_limit(text) == count


@pytest.mark.parametrize("text", ["", "2", "MB", "-2 MB", "2 GB", "two MB", "2 MB 3 kB", "1e3 kB"])
def test_a_text_that_is_not_a_file_size_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not a file size"):
        read_bytes_limit(text)


@pytest.mark.parametrize(("nm", "text"), CASES["shown"])
def test_a_length_is_shown_in_both_units(nm: int, text: str) -> None:
    assert str(Length(nm)) == text


def test_a_foot_is_the_same_length_in_inches_and_in_millimetres() -> None:
    assert inches(12) == millimetres("304.8") == Length(304_800_000)


def test_a_board_of_40_by_50_cm_is_not_one_of_16_by_20_in() -> None:
    board, other = read_size("16x20 in"), read_size("400x500 mm")
    assert board.width - other.width == millimetres("6.4")
    assert board.height - other.height == millimetres(8)


@pytest.mark.parametrize(
    ("size", "width_points", "height_points"),
    [
        ("16x20 in", 1152.0, 1440.0),
        ("210x297 mm", 595.276, 841.890),
        ("297x420 mm", 841.890, 1190.551),
        ("400x500 mm", 1133.858, 1417.323),
    ],
)
def test_points_are_seventy_seconds_of_an_inch(
    size: str, width_points: float, height_points: float
) -> None:
    # The unit is that of ISO 32000, from memory; the figures are computed from it.
    read = read_size(size)
    assert read.width.points == pytest.approx(width_points, abs=near.PRINTED_POINTS)
    assert read.height.points == pytest.approx(height_points, abs=near.PRINTED_POINTS)


def test_a_length_knows_its_millimetres_and_inches() -> None:
    assert inches("10.125").mm == pytest.approx(257.175, abs=near.ARITHMETIC)
    assert millimetres(254).inches == pytest.approx(10, abs=near.ARITHMETIC)


@given(value=st.fractions(-10_000, 10_000, max_denominator=1000))
def test_half_up_rounds_to_the_nearest_and_halves_up(value: Fraction) -> None:
    assert value - Fraction(1, 2) < half_up(value) <= value + Fraction(1, 2)


@given(a=lengths, b=lengths)
def test_what_is_added_can_be_subtracted(a: Length, b: Length) -> None:
    assert a + b - b == a
    assert -a == Length(0) - a


@given(length=lengths, share=shares)
def test_a_share_of_a_length_is_the_nearest_nanometre(length: Length, share: Fraction) -> None:
    exact = length.nm * share
    assert abs((length * share).nm - exact) <= Fraction(1, 2)
    assert length * share == share * length


@given(parts=st.lists(lengths, max_size=6))
def test_the_total_of_lengths_is_that_of_their_nanometres(parts: list[Length]) -> None:
    assert total(parts).nm == sum(part.nm for part in parts)


@given(sixteenths=ruler_marks)
def test_every_mark_of_a_ruler_is_shown_as_it_is_read(sixteenths: int) -> None:
    mark = inches(Fraction(sixteenths, 16))
    assert read_length(shown(mark, Unit.IN)) == mark


@given(tenths=st.integers(0, 10_000), unit=st.sampled_from([Unit.MM, Unit.CM]))
def test_tenths_of_a_millimetre_are_shown_as_they_are_read(tenths: int, unit: Unit) -> None:
    length = millimetres(Fraction(tenths, 10))
    assert read_length(shown(length, unit)) == length


@given(length=paper)
def test_inches_are_shown_to_half_a_hundredth(length: Length) -> None:
    told = read_length(f"{in_inches(length)} in")
    assert abs(told.nm - length.nm) <= 127_000


@given(one=paper, apart=st.integers(1, 2_000_000))
def test_two_lengths_are_shown_with_enough_digits_to_differ(one: Length, apart: int) -> None:
    text, other = distinct_texts(one, Length(one.nm + apart))
    assert text.partition(" in (")[0] != other.partition(" in (")[0]
    assert text.partition(" in (")[2] != other.partition(" in (")[2]


@given(one=paper)
def test_equal_lengths_are_shown_alike(one: Length) -> None:
    assert distinct_texts(one, one) == (str(one), str(one))


@given(width=paper, height=paper, by=lengths)
def test_a_size_grows_on_both_ends_of_both_axes(width: Length, height: Length, by: Length) -> None:
    grown = Size(width, height).grown(by)
    assert (grown.width.nm, grown.height.nm) == (width.nm + 2 * by.nm, height.nm + 2 * by.nm)


@given(width=paper, height=paper)
def test_turning_a_size_twice_changes_nothing(width: Length, height: Length) -> None:
    size = Size(width, height)
    assert size.turned.turned == size
    assert size.turned.longest == size.longest >= size.shortest == size.turned.shortest
    assert size.turned.square_nm == size.square_nm


def test_a_square_is_not_portrait() -> None:
    assert not Size(inches(8), inches(8)).is_portrait
    assert Size(inches(8), inches(10)).is_portrait


def test_a_size_holds_its_own_size_but_not_the_turned_one() -> None:
    size = read_size("8x10 in")
    assert size.holds(size)
    assert not size.holds(size.turned)
    assert not size.holds(Size(size.width, Length(size.height.nm + 1)))


def test_the_least_border_is_the_narrowest_of_the_four() -> None:
    borders = Borders(top=inches(4), right=inches(3), bottom=inches(2), left=inches(5))
    assert borders.least == inches(2)


def test_eight_by_ten_inches_are_eighty_square_inches() -> None:
    assert area_text(read_size("8x10 in").square_nm) == "80 sq in (516.13 sq cm)"


@pytest.mark.parametrize(("width", "height"), [(0, 10), (10, 0), (-1, 10)])
def test_a_picture_without_area_is_refused(width: int, height: int) -> None:
    with pytest.raises(ValueError, match="no area"):
        PixelSize(width, height)


def test_the_aspect_of_pixels_is_exact() -> None:
    assert PixelSize(6000, 4000).aspect == Fraction(3, 2)
    assert PixelSize(6000, 4000).turned == PixelSize(4000, 6000)


@given(st.builds(Size, paper, paper), st.builds(Size, paper, paper))
def test_what_two_sizes_share_and_unite_are_as_far_apart_as_they_are(
    one: Size, other: Size
) -> None:
    shared, united = one.shared(other), one.united(other)
    assert one.holds(shared)
    assert other.holds(shared)
    assert united.holds(one)
    assert united.holds(other)
    assert shared.width + united.width == one.width + other.width
    assert shared.height + united.height == one.height + other.height
    assert united.apart_nm(shared) == one.apart_nm(other)
