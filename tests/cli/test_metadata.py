"""``make`` and ``deliver`` understand the same options on metadata, in all files that they finish.

Second reader: Pillow (EXIF tags of TIFF 6.0, from memory).
"""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from proofs.outside.pixels.prints.file_facts import file_facts
from proofs.plan.delivery.deliveries import CREDIT_IPTC, CREDIT_XMP, TITLE_ALONE
from tests.command import Said, gradient, in_process, write_entries
from tests.edits import MOUNT
from tests.labs import write_labs, write_screen_rules
from tests.private_pictures import make_private
from tests.tampering import codes, forge, mend, saved_anew

LINE, NAME = "(c) 2026 B. Maker", "B. Maker"
STATED = ("--copyright", LINE, "--creator", NAME)
OWN = {0x8298: "(c) A. Maker", 0x013B: "A. Maker"}
NEW = {0x8298: LINE, 0x013B: NAME}
COMMANDS = {
    "make": ("--variants",),
    "deliver": ("--catalogue",),
}
FILES = {
    "make": ("prints/1_one.jpg", "variants/1_one_a.jpg"),
    "deliver": ("prints/1_one.jpg", "catalogue/1-One.jpg"),
}
CREDIT = {CREDIT_XMP, CREDIT_IPTC}
BLOCKS = {"exif", "gps", "XMP", "IPTC"}
JOB = f'copyright = "{LINE}"\ncreator = "{NAME}"\n'

