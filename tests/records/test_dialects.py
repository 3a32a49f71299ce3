"""Tables as spreadsheets save them.

Outside sources: RFC 4180 for quotation marks and line ends, section 23.8 of the Unicode
Standard for byte order marks, and Python's own csv module as a second reader and writer.
"""

import codecs
import csv
import io
from collections.abc import Iterable, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy as Strategy

from proofs.errors import EntriesError
from proofs.records.dialects import Dialect, append_rows, read_rows, replace_cell, write_rows
from proofs.records.rows import UNCLOSED, Row, rows_in

HEADER = ("number", "title", "file")
ENCODINGS = {
    "utf-8": (b"", "utf-8"),
    "utf-8-sig": (codecs.BOM_UTF8, "utf-8"),
    "utf-16-le": (codecs.BOM_UTF16_LE, "utf-16-le"),
    "utf-16-be": (codecs.BOM_UTF16_BE, "utf-16-be"),
    "cp1252": (b"", "cp1252"),
}
HOSTILE = [
    "Pier; at, dawn",
    'The "Old" Pier',
    '"',
    '""",',
    "line\nbreak",
    "line\r\nbreak\r",
    " outer blanks\u00a0",
    "=1+1",
    "+49 30",
    "-- --",
    "-0.10",
    "@home",
    "\tindented",
    "'Tis",
    "'=1",
    "''",
    "'",
    "sep=;",
    "Sep=,",
    "20,3",
    "\ufeffmark",
    "Ωμέγα Зима 日本 📷",
    "",
]

texts = st.one_of(
    st.sampled_from(HOSTILE),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=12),
    st.text(st.sampled_from("ab\"',;\t\r\n =+-@"), max_size=8),
)
headings = st.one_of(
    st.sampled_from(HOSTILE),
    st.text(st.characters(exclude_categories=["Cs", "Cc", "Z"]), max_size=12),
)
latin_texts = st.text(st.sampled_from("abé€ß\"',;\t\r\n =+-@"), max_size=8)
separators = st.sampled_from([",", ";", "\t"])
newlines = st.sampled_from(["\r\n", "\n", "\r"])
encodings = st.sampled_from(sorted(ENCODINGS))


def rows_of(cells: Strategy[str]) -> Strategy[list[tuple[str, ...]]]:
    return st.lists(st.tuples(cells, cells, cells), max_size=5)


def saved(
    rows: Iterable[Sequence[str]],
    encoding: str = "utf-8",
    separator: str = ",",
    newline: str = "\r\n",
    *,
    is_quoted: bool = True,
) -> bytes:
    """The bytes of a table as another writer saves it."""
    page = io.StringIO()
    if is_quoted:
        writer = csv.writer(
            page, delimiter=separator, lineterminator=newline, quoting=csv.QUOTE_ALL
        )
    else:
        writer = csv.writer(page, delimiter=separator, lineterminator=newline)
    writer.writerows(rows)
    mark, code = ENCODINGS[encoding]
    return mark + page.getvalue().encode(code)


def named(header: tuple[str, str, str]) -> tuple[str, ...]:
    """A header that is not blank throughout, which would make the next row the header."""
    return (header[0], header[1], f"{header[2]}file")


def cells_of(raw: bytes) -> list[tuple[str, ...]]:
    return [row.cells for row in read_rows(raw, "entries.csv")[1]]


SIGNS = tuple("=+-@＝＋－＠﹦﹢﹣﹫")
UNSEEN = "".join(c for c in map(chr, range(0x10000)) if c.isspace()) + "".join(
    map(chr, (0xAD, 0x61C, 0x180E, *range(0x200B, 0x2010), *range(0x202A, 0x202F), 0xFEFF))
)
UNSEEN += "".join(map(chr, (*range(0x2060, 0x2065), *range(0x2066, 0x2070))))


