"""The entries file from bytes to entries; what is checked is common practice, without a source,
unless a check names one."""

import csv
import io
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.errors import EntriesError
from proofs.findings import Finding, Severity
from proofs.lengths import Edge, Size, millimetres
from proofs.records.cells import Orientation
from proofs.records.columns import COLUMNS
from proofs.records.dialects import write_rows
from proofs.records.entries import (
    MOST_CHARACTERS,
    MOST_NOTES,
    Entry,
    EntryResult,
    PictureWish,
    read_entries,
    title_from,
)

NAME = "entries.csv"
# As a spreadsheet under a Central European setting saves it: mark, semicolons, decimal
# commas, a line break and marks within a title, rows that were filled and emptied again.
EUROPEAN = (
    "number;title;file;size;crop;bracket;chosen\r\n"
    "1;Zürich; Zürich See.jpg;long 20,3 cm;04:05:00;-0,1;0,1\r\n"
    '2;"Zeile 1\nZeile 2 ""Zitat""";Möwe, 2.jpg;30x20 cm;;"-0,10; 0; +0,10";B\r\n'
    '3;"  Am; See  ";plain.jpg;10,5x7 cm;;;\r\n'
    ";;;;;;\r\n\r\n"
).encode("utf-8-sig")

letters = st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"])
unguarded_letters = st.characters(exclude_categories=["Cs"], exclude_characters="'")
titles = st.text(letters, min_size=1, max_size=20).map(str.strip).filter(bool)


def entries_of(text: str) -> tuple[Entry, ...]:
    return read_entries(text.encode(), NAME).entries


def only(text: str) -> Entry:
    (entry,) = entries_of(text)
    return entry


def fault_of(text: str) -> Finding:
    (fault,) = only(text).faults
    return fault


def test_a_table_from_a_spreadsheet_with_decimal_commas_is_read_completely() -> None:
    table = read_entries(EUROPEAN, NAME)
    assert [e.faults for e in table.entries] == [(), (), ()]
    assert [e.title for e in table.entries] == ["Zürich", 'Zeile 1 Zeile 2 "Zitat"', "Am; See"]
    assert [e.file for e in table.entries] == ["Zürich See.jpg", "Möwe, 2.jpg", "plain.jpg"]
    assert table.entries[0].sizes[0].length == millimetres(203)
    assert table.entries[2].sizes[0].box == Size(millimetres(105), millimetres(70))
    assert [str(e.pictures[0].crop) for e in table.entries] == ["4x5 centre", "None", "None"]
    assert [e.bracket for e in table.entries] == [(-0.1, 0.0), (-0.1, 0.0, 0.1), None]
    assert [e.chosen for e in table.entries] == [0.1, "B", None]
    assert [e.line for e in table.entries] == [2, 3, 5]
    assert table.notes == ("the separator is a semicolon",)


def test_only_the_file_is_needed() -> None:
    assert only("file\nold_pier.jpg\n") == Entry(
        number="1", title="old pier", pictures=(PictureWish("old_pier.jpg"),), line=2
    )


def test_every_column_finds_its_value() -> None:
    row = (
        '007,Pier,a.jpg,Open,12x8 in,1x1 top,portrait,left,overlap,column,0;+0.10,"0.3,0.75",A,'
        "2,Cotton,matt,accepted,bronze,ask Jo"
    )
    table = read_entries((",".join(COLUMNS) + "\n" + row).encode(), "entries.csv")
    (entry,) = table.entries
    assert entry.faults == ()
    assert (entry.number, entry.title, entry.category) == ("007", "Pier", "Open")
    (picture,), (size,) = entry.pictures, entry.sizes
    assert (str(size), str(picture.crop), picture.top_edge) == ("12x8 in", "1x1 top", Edge.LEFT)
    assert picture.look_at == (0.3, 0.75)
    assert (entry.board, entry.mount, str(entry.arrangement)) == (
        Orientation.PORTRAIT,
        "overlap",
        "column",
    )
    assert (entry.bracket, entry.chosen, entry.notes) == ((0.0, 0.1), "A", "ask Jo")
    assert (entry.copies, entry.paper, entry.finish) == (2, "Cotton", "matt")
    assert table.results == (EntryResult("accepted", "bronze"),)


