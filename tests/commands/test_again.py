"""A run that keeps what earlier runs left gives the same bytes and words as a fresh one."""

import json
import os
import random
import shutil
import time
from pathlib import Path

import pytest
from PIL import ExifTags, Image

from proofs.outside.digest_cache import digest_cache, file_state_of
from proofs.outside.pixels.source.decode import decode
from tests.assault.processes import contents
from tests.command import in_process
from tests.edits import (
    Workshop,
    change_a_byte,
    faults_after_edits,
    forget,
    kill,
    touch,
)

DECODERS = (
    "proofs.commands.make.worker.decode",
    "proofs.commands.inspect.worker.decode",
    "proofs.commands.strip.worker.decode",
    "proofs.commands.delivery.worker.decode",
    "proofs.commands.delivery.catalogue.decode",
    "proofs.commands.soft_proof.worker.decode",
    "proofs.commands.mount.thumbnails.decode",
)
COMMANDS = ("make", "strip", "deliver", "inspect", "mount")
WITH_PIXELS = COMMANDS[:4]
_GRAIN_NS = 20_000_000  # of the disks that tests run on; edits here are farther apart


@pytest.fixture
def decoded(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the pictures that are decoded, all in this process."""
    names: list[str] = []

    def noted(path: Path, **more: object) -> object:
        names.append(path.name)
        return decode(path, **more)  # type: ignore[arg-type]  # passed on

    monkeypatch.setattr("proofs.run.workers.can_start_workers", lambda: False)
    monkeypatch.setattr("proofs.outside.digest_cache._GRAIN_NS", _GRAIN_NS)
    for name in DECODERS:
        monkeypatch.setattr(name, noted)
    return names


def a_shop(tmp_path: Path, command: str, seed: int = 0) -> Workshop:
    return Workshop(tmp_path, command, random.Random(f"{command} {seed}"))


def a_run(tmp_path: Path, decoded: list[str], command: str = "make") -> Workshop:
    """A folder that a run has just made; what it decoded is forgotten."""
    shop = a_shop(tmp_path, command)
    shop.set_up()
    said = shop.run()
    assert said.code == 0, said
    decoded.clear()
    return shop


def counts(shop: Workshop) -> str:
    """What the next run says of its files."""
    said = shop.run()
    assert said.code == 0, said
    return next(line for line in said.out.splitlines() if line.startswith("files: "))


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("seed", range(2))
def test_after_any_edits_a_run_leaves_what_a_fresh_one_makes(
    tmp_path: Path, decoded: list[str], command: str, seed: int
) -> None:
    assert faults_after_edits(a_shop(tmp_path, command, seed), 7) == []


@pytest.mark.parametrize("command", COMMANDS)
def test_a_second_run_decodes_nothing_and_makes_nothing(
    tmp_path: Path, decoded: list[str], command: str
) -> None:
    shop = a_run(tmp_path, decoded, command)
    before = {path: path.stat().st_mtime_ns for path in shop.out.rglob("*.*")}
    assert counts(shop).startswith("files: 0 made, ")
    assert decoded == []
    now = {path: path.stat().st_mtime_ns for path in shop.out.rglob("*.*")}
    assert (now == before) == (command != "deliver")  # which appears as a whole


@pytest.mark.parametrize("command", WITH_PIXELS)
def test_a_second_run_with_everything_asked_for_decodes_nothing(
    tmp_path: Path, decoded: list[str], command: str
) -> None:
    shop = a_shop(tmp_path, command)
    shop.set_up()
    shop.options["rules"] = ("--rules", "screen")
    shop.options["more"] = {
        "inspect": ("--inspection", "careful", "--paper-size", "letter"),
        "make": ("--inspect", "--variants", "--proof-prints", "--soft-proof", "--keep-metadata"),
        "strip": ("--proof-prints", "--edge-to-edge"),
        "deliver": ("--catalogue", "--soft-proof", "--zip", "--margin-line", "--cut-marks"),
    }[command]
    assert shop.faults() == []
    decoded.clear()
    assert counts(shop).startswith("files: 0 made, ")
    assert decoded == []
    assert shop.faults() == []


@pytest.mark.parametrize("command", WITH_PIXELS)
def test_a_touched_picture_changes_nothing(
    tmp_path: Path, decoded: list[str], command: str
) -> None:
    shop = a_run(tmp_path, decoded, command)
    touch(shop)
    assert counts(shop).startswith("files: 0 made, ")
    assert decoded == []


def test_a_changed_byte_redoes_that_picture(tmp_path: Path, decoded: list[str]) -> None:
    shop = a_run(tmp_path, decoded)
    change_a_byte(shop)
    # A print, two fronts, the back, the small mount of the hang, and for each of the two steps two
    # pictures of the page. The byte is no part of the picture, so that sheet, hang and report come
    # out as they were.
    assert counts(shop) == "files: 9 made, 21 kept"
    assert decoded == ["a.jpg"]


def test_another_step_redoes_one_print_file(tmp_path: Path, decoded: list[str]) -> None:
    shop = a_run(tmp_path, decoded)
    before = contents(shop.out)
    shop.rows[1]["chosen"] = "B"
    shop.write()
    assert counts(shop) == "files: 5 made, 25 kept"
    assert decoded == ["b.jpg"]
    now = contents(shop.out)
    changed = {name for name in now if now[name] != before[name]}
    assert changed == {
        *("prints/2_pier-b.jpg", "proof-sheet.pdf", "report.json", "proofs-run.json"),
        *("page-pictures/2_pier-b_hung.jpg", "hang.png"),
    }


def test_another_step_that_is_there_at_full_size_decodes_nothing(
    tmp_path: Path, decoded: list[str]
) -> None:
    shop = a_shop(tmp_path, "make")
    shop.set_up()
    shop.options["variants"] = ("--variants",)
    shop.run()
    shop.rows[1]["chosen"] = "B"
    shop.write()
    decoded.clear()
    assert counts(shop) == "files: 5 made, 31 kept"
    assert decoded == []
    print_file = shop.out / "prints/2_pier-b.jpg"
    assert not print_file.samefile(shop.out / "variants/2_pier-b_b.jpg")
    assert print_file.stat().st_nlink == 1  # whoever edits it changes no other file


def test_another_mat_redoes_mock_ups_and_sheet_but_no_print_file(
    tmp_path: Path, decoded: list[str]
) -> None:
    shop = a_run(tmp_path, decoded)
    before = {path.name: path.stat().st_mtime_ns for path in (shop.out / "prints").iterdir()}
    shop.options["mount"] = ("--mount", "dark")
    for row in shop.rows:
        row["mount"] = ""
    shop.write()
    assert counts(shop) == "files: 27 made, 3 kept"
    now = {path.name: path.stat().st_mtime_ns for path in (shop.out / "prints").iterdir()}
    assert now == before


def test_another_title_renames_the_print_file_and_redoes_the_back(
    tmp_path: Path, decoded: list[str]
) -> None:
    shop = a_run(tmp_path, decoded)
    before = (shop.out / "prints/2_pier-b.jpg").stat()
    shop.rows[1]["title"] = "Dunes"
    shop.write()
    assert counts(shop) == "files: 4 made, 18 kept, 8 renamed"
    assert decoded == []
    after = (shop.out / "prints/2_dunes.jpg").stat()
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)
    assert not (shop.out / "prints/2_pier-b.jpg").exists()
    assert not list((shop.out / "old").glob("prints/*"))


def test_one_more_entry_of_a_category_redoes_the_labels_on_all_backs(
    tmp_path: Path, decoded: list[str]
) -> None:
    # Their labels say "1 of 4" now. The backs are made of the fronts that are kept.
    shop = a_run(tmp_path, decoded)
    before = contents(shop.out)
    shop.rows.append(dict(shop.rows[0], number="4", title="Fourth"))
    shop.write()
    shop.run()
    now = contents(shop.out)
    backs = [name for name in before if name.endswith("_back.png")]
    assert len(backs) == 3
    assert [name for name in backs if now[name] == before[name]] == []
    fronts = [name for name in before if name.endswith("_front.png")]
    assert [name for name in fronts if now[name] != before[name]] == []
    assert decoded == []  # the new entry shows a picture that is there: its files are copies


def test_another_place_to_look_at_redoes_what_shows_it_and_no_print(
    tmp_path: Path, decoded: list[str]
) -> None:
    shop = a_run(tmp_path, decoded)
    before = contents(shop.out)
    shop.rows[1]["look_at"] = "10 % 90 %"
    shop.write()
    assert shop.faults() == []
    now = contents(shop.out)
    changed = {name.partition("/")[0] for name in before if now.get(name) != before[name]}
    assert {"page-pictures", "proof-sheet.pdf"} <= changed
    assert not changed & {"prints", "mockups"}


def test_another_title_redoes_a_copy_that_has_it_inside(tmp_path: Path, decoded: list[str]) -> None:
    shop = a_shop(tmp_path, "deliver")
    shop.set_up()
    shop.options["rules"] = ("--rules", "screen")
    shop.options["more"] = ("--catalogue",)
    shop.run()
    decoded.clear()
    shop.rows[1]["title"] = "Dunes"
    shop.write()
    shop.run()
    assert decoded == ["b.jpg"]
    assert {path.name for path in (shop.out / "prints").iterdir()} == {
        *("1_pier-a.jpg", "2_dunes.jpg", "3_pier-c.jpg")
    }


@pytest.mark.parametrize("command", COMMANDS)
def test_again_makes_every_file_anew(tmp_path: Path, decoded: list[str], command: str) -> None:
    shop = a_run(tmp_path, decoded, command)
    before = contents(shop.out)
    shop.options["again"] = ("--again",)
    assert "kept" not in counts(shop)
    assert {*decoded} == {"a.jpg", "b.jpg", "c.jpg"}
    assert contents(shop.out) == before


def test_a_folder_of_an_earlier_version_is_made_anew(tmp_path: Path, decoded: list[str]) -> None:
    shop = a_run(tmp_path, decoded)
    record = shop.out / "proofs-run.json"
    before = record.read_bytes()
    old = {key: value for key, value in json.loads(before).items() if key in ("own", "files")}
    record.write_text(json.dumps({"schema": 1, **old}))
    assert counts(shop) == "files: 30 made"
    assert record.read_bytes() == before


def test_figures_that_make_no_sense_are_measured_again(tmp_path: Path, decoded: list[str]) -> None:
    shop = a_run(tmp_path, decoded)
    record = shop.out / "proofs-run.json"
    before = contents(shop.out)
    spoilt = json.loads(before["proofs-run.json"])
    spoilt["results"] = {key: {"pixels": 3} for key in spoilt["results"]}
    record.write_text(json.dumps(spoilt))
    shop.run()
    assert sorted(decoded) == ["a.jpg", "b.jpg", "c.jpg"]
    assert contents(shop.out) == before


def test_without_the_cache_pictures_are_read_but_not_decoded(
    tmp_path: Path, decoded: list[str]
) -> None:
    shop = a_run(tmp_path, decoded)
    forget(shop)
    assert counts(shop) == "files: 0 made, 30 kept"
    assert decoded == []


def test_where_no_cache_can_be_written_a_run_keeps_all_the_same(
    tmp_path: Path, decoded: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    in_the_way = tmp_path / "file"
    in_the_way.write_bytes(b"")
    monkeypatch.setenv("XDG_CACHE_HOME", str(in_the_way))
    shop = a_run(tmp_path, decoded)
    assert counts(shop) == "files: 0 made, 30 kept"
    assert decoded == []


def test_a_moved_folder_is_kept(tmp_path: Path, decoded: list[str]) -> None:
    shop = a_run(tmp_path, decoded)
    moved = shop.top / "elsewhere"
    shop.out.rename(moved)
    said = in_process(*shop.words(moved))
    assert "files: 0 made, 30 kept" in said.out
    assert decoded == []


def test_a_run_after_a_killed_one_keeps_what_that_had_finished(
    tmp_path: Path, decoded: list[str]
) -> None:
    shop = a_shop(tmp_path, "make", 3)
    shop.set_up()
    shop.run()
    shutil.copytree(shop.pictures, shop.top / "copy")
    kill(shop)
    decoded.clear()
    assert shop.faults() == []
    assert len(set(decoded)) == 3  # all by the fresh run
    assert len(decoded) <= 4


def test_a_picture_that_changes_while_only_a_part_is_made_is_refused(
    tmp_path: Path, decoded: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = a_run(tmp_path, decoded)
    path = shop.pictures / "b.jpg"
    content, status = path.read_bytes(), path.stat()
    shop.rows[1]["chosen"] = "B"
    shop.write()

    def changing(source: Path, **more: object) -> object:
        source.write_bytes(content[:15] + b"\x07" + content[16:])  # another density in its JFIF
        os.utime(source, ns=(status.st_atime_ns, status.st_mtime_ns))
        return decode(source, **more)  # type: ignore[arg-type]  # passed on

    monkeypatch.setattr("proofs.commands.make.worker.decode", changing)
    said = shop.run()
    assert said.code == 4
    assert "b.jpg: was changed while the program was at work" in said.out


def test_a_digest_noted_wrongly_is_found_out_and_forgotten(
    tmp_path: Path, decoded: list[str]
) -> None:
    # As if somebody had edited a picture within the grain of a coarse clock.
    shop = a_run(tmp_path, decoded)
    before = contents(shop.out)
    path = shop.pictures / "b.jpg"
    with digest_cache(shop.pictures) as cache:
        cache.learn(path, file_state_of(path), "0" * 64)
    assert in_process(*shop.words(shop.top / "new")).code == 0  # where nothing can be kept
    with digest_cache(shop.pictures) as cache:
        cache.learn(path, file_state_of(path), "0" * 64)
    said = shop.run()
    assert said.code == 4
    assert "b.jpg: was changed while the program was at work" in said.out
    assert shop.run().code == 0
    assert contents(shop.out) == contents(shop.top / "new") == before


def test_a_file_whose_name_declares_another_colour_space_is_not_kept(
    tmp_path: Path, decoded: list[str]
) -> None:
    # DCF 2.0: ColorSpace 65535 (uncalibrated) and a name that begins with _ mean Adobe RGB.
    shop = a_shop(tmp_path, "make")
    shop.set_up()
    exif = Image.Exif()
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.ColorSpace] = 65535
    path = shop.pictures / "ADSC0001.jpg"
    Image.open(shop.pictures / "a.jpg").save(path, exif=exif)
    shop.rows[0]["file"] = "ADSC0001.jpg"
    shop.write()
    assert shop.faults() == []
    before = (shop.out / "prints/1_pier-a.jpg").read_bytes()
    path.rename(path.with_name("_DSC0001.jpg"))
    shop.rows[0]["file"] = "_DSC0001.jpg"
    shop.write()
    assert shop.faults() == []
    assert (shop.out / "prints/1_pier-a.jpg").read_bytes() != before


def test_a_second_run_of_ten_entries_is_quick(tmp_path: Path, decoded: list[str]) -> None:
    # On a machine that does nothing else 0.2 s in a process that has loaded the program.
    shop = a_shop(tmp_path, "make")
    shop.set_up()
    rows = [dict(row, number=str(n + 1)) for n, row in enumerate(shop.rows * 4)]
    shop.rows[:] = rows[:10]
    shop.write()
    shop.run()
    start = time.process_time()
    assert counts(shop).startswith("files: 0 made")
    assert time.process_time() - start < 2
