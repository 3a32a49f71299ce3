"""A whole run of ``make``, run as its user runs it, on photographs that others took."""

import errno
import hashlib
import importlib.util
import json
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tifffile
from PIL import Image

from tests.command import gradient, in_process, proofs, report_of, write_entries

# Real photographs from scikit-image's wheel: astronaut (sRGB profile, NASA, public domain),
# rocket (wide RGB profile, released to the public domain), camera (grey, CC0), coffee (no
# profile, CC0), chelsea (EXIF in PNG, CC0).
PHOTOGRAPHS = ("astronaut.png", "rocket.jpg", "camera.png", "coffee.png", "chelsea.png")


def photographs_folder() -> Path:
    found = importlib.util.find_spec("skimage")
    assert found is not None
    assert found.origin is not None
    return Path(found.origin).parent / "data"


@pytest.fixture(scope="module")
def run(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Any]:
    """One run on real photographs, for wide-gamut TIFF, with every step written."""
    folder = tmp_path_factory.mktemp("route")
    for name in PHOTOGRAPHS:
        shutil.copy(photographs_folder() / name, folder / name)
    write_entries(
        folder,
        "number,title,file,size,bracket,chosen,top_edge",
        "1,Astronaut,astronaut.png,long 10.5 in,0; +0.10,,",
        "2,Rocket,rocket.jpg,long 10.5 in,0; +0.10,+0.10,",
        "3,Camera,camera.png,long 10.5 in,0; +0.10,B,left",
        "4,Coffee,coffee.png,visible 12x8 in,,,",
        "5,Chelsea,chelsea.png,long 10 in,,,",
    )
    out = folder / "out"
    said = proofs("make", folder, "--out", out, "--variants", "--lab", "wide-tiff-360")
    assert said.code == 1, said.out + said.err
    return out, report_of(out)


def test_every_entry_has_its_status(run: tuple[Path, Any]) -> None:
    statuses = [entry["status"] for entry in run[1]["entries"]]
    assert statuses == ["met", "met", "met", "met", "broken"]


def test_an_entry_that_breaks_a_rule_has_a_mock_up_but_no_print(run: tuple[Path, Any]) -> None:
    out, report = run
    assert not list((out / "prints").glob("5_*"))
    assert all((out / name).is_file() for name in report["entries"][4]["mockups"]["front"])
    assert {v["pictures"][0]["file"] for v in report["entries"][4]["variants"]} == {None}


def test_prints_contains_one_file_per_entry_whatever_its_bracket(run: tuple[Path, Any]) -> None:
    names = sorted(path.name for path in (run[0] / "prints").iterdir())
    assert names == ["1_astronaut.tif", "2_rocket.tif", "3_camera.tif", "4_coffee.tif"]


def test_the_print_is_the_chosen_step(run: tuple[Path, Any]) -> None:
    out = run[0]
    print_file = (out / "prints/2_rocket.tif").read_bytes()
    assert print_file == (out / "variants/2_rocket_b.tif").read_bytes()
    assert print_file != (out / "variants/2_rocket_a.tif").read_bytes()


def test_an_undecided_entry_prints_the_plain_picture(run: tuple[Path, Any]) -> None:
    out, report = run
    assert (out / "prints/1_astronaut.tif").read_bytes() == (
        out / "variants/1_astronaut_a.tif"
    ).read_bytes()
    assert [v["chosen"] for v in report["entries"][0]["variants"]] == [False, False]


def test_a_second_library_reads_pixels_resolution_and_profile(run: tuple[Path, Any]) -> None:
    # tifffile; TIFF 6.0: ResolutionUnit 2 is the inch. 10.5 in at 360 ppi is 3780 pixels.
    with tifffile.TiffFile(run[0] / "prints/1_astronaut.tif") as tiff:
        page = tiff.pages.first
        assert page.shape == (3780, 3780, 3)
        assert page.tags["XResolution"].value == (360, 1)
        assert page.tags["YResolution"].value == (360, 1)
        assert page.tags["ResolutionUnit"].value == 2
        assert page.tags["InterColorProfile"].value[36:40] == b"acsp"


def test_the_report_is_true_for_each_file(run: tuple[Path, Any]) -> None:
    out, report = run
    files = [v["pictures"][0] for e in report["entries"][:4] for v in e["variants"]]
    digests = [hashlib.sha256((out / f["file"]).read_bytes()).hexdigest() for f in files]
    assert digests == [f["sha256"] for f in files]
    sizes = [tifffile.imread(out / f["file"]).shape[1::-1] for f in files]
    assert sizes == [(f["width_px"], f["height_px"]) for f in files]


def test_the_visible_size_is_measured_from_the_file(run: tuple[Path, Any]) -> None:
    # 3780 px at 360 ppi = 266.7 mm; less 1/8 in (3.175 mm) on both sides = 260.35 mm.
    picture = run[1]["entries"][0]["variants"][0]["pictures"][0]
    assert picture["measured_visible_mm"] == {"width": 260.35, "height": 260.35}


