"""Rows of ``shelf.csv``: what each cell may hold, and what is said of one that is wrong."""

import pytest

from proofs.errors import EntriesError, ExitCode
from proofs.lengths import inches, millimetres
from proofs.measures import read_size
from proofs.records.shelf import SHELF_COLUMNS, ShelfBoard, ShelfKind, read_shelf

HEADER = ",".join(SHELF_COLUMNS)
BOARD = read_size("16x20 in")


def read(*rows: str, header: str = HEADER) -> tuple[ShelfBoard, ...]:
    return read_shelf("\n".join([header, *rows]).encode(), "shelf.csv")


def test_a_row_says_what_lies_there_and_how_many() -> None:
    assert read("ready-cut mat,16x20 in,10 1/2x13 1/2 in,Off-white,Black,1.4 mm,3,top left") == (
        ShelfBoard(
            ShelfKind.READY_CUT,
            BOARD,
            millimetres("1.4"),
            "off-white",
            "black",
            read_size("10.5x13.5 in"),
            3,
            line=2,
        ),
    )


def test_colour_core_count_and_opening_may_be_left_out() -> None:
    (board,) = read("Backing,16x20 in,3/16 in", header="kind,size,thickness")
    assert (board.colour, board.core, board.count, board.opening) == ("white", "white", 1, None)
    assert (board.kind, board.thickness) == (ShelfKind.BACKING, inches("3/16"))


def test_a_spreadsheet_may_write_semicolons_and_decimal_commas() -> None:
    text = "kind;size;thickness;count\nsheet;81,5x112 cm;1,4 mm;2\n"
    (board,) = read_shelf(text.encode("utf-16"), "shelf.csv")
    assert (board.size, board.thickness) == (read_size("815x1120 mm"), millimetres("1.4"))


def test_a_row_of_which_nothing_is_left_may_stay() -> None:
    (board,) = read("blank mat,16x20 in,,,,1.4 mm,0,")
    assert board.count == 0


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("ready cut,16x20 in,,,,1.4 mm,1,", "kind: 'ready cut' is no kind of board; did you mean"),
        (",16x20 in,,,,1.4 mm,1,", "kind: '' is no kind of board; write ready-cut mat, blank mat"),
        ("sheet,,,,,1.4 mm,1,", "size: it is blank; write the outer size of the board"),
        ("sheet,32x40,,,,1.4 mm,1,", "size: '32x40' has no unit; write a size such as '12x8 in'"),
        ("sheet,0x40 in,,,,1.4 mm,1,", "size: '0x40 in' is not the size of a board; write sides"),
        ("sheet,32x90 in,,,,1.4 mm,1,", "size: '32x90 in' is not the size of a board"),
        ("ready-cut mat,16x20 in,,,,1.4 mm,1,", "opening: it is blank; write the opening of the"),
        ("blank mat,16x20 in,8x10 in,,,1.4 mm,1,", "opening: a blank mat has no opening; leave"),
        ("ready-cut mat,16x20 in,16x10 in,,,1.4 mm,1,", "opening: '16x10 in' is not inside a"),
        ("ready-cut mat,11x14 in,12x8 in,,,1.4 mm,1,", "write board and opening the same way up"),
        ("sheet,32x40 in,,,,,1,", "thickness: it is blank; write how thick the board is"),
        (
            "sheet,32x40 in,,,,4 ply,1,",
            "thickness: '4 ply' is not a thickness; write it with its unit",
        ),
        ("sheet,32x40 in,,,,2 in,1,", "thickness: '2 in' is not the thickness of a board; write"),
        ("sheet,32x40 in,,,,1.4 mm,some,", "count: 'some' is not a number of boards; write how"),
        ("sheet,32x40 in,,,,1.4 mm,-1,", "count: '-1' is not a number of boards"),
        ("sheet,32x40 in,,,,1.4 mm,1,,8", "it has more cells than columns; delete those"),
        ('sheet,"32x40 in', "a cell starts with a quotation mark"),
    ],
)
def test_a_row_that_cannot_be_understood_names_its_line_and_the_remedy(row: str, said: str) -> None:
    with pytest.raises(EntriesError, match=r"^shelf\.csv: line 2") as caught:
        read(row)
    assert said in str(caught.value)
    assert caught.value.exit_code is ExitCode.NOT_UNDERSTOOD


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("kind,size,thicknes", "no column is named 'thickness'; rename 'thicknes' to 'thickness'"),
        ("kind,size,thickness,openning", "column 'openning' is not known; rename it to 'opening'"),
    ],
)
def test_a_missing_or_mistyped_column_is_named(header: str, said: str) -> None:
    with pytest.raises(EntriesError, match=said):
        read("sheet,32x40 in,1.4 mm,", header=header)


def test_a_column_of_ones_own_is_no_fault() -> None:
    assert len(read("sheet,32x40 in,1.4 mm,loft", header="kind,size,thickness,where")) == 1


@pytest.mark.parametrize(
    ("thickness", "is_alike"), [("1.4 mm", True), ("1.5 mm", True), ("1.51 mm", False)]
)
def test_boards_are_alike_to_a_tenth_of_a_millimetre(thickness: str, is_alike: bool) -> None:
    (board,) = read(f"sheet,32x40 in,,,,{thickness},1,")
    assert board.is_as_thick(millimetres("1.4")) is is_alike


@pytest.mark.parametrize("raw", [b"", b"\r\n\r\n", b"sep=;\n;;\n"])
def test_an_empty_file_is_told_what_to_do_with_it(raw: bytes) -> None:
    with pytest.raises(EntriesError) as caught:
        read_shelf(raw, "shelf.csv")
    assert str(caught.value) == "shelf.csv: is empty; write its header row, or delete the file"
