"""``proofs strip``, run as its user runs it, with its sheets measured on their own pixels.

Outside source of the wedge's tones: the table of CIE L*, Y and D computed with colour-science.
The rest follows from lengths: common practice, no source.
"""

import io
import json
import shutil
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
import tifffile
from PIL import Image

from proofs.outside.run_record import RECORD
from tests import near
from tests.command import gradient, in_process, proofs, report_of, write_entries

PPI = 360  # of the lab wide-tiff-360, whose files hold exact pixels
TITLE = "The long way round the lighthouse, in the wind, before anybody thought of breakfast"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two small pictures and a file that is not a picture."""
    path = tmp_path_factory.mktemp("strip")
    gradient(path / "one.jpg", 900, 600)
    gradient(path / "two.jpg", 600, 800, seed=1)
    (path / "three.jpg").write_bytes((path / "one.jpg").read_bytes()[:4000])
    write_entries(
        path,
        "number,title,file,size,bracket,chosen",
        f'1,"{TITLE}",one.jpg,long 4 in,-0.10; 0; +0.10,B',
        "2,Two,two.jpg,long 4 in,0; +0.10,",
        "3,Three,three.jpg,long 4 in,0; +0.10,",
    )
    return path


@pytest.fixture(scope="module")
def run(folder: Path) -> tuple[Path, Any]:
    out = folder / "strips-out"
    options = ("--lab", "wide-tiff-360", "--rules", "none", "--jobs", "2")
    said = proofs("strip", folder, "--out", out, *options)
    assert said.code == 4, said.out + said.err
    return out, report_of(out)


@pytest.fixture(scope="module")
def sheet(run: tuple[Path, Any]) -> np.ndarray:
    return tifffile.imread(run[0] / "strips/strip-1.tif")


@pytest.fixture(scope="module")
def prints_out(folder: Path) -> Path:
    """The folder of a run that makes prints of the same pictures at every step."""
    out = folder / "prints-out"
    options = ("--lab", "wide-tiff-360", "--rules", "none", "--variants", "--jobs", "2")
    said = proofs("make", folder, "--out", out, *options)
    assert said.code == 4, said.out + said.err
    return out


@pytest.fixture(scope="module")
def prints(prints_out: Path) -> dict[tuple[str, str], np.ndarray]:
    """The print file of each step, by entry number and letter."""
    files = sorted((prints_out / "variants").glob("*.tif"))
    return {(path.name[0], path.stem[-1].upper()): tifffile.imread(path) for path in files}


def entry(report: Any, number: str) -> Any:
    return next(e for e in report["entries"] if e["number"] == number)


def part(sheet: np.ndarray, place: dict[str, Any]) -> np.ndarray:
    """Return the pixels of a place that the report gives in mm."""
    left, top, width, height = (
        round(place[f"{side}_mm"] * PPI / 25.4) for side in ("left", "top", "width", "height")
    )
    return sheet[top : top + height, left : left + width]


def dark_columns(row: np.ndarray) -> np.ndarray:
    """Return where each dark run in a row of pixels starts."""
    dark = np.concatenate([[False], row.max(axis=-1) < 120])
    return np.flatnonzero(dark[1:] & ~dark[:-1])


def test_one_sheet_and_its_key_and_report_are_made(run: tuple[Path, Any]) -> None:
    out, report = run
    made = sorted(p.relative_to(out).as_posix() for p in out.rglob("*") if p.is_file())
    assert made == [RECORD, "report.json", "strip.pdf", "strips/strip-1.tif"]
    assert set(json.loads((out / RECORD).read_text())["files"]) == {*made} - {RECORD}
    assert [s["file"] for s in report["sheets"]] == ["strips/strip-1.tif"]


def test_the_sheet_has_the_labs_size_resolution_and_profile(run: tuple[Path, Any]) -> None:
    with tifffile.TiffFile(run[0] / "strips/strip-1.tif") as file:
        page = file.pages[0]
        assert isinstance(page, tifffile.TiffPage)
        assert page.shape == (4209, 2976, 3)  # 297 and 210 mm at 360 ppi
        assert page.tags["XResolution"].value == (360, 1)
        assert 34675 in page.tags


@pytest.mark.parametrize(
    ("number", "step"), [("1", "A"), ("1", "B"), ("1", "C"), ("2", "A"), ("2", "B")]
)
def test_each_step_has_the_pixels_of_its_print(
    run: tuple[Path, Any],
    sheet: np.ndarray,
    prints: dict[tuple[str, str], np.ndarray],
    number: str,
    step: str,
) -> None:
    reported = entry(run[1], number)
    (picture,) = reported["pictures"]
    crop = picture["crop_px"]
    rows = slice(crop["top"], crop["top"] + crop["height"])
    columns = slice(crop["left"], crop["left"] + crop["width"])
    place = next(s["crops"][0] for s in reported["steps"] if s["step"] == step)
    assert np.array_equal(part(sheet, place), prints[number, step][rows, columns])


def test_a_step_shows_at_least_an_inch_and_a_half_by_two(run: tuple[Path, Any]) -> None:
    place = entry(run[1], "1")["steps"][0]["crops"][0]
    assert place["width_mm"] >= 1.5 * 25.4 - near.SIX_DECIMALS
    assert place["height_mm"] >= 2 * 25.4 - near.SIX_DECIMALS


def test_there_is_a_quarter_inch_of_bare_paper_between_steps(
    run: tuple[Path, Any], sheet: np.ndarray
) -> None:
    first, second, _ = (step["crops"][0] for step in entry(run[1], "1")["steps"])
    gap = second["left_mm"] - first["left_mm"] - first["width_mm"]
    between = first | {"left_mm": first["left_mm"] + first["width_mm"], "width_mm": gap}
    assert gap >= 25.4 / 4 - 3 * near.SIX_DECIMALS
    assert (part(sheet, between) == 255).all()


def test_the_rule_measures_four_inches_and_a_hundred_millimetres(sheet: np.ndarray) -> None:
    # Of the last rows that are dark for 4 in and no more, the line of the rule is the lowest.
    dark = sheet.max(axis=-1) < 120
    line = np.flatnonzero(dark.sum(axis=1) > 4 * PPI)[-1]
    start = np.flatnonzero(dark[line])[-1] - 4 * PPI - 5
    above, below = (dark_columns(sheet[line + n, start:]) for n in (-8, 6))
    inches, mm = np.diff(above), np.diff(below)
    assert above[-1] - above[0] == 4 * PPI
    assert len(above) == 4 * 8 + 1
    assert below[-1] - below[0] == pytest.approx(100 / 25.4 * PPI, abs=near.HALF_A_PIXEL)
    assert len(below) == 21
    assert inches.min() == PPI // 8
    assert mm.min() == pytest.approx(5 / 25.4 * PPI, abs=2 * near.HALF_A_PIXEL)


def test_the_wedge_has_its_eleven_tones(sheet: np.ndarray, run: tuple[Path, Any]) -> None:
    # Within the frame, 3 in wide, the steps are 8 hundredths of it each from the sixth on.
    marks = run[1]["corner_marks_mm"]
    left = round((marks["left_mm"] + 25.4 / 8) * PPI / 25.4)
    column = sheet[:, left + round(0.5 * 0.03 * 3 * PPI) + 6]
    frame = np.flatnonzero((column.max(axis=-1) < 5)[3000:]) + 3000
    middle = (frame[0] + frame[-1]) // 2
    tones = [sheet[middle, left + round((10 + 8 * n) / 100 * 3 * PPI)] for n in range(11)]
    assert all(np.ptp(tone) == 0 for tone in tones)
    codes = [int(tone[0]) for tone in tones]
    assert codes[0] == 0
    assert codes[10] == 255
    assert codes[5] == pytest.approx(255 * 0.184187 ** (256 / 563), abs=near.HALF_A_CODE)
    assert all(one < other for one, other in pairwise(codes))


def test_the_corner_marks_are_where_the_report_says(
    run: tuple[Path, Any], sheet: np.ndarray
) -> None:
    marked = part(sheet, run[1]["corner_marks_mm"])
    corners = [marked[y, x] for y in (0, -1) for x in (0, -1)]
    assert all(corner.max() < 60 for corner in corners)
    outside = sheet.copy()
    part(outside, run[1]["corner_marks_mm"])[:] = 255
    assert (outside == 255).all()


def test_a_picture_that_cannot_be_read_leaves_its_places_grey(
    run: tuple[Path, Any], sheet: np.ndarray
) -> None:
    reported = entry(run[1], "3")
    assert reported["status"] == "unreadable"
    assert [step["density_reached"] for step in reported["steps"]] == [None, None]
    assert np.ptp(part(sheet, reported["steps"][0]["crops"][0])) == 0


def test_each_step_reports_what_it_reached_and_what_it_lost(run: tuple[Path, Any]) -> None:
    steps = entry(run[1], "1")["steps"]
    assert [s["density_asked"] for s in steps] == [-0.1, 0.0, 0.1]
    assert [s["density_reached"] for s in steps] == pytest.approx(
        [-0.1, 0.0, 0.1], abs=near.ONE_CODE_OF_DENSITY
    )
    blocked = [s["blocked_share"] for s in steps]
    assert blocked == sorted(blocked)
    assert [s["chosen"] for s in steps] == [False, True, False]


@pytest.mark.parametrize("number", ["1", "2"])
def test_the_run_that_makes_prints_reports_the_same_for_each_step(
    run: tuple[Path, Any], prints_out: Path, number: str
) -> None:
    keys = ("step", "density_asked", "density_reached", "blocked_share", "bare_share")
    strip = [[step[key] for key in keys] for step in entry(run[1], number)["steps"]]
    made = entry(report_of(prints_out), number)["variants"]
    assert [[step[key] for key in keys] for step in made] == strip


def test_the_key_gives_letters_densities_and_full_titles(run: tuple[Path, Any]) -> None:
    document = pypdfium2.PdfDocument(run[0] / "strip.pdf")
    text = " ".join(page.get_textpage().get_text_range() for page in document)
    assert "+0.10" in text
    assert "breakfast" in text
    assert "three.jpg" in text


def test_the_same_pictures_give_the_same_files(run: tuple[Path, Any], folder: Path) -> None:
    again = folder / "again"
    in_process_options = ("--lab", "wide-tiff-360", "--rules", "none", "--jobs", "1")
    assert proofs("strip", folder, "--out", again, *in_process_options).code == 4
    assert (again / "report.json").read_bytes() == (run[0] / "report.json").read_bytes()
    assert (again / "strip.pdf").read_bytes() == (run[0] / "strip.pdf").read_bytes()


@pytest.fixture(scope="module")
def proof_prints(folder: Path) -> Path:
    """The folder of a run with the proof sheet as pictures."""
    out = folder / "proofs-out"
    options = ("--lab", "wide-tiff-360", "--rules", "none", "--jobs", "1", "--proof-prints")
    said = proofs("strip", folder, "--out", out, *options, "--paper-size", "letter")
    assert said.code == 4, said.out + said.err
    assert "and the proof sheet as pictures, in" in said.out
    return out


def test_the_pages_of_the_proof_sheet_go_with_the_strips(
    proof_prints: Path, run: tuple[Path, Any]
) -> None:
    # Letter, 8.5 x 11 in, goes on the smallest sheet of the lab that is large enough: 297 x 420 mm.
    pages = sorted((proof_prints / "proof-prints").iterdir())
    assert pages[0].name == "proof-sheet-1.tif"
    with tifffile.TiffFile(pages[0]) as file:
        page = file.pages[0]
        assert isinstance(page, tifffile.TiffPage)
        assert page.shape == (5953, 4209, 3)
        assert page.tags["XResolution"].value == (360, 1)
    strip = proof_prints / "strips/strip-1.tif"
    assert strip.read_bytes() == (run[0] / "strips/strip-1.tif").read_bytes()


def test_the_mockups_of_proof_prints_are_there_and_print_files_are_not(proof_prints: Path) -> None:
    made = {p.relative_to(proof_prints).as_posix() for p in proof_prints.rglob("*") if p.is_file()}
    assert {name for name in made if name.startswith("mockups/2")} == {
        "mockups/2_two_a_front.png",
        "mockups/2_two_b_front.png",
        "mockups/2_two_back.png",
    }
    assert not (proof_prints / "prints").exists()
    recorded = set(json.loads((proof_prints / RECORD).read_text())["files"])
    assert recorded >= made - {RECORD}


def test_proof_prints_of_an_earlier_run_are_put_away(proof_prints: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    shutil.copytree(proof_prints, out)
    options = ("--lab", "wide-tiff-360", "--rules", "none", "--jobs", "1")
    assert proofs("strip", proof_prints.parent, "--out", out, *options).code == 4
    assert (out / "old/proof-prints/proof-sheet-1.tif").is_file()
    assert not list((out / "proof-prints").glob("*"))


def test_strips_and_prints_keep_out_of_each_others_folders(
    run: tuple[Path, Any], folder: Path
) -> None:
    said = in_process("make", folder, "--out", run[0], "--rules", "none")
    assert said.code == 5
    assert "holds what another command made" in said.err
    assert (run[0] / "strips/strip-1.tif").is_file()


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--sheet", "9x9 in"), "sells no sheet of 9 × 9 in"),
        (("--sheet", "large"), "is not a size"),
        (("--at", "0.5"), "is not a place"),
        (("--at", "0.5,1.2"), "is not a place"),
        (("--at", "nan,0.5"), "is not a place"),
    ],
)
def test_nonsense_is_refused(folder: Path, options: tuple[str, str], words: str) -> None:
    said = in_process("strip", folder, "--out", folder / "never", *options)
    assert said.code == 2
    assert words in said.err
    assert not (folder / "never").exists()


def test_the_entry_names_the_place_to_look_at_and_the_command_wins(
    folder: Path, tmp_path: Path
) -> None:
    shutil.copy(folder / "one.jpg", tmp_path)
    write_entries(tmp_path, "file,size,bracket,look_at", "one.jpg,long 8 in,0,100% 0%")
    found = []
    for name, options in (("column", ()), ("option", ("--at", "0,1"))):
        out = tmp_path / name
        said = in_process("strip", tmp_path, "--out", out, "--rules", "none", *options)
        assert said.code == 0, said.err
        found.append(report_of(out)["entries"][0]["pictures"][0])
    right, left = found
    crop, whole = right["crop_px"], right["print_px"]
    assert (crop["left"] + crop["width"], crop["top"]) == (whole["width"], 0)
    assert left["crop_px"]["left"] == 0
    assert left["crop_px"]["top"] + crop["height"] == whole["height"]


def test_place_sheet_and_touching_steps_can_be_chosen(folder: Path, tmp_path: Path) -> None:
    own = tmp_path / "own"
    own.mkdir()
    shutil.copy(folder / "one.jpg", own)
    write_entries(own, "file,size,bracket", "one.jpg,long 8 in,0; +0.10")
    out = tmp_path / "out"
    options = ("--edge-to-edge", "--at", "1,0", "--sheet", "7x5 in", "--rules", "none")
    said = proofs("strip", own, "--out", out, *options, "--jobs", "1")
    assert said.code == 0, said.out + said.err
    report = report_of(out)
    reported = report["entries"][0]
    first, second = (step["crops"][0] for step in reported["steps"])
    (picture,) = reported["pictures"]
    assert picture["crop_px"]["top"] == 0
    right = picture["crop_px"]["left"] + picture["crop_px"]["width"]
    assert right == picture["print_px"]["width"]
    assert second["left_mm"] == pytest.approx(
        first["left_mm"] + first["width_mm"], abs=3 * near.SIX_DECIMALS
    )
    with Image.open(io.BytesIO((out / "strips/strip-1.jpg").read_bytes())) as image:
        assert image.size == (2100, 1500)
        assert image.info["dpi"] == (300, 300)
        assert "icc_profile" in image.info
