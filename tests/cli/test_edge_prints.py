"""Prints to the edge, from the row to the lab's file and back, read by Pillow.

The worked figures follow from the lab's: 8 x 12 in at 150 ppi is 1800 x 1200 pixels, and 1/8 in of
white, or of what the lab trims, is 19 pixels at most.
"""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tests.command import gradient, in_process, write_entries
from tests.labs import JPEG, write_labs
from tests.tampering import saved_anew

LAB = JPEG.replace("[print]", '[print]\nedge_to_edge = ["8x12 in"]')
USUAL = ("--lab", "edged", "--rules", "none", "--jobs", "1")
ROWS = (
    "number,title,file,size,crop,chosen",
    "1,Pier,pier.jpg,print 12x8 in,,0",
    "2,Oak,oak.jpg,print 12x8 in,2x3 top,0",
    "3,Sheet,pier.jpg,sheet 12x8 in,,0",
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A picture of 3:2, and one of 3:4 that has to be cropped."""
    path = tmp_path_factory.mktemp("edges")
    gradient(path / "pier.jpg", 2400, 1600)
    gradient(path / "oak.jpg", 1200, 1600, seed=1)
    write_labs(path)
    (path / "profiles" / "labs" / "edged.toml").write_text(LAB, encoding="utf-8")
    write_entries(path, *ROWS)
    return path


@pytest.fixture(scope="module")
def made(folder: Path) -> Path:
    out = folder / "out"
    said = in_process("deliver", folder, *USUAL, "--out", out, "--margin-line")
    assert said.code == 0, said.out + said.err
    return out


def record(out: Path) -> Any:
    return json.loads((out / "delivery.json").read_bytes())["files"]


def codes(path: Path) -> Any:
    with Image.open(path) as picture:
        return np.asarray(picture, np.int16)


def _small(path: Path) -> Any:
    with Image.open(path) as picture:
        return np.asarray(picture.resize((90, 60), Image.Resampling.BOX), float)


def test_a_file_to_the_edge_is_exactly_the_sheet(made: Path) -> None:
    shapes = [codes(made / file["file"]).shape for file in record(made)]
    assert shapes == [(1200, 1800, 3), (1800, 1200, 3), (1200, 1800, 3)]


def test_the_picture_reaches_all_edges_of_its_file(made: Path, folder: Path) -> None:
    """Shrunk to the same size, the whole picture and its file differ by their compression only."""
    small = [_small(folder / "pier.jpg"), _small(made / record(made)[0]["file"])]
    assert np.abs(small[0] - small[1]).mean() < 2


def test_a_file_with_a_margin_is_white_at_its_edges(made: Path) -> None:
    edges = codes(made / record(made)[2]["file"])[:15]
    assert edges.min() >= 250


def test_the_record_states_what_the_lab_leaves_of_the_sheet(made: Path) -> None:
    files = record(made)
    assert [file["edge_to_edge"] for file in files] == [True, True, False]
    # 1800 - 2 x 18.75 = 1762.5 pixels, half up, of which 18 of the spare 37 are left and above.
    assert files[0]["image_px"] == {"left": 18, "top": 18, "width": 1763, "height": 1163}


def test_nothing_is_printed_beside_a_picture_to_the_edge(made: Path) -> None:
    files = record(made)
    assert [file["margin_marks_px"] for file in files[:2]] == [[], []]
    assert files[0]["not_there"] == ["no margin line: the print has no margin"]


def test_the_order_says_which_prints_go_to_the_edge(made: Path) -> None:
    order = (made / "order.txt").read_text("utf-8")
    assert "1 x  8 × 12 in, to the edge  " in order
    assert "Print to the edge where it says so." in order
    assert "Leave the white margin on the others." in order


def test_a_delivery_to_the_edge_is_verified(made: Path) -> None:
    said = in_process("verify", made)
    assert said.code == 0, said.out
    assert "everything is as it was made" in said.out


def test_a_file_of_other_pixels_is_noticed(made: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    in_process("deliver", made.parent, *USUAL, "--out", out, "--margin-line")
    name = record(out)[0]["file"]
    with Image.open(out / name) as picture:
        saved_anew(out, name, image=picture.crop((0, 0, 1790, 1200)))
    said = in_process("verify", out)
    assert said.code == 1
    assert "1790 × 1200 px, required: 1800 × 1200 px" in said.out


def test_a_record_that_hides_a_white_margin_is_noticed(made: Path, tmp_path: Path) -> None:
    """Without its mark, a picture that fills its sheet is printed all over the white margin."""
    out = tmp_path / "out"
    in_process("deliver", made.parent, *USUAL, "--out", out, "--margin-line")
    text = (out / "delivery.json").read_text("utf-8")
    changed = text.replace('"edge_to_edge": true', '"edge_to_edge": false')
    (out / "delivery.json").write_text(changed, "utf-8")
    said = in_process("verify", out)
    assert said.code == 1
    assert "pixels of its white margin are printed" in said.out


def test_make_writes_the_whole_file_and_measures_what_is_seen(folder: Path) -> None:
    """What the lab leaves is 11.75 x 7.75 in; the opening shows 11.5 x 7.5 in of it."""
    out = folder / "run"
    said = in_process("make", folder, *USUAL, "--out", out)
    assert said.code == 0, said.out + said.err
    first = json.loads((out / "report.json").read_bytes())["entries"][0]
    assert first["pictures"][0]["edge_to_edge"] is True
    assert codes(out / "prints" / "1_pier.jpg").shape == (1200, 1800, 3)
    seen = first["variants"][1]["pictures"][0]["measured_visible_mm"]
    assert seen == {"width": 292.1, "height": 190.5}
