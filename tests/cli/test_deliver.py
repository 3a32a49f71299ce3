"""``proofs deliver``, run as its user runs it, with its files read back by other libraries.

Second readers: Pillow (JPEG, EXIF, Little CMS), tifffile, sha256sum, and the unzip of the
machine. ICC header fields: ICC.1, Table 2-4. Sizes follow from lengths: common practice, no source.
"""

import csv
import hashlib
import io
import json
import os
import shutil
import signal
import subprocess
import sys
import time
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest
import tifffile
from PIL import Image, ImageCms

from tests.command import gradient, in_process, proofs, write_entries
from tests.labs import write_labs

TITLE = "The long way round the lighthouse, in the wind, before anybody spoke of breakfast +0.20 D"
ROWS = (
    "number,title,file,size,chosen,copies,paper,finish",
    f'1,"{TITLE}",one.jpg,long 4 in,+0.10,2,,',
    "2,Two,two.jpg,long 7.6 in,A,1,cotton,silk",
    "3,Three,one.jpg,long 4 in,,1,,",
    "4,Four,none.jpg,long 4 in,A,0,,",
)
USUAL = ("--lab", "small", "--rules", "none", "--jobs", "1")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two pictures, the second with private metadata; the fourth row has no picture."""
    path = tmp_path_factory.mktemp("deliver")
    gradient(path / "one.jpg", 900, 600)
    gradient(path / "two.jpg", 1200, 1500, seed=1)
    with Image.open(path / "two.jpg") as picture:
        exif = picture.getexif()
        exif[0x010F], exif[0x8298] = "A camera", "Somebody else"
        picture.save(path / "two.jpg", exif=exif, quality=92)
    write_labs(path)
    write_entries(path, *ROWS)
    return path


@pytest.fixture(scope="module")
def made(folder: Path) -> Path:
    out = folder / "out"
    said = in_process(
        *(
            "deliver",
            folder,
            *USUAL,
            "--out",
            out,
            "--density",
            "0",
            "--margin-line",
            "--cut-marks",
        ),
        *("--copyright", "(c) 2026 A. Maker", "--needed-by", "2026-12-03"),
    )
    assert said.code == 0, said.out + said.err
    return out


@pytest.fixture(scope="module")
def zipped(folder: Path) -> Path:
    out = folder / "zipped"
    options = ("--lab", "small-tiff", "--rules", "none", "--density", "0", "--zip")
    said = in_process("deliver", folder, *options, "--out", out, "--jobs", "1")
    assert said.code == 0, said.out + said.err
    return out


def record(out: Path) -> Any:
    return json.loads((out / "delivery.json").read_bytes())


def files_in(out: Path) -> list[str]:
    return sorted(p.relative_to(out).as_posix() for p in out.rglob("*") if p.is_file())


def refused(folder: Path, out: Path, *options: str | Path) -> str:
    said = in_process("deliver", folder, "--out", out, *options)
    assert said.code != 0
    assert not out.exists()
    return f"{said.code}: {said.out}{said.err}"


def test_a_delivery_contains_prints_ticket_lists_record_and_sums(made: Path) -> None:
    assert files_in(made) == [
        "SHA256SUMS",
        "delivery.json",
        "order.txt",
        "prints/1_the-long-way-round-the-lighthouse-in-the-wind-before-a.jpg",
        "prints/2_two.jpg",
        "prints/3_three.jpg",
        "ticket.csv",
        "ticket.pdf",
    ]


def test_sha256sum_finds_every_file_as_its_sum_says(made: Path, zipped: Path) -> None:
    for out in (made, zipped):
        done = subprocess.run(
            ["sha256sum", "-c", "--strict", "SHA256SUMS"], cwd=out, capture_output=True, text=True
        )
        assert done.returncode == 0
        assert done.stdout.count(": OK") == len(files_in(out)) - 1


def test_every_tag_of_a_jpeg_is_read_back_by_pillow(made: Path) -> None:
    with Image.open(made / "prints/2_two.jpg") as picture:
        assert picture.size == (8 * 150, 10 * 150)
        assert picture.info["dpi"] == (150, 150)
        assert "progressive" not in picture.info
        layers = picture.layer  # type: ignore[attr-defined]  # of a JPEG alone; types have none
        assert {layer[1:3] for layer in layers} == {(1, 1)}
        assert dict(picture.getexif()) == {0x8298: "(c) 2026 A. Maker"}
        profile = picture.info["icc_profile"]
    assert hashlib.sha256(profile).hexdigest() == record(made)["icc_sha256"]
    opened = ImageCms.ImageCmsProfile(io.BytesIO(profile))
    assert "sRGB" in ImageCms.getProfileDescription(opened)


def test_the_profile_in_a_file_has_the_header_of_the_standard(made: Path) -> None:
    with Image.open(made / "prints/2_two.jpg") as picture:
        profile = picture.info["icc_profile"]
    assert int.from_bytes(profile[:4], "big") == len(profile)
    assert (profile[8], profile[12:16], profile[16:20]) == (2, b"mntr", b"RGB ")
    assert (profile[20:24], profile[36:40]) == (b"XYZ ", b"acsp")
    assert profile[68:80].hex() == "0000f6d6000100000000d32d"


def test_every_tag_of_a_tiff_is_read_back_by_tifffile(zipped: Path) -> None:
    inside = zipfile.ZipFile(zipped / "delivery-1-of-2.zip")
    name = next(n for n in inside.namelist() if n.endswith(".tif"))
    with tifffile.TiffFile(io.BytesIO(inside.read(name))) as file:
        page = file.pages[0]
        assert isinstance(page, tifffile.TiffPage)
        assert page.shape == (8 * 120, 10 * 120, 3)
        assert page.dtype == np.uint16
        assert page.tags["XResolution"].value == (120, 1)
        assert page.tags["ResolutionUnit"].value == 2
        assert len(file.pages) == 1
        digest = hashlib.sha256(page.tags[34675].value).hexdigest()
    assert digest == record(zipped)["icc_sha256"]


def test_the_picture_is_that_of_make_pixel_for_pixel(folder: Path, tmp_path: Path) -> None:
    """In a lossless format: exactly the same codes, in their place on white."""
    options = ("--lab", "small-tiff", "--rules", "none", "--jobs", "1")
    assert in_process("make", folder, "--out", tmp_path / "a", *options).code == 4
    said = in_process("deliver", folder, "--out", tmp_path / "b", *options, "--density", "0")
    assert said.code == 0
    print_ = tifffile.imread(tmp_path / "a/prints/2_two.tif")
    sheet = tifffile.imread(tmp_path / "b/prints/2_two.tif")
    file = next(f for f in record(tmp_path / "b")["files"] if f["entry"] == "2")
    box = file["image_px"]
    rows = slice(box["top"], box["top"] + box["height"])
    columns = slice(box["left"], box["left"] + box["width"])
    assert np.array_equal(sheet[rows, columns], print_)
    sheet[rows, columns] = 65535
    assert sheet.min() == 65535


def test_the_chosen_step_is_delivered_and_the_density_only_without_one(
    folder: Path, tmp_path: Path
) -> None:
    def middle(out: Path, number: str) -> float:
        file = next(f for f in record(out)["files"] if f["entry"] == number)
        return float(np.asarray(Image.open(out / file["file"]))[300:400, 500:600].mean())

    outs = [tmp_path / "plain", tmp_path / "dark"]
    options = (*USUAL, "--out")
    assert in_process("deliver", folder, *options, outs[0], "--density", "0").code == 0
    said = in_process("deliver", folder, *options, outs[1], "--density", "+0.20")
    assert "no step chosen, printed at +0.20: entry 3" in said.out
    assert "entry 2: step A is -0.10\n" in said.out
    assert "entry 1: step" not in said.out
    assert middle(outs[0], "1") == middle(outs[1], "1")
    assert middle(outs[0], "3") - middle(outs[1], "3") > 10


def test_no_density_appears_in_what_the_lab_receives(made: Path) -> None:
    texts = [p.read_text("utf-8-sig") for p in made.iterdir() if p.suffix in (".json", ".txt")]
    assert not any(word in text for text in texts for word in ('density"', "step", "0.1 D"))


def test_copies_paper_and_finish_are_the_labs_and_the_first_where_a_cell_is_blank(
    made: Path,
) -> None:
    ordered = [(f["copies"], f["paper"], f["finish"]) for f in record(made)["files"]]
    assert ordered == [(2, "Lustre", "matt"), (1, "Cotton", "silk"), (1, "Lustre", "matt")]


def test_the_ticket_as_a_table_has_one_row_per_file(made: Path) -> None:
    rows = list(csv.DictReader(io.StringIO((made / "ticket.csv").read_text("utf-8-sig"))))
    assert [row["file"] for row in rows] == [f["file"] for f in record(made)["files"]]
    assert rows[0]["title"] == TITLE
    assert (rows[0]["price"], rows[0]["cost"], rows[1]["sheet"]) == ("2.50", "5.00", "8 × 10 in")


def test_the_list_can_be_typed_in(made: Path) -> None:
    lines = (made / "order.txt").read_text("utf-8").splitlines()
    assert lines[:4] == [
        "Order of 4 prints from 3 files",
        "JPEG, 8-bit, 150 ppi, profile sRGB IEC61966-2-1 embedded",
        "Needed by 3 December 2026",
        "Cost 13.50 EUR",
    ]
    assert "1 x  8 × 10 in  Cotton, silk  2_two.jpg" in lines


def test_the_ticket_states_all_that_the_lab_needs(made: Path) -> None:
    document = pypdfium2.PdfDocument(made / "ticket.pdf")
    text = " ".join(document[0].get_textpage().get_text_bounded().split())
    assert all(
        words in text
        for words in (
            *("4 prints from 3 files", "Needed by 3 December 2026", "Cost 13.50 EUR", "2_two.jpg"),
            *("TOP", "Cotton", "silk", "8 × 10 in", "Print at 100 %: no fit, no crop, no trim."),
            *(
                "No correction, no sharpening.",
                "Brightness is deliberate: do not adjust.",
                "By ruler",
            ),
            *(
                "Leave the white margin on.",
                "No stamps or stickers on the back.",
                "profile sRGB IEC61966-2-1",
            ),
        )
    )


def test_the_wedge_in_the_margin_line_is_read_back(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "profiles/labs").mkdir(parents=True)
    fine = (folder / "profiles/labs/small.toml").read_text().replace("ppi = 150", "ppi = 300")
    (tmp_path / "profiles/labs/fine.toml").write_text(fine)
    shutil.copy(folder / "two.jpg", tmp_path)
    write_entries(tmp_path, "file,size,chosen", "two.jpg,long 7.6 in,A", "two.jpg,6x6 in,A")
    out = tmp_path / "out"
    options = ("--lab", "fine", "--rules", "none", "--margin-line", "--cut-marks", "--jobs", "1")
    assert in_process("deliver", tmp_path, *options, "--out", out).code == 0
    read = [
        json.loads(in_process("strip-read", sheet, "--json").out)
        for sheet in sorted((out / "prints").iterdir())
    ]
    assert [r["offset_density"] for r in read] == pytest.approx([0, 0], abs=0.01)


def test_an_unchanged_delivery_made_again_has_the_same_bytes(folder: Path, zipped: Path) -> None:
    before = {name: (zipped / name).read_bytes() for name in files_in(zipped)}
    options = ("--lab", "small-tiff", "--rules", "none", "--density", "0", "--zip", "--jobs", "2")
    assert proofs("deliver", folder, *options, "--out", zipped).code == 0
    assert {name: (zipped / name).read_bytes() for name in files_in(zipped)} == before


def test_zips_stay_under_the_upload_limit_and_carry_their_own_sums(
    zipped: Path, tmp_path: Path
) -> None:
    zips = sorted(zipped.glob("*.zip"))
    assert [path.name for path in zips] == ["delivery-1-of-2.zip", "delivery-2-of-2.zip"]
    assert all(path.stat().st_size <= 15_000_000 for path in zips)
    for path in zips:
        with zipfile.ZipFile(path) as archive:
            assert {info.compress_type for info in archive.infolist()} == {zipfile.ZIP_STORED}
            archive.extractall(tmp_path / path.stem)
        done = subprocess.run(
            ["sha256sum", "-c", "--strict", "SHA256SUMS"], cwd=tmp_path / path.stem, check=False
        )
        assert done.returncode == 0


@pytest.mark.skipif(not shutil.which("unzip"), reason="the machine has no unzip")
def test_another_unzip_opens_the_zips(zipped: Path) -> None:
    for path in zipped.glob("*.zip"):
        done = subprocess.run(["unzip", "-t", path], capture_output=True, text=True, check=False)
        assert done.returncode == 0
        assert "No errors detected" in done.stdout


def test_an_undecided_entry_is_refused_by_name_and_nothing_is_made(
    folder: Path, tmp_path: Path
) -> None:
    said = refused(folder, tmp_path / "out", *USUAL)
    assert said.startswith("3: ")
    assert "3  REFUSED    Three\n      -> no step chosen" in said
    assert "complete or not made at all: correct entry 3, or write 0 under 'copies'" in said
    assert "1  REFUSED" not in said


def test_refusals_are_in_the_record_too(folder: Path, tmp_path: Path) -> None:
    said = in_process("deliver", folder, *USUAL, "--out", tmp_path / "out", "--json")
    assert [r["number"] for r in json.loads(said.out)["refused"]] == ["3"]


@pytest.mark.parametrize(
    ("row", "code", "reason"),
    [
        (
            "9,A,one.jpg,long 4 in,A,1,Silk,",
            3,
            "paper: the lab has no 'Silk'; write one of Lustre, ",
        ),
        ("9,A,one.jpg,long 4 in,A,1,,gloss", 3, "finish: the lab has no 'gloss'"),
        ("9,A,one.jpg,long 14 in,A,1,,", 1, "no sheet of 'small' is large enough"),
        ("9,A,none.jpg,long 4 in,A,1,,", 4, "there is no such file"),
        ("9,A,one.jpg,long 4 in,A,many,,", 3, "'many' is not a number of copies"),
        ("9,A,one.jpg,long 4 yards,A,1,,", 3, "4 yards"),
    ],
)
def test_what_cannot_be_delivered_is_refused_with_its_reason(
    folder: Path, tmp_path: Path, row: str, code: int, reason: str
) -> None:
    shutil.copytree(folder / "profiles", tmp_path / "profiles")
    shutil.copy(folder / "one.jpg", tmp_path)
    write_entries(tmp_path, ROWS[0], row)
    said = refused(tmp_path, tmp_path / "out", *USUAL)
    assert said.startswith(f"{code}: ")
    assert reason in said


def test_a_broken_entry_is_refused_unless_anyway(folder: Path, tmp_path: Path) -> None:
    options = (*USUAL[:2], "--jobs", "1", "--rules", "print-16x20-in", "--density", "0")
    assert "breaks a rule: longest visible side" in refused(folder, tmp_path / "out", *options)
    said = in_process("deliver", folder, *options, "--out", tmp_path / "out", "--anyway")
    assert said.code == 1
    assert "entry 1: breaks a rule" in said.out
    assert in_process("verify", tmp_path / "out").code == 0


def test_a_damaged_photograph_stops_the_delivery_but_not_the_others(
    folder: Path, tmp_path: Path
) -> None:
    shutil.copytree(folder / "profiles", tmp_path / "profiles")
    shutil.copy(folder / "one.jpg", tmp_path)
    (tmp_path / "cut.jpg").write_bytes((folder / "two.jpg").read_bytes()[:30_000])
    write_entries(tmp_path, "file,size,chosen", "cut.jpg,long 4 in,A", "one.jpg,long 4 in,A")
    said = refused(tmp_path, tmp_path / "out", *USUAL)
    assert said.startswith("4: ")
    assert "cut.jpg" in said
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []


def test_a_file_too_large_for_the_lab_is_refused_and_named(folder: Path, tmp_path: Path) -> None:
    lab = (folder / "profiles/labs/small-tiff.toml").read_text()
    (tmp_path / "profiles/labs").mkdir(parents=True)
    (tmp_path / "profiles/labs/tight.toml").write_text(
        lab.replace("bits = 16", 'bits = 16\nmost_bytes = "1 MB"')
    )
    shutil.copy(folder / "two.jpg", tmp_path)
    write_entries(tmp_path, "file,size,chosen", "two.jpg,long 7.6 in,A")
    said = refused(tmp_path, tmp_path / "out", "--lab", "tight", "--rules", "none")
    assert said.startswith("1: ")
    assert "MB, at most 1" in said


def test_the_cheapest_sheet_need_not_be_the_smallest(folder: Path, tmp_path: Path) -> None:
    options = (*USUAL, "--out", tmp_path / "out", "--density", "0", "--cheapest")
    assert in_process("deliver", folder, *options).code == 0
    assert [f["price"] for f in record(tmp_path / "out")["files"]] == ["2.50", "4.75", "2.50"]


def test_without_prices_there_is_no_cheapest(folder: Path, tmp_path: Path) -> None:
    said = refused(folder, tmp_path / "out", "--lab", "small-tiff", "--cheapest")
    assert "lists no prices" in said


def test_without_a_lab_there_is_no_delivery(folder: Path, tmp_path: Path) -> None:
    assert "name the lab that the delivery is for" in refused(folder, tmp_path / "out")


def test_metadata_is_kept_when_asked_for(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    options = (*USUAL, "--out", out, "--density", "0", "--keep-metadata", "--copyright", "Mine")
    assert in_process("deliver", folder, *options).code == 0
    with Image.open(out / "prints/2_two.jpg") as picture:
        assert dict(picture.getexif()) == {0x010F: "A camera", 0x8298: "Mine"}


def test_a_folder_with_other_things_is_left_alone(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    said = in_process("deliver", folder, *USUAL, "--density", "0", "--out", tmp_path)
    assert said.code == 5
    assert [p.name for p in tmp_path.iterdir()] == ["mine.txt"]


@pytest.mark.parametrize(
    ("name", "content", "word"),
    [
        ("order.txt", b"changed", "was changed since it was made"),
        ("mine.txt", b"mine", "mine.txt was added"),
    ],
)
def test_a_delivery_that_someone_changed_is_not_replaced(
    folder: Path, made: Path, tmp_path: Path, name: str, content: bytes, word: str
) -> None:
    out = tmp_path / "out"
    shutil.copytree(made, out)
    (out / name).write_bytes(content)
    before = {n: (out / n).read_bytes() for n in files_in(out)}
    said = in_process("deliver", folder, *USUAL, "--density", "0", "--out", out)
    assert said.code == 5
    assert word in said.err
    assert {n: (out / n).read_bytes() for n in files_in(out)} == before


def test_a_delivery_replaces_an_earlier_one_completely(
    folder: Path, made: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    shutil.copytree(made, out)
    write_entries(tmp_path, ROWS[0], ROWS[2])
    shutil.copy(folder / "two.jpg", tmp_path)
    shutil.copytree(folder / "profiles", tmp_path / "profiles")
    assert in_process("deliver", tmp_path, *USUAL, "--out", out).code == 0
    assert [p.name for p in (out / "prints").iterdir()] == ["2_two.jpg"]
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C is sent in another way there")
def test_an_interrupted_run_leaves_nothing(folder: Path, tmp_path: Path) -> None:
    words = [sys.executable, "-m", "proofs", "deliver", folder, *USUAL[:4], "--density", "0"]
    process = subprocess.Popen(
        [*map(str, words), "--out", str(tmp_path / "out"), "--jobs", "1"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    deadline = time.monotonic() + 60
    while not any(tmp_path.iterdir()) and time.monotonic() < deadline:
        time.sleep(0.02)
    process.send_signal(signal.SIGINT)
    process.communicate(timeout=120)
    assert process.returncode == 130
    assert list(tmp_path.iterdir()) == []


def test_nothing_to_deliver_is_reported(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder / "profiles", tmp_path / "profiles")
    write_entries(tmp_path, "file,copies", "one.jpg,0")
    assert "no entry has a copy to print" in refused(tmp_path, tmp_path / "out", *USUAL)


def test_the_record_is_printed_when_asked_for(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    said = in_process("deliver", folder, *USUAL, "--density", "0", "--out", out, "--json")
    assert json.loads(said.out) == record(out)


def test_each_picture_of_a_board_goes_on_a_sheet_of_its_own(folder: Path, tmp_path: Path) -> None:
    shutil.copytree(folder / "profiles", tmp_path / "profiles")
    for name in ("one.jpg", "two.jpg"):
        shutil.copy(folder / name, tmp_path)
    write_entries(tmp_path, "title,file,size,chosen", "Pair,one.jpg|two.jpg,long 4 in,A")
    out = tmp_path / "out"
    assert in_process("deliver", tmp_path, *USUAL, "--out", out, "--margin-line").code == 0
    files = record(out)["files"]
    assert [(f["entry"], f["file"]) for f in files] == [
        ("1-1", "prints/1-1_pair.jpg"),
        ("1-2", "prints/1-2_pair.jpg"),
    ]
    assert [f["pixels"] for f in files] == [
        {"width": 1050, "height": 750},
        {"width": 750, "height": 1050},
    ]
    assert in_process("verify", out).code == 0


MOUNTS = {
    "around": "[window]\nkind = 'surround'\n[surround]\ncolour = 'grey'\n",
    "shared": "[window]\nkind = 'reveal'\nreveal = '1/4 in'\n[mat]\nthickness = '1.4 mm'\n"
    "[group]\nwindows = 'common'\nbar = '1/2 in'\n",
}


def with_mount(folder: Path, to: Path, mount: str) -> Path:
    """Two pictures on one board of 8 x 10 in, in this mount, for a lab with larger sheets."""
    shutil.copytree(folder / "profiles", to / "profiles")
    lab = (
        (folder / "profiles/labs/small.toml")
        .read_text()
        .replace('"8x12 in"]', '"8x12 in", "12x16 in"]')
    )
    (to / "profiles/labs/small.toml").write_text(lab)
    (to / "profiles/mounts").mkdir()
    head = f"title = '{mount}'\nsource = 'made up'\nboard = '8x10 in'\n"
    end = "[backing]\nthickness = '5 mm'\n"
    (to / f"profiles/mounts/{mount}.toml").write_text(head + MOUNTS[mount] + end)
    for name in ("one.jpg", "two.jpg"):
        shutil.copy(folder / name, to)
    write_entries(
        to,
        "title,file,size,chosen,mount,arrangement",
        f"Pair,one.jpg|two.jpg,long 3 in|long 3 in,A,{mount},row",
    )
    return to


def test_pictures_with_their_surround_go_as_one_file(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    said = in_process("deliver", with_mount(folder, tmp_path, "around"), *USUAL, "--out", out)
    assert said.code == 0, said.out + said.err
    (file,) = record(out)["files"]
    # The board and 1/8 in beyond it on each side: 8 1/4 by 10 1/4 in at 150 ppi, half up.
    sides = sorted([file["image_px"]["width"], file["image_px"]["height"]])
    assert sides == [1238, 1538]
    with Image.open(out / file["file"]) as picture:
        codes = np.asarray(picture)
    assert codes[5, 5].tolist() == [255, 255, 255]
    assert codes[file["image_px"]["top"] + 20, codes.shape[1] // 2].max() < 160  # grey
    assert in_process("verify", out).code == 0


def test_pictures_in_one_window_go_as_one_file_with_white_between(
    folder: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    options = (*USUAL, "--out", out, "--cut-marks")
    said = in_process("deliver", with_mount(folder, tmp_path, "shared"), *options)
    assert said.code == 0, said.out + said.err
    (file,) = record(out)["files"]
    # 3 and 2.4 in wide with 1/2 in between, at 150 ppi.
    assert file["image_px"]["width"] == 450 + 75 + 360
    with Image.open(out / file["file"]) as picture:
        codes = np.asarray(picture)
    box = file["image_px"]
    between = codes[box["top"] : box["top"] + box["height"], box["left"] + 450 + 8 :][:, :50]
    assert between.min() >= 252
    assert in_process("verify", out).code == 0
