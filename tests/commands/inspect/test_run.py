"""A run of ``inspect`` with hand-made marks: what it keeps, writes and says, and how it ends."""

import datetime
import json
from pathlib import Path

import pytest
from PIL import ExifTags, Image

from proofs.commands.inspect import record
from proofs.commands.inspect.looks import how_to_look
from proofs.commands.inspect.order import InspectOptions
from proofs.commands.inspect.run import make_inspection
from proofs.inspection.look_crops import LOOKS
from proofs.run.inputs import read_inputs
from proofs.run.preflight import Preflight, preflight
from proofs.run.workers import Workers
from tests.assault.processes import contents
from tests.command import gradient, in_process, write_entries
from tests.json_schema import schema_faults
from tests.looks import inspect, record_of
from tests.manual_pages import keys_of

SCHEMA = json.loads(
    (Path(record.__file__).parent / "inspection.schema.json").read_text(encoding="utf-8")
)


def planned(pictures: Path) -> tuple[InspectOptions, Preflight]:
    options = InspectOptions(
        entries=(pictures,), out=pictures.parent / "look", rules="none", lab="small"
    )
    return options, preflight(
        read_inputs([pictures], options), font=None, today=datetime.date(2026, 6, 1)
    )


def test_marks_alone_end_with_exit_code_0(looks: list[int], pictures: Path) -> None:
    said = inspect(pictures)
    assert (said.code, said.err) == (0, "")
    assert "2 entries: 2 to look at" in said.out
    assert "look at these: 1 dark speck, 1 light hair or scratch" in said.out
    assert looks == [450] * 3  # 3 in at the 150 ppi of this lab, and each picture once


@pytest.mark.parametrize(
    ("options", "looks_as"), [((), "careful"), (("--inspection", "quick"), "quick")]
)
def test_the_job_file_says_how_closely_and_an_option_wins(
    looks: list[int], pictures: Path, options: tuple[str, ...], looks_as: str
) -> None:
    (pictures / "job.toml").write_text('inspection = "careful"\n')
    said = inspect(pictures, *options)
    assert said.code == 0
    assert f"looks   {looks_as} - " in said.out


def test_an_inspection_of_the_job_file_that_is_not_there_is_refused(pictures: Path) -> None:
    (pictures / "job.toml").write_text('inspection = "carefull"\n')
    said = inspect(pictures)
    assert said.code == 3
    assert "carefull" in said.err


def test_there_is_a_line_for_each_picture_and_details_only_for_decisions(
    looks: list[int], pictures: Path
) -> None:
    lines = inspect(pictures).out.splitlines()
    (head,) = [line for line in lines if line.startswith("no  title")]
    column = head.index("to look at")
    rows = [line for line in lines if "1 border" in line[column:]]
    assert len(rows) == 3
    first = "1 border, 1 speck, 1 hair or scratch, "  # in a file lines are cut at 100 columns
    assert {line[column:].startswith(first) for line in rows} == {True}
    assert "calm enough" not in "\n".join(lines)
    assert "calm enough" in inspect(pictures, "--verbose").out
    assert inspect(pictures, "--quiet").out.count("\n") < 8


def test_the_record_matches_its_schema_and_the_manual(looks: list[int], pictures: Path) -> None:
    inspect(pictures)
    made = record_of(pictures)
    assert schema_faults(SCHEMA, made) == []
    entry = made["entries"][0]
    picture = entry["pictures"][0]
    found = (made, entry, picture, picture["marks"][0])
    headings = ("inspection.json", "An entry", "A picture", "A mark")
    assert [set(part) for part in found] == [keys_of("json-inspection", h) for h in headings]
    assert set(SCHEMA["$defs"]["mark"]["properties"]) == set(picture["marks"][0])


@pytest.mark.parametrize(
    ("key", "value"), [("schema", 2), ("ppi", 0.5), ("entries", [{}]), ("more", 1)]
)
def test_a_record_that_differs_does_not_match_the_schema(
    looks: list[int], pictures: Path, key: str, value: object
) -> None:
    inspect(pictures)
    assert schema_faults(SCHEMA, record_of(pictures) | {key: value}) != []


def test_json_prints_the_record_and_nothing_else(looks: list[int], pictures: Path) -> None:
    said = inspect(pictures, "--json")
    assert json.loads(said.out) == record_of(pictures)


