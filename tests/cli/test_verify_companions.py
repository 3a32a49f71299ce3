"""``proofs verify`` on catalogue copies and soft proof: every kind of tampering is caught.

Each kind is caught by the check that it is meant for, so where a later check is meant, sums and
record are mended first, as one would who means to deceive.
"""

import json
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from proofs.outside.pixels.metadata.credit import title_xmp
from tests.command import gradient, in_process, write_entries
from tests.labs import write_labs, write_screen_rules
from tests.tampering import (
    WITH_ANY_FILE,
    FileTamper,
    Tamper,
    change_profile,
    codes,
    copied,
    forge,
    mend_sums,
    record_of,
    saved_anew,
    write_record,
)

COPY, OTHER, PROOF = "catalogue/Sea_1-One.jpg", "catalogue/2-Two.jpg", "soft-proof.pdf"


@pytest.fixture(scope="module")
def deliveries(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One delivery with copies and soft proof, as a folder and as a zip."""
    path = tmp_path_factory.mktemp("verify-beside")
    gradient(path / "one.jpg", 600, 400)
    gradient(path / "two.jpg", 600, 400, seed=1)
    write_labs(path)
    write_screen_rules(path)
    write_entries(
        path,
        "title,file,category,size,chosen",
        "One,one.jpg,Sea,long 4 in,A",
        "Two,two.jpg,,long 4 in,+0.10",
    )
    options = ("--lab", "small", "--rules", "screen", "--catalogue", "--soft-proof", "--jobs", "1")
    for name, more in (("folder", ()), ("zips", ("--zip",))):
        said = in_process("deliver", path, *options, *more, "--out", path / name)
        assert said.code == 0, said.out + said.err
    return path


def rename_and_record(out: Path) -> None:
    (out / COPY).rename(out / "catalogue/Sea_1-Won.jpg")
    record = record_of(out)
    record["catalogue"]["copies"][0]["file"] = "catalogue/Sea_1-Won.jpg"
    write_record(out, record)


def swap(out: Path) -> None:
    one, two = (out / COPY).read_bytes(), (out / OTHER).read_bytes()
    (out / COPY).write_bytes(two)
    (out / OTHER).write_bytes(one)
    mend_sums(out)


def swap_and_record(out: Path) -> None:
    swap(out)
    forge(out, COPY)
    forge(out, OTHER)


def saved(out: Path, **changes: Any) -> None:
    saved_anew(out, COPY, **changes)


def larger(out: Path) -> Image.Image:
    with Image.open(out / COPY) as picture:
        return picture.resize((300, 200))


def change_profile_and_record(out: Path) -> None:
    change_profile(out, COPY)
    forge(out, COPY)


def make_progressive_and_record(out: Path) -> None:
    saved(out, progressive=True)
    forge(out, COPY)


def change_title(out: Path) -> None:
    saved(out, xmp=title_xmp("Another"))


def change_title_and_record(out: Path) -> None:
    change_title(out)
    forge(out, COPY)


def take_title(out: Path) -> None:
    saved(out, xmp=b"")


def say_more_than_the_title(out: Path) -> None:
    more = b'<rdf:Description xmlns:dc="http://purl.org/dc/elements/1.1/" dc:creator="Somebody">'
    packet = title_xmp("One")
    saved(out, xmp=packet.replace(b"</rdf:RDF>", more + b"</rdf:Description></rdf:RDF>"))


def make_larger(out: Path) -> None:
    saved(out, image=larger(out))


def make_larger_and_record(out: Path) -> None:
    make_larger(out)
    forge(out, COPY)


def make_heavy_and_record(out: Path) -> None:
    with Image.open(out / COPY) as picture:
        noise = Image.effect_noise(picture.size, 200).convert("RGB")
    saved(out, image=noise, quality=100)
    forge(out, COPY)


def change_format_and_record(out: Path) -> None:
    with Image.open(out / COPY) as picture:
        picture.save(out / COPY, "PNG", dpi=(72, 72), icc_profile=picture.info["icc_profile"])
    forge(out, COPY)


def change_proof(out: Path) -> None:
    (out / PROOF).write_bytes((out / PROOF).read_bytes() + b"%\n")
    mend_sums(out)


def remove_proof(out: Path) -> None:
    (out / PROOF).unlink()
    mend_sums(out)


def forget(out: Path, key: str) -> None:
    record = record_of(out)
    record[key] = None
    write_record(out, record)


def forget_copies(out: Path) -> None:
    forget(out, "catalogue")


def forget_proof(out: Path) -> None:
    forget(out, "soft_proof")


def name_another_proof(out: Path) -> None:
    record = record_of(out)
    record["soft_proof"]["file"] = "ticket.pdf"
    write_record(out, record)


def place_copies_elsewhere(out: Path) -> None:
    record = record_of(out)
    record["catalogue"]["copies"][0]["file"] = "prints/1_one.jpg"
    write_record(out, record)


def tell_of_no_limit(out: Path) -> None:
    record = record_of(out)
    record["catalogue"]["rule"]["width_px"] = "any"
    write_record(out, record)


def ask_for_copies_in_print(out: Path) -> None:
    order = (out / "order.txt").read_text("utf-8")
    (out / "order.txt").write_text(order.replace("Not for printing", "Print too"), "utf-8")
    mend_sums(out)


@pytest.mark.parametrize(("tamper", "code"), WITH_ANY_FILE)
def test_every_kind_of_tampering_with_a_copy_is_caught(
    deliveries: Path, tmp_path: Path, tamper: FileTamper, code: str
) -> None:
    out = copied(deliveries, "folder", tmp_path)
    tamper(out, COPY)
    said = in_process("verify", out, "--json")
    assert said.code == 1
    assert code in codes(said)


@pytest.mark.parametrize(
    ("tamper", "code"),
    [
        (rename_and_record, "catalogue-name"),
        (swap, "checksum"),
        (swap_and_record, "catalogue-title"),
        (change_profile_and_record, "catalogue-profile"),
        (make_progressive_and_record, "catalogue-format"),
        (change_title, "catalogue-title"),
        (change_title_and_record, "catalogue-title"),
        (take_title, "catalogue-title"),
        (say_more_than_the_title, "metadata"),
        (make_larger, "pixels"),
        (make_larger_and_record, "catalogue-width"),
        (make_larger_and_record, "catalogue-height"),
        (make_heavy_and_record, "catalogue-bytes"),
        (change_format_and_record, "catalogue-format"),
        (change_proof, "soft-proof"),
        (remove_proof, "missing"),
        (forget_copies, "added"),
        (forget_proof, "added"),
        (name_another_proof, "record"),
        (place_copies_elsewhere, "record"),
        (tell_of_no_limit, "record"),
        (ask_for_copies_in_print, "order"),
    ],
)
def test_every_kind_of_tampering_is_caught(
    deliveries: Path, tmp_path: Path, tamper: Tamper, code: str
) -> None:
    out = copied(deliveries, "folder", tmp_path)
    tamper(out)
    said = in_process("verify", out, "--json")
    assert said.code == 1
    assert code in codes(said)


def packed(out: Path, change: Callable[[dict[str, bytes]], None]) -> None:
    """Change what the zip holds, and mend the sums in it and beside it."""
    spare = out.parent / "spare"
    with zipfile.ZipFile(out / "delivery.zip") as archive:
        archive.extractall(spare)
        held = {name: archive.read(name) for name in archive.namelist()}
    change(held)
    for name, content in held.items():
        (spare / name).parent.mkdir(exist_ok=True)
        (spare / name).write_bytes(content)
    mend_sums(spare)
    held["SHA256SUMS"] = (spare / "SHA256SUMS").read_bytes()
    with zipfile.ZipFile(out / "delivery.zip", "w", zipfile.ZIP_STORED) as archive:
        for name, content in held.items():
            archive.writestr(name, content)
    mend_sums(out)


def pack_a_copy(out: Path) -> None:
    copy = (out / COPY).read_bytes()
    packed(out, lambda held: held.update({COPY: copy}))


def tell_the_lab_of_another_title(out: Path) -> None:
    def change(held: dict[str, bytes]) -> None:
        held["delivery.json"] = held["delivery.json"].replace(b'"One"', b'"Won"')

    packed(out, change)


@pytest.mark.parametrize(
    ("tamper", "code"),
    [
        (remove_proof, "missing"),
        (change_proof, "soft-proof"),
        (forget_copies, "added"),
        (pack_a_copy, "added"),
        (tell_the_lab_of_another_title, "record"),
    ],
)
def test_tampering_beside_zips_is_caught(
    deliveries: Path, tmp_path: Path, tamper: Tamper, code: str
) -> None:
    out = copied(deliveries, "zips", tmp_path)
    tamper(out)
    said = in_process("verify", out, "--json")
    assert said.code == 1
    assert code in codes(said)


@pytest.mark.parametrize("shape", ["folder", "zips"])
def test_a_delivery_as_it_was_made_has_no_differences(deliveries: Path, shape: str) -> None:
    said = in_process("verify", deliveries / shape)
    assert said.code == 0
    assert "4 files read; everything is as it was made" in said.out


def test_what_each_copy_meets_is_said(deliveries: Path) -> None:
    lines = in_process("verify", deliveries / "folder", "--verbose").out.splitlines()
    start = lines.index(f"   1  {COPY}")
    assert lines[start + 1].startswith("      rules   ok       JPEG, 8 bits, baseline, 4:4:4")
    assert lines[start + 2] == "              ok       profile sRGB IEC61966-2-1, required: sRGB"
    assert lines[start + 3] == "              ok       width 240 px, at most 240"
    assert lines[start + 4] == "              ok       height 160 px, at most 160"
    assert lines[start + 5].endswith("MB, at most 0.05")
    assert lines[start + 6].endswith("name Sea_1-One.jpg, required: {category}_{number}-{title}")
    assert lines[start + 7] == "              ok       title inside: One"


def test_what_a_copy_misses_is_said(deliveries: Path, tmp_path: Path) -> None:
    out = copied(deliveries, "folder", tmp_path)
    make_larger_and_record(out)
    said = in_process("verify", out)
    assert "              broken   width 300 px, at most 240" in said.out
    assert "not as the rules ask: width 300 px, at most 240" in said.out


def test_the_record_tells_the_points_of_a_copy(deliveries: Path) -> None:
    record = json.loads(in_process("verify", deliveries / "folder", "--json").out)
    copy = next(file for file in record["files"] if file["file"] == COPY)
    assert (copy["entry"], copy["lab"], copy["planned"]) == ("1", [], [])
    assert {f["code"]: f["severity"] for f in copy["rules"]} == dict.fromkeys(
        (
            *("catalogue-format", "catalogue-profile", "catalogue-width", "catalogue-height"),
            *("catalogue-bytes", "catalogue-name", "catalogue-title"),
        ),
        "met",
    )
