"""``proofs arrived``, run as its user runs it."""

import json
from pathlib import Path

import pytest

from tests.command import gradient, in_process, proofs, write_entries

RULES = ("--mount", "overlap-white", "--cutter", "hand")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two pictures, one of them long enough for an image of 16 in."""
    gradient(tmp_path / "one.jpg", 300, 200)
    gradient(tmp_path / "two.jpg", 300, 200, seed=1)
    write_entries(
        tmp_path, "number,title,file,size", "1,Pier,one.jpg,long 16 in", "2,Hill,two.jpg,long 12 in"
    )
    return tmp_path


def entries_as_they_are(folder: Path) -> bytes:
    return (folder / "entries.csv").read_bytes()


def test_without_readings_it_lists_what_every_print_should_measure(folder: Path) -> None:
    said = in_process("arrived", folder, *RULES, "--verbose")
    assert said.code == 0
    assert "TO MEASURE     Pier" in said.out
    assert "12 × 8 in (30.48 × 20.32 cm) planned" in said.out
    assert "2 to measure" in said.out


def test_each_entry_has_a_line_and_what_needs_a_decision_is_below(folder: Path) -> None:
    in_process("arrived", folder, "1", "15 13/16 x 10 17/32 in", *RULES)
    said = in_process("arrived", folder, "2", "12x8 in", *RULES).out
    assert said.splitlines()[-1] == "1 other opening, 1 as planned"
    table = in_process("arrived", folder, *RULES).out.partition("\n\n")[2].splitlines()
    assert [" ".join(line.split()) for line in table[:4]] == [
        "no title verdict image opening",
        "1 Pier other opening 15 13/16 × 10 17/32 in 15 9/16 × 10 1/4 in",
        "-> cut this opening instead of the planned one",
        "2 Hill as planned 12 × 8 in 11 3/4 × 7 3/4 in",
    ]
    assert in_process("arrived", folder, *RULES, "--quiet").out.splitlines()[-1] == (
        "1 other opening, 1 as planned"
    )


def test_a_print_of_15_13_16_in_is_flagged_and_gets_another_opening(folder: Path) -> None:
    before = entries_as_they_are(folder)
    said = in_process("arrived", folder, "1", "15 13/16 x 10 17/32 in", *RULES, "--verbose")
    assert said.code == 0
    assert "OTHER OPENING  Pier" in said.out
    # 15 13/16 x 10 17/32 in less 1/8 in on each side, down to the marks.
    assert "15 9/16 × 10 1/4 in at the back" in said.out
    assert "1 other opening, 1 to measure" in said.out
    assert entries_as_they_are(folder) == before


def test_a_print_that_no_opening_suits_ends_with_code_1(folder: Path) -> None:
    said = in_process("arrived", folder, "2", "9 3/4 x 6 1/2 in", *RULES, "--verbose")
    assert said.code == 1
    assert "PRINT AGAIN" in said.out
    assert "is it this entry's print?" in said.out


def test_readings_are_kept_next_to_the_entries_and_can_be_replaced(folder: Path) -> None:
    in_process("arrived", folder, "2", "11 3/4 x 8 in", *RULES)
    first = (folder / "arrived.csv").read_bytes()
    said = in_process("arrived", folder, "2", "12x8 in", "--sheet", "12x16 in", *RULES, "--verbose")
    assert "the earlier file is kept as arrived.before-1.csv" in said.out
    assert (folder / "arrived.before-1.csv").read_bytes() == first
    assert "2,1,12 in,8 in,12 in,16 in" in (folder / "arrived.csv").read_text("utf-8-sig")
    assert "AS PLANNED" in said.out


def test_a_float_is_trimmed_first_and_its_borders_are_those_of_its_paper(folder: Path) -> None:
    rules = ("--mount", "float-bare", "--cutter", "hand")
    # 12 x 8 in and 1/2 in of paper all round are 13 x 9 in, in the middle of 20 x 16 in.
    in_full = (*rules, "--verbose")
    planned = in_process("arrived", folder, *in_full).out
    assert (
        "trim       to 13 × 9 in (33.02 × 22.86 cm): 1/2 in (1.27 cm) outside the image" in planned
    )
    large = in_process(
        "arrived", folder, "2", "12x8 in", "--sheet", "19x15 in", *rules, "--verbose"
    )
    assert "AS PLANNED     Hill" in large.out
    assert "trim first: the sheet measures 19 × 15 in" in large.out
    assert "untrimmed it would leave a border of only 1/2 in (1.27 cm)" in large.out
    borders = (
        "top 3 1/2 in, bottom 3 1/2 in, left 3 1/2 in, right 3 1/2 in, to the edge of the print"
    )
    assert borders in large.out
    assert "-> trim it first, then mount it in its place" in large.out
    small = in_process(
        "arrived", folder, "2", "12x8 in", "--sheet", "12 1/2 x 9 in", *rules, "--verbose"
    )
    assert "left 3 3/4 in, right 3 3/4 in, to the edge of the print" in small.out
    assert "trim first" not in small.out
    assert "-> mount it in its place" in small.out


def test_a_table_of_readings_is_imported(folder: Path) -> None:
    table = folder / "ruler.csv"
    table.write_text("number,image_width,image_height\n1,16 in,10 11/16 in\n2,305 mm,203 mm\n")
    said = in_process("arrived", folder, "--from", table, *RULES)
    assert "2 as planned" in said.out
    assert len((folder / "arrived.csv").read_text("utf-8-sig").splitlines()) == 3


def test_the_record_contains_verdicts_and_sizes(folder: Path) -> None:
    said = in_process("arrived", folder, "1", "15 13/16 x 10 17/32 in", "--json", *RULES)
    one, two = json.loads(said.out)["entries"]
    assert (one["verdict"], two["verdict"]) == ("other opening", "to measure")
    # 15 13/16 in are 401.6375 mm.
    assert one["prints"][0]["image_mm"]["width"] == 401.6375
    assert (one["measured"], two["measured"]) == (True, False)


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (("9", "10x8 in"), 3, "no entry '9'; the entries are: 1, 2"),
        (("1", "10x8 in", "--picture", "2"), 3, "entry 1 has no picture 2; it has 1"),
        (("1",), 2, "add the size of the image"),
        (("1", "10x8"), 2, "has no unit"),
        (("1", "10x8 in", "--sheet", "6x4 in"), 2, "does not fit its sheet"),
        (("--sheet", "6x4 in"), 2, "--sheet goes with an entry's number"),
    ],
)
def test_nonsense_is_refused(
    folder: Path, arguments: tuple[str, ...], code: int, said: str
) -> None:
    found = in_process("arrived", folder, *arguments, *RULES)
    assert (found.code, said in found.err) == (code, True), found.err
    assert not (folder / "arrived.csv").exists()


def test_a_reading_that_cannot_be_understood_stops_the_run(folder: Path) -> None:
    (folder / "arrived.csv").write_text("number,image_width,image_height\n1,ten,8 in\n")
    found = in_process("arrived", folder, *RULES)
    assert found.code == 3
    assert "arrived.csv: line 2: image_width" in found.err


def test_it_runs_as_a_program(folder: Path) -> None:
    assert proofs("arrived", folder, *RULES).code == 0


def test_an_unreadable_photograph_is_reported_and_the_others_go_on(folder: Path) -> None:
    (folder / "two.jpg").write_bytes(b"no picture")
    said = in_process("arrived", folder, *RULES, "--verbose")
    assert said.code == 4
    assert "UNREADABLE Hill" in said.out
    assert "TO MEASURE     Pier" in said.out


def test_each_print_of_a_board_is_measured_separately(folder: Path) -> None:
    write_entries(folder, "number,title,file,size", "7,Pair,one.jpg | two.jpg,long 7 in")
    rules = (*RULES, "--rules", "none")
    first = in_process("arrived", folder, "7", "7 x 4 11/16 in", *rules)
    assert "1 to measure" in first.out
    second = in_process("arrived", folder, "7", "6 7/8 x 4 5/8 in", "--picture", "2", *rules)
    assert "1 other opening" in second.out
    # 6 7/8 x 4 5/8 in less 1/8 in on each side.
    assert "6 5/8 × 4 3/8 in" in second.out