def unguarded(text: str) -> str:
    """The text without the apostrophe that keeps a spreadsheet from reading a formula."""
    if text[:1] != "'":
        return text
    seen = text[1:].lstrip(UNSEEN)
    is_guard = text[1:2] in ("\t", "\r", "'") or seen[:1] in SIGNS
    return text[1:] if is_guard and text[1:] else text


@given(header=st.tuples(headings, headings, headings).map(named), rows=rows_of(texts))
def test_a_table_written_is_read_back_cell_for_cell(
    header: tuple[str, ...], rows: list[tuple[str, ...]]
) -> None:
    assert cells_of(write_rows([header, *rows])) == [header, *rows]


@pytest.mark.parametrize(
    "text", ["＝1+1", "＋1", "－1-1", "＠x", "﹣1", "\u200b=1", "\ufeff@x", " =1", "\t=1", "\r=1"]
)
def test_a_sign_in_any_form_or_behind_what_nobody_sees_is_guarded(text: str) -> None:
    page = write_rows([HEADER, ("1", text, "a.jpg")]).decode("utf-8-sig")
    ((_, cell, _),) = list(csv.reader(io.StringIO(page, newline="")))[1:]
    assert cell == f"'{text}"
    assert cells_of(write_rows([HEADER, ("1", text, "a.jpg")]))[1][1] == text


@given(rows=rows_of(texts))
def test_a_second_reader_finds_the_same_cells_in_a_table_written(
    rows: list[tuple[str, ...]],
) -> None:
    page = io.StringIO(write_rows([HEADER, *rows]).decode("utf-8-sig"), newline="")
    assert [tuple(map(unguarded, row)) for row in csv.reader(page)] == [HEADER, *rows]


@given(rows=rows_of(latin_texts), encoding=encodings, separator=separators, newline=newlines)
def test_a_table_of_any_dialect_is_read_cell_for_cell(
    rows: list[tuple[str, ...]], encoding: str, separator: str, newline: str
) -> None:
    title = "Müße"  # no ASCII, and no UTF-8 when saved as Windows-1252
    raw = saved([HEADER, ("1", title, "a.jpg"), *rows], encoding, separator, newline)
    dialect, found = read_rows(raw, "entries.csv")
    assert dialect == Dialect(encoding, separator, newline)
    unchanged = [tuple(map(unguarded, row)) for row in rows]
    assert [row.cells for row in found] == [HEADER, ("1", title, "a.jpg"), *unchanged]


@given(rows=rows_of(latin_texts), separator=separators)
def test_quotation_marks_are_needed_only_around_separators(
    rows: list[tuple[str, ...]], separator: str
) -> None:
    raw = saved([HEADER, *rows], separator=separator, is_quoted=False)
    assert cells_of(raw) == [HEADER, *[tuple(map(unguarded, row)) for row in rows]]


@given(
    rows=rows_of(latin_texts),
    encoding=encodings,
    separator=separators,
    newline=newlines,
    column=st.integers(0, 2),
    text=latin_texts,
    place=st.integers(0, 5),
)
def test_one_cell_changes_and_every_other_byte_stays(
    rows: list[tuple[str, ...]],
    encoding: str,
    separator: str,
    newline: str,
    column: int,
    text: str,
    place: int,
) -> None:
    raw = saved([HEADER, ("1", "Müße", "a.jpg"), *rows], encoding, separator, newline)
    _, before = read_rows(raw, "entries.csv")
    row = before[1 + place % (len(before) - 1)]
    made = replace_cell(raw, row.line, column, text)
    mark, code = ENCODINGS[encoding]
    first, last = (
        len(mark + raw[len(mark) :].decode(code)[:offset].encode(code))
        for offset in row.spans[column]
    )
    assert made.startswith(raw[:first])
    assert made.endswith(raw[last:])
    expected = tuple(text if n == column else cell for n, cell in enumerate(row.cells))
    assert cells_of(made) == [expected if r is row else r.cells for r in before]