# Options, lines of job.toml, tags of EXIF that name the maker, and names of what else is carried.
CASES: Mapping[str, tuple[tuple[str, ...], str, dict[int, str], set[str]]] = {
    "nothing": ((), "", {}, set()),
    "copyright": (("--copyright", LINE), "", {0x8298: LINE}, set()),
    "creator": (("--creator", NAME), "", {0x013B: NAME}, set()),
    "both": (STATED, "", NEW, set()),
    "on-two-lines": (("--copyright", "(c) 2026\n  B. Maker"), "", {0x8298: LINE}, set()),
    "own": (("--keep-copyright",), "", OWN, CREDIT),
    "own-and-line": (
        ("--keep-copyright", "--copyright", LINE),
        "",
        OWN | {0x8298: LINE},
        CREDIT,
    ),
    "own-and-both": (("--keep-copyright", *STATED), "", NEW, CREDIT),
    "all": (("--keep-metadata",), "", OWN, BLOCKS),
    "all-and-both": (("--keep-metadata", *STATED), "", NEW, BLOCKS),
    "all-and-own": (("--keep-metadata", "--keep-copyright"), "", OWN, BLOCKS),
    "job": ((), JOB, NEW, set()),
    "job-and-option": (("--creator", "C. Maker"), JOB, NEW | {0x013B: "C. Maker"}, set()),
    "job-and-blank": (("--creator", "", "--copyright", " "), JOB, {}, set()),
    "job-and-own": (("--keep-copyright", "--creator", ""), JOB, OWN | {0x8298: LINE}, CREDIT),
    "exhibitor": ((), '[exhibitor]\nname = "A. Maker"\n', {}, set()),
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One picture that states its maker, and much besides, on a small board."""
    path = tmp_path_factory.mktemp("metadata")
    gradient(path / "one.jpg", 240, 160)
    make_private(path / "one.jpg")
    write_labs(path)
    write_screen_rules(path)
    mount = path / "profiles/mounts/plain.toml"
    mount.parent.mkdir()
    window = {"kind": "overlap", "window": 'overlap = "1/8 in"'}
    mount.write_text(MOUNT.format(board="5x7 in", colour="white", **window), encoding="utf-8")
    write_entries(path, "title,file,size,bracket,chosen", "One,one.jpg,long 3 in,0; +0.10,A")
    return path


def run(command: str, folder: Path, out: Path, *options: str) -> Said:
    profiles = ("--mount", "plain", "--lab", "small", "--rules", "screen", "--jobs", "1")
    return in_process(command, folder, "--out", out, *profiles, *COMMANDS[command], *options)


def maker_in(path: Path) -> dict[int, Any]:
    """The tags of a file that name its maker, as Pillow finds them."""
    with Image.open(path) as picture:
        return {tag: value for tag, value in picture.getexif().items() if tag in OWN}


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("command", COMMANDS)
def test_an_option_means_the_same_in_every_file_of_both_commands(
    folder: Path, tmp_path: Path, command: str, case: str
) -> None:
    options, job, maker, carried = CASES[case]
    (folder / "job.toml").write_text(job, encoding="utf-8")
    out = tmp_path / "out"
    assert run(command, folder, out, *options).code == 0
    prints, others = (out / name for name in FILES[command])
    assert [maker_in(prints), maker_in(others)] == [maker, maker]
    found = [set(file_facts(path.read_bytes()).extras) for path in (prints, others)]
    # The rules ask for the title in catalogue copies, whatever else is kept.
    titled = {TITLE_ALONE} if command == "deliver" and not carried else set()
    untagged = [{name for name in extras if not name.startswith("tag ")} for extras in found]
    # Where both lines and the title replace those of IPTC, nothing of it is left.
    gone = {CREDIT_IPTC} if (command, case) == ("deliver", "own-and-both") else set()
    assert untagged == [carried, (carried | titled) - gone]


@pytest.mark.parametrize("case", CASES)
def test_what_was_asked_for_is_no_difference(folder: Path, tmp_path: Path, case: str) -> None:
    options, job, _, _ = CASES[case]
    (folder / "job.toml").write_text(job, encoding="utf-8")
    out = tmp_path / "out"
    assert run("deliver", folder, out, *options).code == 0
    said = in_process("verify", out)
    assert (said.code, "everything is as it was made" in said.out) == (0, True)


def test_the_record_states_what_is_kept_and_stated(folder: Path, tmp_path: Path) -> None:
    (folder / "job.toml").write_text("", encoding="utf-8")
    out = tmp_path / "out"
    run("deliver", folder, out, "--keep-copyright", "--creator", NAME)
    record = json.loads((out / "delivery.json").read_bytes())
    stated = [record[key] for key in ("metadata_kept", "copyright", "creator")]
    assert stated == ["credit", None, NAME]
    of_file = [record["files"][0][key] for key in ("copyright", "creator", "title_inside")]
    assert of_file == ["(c) A. Maker", NAME, "Heron"]
    assert record["files"][0]["carries"] == [CREDIT_XMP, CREDIT_IPTC]
    assert record["catalogue"]["copies"][0]["title_inside"] == "One"


def lose_everything(out: Path, name: str) -> None:
    saved_anew(out, name, xmp=b"")


def take_another_name(out: Path, name: str) -> None:
    exif = Image.Exif()
    exif.update({0x8298: LINE, 0x013B: "Somebody"})
    saved_anew(out, name, exif=exif)


def carry_a_camera(out: Path, name: str) -> None:
    exif = Image.Exif()
    exif.update({0x8298: LINE, 0x013B: NAME, 0x010F: "A camera"})
    saved_anew(out, name, exif=exif)


def change_the_line_and_record(out: Path, name: str) -> None:
    exif = Image.Exif()
    exif.update({0x8298: "(c) Somebody", 0x013B: NAME})
    saved_anew(out, name, exif=exif)
    forge(out, name)


def carry_a_camera_and_record(out: Path, name: str) -> None:
    carry_a_camera(out, name)
    forge(out, name)


def lose_the_lines_and_record(out: Path, name: str) -> None:
    saved_anew(out, name)
    forge(out, name)


@pytest.mark.parametrize("name", FILES["deliver"])
@pytest.mark.parametrize(
    ("options", "tamper", "wanted"),
    [
        (("--keep-metadata",), lose_everything, {"metadata", "copyright", "creator"}),
        (("--keep-copyright",), lose_everything, {"metadata", "copyright", "creator"}),
        (STATED, take_another_name, {"creator"}),
        (STATED, carry_a_camera, {"metadata"}),
        (STATED, carry_a_camera_and_record, {"metadata"}),
        (("--keep-copyright", *STATED), carry_a_camera_and_record, {"metadata"}),
        (STATED, change_the_line_and_record, {"copyright"}),
        (STATED, lose_the_lines_and_record, {"copyright", "creator"}),
        (("--keep-metadata", *STATED), change_the_line_and_record, {"copyright"}),
        ((), change_the_line_and_record, {"copyright", "creator"}),
    ],
)
def test_metadata_that_is_lost_or_foreign_is_reported(
    folder: Path,
    tmp_path: Path,
    name: str,
    options: tuple[str, ...],
    tamper: Any,
    wanted: set[str],
) -> None:
    (folder / "job.toml").write_text("", encoding="utf-8")
    out = tmp_path / "out"
    run("deliver", folder, out, *options)
    tamper(out, name)
    said = in_process("verify", out, "--json")
    assert said.code == 1
    assert wanted <= codes(said)


def test_a_line_that_went_into_another_file_is_named(folder: Path, tmp_path: Path) -> None:
    (folder / "job.toml").write_text("", encoding="utf-8")
    out = tmp_path / "out"
    run("deliver", folder, out, *STATED)
    lose_the_lines_and_record(out, FILES["deliver"][0])
    said = in_process("verify", out)
    assert f"copyright none, required: {LINE}" in said.out


@pytest.mark.parametrize("command", COMMANDS)
def test_another_wish_makes_finished_pictures_anew_and_nothing_else(
    folder: Path, tmp_path: Path, command: str
) -> None:
    (folder / "job.toml").write_text("", encoding="utf-8")
    out = tmp_path / "out"
    run(command, folder, out)
    before = {path: path.read_bytes() for path in out.rglob("*.*") if path.is_file()}
    assert run(command, folder, out, *STATED).code == 0
    changed = {path for path in before if path.read_bytes() != before[path]}
    pictures = {path.parent.name for path in changed if path.suffix == ".jpg"}
    assert pictures == {FILES[command][0].split("/")[0], FILES[command][1].split("/")[0]}
    assert not [path for path in changed if path.suffix in (".png",)]
    fresh = tmp_path / "fresh"
    run(command, folder, fresh, *STATED)
    for name in FILES[command]:
        assert (out / name).read_bytes() == (fresh / name).read_bytes()


@pytest.mark.parametrize("line", ["x" * 501, "bell\a", "é" * 251])
def test_a_line_that_no_file_can_state_is_refused(folder: Path, tmp_path: Path, line: str) -> None:
    said = run("make", folder, tmp_path / "out", "--copyright", line)
    assert (said.code, "expected one line of at most 500 bytes" in said.err) == (2, True)
    (folder / "job.toml").write_text(f"creator = {json.dumps(line)}\n", encoding="utf-8")
    said = run("make", folder, tmp_path / "out")
    assert (said.code, "creator: found" in said.err) == (3, True)


def test_mending_the_sums_does_not_hide_what_was_lost(folder: Path, tmp_path: Path) -> None:
    (folder / "job.toml").write_text("", encoding="utf-8")
    out = tmp_path / "out"
    run("deliver", folder, out, "--keep-metadata")
    lose_everything(out, FILES["deliver"][0])
    mend(out, FILES["deliver"][0])
    said = in_process("verify", out)
    assert "metadata none, made with exif, gps" in said.out
