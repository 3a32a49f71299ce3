"""Words and densities as people write them; the cases are common practice, without a source."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.densities import signed
from proofs.records.cells import (
    CellError,
    one_line,
    read_board,
    read_bracket,
    read_chosen,
    read_copies,
    read_file,
    read_look_at,
    read_parts,
    read_top_edge,
)

CASES = json.loads((Path(__file__).parents[1] / "cases" / "cells.json").read_text("utf-8"))

hundredths = st.lists(st.integers(-30, 60), min_size=1, max_size=8)
partings = st.sampled_from([";", "; ", ", ", ","])
decimal_signs = st.sampled_from([".", ","])


@pytest.mark.parametrize(("text", "meaning"), [(t, m and tuple(m)) for t, m in CASES["bracket"]])
def test_a_bracket_is_read_as_people_write_it(text: str, meaning: object) -> None:
    assert read_bracket(text) == meaning


@pytest.mark.parametrize(("text", "remedy"), CASES["bracket_refused"])
def test_a_bracket_that_makes_no_sense_is_refused_with_what_to_write(
    text: str, remedy: str
) -> None:
    with pytest.raises(CellError) as caught:
        read_bracket(text)
    assert remedy in caught.value.remedy


@given(steps=hundredths, parting=partings, sign=decimal_signs)
def test_signed_steps_are_separated_by_semicolons_or_commas(
    steps: list[int], parting: str, sign: str
) -> None:
    text = parting.join(f"{step / 100:+.2f}".replace(".", sign) for step in steps)
    assert read_bracket(text) == tuple(sorted({0.0, *(step / 100 + 0.0 for step in steps)}))


@given(steps=hundredths)
def test_a_bracket_as_the_program_writes_it_is_read_back(steps: list[int]) -> None:
    densities = sorted({0.0, *(step / 100 for step in steps)})
    assert read_bracket("; ".join(signed(step) for step in densities)) == tuple(densities)


def test_more_steps_than_letters_are_refused() -> None:
    with pytest.raises(CellError, match="at most 26"):
        read_bracket("; ".join(f"{n / 100:+.2f}" for n in range(1, 27)))


@pytest.mark.parametrize(("text", "meaning"), CASES["chosen"])
def test_a_choice_is_a_density_or_a_step_letter(text: str, meaning: object) -> None:
    assert read_chosen(text) == meaning


@pytest.mark.parametrize(("text", "remedy"), CASES["chosen_refused"])
def test_a_choice_that_is_neither_is_refused_with_what_to_write(text: str, remedy: str) -> None:
    with pytest.raises(CellError) as caught:
        read_chosen(text)
    assert remedy in caught.value.remedy


@pytest.mark.parametrize(("text", "meaning"), CASES["board"])
def test_a_board_is_portrait_or_landscape_or_suits_the_picture(text: str, meaning: object) -> None:
    assert read_board(text) == meaning


@pytest.mark.parametrize(("text", "remedy"), CASES["board_refused"])
def test_an_unknown_word_for_a_board_is_refused_with_the_known_words(
    text: str, remedy: str
) -> None:
    with pytest.raises(CellError) as caught:
        read_board(text)
    assert remedy in str(caught.value)


@pytest.mark.parametrize(("text", "meaning"), CASES["top_edge"])
def test_the_top_edge_is_the_top_by_default(text: str, meaning: object) -> None:
    assert read_top_edge(text) == meaning


@pytest.mark.parametrize(("text", "remedy"), CASES["top_edge_refused"])
def test_an_unknown_word_for_an_edge_is_refused_with_the_known_words(
    text: str, remedy: str
) -> None:
    with pytest.raises(CellError) as caught:
        read_top_edge(text)
    assert remedy in str(caught.value)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ('Line 1\nLine 2 "Quote"', 'Line 1 Line 2 "Quote"'),
        ("Pier \r\n\r\n at dawn", "Pier at dawn"),
        ("  Pier,  at dawn\u00a0", "Pier,  at dawn"),
        ("Pier\u2028at dawn", "Pier at dawn"),
        ("'Tis <b>&amp;", "'Tis <b>&amp;"),
    ],
)
def test_a_title_loses_only_surrounding_blanks_and_line_breaks(text: str, line: str) -> None:
    assert one_line(text) == line


def test_a_title_longer_than_any_label_is_refused() -> None:
    assert one_line("x" * 500) == "x" * 500
    with pytest.raises(CellError, match="it is 501 characters long; shorten it to 500 at most"):
        one_line("x" * 501)


@pytest.mark.parametrize("text", ["Pier\0", "Pi\x1ber"])
def test_control_characters_in_a_title_are_refused(text: str) -> None:
    with pytest.raises(CellError, match="control character"):
        one_line(text)


@pytest.mark.parametrize(
    "name",
    [
        "../outside.jpg",
        "sub/../../outside.jpg",
        "sub/../a.jpg",
        "..\\a.jpg",
        "sub\\..\\..\\a.jpg",
        "..",
        "/etc/a.jpg",
        "\\a.jpg",
        "\\\\server\\share\\a.jpg",
        "C:\\a.jpg",
        "c:a.jpg",
        "http://example.org/a.jpg",
        "file:///a.jpg",
        "a\0.jpg",
        " ../a.jpg",
        "./../a.jpg",
        ".//a.jpg",
    ],
)
def test_a_name_that_leads_out_of_the_folder_is_unsafe(name: str) -> None:
    with pytest.raises(CellError) as caught:
        read_file(name)
    assert caught.value.code == "unsafe-path"


@pytest.mark.parametrize(
    "name",
    [
        "a.jpg",
        "sub/a.jpg",
        "sub\\a.jpg",
        "...jpg",
        "two..dots.jpg",
        "..a/b..",
        "colon:Q=10.jpg",
        "photo[1].jpg",
        "--help.jpg",
        "~.jpg",
        "Möwe, 2.jpg",
    ],
)
def test_a_name_inside_the_folder_is_kept_as_written(name: str) -> None:
    assert read_file(name) == name


@pytest.mark.parametrize(("text", "name"), [(" a.jpg ", "a.jpg"), ("./ a.jpg", " a.jpg")])
def test_blanks_around_a_name_are_removed_unless_a_dot_and_slash_protect_them(
    text: str, name: str
) -> None:
    assert read_file(text) == name


@pytest.mark.parametrize(
    ("cell", "pictures", "parts"),
    [
        ("a.jpg", None, ("a.jpg",)),
        ("a.jpg | ./b.jpg|c.jpg", None, ("a.jpg", "b.jpg", "c.jpg")),
    ],
)
def test_a_vertical_bar_separates_the_pictures_of_one_board(
    cell: str, pictures: int | None, parts: tuple[str, ...]
) -> None:
    assert read_parts(cell, read_file, pictures) == parts


def test_a_cell_has_one_part_for_each_picture_or_one_for_all() -> None:
    with pytest.raises(CellError, match="2 parts for 3 pictures"):
        read_parts("left | top", read_top_edge, 3)


def test_a_picture_without_a_name_and_a_hundred_pictures_are_refused() -> None:
    with pytest.raises(CellError, match="no picture is named"):
        read_parts("a.jpg | ", read_file)
    with pytest.raises(CellError, match="100 pictures"):
        read_parts("|".join(f"{n}.jpg" for n in range(100)), read_file)


@pytest.mark.parametrize(
    ("text", "copies"), [("", 1), (" 2 ", 2), ("3x", 3), ("0", 0), ("'007", 7)]
)
def test_copies_are_a_whole_number_and_one_by_default(text: str, copies: int) -> None:
    assert read_copies(text) == copies


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("", None),
        ("0.3,0.75", (0.3, 0.75)),
        (" .5 ; 0.25 ", (0.5, 0.25)),
        ("0,3 0,75", (0.3, 0.75)),
        ("100%,0", (1.0, 0.0)),
        ("12,5 %; 50 %", (0.125, 0.5)),
        ("1,0", (1.0, 0.0)),
    ],
)
def test_a_place_is_read_with_points_or_commas(
    text: str, place: tuple[float, float] | None
) -> None:
    assert read_look_at(text) == place


@pytest.mark.parametrize(
    "text", ["0.5", "1.1,0", "0,3,0,75", "-0.1,0", "left", "nan,0", ".;.", "101%,0"]
)
def test_anything_else_is_refused_as_a_place(text: str) -> None:
    with pytest.raises(CellError, match=r"such as '0\.3,0\.75'"):
        read_look_at(text)


@pytest.mark.parametrize("text", ["many", "-1", "1.5", "1000", "²", "2 of A"])
def test_anything_else_is_refused_as_a_number_of_copies(text: str) -> None:
    with pytest.raises(CellError, match="0 leaves the entry out"):
        read_copies(text)