@given(
    rows=rows_of(latin_texts),
    encoding=encodings,
    separator=separators,
    newline=newlines,
    added=rows_of(latin_texts),
)
def test_rows_are_added_after_bytes_that_stay(
    rows: list[tuple[str, ...]],
    encoding: str,
    separator: str,
    newline: str,
    added: list[tuple[str, ...]],
) -> None:
    raw = saved([HEADER, ("1", "Müße", "a.jpg"), *rows], encoding, separator, newline)
    made = append_rows(raw, added)
    assert made.startswith(raw)
    assert cells_of(made) == cells_of(raw) + added
    assert read_rows(made, "x")[0] == Dialect(encoding, separator, newline)


def test_nothing_added_leaves_the_file_as_it_is() -> None:
    assert append_rows(b"file\na.jpg", []) == b"file\na.jpg"


def test_a_line_end_missing_at_the_end_is_added_before_new_rows() -> None:
    made = append_rows(b"file;title\na.jpg;A", [("b.jpg", "B")])
    assert made == b"file;title\na.jpg;A\nb.jpg;B\n"


def test_a_letter_that_the_encoding_lacks_prevents_adding_rows() -> None:
    raw = saved([HEADER, ("1", "Müße", "a.jpg")], "cp1252")
    with pytest.raises(EntriesError, match=r"cp1252.*CSV UTF-8"):
        append_rows(raw, [("2", "Зима", "b.jpg")])


def test_a_letter_that_the_encoding_lacks_prevents_changing_a_cell() -> None:
    raw = saved([HEADER, ("1", "Müße", "a.jpg")], "cp1252")
    with pytest.raises(EntriesError, match="CSV UTF-8"):
        replace_cell(raw, 2, 1, "Зима")


def test_a_file_name_that_is_not_unicode_cannot_be_written() -> None:
    with pytest.raises(EntriesError, match="rename the file"):
        write_rows([HEADER, ("1", "a", "a\udcff.jpg")])


def test_rows_are_not_added_inside_a_quotation_mark_left_open_at_the_end() -> None:
    with pytest.raises(EntriesError, match="quotation mark"):
        append_rows(b'file,title\n"a.jpg,A', [("x", ",")])


def test_a_row_too_short_for_a_cell_is_filled_up() -> None:
    assert replace_cell(b"file;title;notes\na.jpg\n", 2, 2, "n") == b"file;title;notes\na.jpg;;n\n"


def test_a_cell_of_a_missing_row_cannot_be_changed() -> None:
    with pytest.raises(EntriesError, match="line 7"):
        replace_cell(b"file\na.jpg\n", 7, 0, "b.jpg")


def test_a_new_table_opens_in_every_spreadsheet() -> None:
    # Byte order mark so that UTF-8 is seen as such: common practice, no source. CRLF: RFC 4180.
    assert write_rows([["file", "title"], ["ä.jpg", "=1+1"]]) == (
        b"\xef\xbb\xbffile,title\r\n\xc3\xa4.jpg,'=1+1\r\n"
    )


@pytest.mark.parametrize("text", ["=1+1", "+49 30", "-- --", "@home"])
def test_a_text_that_looks_like_a_formula_is_written_as_text(text: str) -> None:
    assert f"'{text}\r\n".encode() in write_rows([["file"], [text]])


@pytest.mark.parametrize("text", ["-0.10", "+0,2", "-3"])
def test_a_plain_number_is_not_a_formula(text: str) -> None:
    assert b"'" not in write_rows([["chosen"], [text]])


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_a_first_line_may_name_the_separator(separator: str) -> None:
    raw = f"sep={separator}\r\nfile{separator}title, or; name\r\na.jpg{separator}".encode()
    dialect, rows = read_rows(raw, "entries.csv")
    assert dialect.separator == separator
    assert [row.line for row in rows] == [2, 3]


