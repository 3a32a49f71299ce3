"""A run with prints on two papers, as its user sees it: the lab names them, profiles describe them.

The lab, its papers and its prices are made up. That a matt paper reaches no deeper black than L* 16
is in the paper's profile, with its source.
"""

import csv
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tests.command import in_process, pdf_text, report_of, write_entries
from tests.manual_pages import keys_of

LAB = """
title = "A lab with three papers"
source = "made up"

[file]
ppi = 150
format = "jpeg"

[colour]
profile = "srgb"

[print]
sheets = ["5x7 in", "8x10 in"]
margin = "1/8 in"
papers = ["Pearl", "Cotton matt", "Gloss"]
finishes = ["lustre", "Matt"]
prices = ["5x7 in: 2.50", "8x10 in: 4.00", "Cotton matt 5x7 in: 6.20"]
"""
MAPPED = '\n[papers]\n"Cotton matt" = "matt"\nGloss = "gloss"\n'
ROWS = (
    "number,title,file,size,bracket,chosen,paper",
    "1,Pier,pier.png,long 5 in,0; +0.10,0,",
    "2,Rag,pier.png,long 5 in,0; +0.10,0,cotton matt",
    "3,Hull,pier.png,long 5 in,0; +0.10,0,Pearl",
)
USUAL = ("--lab", "papers", "--rules", "none", "--jobs", "1")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A picture of which a quarter is at L* 12: between the blacks of matt and lustre paper."""
    path = tmp_path_factory.mktemp("papers")
    codes = np.full((500, 750), 150, np.uint8)
    codes[:, 375:] += np.arange(500, dtype=np.uint8)[:, None] % 60  # no even edges, some detail
    codes[100:475, 100:350] = 32  # 93,750 of 375,000 pixels
    Image.fromarray(codes).save(path / "pier.png")
    labs = path / "profiles" / "labs"
    labs.mkdir(parents=True)
    (labs / "papers.toml").write_text(LAB + MAPPED, encoding="utf-8")
    (labs / "unmapped.toml").write_text(LAB, encoding="utf-8")
    write_entries(path, *ROWS)
    return path


def made(folder: Path, name: str, *options: str) -> Path:
    out = folder / name
    said = in_process("make", folder, *(options or USUAL), "--out", out)
    assert said.code == 0, said.out + said.err
    return out


@pytest.fixture(scope="module")
def run(folder: Path) -> Path:
    return made(folder, "made")


@pytest.fixture(scope="module")
def strips(folder: Path) -> tuple[Path, str]:
    out = folder / "strips-out"
    said = in_process("strip", folder, *USUAL, "--out", out, "--proof-prints")
    assert said.code == 0, said.out + said.err
    return out, said.out


def by_number(report: Any) -> dict[str, Any]:
    return {entry["number"]: entry for entry in report["entries"]}


def prints_of(out: Path) -> list[bytes]:
    return [path.read_bytes() for path in sorted((out / "prints").iterdir())]


def test_the_report_states_the_paper_of_each_entry(run: Path) -> None:
    report = report_of(run)
    keys = ("paper", "lab_paper", "sharpening")
    found = {n: tuple(entry[key] for key in keys) for n, entry in by_number(report).items()}
    assert found == {
        "1": ("lustre", "Pearl", "low"),
        "2": ("matt", "Cotton matt", "standard"),
        "3": ("lustre", "Pearl", "low"),
    }
    assert (report["paper"], report["sharpening"]) == ("lustre", "low")
    # Cotton is 0.45 mm thick, lustre 0.27 mm: their profiles say so.
    thick = {n: entry["thickness_mm"] for n, entry in by_number(report).items()}
    assert thick["2"] - thick["1"] == pytest.approx(0.18, abs=1e-6)


def test_shadows_are_blocked_by_the_black_of_the_entrys_own_paper(run: Path) -> None:
    plain = {n: entry["variants"][0] for n, entry in by_number(report_of(run)).items()}
    assert plain["1"]["blocked_share"] < 0.01  # only where sharpening overshoots at the edges
    assert plain["2"]["blocked_share"] == pytest.approx(0.25, abs=0.01)


def test_a_print_is_made_as_if_its_paper_were_that_of_the_run(folder: Path, run: Path) -> None:
    unmapped = ("--lab", "unmapped", "--rules", "none", "--jobs", "1")
    lustre = prints_of(made(folder, "lustre", *unmapped))
    matt = prints_of(made(folder, "matt", *unmapped, "--paper", "matt"))
    assert prints_of(run) == [lustre[0], matt[1], lustre[2]]
    assert lustre[1] != matt[1]  # sharpened less


def test_the_paper_of_the_run_is_for_entries_without_another(folder: Path) -> None:
    said = in_process("check", folder, *USUAL[:4], "--paper", "gloss", "--json")
    papers = {n: e["paper"] for n, e in by_number(json.loads(said.out)).items()}
    assert papers == {"1": "gloss", "2": "matt", "3": "gloss"}


def test_check_says_which_paper_is_not_that_of_the_run(folder: Path) -> None:
    said = in_process("check", folder, *USUAL[:4], "--verbose").out
    assert "Cotton matt is matt - Matt cotton paper" in said
    assert said.count("      paper      Cotton matt: matt - Matt cotton paper\n") == 1
    unmapped = in_process("check", folder, "--lab", "unmapped", "--rules", "none", "--verbose").out
    assert "Cotton" not in unmapped


def test_the_proof_sheet_names_the_paper_of_an_entry(run: Path) -> None:
    assert pdf_text(run / "proof-sheet.pdf").count("Cotton matt: Matt cotton paper") == 2


def test_a_paper_that_the_lab_does_not_have_is_a_fault_of_its_row(
    folder: Path, tmp_path: Path
) -> None:
    Image.open(folder / "pier.png").save(tmp_path / "pier.png")
    write_entries(
        tmp_path, "file,size,paper", "pier.png,long 5 in,Coton mat", "pier.png,long 5 in,"
    )
    said = in_process("check", tmp_path, *USUAL[:4], "--profiles", folder / "profiles")
    assert said.code == 3
    assert "line 2: paper: the lab has no 'Coton mat'" in said.out
    assert "-> did you mean 'Cotton matt'?" in said.out
    assert "2 entries: 1 not understood, 1 met" in said.out


@pytest.mark.parametrize(
    ("mapping", "words"),
    [
        (
            'Coton = "matt"',
            "papers.Coton: is not in the list print.papers; did you mean 'Cotton matt'",
        ),
        ('Gloss = "glos"', "the lab 'bad', papers.Gloss: papers: there is no profile 'glos'"),
        ("Gloss = 3", "papers.Gloss: found 3; expected text in quotes"),
    ],
)
def test_a_faulty_mapping_is_refused(folder: Path, mapping: str, words: str) -> None:
    path = folder / "profiles" / "labs" / "bad.toml"
    path.write_text(f"{LAB}\n[papers]\n{mapping}\n", encoding="utf-8")
    said = in_process("check", folder, "--lab", "bad", "--rules", "none")
    assert said.code == 3
    assert words in said.err


def test_no_sheet_of_strips_mixes_papers(strips: tuple[Path, str]) -> None:
    out, said = strips
    report = report_of(out)
    on = {
        entry["number"]: {piece["file"] for step in entry["steps"] for piece in step["crops"]}
        for entry in report["entries"]
    }
    first, second = (sheet["file"] for sheet in report["sheets"])
    assert on == {"1": {first}, "2": {second}, "3": {first}}
    assert [sheet["paper"] for sheet in report["sheets"]] == ["Pearl", "Cotton matt"]
    assert "sheet 1 for Pearl\nsheet 2 for Cotton matt\n" in said
    key = pdf_text(out / "strip.pdf")
    assert "Pearl, Cotton matt; A lab with three papers" in key
    assert "Sheet 1 · Pearl" in key
    assert "Sheet 2 · Cotton matt" in key


def test_a_strip_is_judged_by_the_black_of_its_own_paper(strips: tuple[Path, str]) -> None:
    plain = {n: entry["steps"][0] for n, entry in by_number(report_of(strips[0])).items()}
    assert plain["1"]["blocked_share"] < 0.01  # only where sharpening overshoots at the edges
    assert plain["2"]["blocked_share"] == pytest.approx(0.25, abs=0.01)
    assert by_number(report_of(strips[0]))["2"]["sharpening"] == "standard"


def test_the_report_of_strips_has_the_keys_of_the_manual(strips: tuple[Path, str]) -> None:
    report = report_of(strips[0])
    assert set(report["sheets"][0]) == keys_of("json-report", "A sheet of strips")
    assert set(report["entries"][0]) == keys_of("json-report", "An entry of strips")


def test_the_order_has_finish_and_price_of_each_paper(folder: Path) -> None:
    out = folder / "delivery"
    said = in_process("deliver", folder, *USUAL, "--out", out)
    assert said.code == 0, said.out + said.err
    with (out / "ticket.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    ordered = [(row["sheet"], row["paper"], row["finish"], row["price"]) for row in rows]
    assert ordered == [
        ("5 × 7 in", "Pearl", "lustre", "2.50"),
        ("5 × 7 in", "Cotton matt", "Matt", "6.20"),
        ("5 × 7 in", "Pearl", "lustre", "2.50"),
    ]
    assert "Cost 11.20" in said.out  # 2.50 + 6.20 + 2.50


def test_the_cheapest_sheet_is_found_by_the_prices_of_the_paper(folder: Path) -> None:
    # On Cotton matt 5x7 in costs 6.20, and 8x10 in the 4.00 of any paper.
    out = folder / "cheapest"
    assert in_process("deliver", folder, *USUAL, "--out", out, "--cheapest").code == 0
    rows = list(csv.DictReader((out / "ticket.csv").read_text("utf-8-sig").splitlines()))
    assert [row["sheet"] for row in rows] == ["5 × 7 in", "8 × 10 in", "5 × 7 in"]
