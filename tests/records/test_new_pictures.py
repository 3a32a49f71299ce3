"""Pictures without a row; what is checked is common practice, unless a check names a source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.records.columns import COLUMNS
from proofs.records.dialects import append_rows, write_rows
from proofs.records.entries import EntryTable, read_entries
from proofs.records.new_pictures import entries_for_files, rows_for_new_files

HOSTILE_NAMES = [
    "photo[1].jpg",
    "a,'b.jpg",
    " leading blank.jpg",
    "-rf.jpg",
    "--help.jpg",
    "=1+1.jpg",
    "'quoted'.jpg",
    "semi;colon & more.jpg",
    'mark"s.jpg',
    "100% {name} $HOME `id`.jpg",
    "sep=;.jpg",
    ".hidden.jpg",
    "no ending",
    "фото.jpg",
    "📷 roll.jpg",
    "sub/a.jpg",
]


def table(text: str) -> EntryTable:
    return read_entries(text.encode(), "entries.csv")


def test_bare_pictures_become_entries_with_every_default() -> None:
    found = entries_for_files(["b_1.jpg", "a.jpg"])
    assert [(e.number, e.title, e.file) for e in found.entries] == [
        ("1", "b 1", "b_1.jpg"),
        ("2", "a", "a.jpg"),
    ]
    assert found.columns == ()


def test_a_new_file_has_every_column_and_blanks_for_what_has_a_default() -> None:
    header, row = rows_for_new_files(["old_pier.jpg"])
    assert header == COLUMNS
    assert row == ("1", "old pier", "old_pier.jpg", *[""] * (len(COLUMNS) - 3))


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_a_name_goes_through_a_new_file_unchanged(name: str) -> None:
    (entry,) = read_entries(write_rows(rows_for_new_files([name])), "entries.csv").entries
    assert (entry.file, entry.faults) == (name, ())


@given(names=st.lists(st.sampled_from(HOSTILE_NAMES), unique=True))
def test_pictures_that_have_a_row_are_not_added_again(names: list[str]) -> None:
    first = write_rows(rows_for_new_files(names[:2]))
    added = append_rows(first, rows_for_new_files(names, after=read_entries(first, "x")))
    again = read_entries(added, "x")
    assert [e.file for e in again.entries] == names
    assert [e.number for e in again.entries] == [str(n + 1) for n in range(len(names))]
    assert rows_for_new_files(names, after=again) == ()


def test_added_rows_follow_the_columns_of_the_file() -> None:
    old = table("Sold to;File;number\nJo;a.jpg;4\n")
    assert rows_for_new_files(["a.jpg", "b.jpg"], after=old) == (("", "b.jpg", "5"),)


@pytest.mark.parametrize(
    ("numbers", "following"),
    [
        (["1", "7", "3"], "8"),
        (["007", "A12"], "008"),
        (["099"], "100"),
        (["", ""], "3"),
        (["A", "B"], "1"),
        (["2026000000123"], "1"),
    ],
)
def test_numbers_continue_after_the_largest(numbers: list[str], following: str) -> None:
    rows = "".join(f"{number},{n}.jpg\n" for n, number in enumerate(numbers))
    ((found, _),) = rows_for_new_files(["new.jpg"], after=table(f"number,file\n{rows}"))
    assert found == following


@pytest.mark.parametrize(
    ("cell", "file"),
    [
        ("Zu\u0308rich.jpg", "Z\u00fcrich.jpg"),  # NFD and NFC, Unicode Standard Annex 15
        ("Z\u00fcrich.jpg", "Zu\u0308rich.jpg"),
        ("./a.jpg", "a.jpg"),
        ("sub\\a.jpg", "sub/a.jpg"),
        ("a.jpg|b.jpg", "b.jpg"),
        ("a|b.jpg", "a|b.jpg"),
    ],
)
def test_a_picture_is_recognised_however_its_name_is_written(cell: str, file: str) -> None:
    assert rows_for_new_files([file], after=table(f"file\n{cell}\n")) == ()


def test_capitals_matter_in_names() -> None:
    assert rows_for_new_files(["A.jpg"], after=table("file\na.jpg\n")) == (("A.jpg",),)


def test_a_picture_of_a_row_not_understood_is_not_added_again() -> None:
    assert rows_for_new_files(["a.jpg"], after=table("file,size\na.jpg,big\n")) == ()