def test_what_became_of_an_entry_may_be_left_open() -> None:
    table = read_entries(b"file,award\na.jpg,\nb.jpg,First\n", "entries.csv")
    assert table.results == (EntryResult(), EntryResult(award="First"))


@pytest.mark.parametrize(
    "header", ["Top edge", "TOP_EDGE", " top-edge ", "top\u00a0edge", "TopEdge", "\u200btop edge"]
)
def test_capitals_and_blanks_in_a_header_do_not_matter(header: str) -> None:
    assert only(f" FILE ,{header}\na.jpg,left\n").pictures[0].top_edge == Edge.LEFT


def test_a_second_byte_order_mark_does_not_hide_a_column() -> None:
    assert only("\ufeff\ufefffile,title\na.jpg,A\n").file == "a.jpg"


def test_the_photographers_own_columns_are_kept_and_named_once() -> None:
    table = read_entries(b"file,Frame,Sold to,Frame,\na.jpg,x,y,z,\n", NAME)
    assert table.unknown_columns == ("Frame", "Sold to")
    assert table.columns == ("file", "Frame", "Sold to", "Frame")


def test_a_mistyped_column_is_noted_with_the_one_it_resembles() -> None:
    table = read_entries(b"file,Categroy,Title 2,title\na.jpg,Open,x,A\n", NAME)
    assert table.notes == ("column 'Categroy' is not used; did you mean 'category'?",)
    assert table.entries[0].category == ""


@pytest.mark.parametrize(
    ("header", "remedy"),
    [
        ("number,File name,title", "rename 'File name' to 'file'"),
        ("number;Dateiname", "the first row must name the columns"),
        ("a.jpg,12x8 in", "found 'a.jpg', '12x8 in'"),
    ],
)
def test_a_table_without_a_file_column_is_refused_with_the_columns_found(
    header: str, remedy: str
) -> None:
    with pytest.raises(EntriesError) as caught:
        read_entries(f"{header}\n".encode(), NAME)
    assert str(caught.value).startswith("entries.csv: line 1: no column is named 'file'")
    assert remedy in str(caught.value)


@pytest.mark.parametrize("header", ["file,Title,title", 'file,"title'])
def test_a_contradictory_header_is_refused(header: str) -> None:
    with pytest.raises(EntriesError, match="correct it in the spreadsheet"):
        read_entries(f"{header}\na.jpg,A,B\n".encode(), NAME)


@pytest.mark.parametrize(
    ("encoding", "notes"),
    [
        ("utf-8", ()),
        ("utf-8-sig", ()),
        ("utf-16", ("read as UTF-16",)),
        (
            "cp1252",
            (
                "read as Windows-1252, because it is not UTF-8; if letters look wrong,"
                " save it as 'CSV UTF-8'",
            ),
        ),
    ],
)
def test_an_unusual_encoding_is_noted(encoding: str, notes: tuple[str, ...]) -> None:
    table = read_entries("file,title\na.jpg,Zürich\n".encode(encoding), NAME)
    assert table.entries[0].title == "Zürich"
    assert table.notes == notes


def test_blank_rows_are_skipped_and_lines_are_those_of_the_file() -> None:
    assert [e.line for e in entries_of("\nfile,title\n\na.jpg,\n , \n\u00a0,\nb.jpg,\n")] == [4, 7]


def test_a_short_row_is_blank_where_it_ends() -> None:
    assert only("file,title,size\na.jpg\n").faults == ()


def test_blank_cells_beyond_the_last_column_do_no_harm() -> None:
    assert only("file,title,,\na.jpg,A,,,,\n").faults == ()


def test_a_cell_beyond_the_last_column_makes_a_row_not_understood() -> None:
    fault = fault_of("file,size\na.jpg,20,3 cm\n")
    assert (fault.code, fault.severity) == ("not-understood", Severity.UNREADABLE)
    assert fault.message == "line 2: '3 cm' is beyond the last of 2 columns"
    remedy = "put a cell that contains the separator, such as a comma, in quotation marks"
    assert fault.remedy == remedy


def test_a_decimal_comma_in_quotation_marks_is_one_cell() -> None:
    assert only('file,size\na.jpg,"long 20,3 cm"\n').sizes[0].length == millimetres(203)


