"""``proofs deliver --catalogue --soft-proof``: copies for a screen and a soft proof, as asked for.

Second readers: Pillow (JPEG, EXIF, XMP), PDFium, sha256sum. The title in XMP: Dublin Core, from
memory.
"""

import contextlib
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any
from unittest import mock
from xml.etree import ElementTree

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from proofs.outside.pixels.colour.spaces import built_in_profile
from proofs.outside.pixels.photograph_errors import CodedPhotographError
from proofs.outside.pixels.prints.catalogue_copies import CatalogueCopy, catalogue_copy
from proofs.records.rules import CatalogueRule
from tests.command import Said, gradient, in_process, pdf_text, proofs, write_entries
from tests.labs import greens, write_labs, write_paper_lab, write_screen_rules
from tests.manual_pages import page_text
from tests.tampering import record_of

TITLE = 'Äther & "Öl" <1>'
ROWS = (
    "number,title,file,category,size,chosen,copies",
    "1,Old pier,one.jpg,Sea,long 4 in,+0.10,1",
    '2,"Äther & ""Öl"" <1>",two.jpg,Sea,long 4 in,,2',
    "3,Pair,one.jpg|two.jpg,,long 4 in,A,1",
    "4,Left out,three.jpg,,long 4 in,A,0",
)
ONE = "1,One,one.jpg,,long 4 in,A,1"
UNDECIDED = "1,One,one.jpg,,long 4 in,,1"
LAB = ("--lab", "small", "--rules", "screen", "--jobs", "1")
BOTH = ("--catalogue", "--soft-proof")
COPIES = (*("Sea_1-Old-pier.jpg", "Sea_2-Ather-Ol-1.jpg", "3-Pair.jpg", "3-Pair-2.jpg"),)
NAMES = [f"catalogue/{name}" for name in COPIES]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three pictures, the first with private metadata; the last is not delivered."""
    path = tmp_path_factory.mktemp("companions")
    gradient(path / "one.jpg", 900, 600)
    gradient(path / "two.jpg", 600, 900, seed=1)
    gradient(path / "three.jpg", 300, 200, seed=2)
    with Image.open(path / "one.jpg") as picture:
        exif = picture.getexif()
        exif[0x010F] = "A camera"
        picture.save(path / "one.jpg", exif=exif, comment=b"at home", quality=92)
    write_labs(path)
    write_paper_lab(path)
    write_screen_rules(path)
    write_entries(path, *ROWS)
    return path


@pytest.fixture(scope="module")
def made(folder: Path) -> tuple[Path, Said]:
    out = folder / "out"
    said = in_process("deliver", folder, *LAB, *BOTH, "--density", "+0.15", "--out", out)
    assert said.code == 0, said.out + said.err
    return out, said


@pytest.fixture(scope="module")
def zipped(folder: Path) -> Path:
    out = folder / "zipped"
    said = in_process("deliver", folder, *LAB, *BOTH, "--density", "0", "--zip", "--out", out)
    assert said.code == 0, said.out + said.err
    return out


def alone(folder: Path, path: Path, *rows: str) -> Path:
    """Return a folder with the same pictures and profiles, and these rows."""
    shutil.copytree(folder, path, ignore=shutil.ignore_patterns("out", "zipped", "entries.csv"))
    write_entries(path, ROWS[0], *rows)
    return path


def files_in(out: Path) -> list[str]:
    return sorted(p.relative_to(out).as_posix() for p in out.rglob("*") if p.is_file())


def test_both_are_next_to_the_prints(made: tuple[Path, Said]) -> None:
    names = files_in(made[0])
    assert [n for n in names if n.startswith("catalogue/")] == sorted(NAMES)
    assert "soft-proof.pdf" in names
    assert sum(n.startswith("prints/") for n in names) == 4


def test_sha256sum_finds_both_as_their_sums_say(made: tuple[Path, Said], zipped: Path) -> None:
    for out in (made[0], zipped):
        done = subprocess.run(
            ["sha256sum", "-c", "--strict", "SHA256SUMS"], cwd=out, capture_output=True, text=True
        )
        assert done.returncode == 0
        assert done.stdout.count(": OK") == len(files_in(out)) - 1
        assert all(f"{name}: OK" in done.stdout for name in (*NAMES, "soft-proof.pdf"))


@pytest.mark.parametrize(
    ("name", "size", "title"),
    [
        (NAMES[0], (240, 160), "Old pier"),
        (NAMES[1], (107, 160), TITLE),
        (NAMES[3], (107, 160), "Pair"),
    ],
)
def test_a_copy_is_read_back_by_pillow(
    made: tuple[Path, Said], name: str, size: tuple[int, int], title: str
) -> None:
    path = made[0] / name
    assert path.stat().st_size <= 50_000
    with Image.open(path) as picture:
        assert (picture.format, picture.mode, picture.size) == ("JPEG", "RGB", size)
        assert picture.info["icc_profile"] == built_in_profile("srgb")
        assert "progressive" not in picture.info
        layers = picture.layer  # type: ignore[attr-defined]  # of a JPEG alone; types have none
        assert {layer[1:3] for layer in layers} == {(1, 1)}
        assert dict(picture.getexif()) == {}
        assert not {"comment", "photoshop", "exif"} & picture.info.keys()
        packet = ElementTree.fromstring(picture.info["xmp"])
    assert "".join(packet.itertext()) == title


def test_the_record_lists_copies_rule_and_soft_proof(made: tuple[Path, Said]) -> None:
    record = record_of(made[0])
    copies = record["catalogue"]["copies"]
    assert [(c["file"], c["entry"]) for c in copies] == list(
        zip(NAMES, ["1", "2", "3", "3"], strict=True)
    )
    assert copies[1]["title"] == copies[1]["title_inside"] == TITLE
    assert copies[0]["pixels"] == {"width": 240, "height": 160}
    assert copies[0]["bytes"] == (made[0] / NAMES[0]).stat().st_size
    assert record["catalogue"]["rule"] == {
        "width_px": 240,
        "height_px": 160,
        "most_bytes": 50_000,
        "least_quality": 60,
        "name": "{category}_{number}-{title}",
        "title_inside": True,
    }
    assert record["soft_proof"]["file"] == "soft-proof.pdf"
    assert record["schema"] == 4


def test_every_key_of_the_record_is_in_the_manual(made: tuple[Path, Said]) -> None:
    record = record_of(made[0])
    catalogue = record["catalogue"]
    parts = (record, record["files"][0], catalogue, catalogue["rule"], catalogue["copies"][0])
    named = set(re.findall(r"`([a-z_0-9]+)`", page_text("json-delivery")))
    assert set().union(*parts, record["soft_proof"]) - named == set()


def test_the_soft_proof_names_the_step_that_is_delivered(made: tuple[Path, Said]) -> None:
    text = pdf_text(made[0] / "soft-proof.pdf")
    wanted = ("step C, +0.10 D; chosen", "+0.15 D; no step chosen: as delivered", "−0.10 D; chosen")
    assert [words for words in wanted if words not in text] == []
    assert "Left out" not in text


def test_a_density_that_is_a_step_of_the_bracket_keeps_its_letter(
    folder: Path, tmp_path: Path
) -> None:
    path = alone(folder, tmp_path / "a", UNDECIDED)
    options = (*LAB, "--soft-proof", "--density", "+0.20", "--out", tmp_path / "out")
    assert in_process("deliver", path, *options).code == 0
    text = pdf_text(tmp_path / "out/soft-proof.pdf")
    assert "step D, +0.20 D; no step chosen: as delivered" in text


def test_the_soft_proof_shows_the_density_that_is_delivered(folder: Path, tmp_path: Path) -> None:
    path = alone(folder, tmp_path / "a", UNDECIDED)

    def page(density: str) -> Any:
        out = tmp_path / density
        options = (*LAB, "--soft-proof", "--density", density, "--out", out)
        assert in_process("deliver", path, *options).code == 0
        first = pypdfium2.PdfDocument(out / "soft-proof.pdf")[0]
        return first.render(scale=1).to_numpy().astype(int)

    darker = page("0") - page("+0.30")
    assert np.median(darker[np.abs(darker) > 3]) > 5  # all that differs but some words is picture


def test_terminal_order_and_ticket_say_that_companions_are_not_for_printing(
    made: tuple[Path, Said],
) -> None:
    out, said = made
    assert (
        "not for the lab, and not for printing: catalogue/ (4 copies, for the section),"
        " soft-proof.pdf (for you)" in said.out
    )
    line = "Not for printing: catalogue/ and soft-proof.pdf."
    assert line in (out / "order.txt").read_text("utf-8").splitlines()
    assert line in pdf_text(out / "ticket.pdf")


def test_zips_contain_neither_and_mention_neither(zipped: Path) -> None:
    assert files_in(zipped) == sorted(
        ["SHA256SUMS", "delivery.json", "delivery.zip", "soft-proof.pdf", *NAMES]
    )
    with zipfile.ZipFile(zipped / "delivery.zip") as archive:
        names = archive.namelist()
        record = json.loads(archive.read("delivery.json"))
        order = archive.read("order.txt").decode()
    assert not [n for n in names if n.startswith(("catalogue", "soft-proof"))]
    assert (record["catalogue"], record["soft_proof"]) == (None, None)
    assert record_of(zipped)["catalogue"]["copies"]
    assert "Not for printing" not in order


def test_a_zip_unpacked_by_the_lab_is_complete(zipped: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(zipped / "delivery.zip") as archive:
        archive.extractall(tmp_path)
    assert in_process("verify", tmp_path).code == 0
    assert in_process("verify", zipped / "delivery.zip").code == 0


def test_without_the_options_there_is_neither(folder: Path, tmp_path: Path) -> None:
    path, out = alone(folder, tmp_path / "a", ONE), tmp_path / "out"
    assert in_process("deliver", path, *LAB, "--out", out).code == 0
    assert not [n for n in files_in(out) if n.startswith(("catalogue", "soft-proof"))]
    assert "Not for printing" not in (out / "order.txt").read_text("utf-8")


def test_made_again_with_several_workers_both_have_the_same_bytes(
    folder: Path, made: tuple[Path, Said], tmp_path: Path
) -> None:
    out = Path(shutil.copytree(made[0], tmp_path / "out"))
    before = {name: (out / name).read_bytes() for name in files_in(out)}
    options = (*LAB[:4], "--jobs", "2", *BOTH, "--density", "+0.15")
    assert proofs("deliver", folder, *options, "--out", out).code == 0
    assert {name: (out / name).read_bytes() for name in files_in(out)} == before


def test_a_delivery_whose_copy_someone_changed_is_not_replaced(
    folder: Path, made: tuple[Path, Said], tmp_path: Path
) -> None:
    out = Path(shutil.copytree(made[0], tmp_path / "out"))
    (out / NAMES[0]).write_bytes(b"changed")
    said = in_process("deliver", folder, *LAB, "--density", "0", "--out", out)
    assert said.code == 5
    assert f"{NAMES[0]}: was changed since it was made" in said.err


def test_the_printed_record_contains_both(folder: Path, tmp_path: Path) -> None:
    path, out = alone(folder, tmp_path / "a", ONE), tmp_path / "out"
    said = in_process("deliver", path, *LAB, *BOTH, "--json", "--out", out)
    assert json.loads(said.out) == record_of(out)


@pytest.mark.parametrize(
    ("rules", "words"),
    [("none", "but no rules are named"), ("silent", "but the rules 'silent' have none")],
)
def test_rules_without_copies_are_refused_before_any_pixel_is_read(
    folder: Path, tmp_path: Path, rules: str, words: str
) -> None:
    path = alone(folder, tmp_path / "a", UNDECIDED)
    silent = path / "profiles/rules/silent.toml"
    silent.write_text('title = "Silent"\nsource = "made up"\n')
    options = ("--lab", "small", "--rules", rules, "--catalogue", "--out", tmp_path / "out")
    with mock.patch("proofs.cli.deliver.make_delivery") as make_delivery:
        said = in_process("deliver", path, *options)
    assert said.code == 2
    assert "copies follow the table [catalogue] of the rules" in said.err
    assert words in said.err
    assert not make_delivery.called
    assert not (tmp_path / "out").exists()


def refused(path: Path, *options: str) -> Said:
    """Deliver one entry and return the output; nothing may be left behind."""
    said = in_process("deliver", path, *LAB, *options, "--out", path / "out")
    assert not (path / "out").exists()
    assert [p.name for p in path.iterdir() if p.name.startswith(".")] == []
    return said


def too_large(*arguments: Any, **options: Any) -> CatalogueCopy:
    raise CodedPhotographError("no copy of it keeps within 50000 bytes", "catalogue-too-large")


def spoilt(*arguments: Any, **options: Any) -> Any:
    raise CodedPhotographError("one.jpg: the file ends early", "input-truncated")


def past_the_rule(photograph: Any, rule: CatalogueRule, **options: Any) -> CatalogueCopy:
    return catalogue_copy(photograph, CatalogueRule(title_inside=True), **options)


def at_fault(*arguments: Any, **options: Any) -> Any:
    raise ZeroDivisionError("a slip")


@pytest.mark.parametrize(
    ("where", "fault", "code", "reason"),
    [
        (
            "delivery.catalogue.catalogue_copy",
            too_large,
            1,
            "no catalogue copy: no copy of it keeps",
        ),
        (
            "delivery.catalogue.catalogue_copy",
            spoilt,
            4,
            "no catalogue copy: one.jpg: the file ends",
        ),
        (
            "delivery.catalogue.catalogue_copy",
            past_the_rule,
            1,
            "width 900 px, at most 240",
        ),
        (
            "delivery.catalogue.catalogue_copy",
            at_fault,
            70,
            "no catalogue copy: a fault of the program",
        ),
        (
            "soft_proof.worker.proof_pixels",
            spoilt,
            4,
            "no soft proof: one.jpg: the file ends",
        ),
        (
            "soft_proof.worker.proof_pixels",
            at_fault,
            70,
            "no soft proof: a fault of the program",
        ),
    ],
)
def test_what_cannot_be_copied_or_shown_refuses_the_delivery_by_name(
    folder: Path,
    tmp_path: Path,
    where: str,
    fault: Callable[..., Any],
    code: int,
    reason: str,
) -> None:
    path = alone(folder, tmp_path / "a", ONE)
    with mock.patch(f"proofs.commands.{where}", fault):
        said = refused(path, *BOTH)
    assert said.code == code
    assert "1  REFUSED    One" in said.out
    assert reason in said.out


@pytest.mark.parametrize("begun", ["catalogue/*.jpg", "catalogue/3-Pair-2.jpg"])
def test_a_run_interrupted_during_copies_or_before_the_soft_proof_leaves_nothing(
    folder: Path, tmp_path: Path, begun: str
) -> None:
    def stopped() -> bool:
        return any(tmp_path.glob(f".out-*/made/{begun}"))

    asked = contextlib.nullcontext(stopped)
    options = (*LAB, *BOTH, "--density", "0", "--out", tmp_path / "out")
    with mock.patch("proofs.cli.progress.interrupts", return_value=asked):
        said = in_process("deliver", folder, *options)
    assert said.code == 130
    assert "interrupted: nothing was made" in said.out
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C is sent in another way there")
def test_a_second_ctrl_c_during_the_copies_leaves_nothing(folder: Path, tmp_path: Path) -> None:
    words = [sys.executable, "-m", "proofs", "deliver", folder, *LAB, *BOTH, "--density", "0"]
    process = subprocess.Popen(
        [*map(str, words), "--out", str(tmp_path / "out")],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    deadline = time.monotonic() + 60
    while not any(tmp_path.glob(".out-*/made/catalogue")) and time.monotonic() < deadline:
        time.sleep(0.02)
    process.send_signal(signal.SIGINT)
    time.sleep(0.05)
    process.send_signal(signal.SIGINT)
    process.communicate(timeout=120)
    assert process.returncode == 130
    assert list(tmp_path.iterdir()) == []


def test_a_loss_of_colour_is_reported_and_refuses_nothing(folder: Path, tmp_path: Path) -> None:
    path = alone(folder, tmp_path / "a", "1,Greens,greens.tif,,long 10.5 in,,1")
    greens(path / "greens.tif")
    options = ("--lab", "rag", "--rules", "none", "--density", "0", "--soft-proof", "--jobs", "1")
    said = in_process("deliver", path, *options, "--out", tmp_path / "out")
    assert said.code == 0
    assert "entry 1: step B: 100.0 % of the image loses more than 4 CIEDE2000" in said.out
    assert "Made-up printer" in pdf_text(tmp_path / "out/soft-proof.pdf")


def test_a_copy_with_fewer_pixels_is_reported(folder: Path, tmp_path: Path) -> None:
    path = alone(folder, tmp_path / "a", ONE)
    rules = path / "profiles/rules/screen.toml"
    larger = rules.read_text().replace("240", "900").replace("160", "600")
    rules.write_text(larger.replace("quality = 60", "quality = 95"))
    said = in_process("deliver", path, *LAB, "--catalogue", "--out", tmp_path / "out")
    assert said.code == 0
    assert "entry 1: catalogue copy of " in said.out
    assert "in place of 900 × 600 px" in said.out


def test_the_help_says_what_both_write() -> None:
    said = " ".join(in_process("deliver", "--help").out.split())
    assert "--catalogue Also write catalogue/" in said
    assert "--soft-proof Also write soft-proof.pdf" in said
    assert "They are not for the lab: with --zip they stay outside the zips." in said
