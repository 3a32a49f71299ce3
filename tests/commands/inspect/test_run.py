"""A run of ``inspect`` with hand-made marks: what it keeps, writes and says, and how it ends."""

import datetime
import json
from pathlib import Path
from typing import Any

import pytest
from PIL import ExifTags, Image

from proofs.commands.inspect import record, worker
from proofs.commands.inspect.looks import how_to_look
from proofs.commands.inspect.order import InspectOptions
from proofs.commands.inspect.run import make_inspection
from proofs.inspection.look_crops import LOOKS
from proofs.inspection.marks import Area, Inspection, Mark, MarkKind, surest_first
from proofs.lengths import Edge
from proofs.records.spotted import SPOTTED_COLUMNS
from proofs.run.inputs import read_inputs
from proofs.run.preflight import Preflight, preflight
from proofs.run.workers import Workers
from tests.assault.processes import contents
from tests.command import Said, gradient, in_process, pdf_text, write_entries
from tests.json_schema import schema_faults
from tests.labs import write_labs
from tests.looks import RED, a_hair, a_speck, along
from tests.manual_pages import keys_of

SIZE = (76.2, 50.8)
SCHEMA = json.loads(
    (Path(record.__file__).parent / "inspection.schema.json").read_text(encoding="utf-8")
)
MARKS = (
    a_speck(20, 20),
    a_hair(40, 30, confidence=0.85),
    a_speck(0.5, 20),  # under the mat
    along(Edge.TOP, SIZE, width=4, start=0, colour=RED),
    Mark(MarkKind.LOST_EDGE, Area(0, 10, 1, 20), 2.0, 1.0, length_mm=20.0, side=Edge.LEFT),
    Mark(MarkKind.BLOCKED, Area(50, 30, 8, 8), 0.0, 1.0, area_mm2=64.0, step="A"),
)