def test_a_fault_states_line_column_what_was_found_and_the_remedy() -> None:
    first, second, third = entries_of("number,file,size\n1,a.jpg,12x8\n2,b.jpg,12x8 in\n3,c.jpg,\n")
    (fault,) = first.faults
    assert fault.message == "line 2, size: '12x8' has no unit"
    assert fault.remedy == "write '12x8 in' or '12x8 cm'"
    assert (second.faults, third.faults) == ((), ())


def test_every_cell_that_is_not_understood_is_named() -> None:
    faults = only("file,size,crop,chosen\na.jpg,big,0.8,AB\n").faults
    assert [f.message.partition(":")[0] for f in faults] == [
        "line 2, size",
        "line 2, crop",
        "line 2, chosen",
    ]


def test_an_unclosed_quotation_mark_spoils_only_its_own_row() -> None:
    first, second = entries_of('file,title\na.jpg,"Pier\nb.jpg,Dawn\n')
    assert "quotation mark" in first.faults[0].message
    assert (second.file, second.faults) == ("b.jpg", ())


def test_a_number_stays_text() -> None:
    assert [e.number for e in entries_of("number,file\n 007 ,a.jpg\n'08,b.jpg\n7a,c.jpg\n")] == [
        "007",
        "08",
        "7a",
    ]


def test_the_second_row_with_the_same_number_is_not_understood() -> None:
    first, second = entries_of("number,file\n3,a.jpg\n3 ,b.jpg\n")
    assert first.faults == ()
    assert second.faults[0].message == "line 3, number: '3' is the number of line 2 too"


def test_a_row_without_a_number_takes_its_place_or_the_next_free() -> None:
    table = "number,file\n2,a.jpg\n,b.jpg\n,c.jpg\nX,d.jpg\n"
    assert [e.number for e in entries_of(table)] == ["2", "3", "4", "X"]


@given(numbers=st.lists(st.sampled_from(["", "1", "2", "3", "4"]), max_size=8))
def test_rows_without_a_number_never_share_one(numbers: list[str]) -> None:
    found = entries_of("number,file\n" + "".join(f"{n},a.jpg\n" for n in numbers))
    understood = [e.number for e in found if not e.faults]
    assert len(set(understood)) == len(understood) >= len(set(numbers) - {""})
    assert [e.faults for e, n in zip(found, numbers, strict=True) if not n] == [()] * (
        numbers.count("")
    )


@pytest.mark.parametrize(
    "file", ["../out.jpg", "sub/../../out.jpg", "/etc/a.jpg", "..\\a.jpg", "C:\\a.jpg", "a\0.jpg"]
)
def test_a_file_outside_the_folder_is_an_unsafe_path(file: str) -> None:
    fault = fault_of(f'title,file\nA,"{file}"\n')
    assert (fault.code, fault.severity) == ("unsafe-path", Severity.UNREADABLE)
    assert fault.message.startswith("line 2, file: ")
    assert fault.remedy


def test_a_row_that_names_no_picture_is_not_understood() -> None:
    fault = fault_of("title,file\nPier,\n")
    assert fault.message == "line 2, file: no picture is named"


def test_a_row_not_understood_keeps_number_title_and_file() -> None:
    entry = only("number,title,file\n4,Pier,../a.jpg\n")
    assert (entry.number, entry.title, entry.file) == ("4", "Pier", "../a.jpg")


@pytest.mark.parametrize(
    ("cell", "title"),
    [
        ("'=1+1", "=1+1"),
        ("'-- Pier --", "-- Pier --"),
        ("'Tis Dawn", "'Tis Dawn"),
        ("'Untitled'", "'Untitled'"),
    ],
)
def test_an_apostrophe_is_dropped_only_where_it_guards_a_title(cell: str, title: str) -> None:
    assert only(f"file,title\na.jpg,{cell}\n").title == title


@pytest.mark.parametrize("cell", ["'+0.10", "'0.1", "+0.1", "0,1"])
def test_an_apostrophe_before_a_number_is_ignored(cell: str) -> None:
    assert only(f'file,chosen\na.jpg,"{cell}"\n').chosen == 0.1


