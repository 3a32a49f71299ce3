"""Sizes and crops as people write them; the cases are common practice, without a source."""

import json
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.lengths import Length, Size, Unit, inches
from proofs.records.cells import CellError
from proofs.records.size_and_crop import (
    CropPlace,
    CropWish,
    SizeKind,
    SizeWish,
    read_crop,
    read_size_wish,
)

CASES = json.loads((Path(__file__).parents[1] / "cases" / "cells.json").read_text("utf-8"))

sides = st.integers(5_000_000, 3_000_000_000).map(Length)
units = st.sampled_from(Unit)
boxes = st.builds(Size, sides, sides)
BOXED = [kind for kind in SizeKind if kind not in ("largest", "long", "short")]
size_wishes = st.one_of(
    st.just(SizeWish(SizeKind.LARGEST)),
    st.builds(SizeWish, st.sampled_from([SizeKind.LONG, SizeKind.SHORT]), length=sides, unit=units),
    st.builds(SizeWish, st.sampled_from(BOXED), box=boxes, unit=units),
)
aspects = st.fractions(Fraction(1, 10), 10, max_denominator=1000)
cell_texts = st.one_of(
    st.text(max_size=30),
    st.text(st.sampled_from("0123456789x×:/., \"incmlogshrtviblepu'-"), max_size=14),
)
places = st.sampled_from(CropPlace)


@pytest.mark.parametrize(("text", "meaning"), CASES["size"])
def test_a_size_is_read_as_people_write_it(text: str, meaning: str) -> None:
    assert str(read_size_wish(text)) == meaning


@pytest.mark.parametrize(("text", "remedy"), CASES["size_refused"])
def test_a_size_that_makes_no_sense_is_refused_with_what_to_write(text: str, remedy: str) -> None:
    with pytest.raises(CellError) as caught:
        read_size_wish(text)
    assert remedy in caught.value.remedy


@given(wish=size_wishes)
def test_a_size_wish_written_into_a_cell_is_read_back_as_the_same_wish(wish: SizeWish) -> None:
    assert read_size_wish(str(wish)) == wish


@given(text=cell_texts)
def test_any_size_text_is_refused_or_means_the_same_when_written_again(text: str) -> None:
    assert _size_or_refusal(str(_size_or_refusal(text))) == _size_or_refusal(text)


def test_a_box_has_its_width_first() -> None:
    assert read_size_wish("12x8 in").box == Size(inches(12), inches(8))


def test_the_largest_size_cannot_have_a_length() -> None:
    with pytest.raises(ValueError, match="with a length"):
        SizeWish(SizeKind.LARGEST, length=inches(10))


@pytest.mark.parametrize(("text", "meaning"), CASES["crop"])
def test_a_crop_is_read_as_people_and_spreadsheets_write_it(text: str, meaning: str) -> None:
    assert str(read_crop(text)) == meaning


@pytest.mark.parametrize("text", ["", " \u00a0", "none"])
def test_nothing_is_cropped_by_default(text: str) -> None:
    assert read_crop(text) is None


@pytest.mark.parametrize(("text", "remedy"), CASES["crop_refused"])
def test_a_crop_that_makes_no_sense_is_refused_with_what_to_write(text: str, remedy: str) -> None:
    with pytest.raises(CellError) as caught:
        read_crop(text)
    assert remedy in caught.value.remedy


@given(aspect=st.none() | aspects, place=places)
def test_a_crop_written_into_a_cell_is_read_back_as_the_same_crop(
    aspect: Fraction | None, place: CropPlace
) -> None:
    assert read_crop(str(CropWish(aspect, place))) == CropWish(aspect, place)


@given(hours=st.integers(1, 23), minutes=st.integers(1, 59))
def test_a_crop_that_became_a_time_of_day_means_what_was_typed(hours: int, minutes: int) -> None:
    assert _crop_or_refusal(f"{hours:02}:{minutes:02}:00") == _crop_or_refusal(f"{hours}x{minutes}")


@given(text=cell_texts)
def test_any_crop_text_is_refused_or_means_the_same_when_written_again(text: str) -> None:
    assert _crop_or_refusal(str(_crop_or_refusal(text))) == _crop_or_refusal(text)


def _size_or_refusal(text: str) -> SizeWish | str:
    try:
        return read_size_wish(text)
    except CellError:
        return "refused"


def _crop_or_refusal(text: str) -> CropWish | str | None:
    try:
        return read_crop(text)
    except CellError:
        return "refused"
