"""Ruler readings, as they are read from arrived.csv and written to it."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.errors import EntriesError
from proofs.lengths import Length, Size, inches, millimetres
from proofs.measures import read_length, read_size
from proofs.records.ruler_readings import (
    RulerReading,
    exact_cell,
    read_ruler_readings,
    with_ruler_reading,
)

ONE = RulerReading("3", read_size("10 3/16 x 15 1/8 in"), read_size("12x16 in"))
OTHER = RulerReading("A-7", read_size("257 x 384.5 mm"))


def readings(text: str) -> tuple[RulerReading, ...]:
    return read_ruler_readings(text.encode(), "arrived.csv")


def plain(found: tuple[RulerReading, ...]) -> list[tuple[str, int, Size, Size | None]]:
    return [(r.number, r.picture, r.image, r.sheet) for r in found]


def test_readings_are_read_back_as_they_were_written() -> None:
    content = with_ruler_reading(with_ruler_reading(None, ONE, "a"), OTHER, "a")
    assert plain(read_ruler_readings(content, "a")) == plain((ONE, OTHER))


def test_a_second_reading_replaces_the_first_and_nothing_else_changes() -> None:
    text = "number;note;image_width;image_height\r\n3;with care;10 in;8 in\r\n4;;9 in;6 in\r\n"
    again = with_ruler_reading(text.encode(), RulerReading("3", read_size("9 15/16 x 8 in")), "a")
    assert again.decode() == text.replace("3;with care;10 in", "3;with care;9 15/16 in")


def test_another_print_is_added_at_the_end() -> None:
    text = "number,image_width,image_height\n3,10 in,8 in\n"
    again = with_ruler_reading(text.encode(), RulerReading("4", read_size("25.7 x 20 cm")), "a")
    assert again.decode() == text + "4,257 mm,200 mm\n"


def test_a_table_needs_only_number_and_image() -> None:
    (found,) = readings('number,image_width,image_height\n3,"10 3/16""",25.4 cm\n')
    assert found.image == Size(inches("10.1875"), inches(10))
    assert (found.sheet, found.picture, found.line) == (None, 1, 2)


def test_the_last_reading_of_a_print_counts() -> None:
    found = readings("number,image_width,image_height\n3,10 in,8 in\n3,9 in,8 in\n")
    assert [r.image.width for r in found] == [inches(9)]


def test_several_prints_of_one_board_are_kept_apart() -> None:
    text = "number,picture,image_width,image_height\n3,1,5 in,4 in\n3,2,6 in,4 in\n"
    assert [(r.picture, r.image.width) for r in readings(text)] == [(1, inches(5)), (2, inches(6))]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "number,a\n3,10 in\n",
            "line 1: no column is named 'image_width'; the columns are number, ",
        ),
        ("number,image_with,image_height\n", "'image_width'; rename 'image_with' to 'image_width'"),
        ("number,image_width,image_height\n3,10,8 in\n", "line 2: image_width: '10' has no unit"),
        ("number,image_width,image_height\n,10 in,8 in\n", "line 2, number: it is blank"),
        ("number,image_width,image_height\n3,10 in,\n", "line 2: image_height"),
        ("number,image_width,image_height\n3,0 in,8 in\n", "line 2: an image of .* has no area"),
        (
            "number,image_width,image_height,sheet_width,sheet_height\n3,10 in,8 in,9 in,7 in\n",
            "line 2: an image of .* does not fit its sheet",
        ),
        ("number,picture,image_width,image_height\n3,x,10 in,8 in\n", "line 2: picture"),
        ("number,picture,image_width,image_height\n3,0,10 in,8 in\n", "line 2: picture"),
    ],
)
def test_a_row_that_cannot_be_understood_stops_everything(text: str, said: str) -> None:
    with pytest.raises(EntriesError, match=said):
        readings(text)


def test_a_reading_that_needs_a_missing_column_is_refused() -> None:
    text = b"number,image_width,image_height\n3,10 in,8 in\n"
    with pytest.raises(EntriesError, match="no column 'sheet_width'"):
        with_ruler_reading(text, ONE, "arrived.csv")


@given(st.integers(1, 10**9))
def test_a_length_is_written_exactly(nm: int) -> None:
    assert read_length(exact_cell(Length(nm))) == Length(nm)


@pytest.mark.parametrize("value", ["10 3/32", "1/64", "10", "3/4"])
def test_a_fraction_on_a_ruler_is_written_as_a_fraction(value: str) -> None:
    length = inches(sum(map(Fraction, value.split()), Fraction(0)))
    assert exact_cell(length) == f"{value} in"


def test_other_lengths_are_written_in_millimetres() -> None:
    assert exact_cell(millimetres("384.5")) == "384.5 mm"