@given(title=titles)
def test_a_title_goes_through_the_file_unchanged(title: str) -> None:
    raw = write_rows([("file", "title"), ("a.jpg", title)])
    assert read_entries(raw, NAME).entries[0].title == title


@given(
    rows=st.lists(st.lists(st.text(unguarded_letters), max_size=14)),
    separator=st.sampled_from([",", ";", "\t"]),
)
def test_any_row_becomes_one_entry(rows: list[list[str]], separator: str) -> None:
    page = io.StringIO()
    writer = csv.writer(page, delimiter=separator, lineterminator="\n", quoting=csv.QUOTE_ALL)
    writer.writerows([COLUMNS, *rows])
    filled = [row for row in rows if any(cell.strip() for cell in row)]
    found = read_entries(page.getvalue().encode(), NAME).entries
    assert len(found) == len(filled)


@pytest.mark.parametrize(
    ("file", "title"),
    [
        ("old_pier-at-dawn.jpg", "old pier at dawn"),
        ("sub/IMG_0012.JPEG", "IMG 0012"),
        ("sub\\a.tif", "a"),
        ("v1.2 harbour", "v1.2 harbour"),
        ("no.5", "no.5"),
        ("two.dots.jpeg", "two.dots"),
        (".hidden.jpg", ".hidden"),
        ("scan[1]", "scan[1]"),
        ("__-.jpg", "__-.jpg"),
        ("Mo\u0308we  - 2.jpg", "Möwe 2"),  # composed, Unicode Standard Annex 15
        ("line\nbreak.jpg", "line break"),
        ("фото.jpg", "фото"),
    ],
)
def test_a_title_is_made_of_the_file_name(file: str, title: str) -> None:
    assert title_from(file) == title


def test_an_entry_needs_a_picture_or_a_fault() -> None:
    with pytest.raises(ValueError, match="lacks"):
        Entry(number="1", title="A", pictures=(PictureWish(""),))


SOON = 5.0  # seconds of processor, on a machine with other work


@pytest.mark.parametrize(
    ("column", "cell"),
    [
        ("title", " " * 50_000),
        ("title", "a" * 20_000),
        ("title", "a" * (MOST_CHARACTERS + 1)),
        ("crop", "," * 20_000),
        ("size", "1" * 600_000),
        ("number", "7" * 501),
        ("notes", "a" * (MOST_NOTES + 1)),
    ],
)
def test_a_cell_that_is_too_long_is_a_fault_of_its_row(column: str, cell: str) -> None:
    start = time.process_time()
    longest, other = read_entries(
        write_rows([["file", column], ["a.jpg", cell], ["b.jpg", ""]]), NAME
    ).entries
    assert time.process_time() - start < SOON
    (fault,) = longest.faults
    assert fault.message.startswith(f"line 2, {column}: it has {len(cell)} characters, more than")
    assert fault.remedy == "shorten it"
    assert other.faults == ()


def test_a_cell_may_be_as_long_as_the_limit() -> None:
    title, notes = "a" * MOST_CHARACTERS, "b" * MOST_NOTES
    entry = only(f"file,title,notes\na.jpg,{title},{notes}")
    assert (entry.title, entry.notes, entry.faults) == (title, notes, ())


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"file,title\n" + b"a.jpg,b\n" * 300_000, "is larger than 2 MB"),
        (b"file,title\n" + b"\n" * 1_000_000, "has more than 20000 lines"),
        (b"file,title\r" + b"a,b\r" * 20_001, "has more than 20000 lines"),
        (b"file" + b",a" * 200 + b"\na.jpg\n", "has more than 200 columns"),
        (b"file" + b",a" * 900_000 + b"\na.jpg\n", "has more than 200 columns"),
    ],
)
def test_an_absurdly_large_table_is_refused_soon(raw: bytes, words: str) -> None:
    start = time.process_time()
    with pytest.raises(EntriesError, match=words):
        read_entries(raw, NAME)
    assert time.process_time() - start < SOON


def test_commas_to_the_last_column_of_a_spreadsheet_do_no_harm() -> None:
    header, row = "file,title" + "," * 16_382, "a.jpg,Pier" + "," * 16_382
    assert only(f"{header}\n{row}").title == "Pier"
