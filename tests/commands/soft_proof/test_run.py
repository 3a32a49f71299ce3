"""A run with a soft proof, as its user runs it; the printer is invented."""

import shutil
from pathlib import Path
from typing import Any

import pytest

from tests.command import gradient, in_process, pdf_text, report_of, write_entries
from tests.labs import greens, write_paper_lab


def folder_of(path: Path, soft: str = "") -> Path:
    """A folder with a muted picture, one of strong greens, and a lab's profile."""
    write_paper_lab(path, soft)
    gradient(path / "quiet.jpg", 300, 200)
    greens(path / "greens.tif")
    write_entries(
        path,
        "number,title,file,size,bracket,chosen",
        "1,Quiet,quiet.jpg,long 10.5 in,0; +0.10,B",
        "2,Greens,greens.tif,long 10.5 in,0; +0.10,",
    )
    return path


@pytest.fixture(scope="module")
def run(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Any]:
    folder = folder_of(tmp_path_factory.mktemp("soft"))
    said = in_process(
        "make", folder, "--out", folder / "out", "--lab", "rag", "--soft-proof", "--jobs", "1"
    )
    assert said.code == 0, said.out + said.err
    return folder, report_of(folder / "out")


def losses(report: Any) -> list[list[Any]]:
    return [[f for f in e["findings"] if f["code"] == "gamut-loss"] for e in report["entries"]]


def test_the_report_states_which_picture_loses_colour_and_how_much(run: tuple[Path, Any]) -> None:
    quiet, (greens,) = losses(run[1])
    assert quiet == []
    assert greens["severity"] == "warning"
    assert (greens["measured"], greens["limit"], greens["unit"]) == (100.0, 2.0, "%")
    assert [entry["status"] for entry in run[1]["entries"]] == ["met", "met"]


def test_the_pages_show_both_entries_and_the_paper(run: tuple[Path, Any]) -> None:
    text = pdf_text(run[0] / "out" / "soft-proof.pdf")
    wanted = ("Quiet", "Greens", "+0.10 D; chosen", "no step chosen", "Made-up printer", "L* 96.0")
    assert [words for words in wanted if words not in text] == []


def test_a_second_run_gives_the_same_bytes_and_one_without_puts_them_away(
    run: tuple[Path, Any], tmp_path: Path
) -> None:
    out = tmp_path / "out"
    shutil.copytree(run[0] / "out", out)
    before = (out / "soft-proof.pdf").read_bytes()
    common = ("make", run[0], "--out", out, "--lab", "rag", "--jobs", "1")
    assert in_process(*common, "--soft-proof").code == 0
    assert (out / "soft-proof.pdf").read_bytes() == before
    prints = {p.name: p.read_bytes() for p in (out / "prints").iterdir()}
    assert in_process(*common).code == 0
    assert not (out / "soft-proof.pdf").exists()
    assert losses(report_of(out)) == [[], []]
    assert {p.name: p.read_bytes() for p in (out / "prints").iterdir()} == prints


def test_limits_that_make_no_sense_are_refused(tmp_path: Path) -> None:
    folder = folder_of(tmp_path, "[soft_proof]\nshare = 2\n")
    said = in_process("make", folder, "--out", folder / "out", "--lab", "rag", "--soft-proof")
    assert said.code == 3
    assert "soft_proof.share: found 2; expected a number from 0 to 1" in said.err
