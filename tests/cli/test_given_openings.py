"""Given openings through whole commands: what is refused, what is reported, what is mounted."""

import json
from pathlib import Path

import pytest

from tests import near
from tests.command import gradient, in_process, pdf_text, write_entries

READY = """
title = "Ready-cut white mat"
source = "made up"
board = "16x20 in"
opening = "10 1/2 x 13 1/2 in"

[window]
kind = "overlap"
overlap = "1/8 in"

[mat]
thickness = "1.4 mm"

[backing]
thickness = "3/16 in"
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a landscape picture of 3 to 2, and the profile of a ready-cut mat."""
    gradient(tmp_path / "a.jpg", 600, 400)
    mounts = tmp_path / "profiles" / "mounts"
    mounts.mkdir(parents=True)
    (mounts / "ready-cut.toml").write_text(READY, encoding="utf-8")
    return tmp_path


def entries(folder: Path, *rows: str) -> Path:
    """Write entries of that picture: their size, crop and mount."""
    lines = [f"{n},a.jpg,{row}" for n, row in enumerate(rows, 1)]
    return write_entries(folder, "number,file,size,crop,mount", *lines)


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("opening 9x7 in,,float-window", "is of the kind 'float'"),
        ("opening 9x7 in,,printed-surround", "is of the kind 'surround'"),
        ("opening 9x7 in,,no-window", "is of the kind 'none'"),
        ("opening 20x12 in,,overlap-white", "leaves no border on a board"),
        ("long 12 in,,ready-cut", "gives an opening of 10 1/2 × 13 1/2 in"),
        ("long 12 in,top,overlap-white", "'top' names no shape"),
    ],
)
def test_what_no_opening_can_be_given_for_ends_with_code_3(
    folder: Path, row: str, words: str
) -> None:
    said = in_process("check", entries(folder, row), "--rules", "none")
    assert said.code == 3
    assert words in said.out
    assert "->" in said.out


def test_a_profile_with_an_opening_beyond_its_board_ends_with_code_3(folder: Path) -> None:
    wrong = READY.replace("13 1/2 in", "20 in")
    (folder / "profiles" / "mounts" / "wrong.toml").write_text(wrong, encoding="utf-8")
    said = in_process("check", entries(folder, ",,wrong"), "--rules", "none")
    assert said.code == 3
    assert "opening: found '10 1/2 x 20 in'; expected an opening that leaves borders" in said.err


def test_the_report_states_the_opening_and_what_is_hidden_on_each_side(folder: Path) -> None:
    said = in_process("check", entries(folder, ",right,ready-cut"), "--rules", "none", "--json")
    (entry,) = json.loads(said.out)["entries"]
    (picture,) = entry["pictures"]
    assert picture["given_opening_mm"] == {"width": 342.9, "height": 266.7}
    # 2 3/8 in more than the overlap of 1/8 in, all of it at the left: 63.5 mm.
    hidden = picture["hidden_mm"]
    assert hidden == {"top": 3.175, "right": 3.175, "bottom": 3.175, "left": 63.5}
    (found,) = [f for f in entry["findings"] if f["code"] == "hidden-beyond"]
    assert (found["severity"], found["measured"], found["unit"]) == ("note", 14.7, "%")
    assert picture["image_mm"]["width"] == pytest.approx(16.125 * 25.4, abs=near.MILLIMETRES)


def test_a_ready_cut_mat_is_taken_and_a_print_too_small_for_it_made_again(folder: Path) -> None:
    path = entries(folder, ",,ready-cut", ",,ready-cut")
    said = in_process("arrived", path, "1", "16 1/8 x 10 3/4 in", "--rules", "none")
    assert "as planned" in said.out
    said = in_process("arrived", path, "2", "15 1/2 x 10 3/8 in", "--rules", "none")
    assert "print again" in said.out
    assert "does not suit the opening that is given" in said.out
    said = in_process("mount", path, "--rules", "none", "--anyway", "--out", folder / "out")
    assert "take 2" in said.out
    cuts = json.loads((folder / "out" / "cuts.json").read_text(encoding="utf-8"))
    assert [kind["ready_cut"] for kind in cuts["mounts"]] == [True]
    assert cuts["settings"] == []
    assert "This mat is cut already" in pdf_text(folder / "out" / "mounting.pdf")