@pytest.fixture
def looks(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Marks made by hand in place of the detectors; the list counts the pictures looked at."""
    counted: list[int] = []

    def inspect_print(base: Any, view: Any, profile: Any) -> Inspection:
        counted.append(base.image.width)
        return Inspection(surest_first(MARKS), 0.5, 0.2, (10.0, 10.0))

    monkeypatch.setattr(worker, "inspect_print", inspect_print)
    monkeypatch.setattr("proofs.run.workers._can_start_workers", lambda: False)
    monkeypatch.setattr("proofs.outside.digest_cache._GRAIN_NS", 20_000_000)
    return counted


@pytest.fixture
def pictures(tmp_path: Path) -> Path:
    """Three small pictures, two of them on one board."""
    folder = tmp_path / "pictures"
    folder.mkdir()
    write_labs(folder)
    for n, name in enumerate("abc"):
        gradient(folder / f"{name}.jpg", 300, 200, seed=n)
    write_entries(folder, "file,title,size", "a.jpg,Pier,long 3 in", "b.jpg | c.jpg,Two,long 3 in")
    return folder


def inspect(pictures: Path, *more: str) -> Said:
    out = pictures.parent / "look"
    return in_process("inspect", pictures, "--out", out, "--lab", "small", "--rules", "none", *more)


def record_of(pictures: Path) -> Any:
    return json.loads((pictures.parent / "look" / "inspection.json").read_text(encoding="utf-8"))


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


def test_there_is_a_line_for_each_picture_and_details_only_for_decisions(
    looks: list[int], pictures: Path
) -> None:
    lines = inspect(pictures).out.splitlines()
    (head,) = [line for line in lines if line.startswith("no  title")]
    column = head.index("to look at")
    rows = [line for line in lines if "1 border" in line[column:]]
    assert len(rows) == 3
    assert {line[column:].split("  ")[0] for line in rows} == {
        "1 border, 1 speck, 1 hair or scratch, 1 lost edge, blocked areas"
    }
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


def tick_off(pictures: Path, *ticks: str) -> None:
    lines = [",".join(SPOTTED_COLUMNS), *ticks]
    (pictures / "spotted.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def ticks_in(pictures: Path, kind: str, entry: int = 0) -> list[str]:
    marks = record_of(pictures)["entries"][entry]["pictures"][0]["marks"]
    return [mark["tick"] for mark in marks if mark["kind"] == kind and not mark["hidden"]]


def test_a_pasted_line_takes_a_mark_off_without_looking_again(
    looks: list[int], pictures: Path
) -> None:
    inspect(pictures)
    tick_off(pictures, *ticks_in(pictures, "speck"))
    looks.clear()
    said = inspect(pictures)
    assert looks == []
    assert "1 tick in spotted.csv" in said.out
    first = record_of(pictures)["entries"][0]["pictures"][0]["marks"]
    specks = {mark["hidden"]: mark["ticked"] for mark in first if mark["kind"] == "speck"}
    assert specks == {False: "spotted", True: None}
    assert "Dark speck" not in pdf_text(pictures.parent / "look" / "inspection.pdf").split("Two")[0]


def test_in_a_changed_picture_a_ticked_mark_comes_back(looks: list[int], pictures: Path) -> None:
    inspect(pictures)
    tick_off(pictures, *ticks_in(pictures, "speck"))
    gradient(pictures / "a.jpg", 300, 200, seed=9)
    inspect(pictures)
    marks = record_of(pictures)["entries"][0]["pictures"][0]["marks"]
    assert {mark["ticked"] for mark in marks} == {None}


def test_the_ticks_are_read_and_never_written(looks: list[int], pictures: Path) -> None:
    inspect(pictures)
    assert not (pictures / "spotted.csv").exists()
    tick_off(pictures, "1,1,0.1,0.1,meant,")
    before = (pictures / "spotted.csv").read_bytes()
    inspect(pictures)
    assert (pictures / "spotted.csv").read_bytes() == before


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("1,1,0.1,0.1,dust,", "line 2, word: 'dust' is no word for a mark; write spotted or meant"),
        ("9,1,0.1,0.1,meant,", "line 2: no entry '9'; the entries are: 1, 2"),
        ("2,3,0.1,0.1,meant,", "line 2: entry 2 has no picture 3; it has 2"),
    ],
)
def test_a_tick_that_cannot_be_understood_ends_with_3(
    looks: list[int], pictures: Path, row: str, said: str
) -> None:
    tick_off(pictures, row)
    ended = inspect(pictures)
    assert ended.code == 3
    assert said in ended.err
    assert not (pictures.parent / "look").exists()


def test_a_border_that_a_rule_needs_puts_the_entry_at_risk_until_it_is_meant(
    looks: list[int], pictures: Path
) -> None:
    rules = pictures / "profiles" / "rules"
    rules.mkdir(exist_ok=True)
    (rules / "short.toml").write_text(
        'title = "Short"\nsource = "made up"\n[visible]\nshortest_least = "44 mm"\n'
    )
    said = inspect(pictures, "--rules", "short")
    assert said.code == 0
    assert record_of(pictures)["entries"][0]["status"] == "at-risk"
    assert "and then shortest visible side" in said.out
    tick_off(pictures, *ticks_in(pictures, "border"))
    inspect(pictures, "--rules", "short")
    assert record_of(pictures)["entries"][0]["status"] == "met"


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


def test_make_finds_the_same_and_keeps_it(looks: list[int], pictures: Path) -> None:
    out = pictures.parent / "ready"
    words = ("make", pictures, "--out", out, "--lab", "small", "--rules", "none", "--inspect")
    said = in_process(*words)
    assert said.code == 0
    assert "look at these: 1 dark speck, 1 light hair or scratch" in said.out
    report = json.loads((out / "report.json").read_text(encoding="utf-8"))
    codes = {finding["code"] for finding in report["entries"][0]["findings"]}
    assert {"marks", "searched", "lost-edge", "border-in-file"} <= codes
    looks.clear()
    assert "files: 0 made, " in in_process(*words).out
    assert looks == []


def test_make_without_the_option_looks_at_nothing(looks: list[int], pictures: Path) -> None:
    out = pictures.parent / "ready"
    in_process("make", pictures, "--out", out, "--lab", "small", "--rules", "none")
    assert looks == []


def test_an_entry_whose_keyline_breaks_a_rule_gets_no_print_file(
    looks: list[int], pictures: Path
) -> None:
    rules = pictures / "profiles" / "rules"
    rules.mkdir(exist_ok=True)
    (rules / "thin.toml").write_text('title = "Thin"\nsource = "made up"\nkeyline_most = "1 mm"\n')
    out = pictures.parent / "ready"
    words = ("make", pictures, "--out", out, "--lab", "small", "--rules", "thin")
    said = in_process(*words, "--inspect")
    assert said.code == 1
    assert "red border along the top is 0.16 in (4 mm) wide" in said.out
    assert not (out / "prints").exists()


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