@pytest.mark.parametrize(
    ("raw", "separator"),
    [
        (b"file;size, in inches\na.jpg;12x8 in\n", ";"),
        (b"file;size, w, h, or so\na.jpg;12x8 in\nb.jpg;8x12 in\n", ";"),
        (b'file,"a; b; c; d"\na.jpg,x\n', ","),
        (b'"file, name";title\na.jpg;"x, y"\n', ";"),
        (b"file\na.jpg\n", ","),
        (b"file\ttitle, long; or short\na.jpg\tx\n", "\t"),
        (b"file,title\na.jpg\nb.jpg\n", ","),
        (b"file;size\na.jpg;20,3x10 cm\nb.jpg;30,5x20 cm\n", ";"),
    ],
)
def test_the_separator_is_the_one_that_makes_a_table(raw: bytes, separator: str) -> None:
    assert read_rows(raw, "entries.csv")[0].separator == separator


def test_a_row_knows_the_line_on_which_it_begins() -> None:
    raw = b'\r\nfile,title\r\na.jpg,"two\nlines"\r\n\r\nb.jpg,B\r\n'
    assert [row.line for row in read_rows(raw, "x")[1]] == [1, 2, 3, 5, 6]


def test_a_span_holds_a_cell_as_it_is_written() -> None:
    text = 'file,title\na.jpg, "The ""Old"" Pier" \n'
    assert [text[slice(*span)] for span in rows_in(text, ",")[1].spans] == [
        "a.jpg",
        ' "The ""Old"" Pier" ',
    ]


def test_blanks_around_a_quoted_cell_are_not_part_of_it() -> None:
    assert cells_of(b'file, "title"\na.jpg, "Pier, dawn" \n')[1] == ("a.jpg", "Pier, dawn")


@pytest.mark.parametrize(
    "row", ['a.jpg,"Pier', '"a.jpg,Pier', 'a.jpg,"Pier" dawn', '"a" b.jpg,Pier']
)
def test_an_unclosed_quotation_mark_spoils_only_its_own_row(row: str) -> None:
    _, rows = read_rows(f'file,title\n{row}\nb.jpg,"B"\nc.jpg,C\n'.encode(), "entries.csv")
    assert [r.fault for r in rows] == ["", UNCLOSED, "", ""]
    assert rows[2].cells == ("b.jpg", "B")


@pytest.mark.parametrize(
    ("raw", "found"),
    [
        (b"", "empty"),
        (b"\xef\xbb\xbf", "empty"),
        (b" \r\n,,,\r\n", "empty"),
        (b"sep=;\r\n", "empty"),
        (b"PK\x03\x04\x14\0\x06\0", "workbook.*CSV UTF-8"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1", "workbook.*CSV UTF-8"),
        (b"\xff\xd8\xff\xe0\0\x10JFIF", "not text"),
        (b"f\0i\0l\0e\0\n\0", "not text"),
        (b"\xff\xfe\0\0f\0\0\0", "not text"),
        (b"\xff\xfef\0i", "utf-16-le"),
        (b"\xef\xbb\xbffile\n\xff.jpg", "utf-8-sig"),
    ],
)
def test_a_file_that_is_not_a_table_is_refused_with_what_it_is(raw: bytes, found: str) -> None:
    with pytest.raises(EntriesError, match=f"entries.csv: .*{found}"):
        read_rows(raw, "entries.csv")


@given(raw=st.binary(max_size=60))
def test_any_bytes_are_a_table_or_refused(raw: bytes) -> None:
    assert isinstance(_rows_or_refusal(raw), tuple | EntriesError)


@pytest.mark.parametrize(
    ("encoding", "separator", "newline"),
    [("latin-9", ",", "\n"), ("utf-8", "|", "\n"), ("utf-8", ",", "\f")],
)
def test_an_unknown_dialect_is_refused(encoding: str, separator: str, newline: str) -> None:
    with pytest.raises(ValueError, match="no"):
        Dialect(encoding, separator, newline)


def _rows_or_refusal(raw: bytes) -> tuple[Dialect, tuple[Row, ...]] | EntriesError:
    try:
        return read_rows(raw, "entries.csv")
    except EntriesError as error:
        return error
