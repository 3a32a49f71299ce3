"""How many bytes ``make`` says that its files will take, against what they take."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from proofs.cli.options import preflight_of
from proofs.commands.make.entries import tasks_of
from proofs.commands.make.estimate import (
    about_bytes,
    about_print_bytes,
    most_bytes,
    needed_bytes,
)
from proofs.commands.make.order import MakeOptions, MakeTask
from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.prints.encoding import encoded
from proofs.outside.pixels.resize.print_size import sized_for_print
from proofs.outside.pixels.source.decode import Photograph, decode
from proofs.pages.wording import megabytes
from proofs.plan.entry.planning import PlannedPicture
from proofs.records.labs import Compression, FileFormat, Lab
from proofs.records.papers import Sharpening
from proofs.run.workers import Workers
from tests.command import gradient, in_process, write_entries
from tests.commands.make.test_run import photographs_folder
from tests.manual_pages import ROOT
from tests.workbench import LAB, a_job, a_plan

MOST = 1.5  # the factor that the user asks for; never below 1
TIFF = replace(LAB, format=FileFormat.TIFF, colour_profile="a98-rgb", ppi=360)
LABS = {
    "jpeg 95": LAB,
    "jpeg 80": replace(LAB, quality=80),
    "jpeg 100": replace(LAB, quality=100),
    "tiff lzw": TIFF,
    "tiff deflate 16": replace(TIFF, compression=Compression.DEFLATE, bits=16),
    "tiff": replace(TIFF, compression=Compression.NONE),
    "png": replace(LAB, format=FileFormat.PNG),
}
# As in the tests of whole runs; hubble_deep_field (NASA, public domain), ihc (a stained slice of
# tissue, public domain) and moon (CC0) have the most and the least detail of all.
PHOTOGRAPHS = [
    *(photographs_folder() / name for name in ("rocket.jpg", "coffee.png", "ihc.png", "moon.png")),
    photographs_folder() / "hubble_deep_field.jpg",
    ROOT / "demo_images/birches_at_first_light.jpg",
]


@pytest.mark.parametrize("path", PHOTOGRAPHS, ids=lambda path: path.stem)
def test_no_print_file_takes_more_than_was_said_or_much_less(path: Path) -> None:
    photograph = decode(path)
    shares = [
        about_print_bytes(photograph, part, lab, Sharpening.STANDARD) / made(photograph, part, lab)
        for lab in LABS.values()
        for part in [planned(photograph, lab)]
    ]
    assert min(shares) > 1
    assert max(shares) < MOST


def planned(photograph: Photograph, lab: Lab) -> PlannedPicture:
    pixels = photograph.facts.pixels
    plan = a_plan(a_job(lab=lab), "long 5 in", pixels.width, pixels.height)
    return plan.parts[0]


def made(photograph: Photograph, part: PlannedPicture, lab: Lab) -> int:
    """The bytes of the print file, darker by 0.10 D: the estimate knows no density."""
    base = sized_for_print(
        photograph,
        turn=0,
        crop=None,
        size=part.pixels,
        ppi=lab.ppi,
        sharpen=Sharpening.STANDARD,
    )
    return len(encoded(variant_image(base, lab, 0.1), lab))


def tasks_in(folder: Path) -> tuple[MakeTask, ...]:
    options = MakeOptions(entries=(folder,), out=folder / "out", variants=True)
    return tasks_of(options, preflight_of(options), 1)


def test_the_files_of_a_run_take_less_than_both_estimates(tmp_path: Path) -> None:
    for name in ("rocket.jpg", "camera.png"):
        shutil.copy(photographs_folder() / name, tmp_path / name)
    write_entries(
        tmp_path,
        "number,file,size,mount,bracket,crop,top_edge",
        "1,rocket.jpg,long 12 in,double-white,0; +0.10,4x5,left",
        "2,camera.png,long 11 in,printed-surround,0,,",
        "3,rocket.jpg | camera.png,18x12 cm | 12x12 cm,overlap-black,0,,",
    )
    tasks = tasks_in(tmp_path)
    said = in_process("make", tmp_path, "--out", tmp_path / "out", "--variants")
    files = [path.stat().st_size for path in (tmp_path / "out").rglob("*") if path.is_file()]
    assert sum(files) < about_bytes(tasks, Workers(1)) < MOST * sum(files)
    assert sum(files) < most_bytes(tasks)
    # Records of the run aside, all of its files are counted.
    records = sum((tmp_path / "out" / name).stat().st_size for name in ("proofs-run.json",))
    assert f"{megabytes(sum(files) - records)} in all" in said.out


def test_a_picture_that_cannot_be_read_counts_as_nothing(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    (tmp_path / "b.jpg").write_bytes((tmp_path / "a.jpg").read_bytes()[:-400])
    write_entries(tmp_path, "number,file,size", "1,a.jpg,long 12 in")
    one = about_bytes(tasks_in(tmp_path), Workers(1))
    write_entries(tmp_path, "number,file,size", "1,a.jpg,long 12 in", "2,b.jpg,long 12 in")
    assert about_bytes(tasks_in(tmp_path), Workers(1)) == one


def test_pictures_are_looked_at_only_if_the_disk_may_be_too_small(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    gradient(tmp_path / "a.jpg", 300, 200)
    write_entries(tmp_path, "number,file,size", "1,a.jpg,long 12 in")
    tasks = tasks_in(tmp_path)
    most, about = most_bytes(tasks), about_bytes(tasks, Workers(1))
    assert about < most
    (tmp_path / "a.jpg").unlink()  # whoever looks at it now cannot read it
    assert needed_bytes(tasks, tmp_path / "out", Workers(1)) == most
    usage = shutil.disk_usage(tmp_path)
    monkeypatch.setattr(shutil, "disk_usage", lambda _: usage._replace(free=most))
    assert needed_bytes(tasks, tmp_path / "out", Workers(1)) == 0