def test_places_are_in_mm_from_the_top_left_of_the_image(looks: list[int], pictures: Path) -> None:
    inspect(pictures)
    marks = record_of(pictures)["entries"][0]["pictures"][0]["marks"]
    speck = next(m for m in marks if m["kind"] == "speck" and not m["hidden"])
    assert (speck["from_left_mm"], speck["from_top_mm"]) == (20.25, 20.25)
    hidden = [mark for mark in marks if mark["hidden"]]
    assert [(mark["kind"], mark["number"], mark["crop"]) for mark in hidden] == [
        ("speck", None, None)
    ]


def test_the_files_are_those_that_the_pages_show(looks: list[int], pictures: Path) -> None:
    inspect(pictures)
    out = pictures.parent / "look"
    shown = [p for e in record_of(pictures)["entries"] for p in e["pictures"]]
    named = {p["overview"] for p in shown}
    named |= {m[kind] for p in shown for m in p["marks"] for kind in ("crop", "raised")} - {None}
    there = {path.relative_to(out).as_posix() for path in (out / LOOKS).iterdir()}
    assert there == named
    with Image.open(out / shown[0]["marks"][0]["crop"]) as crop:
        assert crop.size == (94, 94)  # 16 mm at 150 ppi


def test_a_second_run_looks_at_nothing_and_makes_nothing(looks: list[int], pictures: Path) -> None:
    inspect(pictures)
    before = contents(pictures.parent / "look")
    looks.clear()
    said = inspect(pictures)
    assert "files: 0 made, " in said.out
    assert looks == []
    assert contents(pictures.parent / "look") == before


def test_again_looks_at_everything_anew(looks: list[int], pictures: Path) -> None:
    inspect(pictures)
    before = contents(pictures.parent / "look")
    looks.clear()
    inspect(pictures, "--again")
    assert len(looks) == 3
    assert contents(pictures.parent / "look") == before


def test_only_a_picture_that_changed_is_looked_at_again(looks: list[int], pictures: Path) -> None:
    inspect(pictures)
    looks.clear()
    gradient(pictures / "b.jpg", 300, 200, seed=9)
    assert inspect(pictures).code == 0
    assert len(looks) == 1


def test_a_picture_that_cannot_be_read_ends_with_4_and_the_others_are_looked_at(
    looks: list[int], pictures: Path
) -> None:
    content = (pictures / "a.jpg").read_bytes()
    (pictures / "a.jpg").write_bytes(content[: len(content) // 2])
    said = inspect(pictures)
    assert said.code == 4
    assert [e["status"] for e in record_of(pictures)["entries"]] == ["unreadable", "met"]
    assert "entry 1 cannot be read" in said.out


def test_a_run_that_is_stopped_says_what_was_not_done_and_the_next_goes_on(
    looks: list[int], pictures: Path
) -> None:
    options, ready = planned(pictures)
    how = how_to_look(ready, "")
    stopped = make_inspection(options, ready, how, Workers(1, is_stopped=lambda: bool(looks)))
    assert stopped.exit_code == 130
    assert [entry.outcome.status for entry in stopped.entries] == ["met", "not-done"]
    assert (options.out / "inspection.pdf").is_file()
    looks.clear()
    done = make_inspection(options, ready, how, Workers(1))
    assert done.exit_code == 0
    assert len(looks) == 2


def test_a_folder_of_another_command_is_left_alone(looks: list[int], pictures: Path) -> None:
    out = pictures.parent / "look"
    out.mkdir()
    (out / "mine.txt").write_text("mine")
    said = inspect(pictures)
    assert said.code == 5
    assert [path.name for path in out.iterdir()] == ["mine.txt"]


def test_one_worker_and_two_write_the_same_bytes(pictures: Path) -> None:
    out = pictures.parent
    words = ("inspect", pictures, "--lab", "small", "--rules", "none")
    assert in_process(*words, "--out", out / "one", "--jobs", "1").code == 0
    assert in_process(*words, "--out", out / "two", "--jobs", "2").code == 0
    assert contents(out / "one") == contents(out / "two")


def test_the_way_up_of_exif_is_compared_with_the_row(looks: list[int], pictures: Path) -> None:
    with Image.open(pictures / "a.jpg") as image:
        exif = Image.Exif()
        exif[ExifTags.Base.Orientation] = 6
        image.save(pictures / "a.jpg", exif=exif, quality=80)
    write_entries(pictures, "file,title,size,top_edge", "a.jpg,Pier,long 3 in,left")
    said = inspect(pictures)
    assert "which way is up? EXIF turns it by 90°" in said.out
    picture = record_of(pictures)["entries"][0]["pictures"][0]
    assert (picture["exif_turn"], picture["jpeg_quality"]) == (90, 80)