def test_the_visible_box_is_kept(run: tuple[Path, Any]) -> None:
    # 12 in = 304.8 mm; the image is 12 1/4 x 8 1/6 in, of which 12 x 7 11/12 in are seen.
    sight = run[1]["entries"][3]["pictures"][0]["sight_size_mm"]
    assert sight["width"] == pytest.approx(304.8, abs=0.001)
    assert sight["height"] == pytest.approx(95 / 12 * 25.4, abs=0.001)


def test_a_darker_step_is_darker_and_keeps_white(run: tuple[Path, Any]) -> None:
    # Some pixels of code 255 lay half a code below white before they were rounded.
    plain = tifffile.imread(run[0] / "variants/1_astronaut_a.tif").astype(float)
    darker = tifffile.imread(run[0] / "variants/1_astronaut_b.tif").astype(float)
    assert darker.mean() < plain.mean() - 5
    assert darker[(plain == 255).all(axis=-1)].min() >= 254


def test_no_name_contains_a_density(run: tuple[Path, Any]) -> None:
    names = [path.name for path in run[0].rglob("*") if path.is_file()]
    assert not [name for name in names if "0.1" in name or "010" in name or "+" in name]


def test_the_record_lists_every_file_made(run: tuple[Path, Any]) -> None:
    out = run[0]
    record = json.loads((out / "proofs-run.json").read_text())["files"]
    there = {str(p.relative_to(out)) for p in out.rglob("*") if p.is_file()}
    assert there == {*record, "proofs-run.json"}
    assert all(hashlib.sha256((out / n).read_bytes()).hexdigest() == d for n, d in record.items())


def test_the_report_contains_no_path_of_this_machine(run: tuple[Path, Any]) -> None:
    assert str(run[0].parent) not in (run[0] / "report.json").read_text()


@pytest.fixture
def two(tmp_path: Path) -> Path:
    for number in (1, 2):
        gradient(tmp_path / f"p{number}.jpg", 300, 200, seed=number)
    write_entries(
        tmp_path, "file,size,bracket", "p1.jpg,long 10.5 in,0", "p2.jpg,long 11 in,0; 0.1"
    )
    return tmp_path


