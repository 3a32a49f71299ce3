"""Entries of several pictures through the whole command, and prints with their surround."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tests.command import gradient, in_process, proofs, report_of, write_entries

PPI = 300


@pytest.fixture(scope="module")
def run(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Any]:
    """One run: diptychs, one of them half unreadable, and surrounds of one picture and of two."""
    folder = tmp_path_factory.mktemp("several")
    gradient(folder / "a.tif", 900, 600)
    gradient(folder / "b.tif", 600, 600)
    (folder / "broken.tif").write_bytes(b"no picture")
    write_entries(
        folder,
        "number,title,file,size,mount,bracket,arrangement",
        "1,Two,a.tif | b.tif,long 6 in,,0; +0.10,row",
        "2,Alone,a.tif,long 11 in,printed-surround,0,",
        "3,Half,a.tif|broken.tif,long 6 in,,0,",
        "4,Both,a.tif|b.tif,long 6 in,printed-surround,0; +0.10,row",
    )
    out = folder / "out"
    said = proofs("make", folder, "--out", out, "--variants", "--rules", "none")
    assert said.code == 4, said.out + said.err
    # Two for the first entry, one for the second, one for the fourth; the third is unreadable.
    assert "making 4 print files, 7 variants, 8 mock-ups" in said.out
    assert "4 print files" in said.out.partition("ready in ")[2]
    return out, report_of(out)


def entry(report: Any, number: str) -> Any:
    """Return the entry with this number."""
    return next(e for e in report["entries"] if e["number"] == number)


def test_a_broken_rule_of_a_delivered_entry_is_named_once(tmp_path: Path) -> None:
    gradient(tmp_path / "a.tif", 900, 600)
    gradient(tmp_path / "b.tif", 600, 600)
    write_entries(
        tmp_path,
        "number,title,file,size,chosen,arrangement",
        "1,Two,a.tif | b.tif,long 4 in,A,row",
    )
    options = ("--lab", "srgb-jpeg-300", "--rules", "print-16x20-in", "--anyway")
    said = in_process("deliver", tmp_path, "--out", tmp_path / "out", *options)
    assert said.code == 1, said.out + said.err
    broken = [line for line in said.out.splitlines() if "breaks a rule" in line]
    assert broken
    assert len(broken) == len(set(broken))
    assert [line for line in broken if not line.startswith("entry 1: ")] == []


def test_each_picture_has_print_files_of_its_own(run: tuple[Path, Any]) -> None:
    names = sorted(p.name for p in (run[0] / "prints").iterdir())
    assert names == ["1_two_1.jpg", "1_two_2.jpg", "2_alone.jpg", "4_both.jpg"]
    variants = sorted(p.name for p in (run[0] / "variants").iterdir())
    assert variants[:4] == ["1_two_1_a.jpg", "1_two_1_b.jpg", "1_two_2_a.jpg", "1_two_2_b.jpg"]


def test_the_visible_size_of_each_is_measured_in_its_file(run: tuple[Path, Any]) -> None:
    plain = next(v for v in entry(run[1], "1")["variants"] if v["density"] == 0)
    # 6 x 4 and 4 x 4 in less 1/8 in all round.
    assert [p["measured_visible_mm"] for p in plain["pictures"]] == [
        {"width": 146.05, "height": 95.25},
        {"width": 95.25, "height": 95.25},
    ]
    assert [p["width_px"] for p in plain["pictures"]] == [1800, 1200]


def test_one_mock_up_for_each_step_shows_both(run: tuple[Path, Any]) -> None:
    assert len(entry(run[1], "1")["mockups"]["front"]) == 2


def test_two_pictures_on_one_surround_share_one_file_and_lie_where_planned(
    run: tuple[Path, Any],
) -> None:
    both = entry(run[1], "4")
    plain = next(v for v in both["variants"] if v["density"] == 0)
    assert {p["file"] for p in plain["pictures"]} == {"prints/4_both.jpg"}
    with Image.open(run[0] / "prints/4_both.jpg") as image:
        assert image.size == (round(20.25 * PPI), round(16.25 * PPI))
        row = np.asarray(image)[image.height // 2].astype(int).max(axis=1)
    # Images of 6 and 4 in with 1 in between: 11 in in the middle of 20.25 in, from 4.625 in on.
    pictures = np.flatnonzero(row < 250)
    assert (pictures[0], pictures[-1]) == pytest.approx((1388 - 6, 4688 + 5), abs=2.01)
    assert row[1388 + 1800 + 20 : 1388 + 2100 - 20].min() >= 254


def test_a_print_with_its_surround_has_the_size_of_the_board_and_a_quarter_inch(
    run: tuple[Path, Any],
) -> None:
    with Image.open(run[0] / "prints/2_alone.jpg") as image:
        assert image.size == (round(20.25 * PPI), round(16.25 * PPI))
        assert image.info["dpi"] == (PPI, PPI)
        codes = np.asarray(image)
    # 11 x 7 1/3 in in the middle: 3300 x 2200 px from (6075 - 3300) / 2 on; 0.5 mm of keyline
    # are 6 px before it, and white paper is beyond. JPEG strays by a few codes at an edge.
    row = codes[codes.shape[0] // 2].astype(int).max(axis=1)
    dark = np.flatnonzero(row[:1400] < 128)
    assert (dark[0], dark[-1]) == pytest.approx((1388 - 6, 1388 - 1), abs=1.01)
    assert row[:1370].min() >= 254


def test_the_surround_does_not_count(run: tuple[Path, Any]) -> None:
    (variant,) = entry(run[1], "2")["variants"]
    (picture,) = variant["pictures"]
    assert picture["measured_visible_mm"]["width"] == pytest.approx(11 * 25.4, abs=0.01)


def test_a_picture_that_cannot_be_read_is_named_and_the_other_entries_go_on(
    run: tuple[Path, Any],
) -> None:
    failed = entry(run[1], "3")
    assert failed["status"] == "unreadable"
    assert "broken.tif" in failed["findings"][0]["message"]
