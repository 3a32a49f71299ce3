"""``proofs verify``: a delivery is read back, and every kind of tampering is caught.

Each kind is caught by the check that it is meant for, so where a later check is meant, the sums
and the record are mended first, as one would who means to deceive.
"""

import json
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tifffile
from PIL import Image

from proofs.outside.pixels.colour.spaces import built_in_profile
from tests.command import gradient, in_process, write_entries
from tests.labs import write_labs
from tests.tampering import (
    WITH_ANY_FILE,
    FileTamper,
    Tamper,
    codes,
    copied,
    mend,
    mend_sums,
    saved_anew,
)

PRINT, OTHER = "prints/1_one.jpg", "prints/2_two.jpg"


@pytest.fixture(scope="module")
def deliveries(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One delivery in three shapes: a folder of JPEGs, a folder of TIFFs, and zips of these."""
    path = tmp_path_factory.mktemp("verify")
    gradient(path / "one.jpg", 600, 400)
    gradient(path / "two.jpg", 600, 400, seed=1)
    write_labs(path)
    write_entries(
        path, "title,file,size,chosen", "One,one.jpg,long 4 in,A", "Two,two.jpg,long 4 in,+0.10"
    )
    options = ("--rules", "least-area-80-sq-in", "--anyway", "--margin-line", "--jobs", "1")
    for lab, name, more in (
        ("small", "jpeg", ()),
        ("small-tiff", "tiff", ()),
        ("small-tiff", "zips", ("--zip",)),
    ):
        said = in_process("deliver", path, "--lab", lab, *options, *more, "--out", path / name)
        assert said.code == 1, said.out + said.err
    return path


def add_a_folder(out: Path) -> None:
    (out / "spare").mkdir()


def swap(out: Path) -> None:
    one, two = (out / PRINT).read_bytes(), (out / OTHER).read_bytes()
    (out / PRINT).write_bytes(two)
    (out / OTHER).write_bytes(one)
    mend_sums(out)


def saved(out: Path, **changes: Any) -> None:
    saved_anew(out, PRINT, **changes)


def lose_a_column(out: Path) -> None:
    with Image.open(out / PRINT) as picture:
        image = picture.crop((0, 0, picture.width - 1, picture.height))
    saved(out, image=image)


def turn(out: Path) -> None:
    with Image.open(out / PRINT) as picture:
        image = picture.transpose(Image.Transpose.ROTATE_90)
    saved(out, image=image)


def print_in_the_margin(out: Path) -> None:
    with Image.open(out / PRINT) as picture:
        image = picture.copy()
    image.paste((90, 90, 90), (3, 3, 30, 10))
    saved(out, image=image)


def change_format(out: Path) -> None:
    with Image.open(out / PRINT) as picture:
        picture.save(out / PRINT, "PNG", dpi=(150, 150), icc_profile=picture.info["icc_profile"])
    mend(out, PRINT)


def tell_other_copies(out: Path) -> None:
    table = (out / "ticket.csv").read_bytes()
    (out / "ticket.csv").write_bytes(table.replace(b",1,5 ", b",9,5 "))
    mend_sums(out)


def order_other_sheets(out: Path) -> None:
    order = (out / "order.txt").read_text("utf-8")
    (out / "order.txt").write_text(order.replace("5 × 7", "8 × 10"), "utf-8")
    mend_sums(out)


def change_the_ticket(out: Path) -> None:
    (out / "ticket.pdf").write_bytes((out / "ticket.pdf").read_bytes() + b"%\n")
    mend_sums(out)


def drop_a_sum(out: Path) -> None:
    lines = (out / "SHA256SUMS").read_text().splitlines(keepends=True)
    (out / "SHA256SUMS").write_text("".join(line for line in lines if PRINT not in line))


def change_a_sum(out: Path) -> None:
    text = (out / "SHA256SUMS").read_text()
    (out / "SHA256SUMS").write_text(text.replace(text[:8], "00000000", 1))


def write_into_the_sums(out: Path) -> None:
    with (out / "SHA256SUMS").open("a") as file:
        file.write("please print darker\n")


def lose_the_sums(out: Path) -> None:
    (out / "SHA256SUMS").unlink()


def lose_the_record(out: Path) -> None:
    (out / "delivery.json").unlink()
    mend_sums(out)


def break_the_record(out: Path) -> None:
    (out / "delivery.json").write_text('{"schema": 1}')
    mend_sums(out)


def tell_of_another_box(out: Path) -> None:
    record = json.loads((out / "delivery.json").read_bytes())
    record["files"][0]["image_px"]["left"] += 8
    (out / "delivery.json").write_text(json.dumps(record, indent=2, ensure_ascii=False) + "\n")
    mend_sums(out)


def tell_of_a_better_verdict(out: Path) -> None:
    record = json.loads((out / "delivery.json").read_bytes())
    verdicts = record["files"][0]["verdicts"]
    next(v for v in verdicts if v["code"] == "visible-area")["severity"] = "met"
    (out / "delivery.json").write_text(json.dumps(record, indent=2, ensure_ascii=False) + "\n")
    mend_sums(out)


@pytest.mark.parametrize(("tamper", "code"), WITH_ANY_FILE)
def test_every_kind_of_tampering_with_a_print_is_caught(
    deliveries: Path, tmp_path: Path, tamper: FileTamper, code: str
) -> None:
    out = copied(deliveries, "jpeg", tmp_path)
    tamper(out, PRINT)
    said = in_process("verify", out, "--json")
    assert said.code == 1
    assert code in codes(said)


@pytest.mark.parametrize(
    ("tamper", "code"),
    [
        (add_a_folder, "folder"),
        (swap, "checksum"),
        (lose_a_column, "pixels"),
        (turn, "pixels"),
        (print_in_the_margin, "margin"),
        (change_format, "format"),
        (tell_other_copies, "order"),
        (order_other_sheets, "order"),
        (change_the_ticket, "order"),
        (drop_a_sum, "added"),
        (change_a_sum, "checksum"),
        (write_into_the_sums, "sums"),
        (lose_the_sums, "missing"),
        (lose_the_record, "missing"),
        (break_the_record, "record"),
        (tell_of_another_box, "margin"),
        (tell_of_a_better_verdict, "visible-area"),
    ],
)
def test_every_kind_of_tampering_is_caught(
    deliveries: Path, tmp_path: Path, tamper: Tamper, code: str
) -> None:
    out = copied(deliveries, "jpeg", tmp_path)
    tamper(out)
    said = in_process("verify", out, "--json")
    assert said.code == 1
    assert code in codes(said)


def make_8_bit(out: Path) -> None:
    path = out / "prints/1_one.tif"
    codes_ = (tifffile.imread(path) >> 8).astype(np.uint8)
    icc = built_in_profile("a98-rgb")
    tifffile.imwrite(
        path, codes_, photometric="rgb", resolution=(120, 120), resolutionunit=2, iccprofile=icc
    )
    mend(out, "prints/1_one.tif")


def print_a_pixel(out: Path) -> None:
    path = out / "prints/1_one.tif"
    sheet = tifffile.imread(path)
    sheet[2, 2] = 65534
    icc = built_in_profile("a98-rgb")
    tifffile.imwrite(
        path, sheet, photometric="rgb", resolution=(120, 120), resolutionunit=2, iccprofile=icc
    )
    mend(out, "prints/1_one.tif")


def turn_a_tiff(out: Path) -> None:
    path = out / "prints/1_one.tif"
    icc = built_in_profile("a98-rgb")
    tifffile.imwrite(
        path,
        tifffile.imread(path),
        photometric="rgb",
        resolution=(120, 120),
        resolutionunit=2,
        iccprofile=icc,
        extratags=[(274, 3, 1, 6, True)],
    )
    mend(out, "prints/1_one.tif")


@pytest.mark.parametrize(
    ("tamper", "code"),
    [(make_8_bit, "bits"), (print_a_pixel, "margin"), (turn_a_tiff, "turning")],
)
def test_tampering_with_16_bits_is_caught(
    deliveries: Path, tmp_path: Path, tamper: Tamper, code: str
) -> None:
    out = copied(deliveries, "tiff", tmp_path)
    tamper(out)
    assert code in codes(in_process("verify", out, "--json"))


def flip_in_the_zip(path: Path) -> None:
    content = bytearray(path.read_bytes())
    content[len(content) // 2] ^= 1
    path.write_bytes(content)


def no_zip(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def packed_anew(path: Path, names: Callable[[list[str]], list[str]], method: int) -> None:
    with zipfile.ZipFile(path) as archive:
        held = {name: archive.read(name) for name in archive.namelist()}
    with zipfile.ZipFile(path, "w", method) as archive:
        for name in names(list(held)):
            archive.writestr(name, held.get(name, b"spare"))


def compress(path: Path) -> None:
    packed_anew(path, lambda names: names, zipfile.ZIP_DEFLATED)


def pack_one_more(path: Path) -> None:
    packed_anew(path, lambda names: [*names, "prints/3_three.tif"], zipfile.ZIP_STORED)


def pack_one_less(path: Path) -> None:
    packed_anew(path, lambda names: names[:-1], zipfile.ZIP_STORED)


def pack_outside(path: Path) -> None:
    packed_anew(path, lambda names: [*names, "../three.tif"], zipfile.ZIP_STORED)


@pytest.mark.parametrize(
    ("tamper", "code"),
    [
        (flip_in_the_zip, "checksum"),
        (no_zip, "zip"),
        (compress, "zip"),
        (pack_one_more, "added"),
        (pack_one_less, "missing"),
        (pack_outside, "zip"),
        (Path.unlink, "missing"),
    ],
)
def test_tampering_with_a_zip_is_caught(
    deliveries: Path, tmp_path: Path, tamper: Tamper, code: str
) -> None:
    out = copied(deliveries, "zips", tmp_path)
    tamper(out / "delivery.zip")
    said = in_process("verify", out, "--json")
    assert said.code == 1
    assert code in codes(said)


@pytest.mark.parametrize("shape", ["jpeg", "tiff", "zips"])
def test_a_delivery_as_it_was_made_has_no_differences(deliveries: Path, shape: str) -> None:
    said = in_process("verify", deliveries / shape)
    assert said.code == 0
    assert "everything is as it was made" in said.out


def test_a_zip_alone_is_a_whole_delivery(deliveries: Path) -> None:
    assert in_process("verify", deliveries / "zips/delivery.zip").code == 0


def test_what_each_file_meets_is_said(deliveries: Path) -> None:
    lines = in_process("verify", deliveries / "jpeg", "--verbose").out.splitlines()
    assert lines[0] == "   1  prints/1_one.jpg"
    assert lines[1] == "      lab     ok       JPEG, required: JPEG"
    assert "              ok       150 ppi, required: 150" in lines
    assert "              ok       baseline, 4:4:4" in lines
    assert any(line.startswith("      rules   broken   visible area") for line in lines)


def test_each_file_has_a_line_with_the_worst_of_what_it_meets(deliveries: Path) -> None:
    said = in_process("verify", deliveries / "jpeg")
    head, first, *more = said.out.splitlines()
    assert head.split() == ["no", "file", "lab", "rules", "as", "planned"]
    assert first.split()[:4] == ["1", "prints/1_one.jpg", "ok", "broken"]
    assert more[0].split()[:3] == ["broken", "visible", "area"]
    quiet = in_process("verify", deliveries / "jpeg", "--quiet").out.splitlines()
    assert quiet == said.out.splitlines()[-1:]


def test_the_record_tells_the_visible_size_measured_on_the_file(deliveries: Path) -> None:
    record = json.loads(in_process("verify", deliveries / "jpeg", "--json").out)
    rules = {f["code"]: f for f in record["files"][0]["rules"]}
    # 4 in at 150 ppi is 600 by 400 px; the mat hides 1/8 in a side: 3.75 by 2.41666 in.
    assert rules["visible-area"]["measured"] == pytest.approx(3.75 * (400 / 150 - 0.25) * 645.16)
    assert record["is_as_made"] is True


def test_what_is_not_there_is_said_with_code_2(tmp_path: Path) -> None:
    said = in_process("verify", tmp_path / "none")
    assert said.code == 2
    assert "there is no such folder or zip" in said.err


def test_a_folder_that_is_no_delivery_is_told_so(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    said = in_process("verify", tmp_path)
    assert said.code == 1
    assert "the record of the delivery is missing" in said.out


def test_nothing_is_written_by_verify(deliveries: Path) -> None:
    before = {p: p.stat().st_mtime_ns for p in deliveries.rglob("*")}
    assert in_process("verify", deliveries / "zips").code == 0
    assert {p: p.stat().st_mtime_ns for p in deliveries.rglob("*")} == before