def files_of(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_results_are_the_same_byte_for_byte_whatever_the_number_of_workers(two: Path) -> None:
    assert proofs("make", two, "--out", two / "one", "--jobs", "1").code == 0
    assert proofs("make", two, "--out", two / "two", "--jobs", "2").code == 0
    assert files_of(two / "one") == files_of(two / "two")


def test_a_second_run_replaces_files_and_puts_others_away(two: Path) -> None:
    assert proofs("make", two, "--out", two / "out").code == 0
    write_entries(two, "file,size,bracket", "p1.jpg,long 12 in,0")
    assert proofs("make", two, "--out", two / "out").code == 0
    with Image.open(two / "out/prints/1_p1.jpg") as printed:
        assert printed.size == (3600, 2400)
    assert (two / "out/old/prints/2_p2.jpg").is_file()
    assert not (two / "out/prints/2_p2.jpg").exists()


def test_a_print_that_someone_retouched_is_never_overwritten(two: Path) -> None:
    assert proofs("make", two, "--out", two / "out").code == 0
    (two / "out/prints/1_p1.jpg").write_bytes(b"retouched")
    said = proofs("make", two, "--out", two / "out")
    assert said.code == 5
    assert "1_p1.jpg: was changed since it was made" in said.err
    assert (two / "out/prints/1_p1.jpg").read_bytes() == b"retouched"


def test_the_folder_of_the_pictures_cannot_be_written_to(two: Path) -> None:
    before = files_of(two)
    assert proofs("make", two, "--out", two).code == 5
    assert files_of(two) == before


def test_one_bad_photograph_never_stops_the_next(two: Path) -> None:
    whole = (two / "p1.jpg").read_bytes()
    (two / "cut.jpg").write_bytes(whole[: len(whole) * 6 // 10])
    (two / "empty.jpg").write_bytes(b"")
    write_entries(
        two, "number,file,size", "a,cut.jpg,", "b,empty.jpg,", "c,gone.jpg,", "d,p1.jpg,long 11 in"
    )
    said = proofs("make", two, "--out", two / "out")
    assert said.code == 4
    statuses = [e["status"] for e in report_of(two / "out")["entries"]]
    assert statuses == ["unreadable", "unreadable", "unreadable", "met"]
    assert [p.name for p in (two / "out/prints").iterdir()] == ["d_p1.jpg"]


def test_a_row_that_cannot_be_understood_comes_first_and_the_others_go_on(two: Path) -> None:
    write_entries(two, "file,size", "p1.jpg,long 11 in", "p2.jpg,rather large")
    said = proofs("make", two, "--out", two / "out")
    assert said.code == 3
    assert "line 3" in said.out
    assert [e["status"] for e in report_of(two / "out")["entries"]] == ["met", "not-understood"]


def test_a_broken_rule_is_printed_only_when_asked(two: Path) -> None:
    write_entries(two, "file,size", "p1.jpg,long 10 in")
    assert proofs("make", two, "--out", two / "out").code == 1
    assert not (two / "out/prints").exists()
    assert proofs("make", two, "--out", two / "out", "--anyway").code == 1
    assert (two / "out/prints/1_p1.jpg").is_file()


def test_a_stray_border_is_found_with_its_width_and_what_is_visible_without_it(two: Path) -> None:
    gradient(two / "p1.jpg", 1800, 1200)
    with Image.open(two / "p1.jpg") as picture:
        picture.paste((255, 255, 255), (0, 0, 1800, 72))
        picture.save(two / "p1.jpg", quality=95)
    # 72 of 1800 px on 12 in: 0.48 in; 1/8 in of it is under the mat, so 0.355 in less than
    # the 7 3/4 in that the window shows of 8 in are the picture's.
    write_entries(two, "file,size", "p1.jpg,long 12 in")
    assert proofs("make", two, "--out", two / "out").code == 0
    findings = report_of(two / "out")["entries"][0]["findings"]
    border = next(f for f in findings if f["code"] == "border-in-file")
    assert border["measured"] == pytest.approx(0.48 * 25.4, abs=0.3)
    assert "at the top; without it 11 3/4 × 7.4" in border["message"]


def test_private_metadata_is_dropped_unless_asked_for(two: Path) -> None:
    with Image.open(two / "p1.jpg") as picture:
        exif = picture.getexif()
        exif[0x013B] = "Somebody's Name"  # Artist, TIFF 6.0
        picture.save(two / "p1.jpg", exif=exif)
    write_entries(two, "file,size", "p1.jpg,long 11 in")
    assert proofs("make", two, "--out", two / "plain").code == 0
    assert b"Somebody" not in (two / "plain/prints/1_p1.jpg").read_bytes()
    assert proofs("make", two, "--out", two / "kept", "--keep-metadata").code == 0
    with Image.open(two / "kept/prints/1_p1.jpg") as printed:
        assert printed.getexif()[0x013B] == "Somebody's Name"


def test_only_the_author_is_kept_where_that_is_asked_for(two: Path) -> None:
    with Image.open(two / "p1.jpg") as picture:
        exif = picture.getexif()
        exif.update({0x013B: "Somebody's Name", 0x0131: "a program"})  # TIFF 6.0
        picture.save(two / "p1.jpg", exif=exif)
    write_entries(two, "file,size", "p1.jpg,long 11 in")
    assert proofs("make", two, "--out", two / "out", "--keep-copyright").code == 0
    with Image.open(two / "out/prints/1_p1.jpg") as printed:
        assert dict(printed.getexif()) == {0x013B: "Somebody's Name"}


def test_after_ctrl_c_record_and_report_are_true_for_what_was_done(two: Path) -> None:
    write_entries(two, "file,size,bracket", *["p1.jpg,long 16 in,"] * 8)
    out = two / "out"
    words = [sys.executable, "-m", "proofs", "make", str(two), "--out", str(out), "--jobs", "1"]
    with subprocess.Popen(words, start_new_session=True, stdout=subprocess.DEVNULL) as running:
        while running.poll() is None and not list(out.glob("prints/*")):
            time.sleep(0.05)
        os.killpg(running.pid, signal.SIGINT)
        assert running.wait(timeout=120) == 130
    report = report_of(out)
    assert report["counts"]["not-done"] >= 1
    assert report["counts"]["met"] >= 1
    record = json.loads((out / "proofs-run.json").read_text())["files"]
    there = {str(p.relative_to(out)) for p in out.rglob("*") if p.is_file()}
    assert {name for name, digest in record.items() if digest} == there - {"proofs-run.json"}
    assert not [name for name in there if ".part-" in name]


def test_the_pages_of_the_proof_sheet_are_pictures_of_the_labs_sheet_size(two: Path) -> None:
    said = proofs("make", two, "--out", two / "out", "--proof-prints")
    assert said.code == 0, said.err
    with Image.open(two / "out/proof-prints/proof-sheet-1.jpg") as page:
        # The smallest sheet of the lab that holds A4 (ISO 216: 210 x 297 mm) is 10 x 12 in.
        assert (page.size, page.info["dpi"]) == ((3000, 3600), (300, 300))
        dark = np.asarray(page.convert("L")) < 200
    # A4 in the middle leaves 0.866 in at the left, and the page's own margin is 15 mm.
    left = (10 - 210 / 25.4) / 2 + 15 / 25.4
    assert np.argmax(dark.any(axis=0)) == pytest.approx(left * 300, abs=4)
    assert proofs("make", two, "--out", two / "out", "--proof-prints").code == 0


def test_a_disk_that_fills_up_has_the_exit_code_of_a_file_that_cannot_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    gradient(tmp_path / "a.jpg", 300, 200)
    monkeypatch.setattr("proofs.commands.make.worker.write_whole", full)
    said = in_process("make", tmp_path, "--out", tmp_path / "out", "--rules", "none")
    assert said.code == 5, said.out + said.err
    assert "make room" in said.out
    assert said.out.splitlines()[-1] == "exit code 5: entry 1 failed"
