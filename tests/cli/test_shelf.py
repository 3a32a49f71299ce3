"""What ``check`` says of the mats on the shelf, as its user reads it."""

import json
from pathlib import Path

import pytest

from tests.command import gradient, in_process, write_entries
from tests.manual_pages import keys_of

HEADER = "kind,size,opening,colour,thickness,count"
# A picture of 3:2 that is 12 in long shows 11 3/4 x 7 3/4 in inside an overlap of 1/8 in.
EXACT = "ready-cut mat,20x16 in,11 3/4x7 3/4 in,white,1.4 mm,1"
SMALL = "ready-cut mat,16x20 in,7 1/2x11 1/2 in,white,1.4 mm,2"
BLACK = "ready-cut mat,16x20 in,11 1/2x7 1/2 in,black,1.4 mm,1"
SQUARE = "ready-cut mat,20x16 in,11x11 in,white,1.4 mm,1"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    gradient(tmp_path / "a.jpg", 3000, 2000)
    gradient(tmp_path / "b.jpg", 3000, 2000)
    write_entries(tmp_path, "number,file,size", "1,a.jpg,long 12 in", "2,b.jpg,long 11 in")
    return tmp_path


def lines_with(word: str, folder: Path, *rows: str, options: tuple[str, ...] = ()) -> list[str]:
    """Return what a check says in lines with this word, and in those that follow them."""
    (folder / "shelf.csv").write_text("\n".join([HEADER, *rows]) + "\n")
    lines = in_process("check", folder, *options).out.splitlines()
    return [
        line.strip()
        for before, line in zip(["", *lines], lines, strict=False)
        if line.strip().startswith(word) or (before.strip().startswith(word) and "->" in line)
    ]


def test_the_mat_that_suits_best_is_below_its_entry(folder: Path) -> None:
    first, _, second, remedy = lines_with("shelf", folder, SMALL)
    assert "the image stays as planned, 10 % of it hidden; 2 on the shelf" in first
    assert "opening 7 1/2 × 11 1/2 in" in second
    assert "image 11 3/4 × 7.83 in" in second
    assert second.endswith("6 % of it hidden; 2 on the shelf")
    assert remedy == "-> size: opening 11 1/2 x 7 1/2 in"


def test_a_mat_that_several_want_names_the_others(folder: Path) -> None:
    rows = [row for row in lines_with("shelf", folder, EXACT) if row.startswith("shelf")]
    assert [row.rpartition("; ")[2] for row in rows] == [
        "1 on the shelf, and suits entry 2 best too",
        "1 on the shelf, and suits entry 1 best too",
    ]
    assert "its opening is the one planned; " in rows[0]


def test_an_entry_that_a_mat_is_not_offered_to_is_not_named_among_the_others(folder: Path) -> None:
    gradient(folder / "b.jpg", 2000, 2000)  # a square would lose a third
    found = lines_with("shelf", folder, EXACT)
    assert [row.rpartition("; ")[2] for row in found] == ["1 on the shelf"]


def test_another_mat_or_way_up_says_what_else_to_write(folder: Path) -> None:
    remedy = lines_with("shelf", folder, BLACK)[1]
    assert remedy.startswith(
        "-> size: opening 11 1/2 x 7 1/2 in; board: portrait; mount: a profile"
    )
    assert "a mat of black board, white core, 0.055 in (1.4 mm)" in remedy


def test_a_mat_that_hides_much_is_stated_only_with_verbose(folder: Path) -> None:
    assert lines_with("shelf", folder, SQUARE) == []
    assert len(lines_with("shelf", folder, SQUARE, options=("--verbose",))) == 4


def test_the_record_has_all_mats_with_the_keys_of_the_manual(folder: Path) -> None:
    (folder / "shelf.csv").write_text("\n".join([HEADER, EXACT, SMALL, SQUARE]) + "\n")
    entries = json.loads(in_process("check", folder, "--json").out)["entries"]
    assert [mat["line"] for mat in entries[0]["shelf"]] == [2, 3, 4]
    assert [mat["changes"] for mat in entries[0]["shelf"]] == ["nothing", "opening", "image"]
    assert set(entries[0]["shelf"][0]) == keys_of("json-report", "A ready-cut mat that suits")
    assert entries[0]["shelf"][0]["hidden_share"] == pytest.approx(0.051432, abs=1e-9)


def test_a_check_without_a_shelf_says_nothing_of_it(folder: Path) -> None:
    assert "on the shelf" not in in_process("check", folder).out
    assert json.loads(in_process("check", folder, "--json").out)["entries"][0]["shelf"] == []


def test_a_bad_row_ends_with_3_and_names_file_line_and_remedy(folder: Path) -> None:
    (folder / "shelf.csv").write_text(f"{HEADER}\n{EXACT}\nsheet,32 by 40,,white,1.4 mm,1\n")
    said = in_process("check", folder)
    assert said.code == 3
    assert f"{folder / 'shelf.csv'}: line 3, size: '32 by 40' is not a size; write" in said.err
