"""``proofs season``, run as its user runs it, over a season of three exhibitions."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.command import Said, gradient, in_process
from tests.manual_pages import ROOT, keys_of

RULES = (ROOT / "profiles/rules/print-16x20-in.toml").read_text("utf-8")
HEADER = "number,title,file,size,chosen,result,award"


def exhibition(top: Path, name: str, dates: str, *rows: str) -> Path:
    """Make the folder of an exhibition whose pictures stay in the folder ``finished``."""
    folder = top / name
    (folder / "profiles/rules").mkdir(parents=True)
    (folder / f"profiles/rules/{name}.toml").write_text(f"{dates}\n{RULES}")
    (folder / "job.toml").write_text(f'rules = "{name}"\npictures = "../finished"\n')
    (folder / "entries.csv").write_text("\n".join([HEADER, *rows]) + "\n")
    return folder


@pytest.fixture(scope="module")
def three(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Autumn and harbour overlap in time, winter follows; a picture was copied to winter."""
    top = tmp_path_factory.mktemp("season")
    (top / "finished").mkdir()
    for seed, name in enumerate(("pier", "reeds", "dunes")):
        gradient(top / "finished" / f"{name}.jpg", 3000, 2000, seed=seed)
    made = [
        exhibition(
            top,
            "autumn",
            "closing_date = 2030-10-18\nreturn_date = 2030-12-01",
            "1,Old pier,pier.jpg,long 12 in,B,accepted,bronze",
            "2,Reeds,reeds.jpg,long 11 in,,declined,",
        ),
        exhibition(
            top,
            "harbour",
            "closing_date = 2030-11-15",
            "1,Old pier,pier.jpg,long 12 in,B,Accepted,",
        ),
        exhibition(
            top,
            "winter",
            "closing_date = 2031-02-14\nreturn_date = 2031-04-01",
            "1,Old pier,pier.jpg,long 12 in,B,,",
            "2,Reeds again,copy.jpg,long 10.5 in,,,",
            "3,Dunes,dunes.jpg,long 12 in,,,",
        ),
    ]
    (made[2] / "copy.jpg").write_bytes((top / "finished" / "reeds.jpg").read_bytes())
    return made


@pytest.fixture(scope="module")
def said(three: list[Path]) -> Said:
    return in_process("season", *three)


@pytest.fixture(scope="module")
def record(three: list[Path]) -> Any:
    return json.loads(in_process("season", *three, "--json").out)


def test_a_picture_has_a_line_for_each_exhibition(record: Any, said: Said) -> None:
    shown = [
        [(s["exhibition"], s["number"]) for s in picture["shown"]] for picture in record["pictures"]
    ]
    assert shown == [
        [("autumn", "1"), ("harbour", "1"), ("winter", "1")],
        [("autumn", "2"), ("winter", "2")],  # a copy under another name
        [("winter", "3")],
    ]
    lines = [line.split() for line in said.out.splitlines()]
    assert ["Old", "pier", "autumn", "1", "met"] in [line[:5] for line in lines]
    assert ["winter", "1", "met"] in [line[:3] for line in lines]


def test_a_clash_is_stated_with_its_days(record: Any, said: Said) -> None:
    # By hand: harbour closes on a Friday, its parcel is handed in five working days before, on
    # 8 November; autumn is back on 1 December.
    clashes = [(one["clash_from"], one["clash_to"]) for one in record["shared"]]
    assert clashes == [("2030-11-08", "2030-12-01"), (None, None), (None, None), (None, None)]
    assert (
        "clash: both need it from 8 November 2030 to 1 December 2030: two prints, alike" in said.out
    )


def test_what_can_be_shared_is_stated(record: Any, said: Said) -> None:
    assert [one["shares_mount"] for one in record["shared"]] == [False, True, True, False]
    assert said.out.count("one mount serves both, one after the other") == 2
    assert "another print: it differs in size" in said.out


def test_a_return_that_is_assumed_says_so(record: Any, said: Said, three: list[Path]) -> None:
    assert [one["away_is_assumed"] for one in record["exhibitions"]] == [False, True, False]
    assert "* assumed: back 60 days after the closing date" in said.out
    # By hand: 15 November and 10 days are 25 November, before autumn is back.
    shorter = json.loads(in_process("season", *three, "--away", "10", "--json").out)
    assert shorter["exhibitions"][1]["away_to"] == "2030-11-25"


def test_the_calendar_has_all_days_in_their_order(record: Any, said: Said) -> None:
    days = [event["day"] for event in record["calendar"]]
    assert days == sorted(days)
    closing = [e["day"] for e in record["calendar"] if e["what"] == "closes"]
    assert closing == ["2030-10-18", "2030-11-15", "2031-02-14"]
    assert "Fri 18 October 2030" in said.out


def test_results_are_summed_up_per_exhibition_and_per_picture(record: Any, said: Said) -> None:
    assert record["exhibitions"][0]["results"] == {"accepted": 1, "declined": 1}
    assert record["pictures"][0]["results"] == {"accepted": 2, "open": 1}
    assert record["pictures"][0]["awards"] == {"bronze": 1}
    assert "  autumn: 1 accepted, 1 declined; awards: 1 bronze" in said.out
    assert "  Old pier: 2 accepted, 1 open; awards: 1 bronze" in said.out


def test_the_record_has_the_keys_of_the_manual(record: Any) -> None:
    picture, shared = record["pictures"][0], record["shared"][0]
    assert set(record) == keys_of("json-season", "The record of season")
    assert set(record["exhibitions"][0]) == keys_of("json-season", "An exhibition")
    assert set(picture) == keys_of("json-season", "A picture")
    assert set(picture["shown"][0]) == keys_of("json-season", "A picture at an exhibition")
    assert set(shared) == keys_of("json-season", "A picture at two exhibitions")
    assert set(shared["first"]) == keys_of("json-season", "A place")
    assert set(record["mounts_alike"][0]) == keys_of("json-season", "Mounts that are cut alike")
    assert set(record["calendar"][0]) == keys_of("json-season", "A day")


@pytest.mark.parametrize("columns", ["80", "120"])
def test_every_line_fits_the_terminal(
    three: list[Path], columns: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    lines = in_process("season", *three).out.splitlines()
    assert [line for line in lines if len(line) > int(columns)] == []


def test_one_exhibition_is_a_season_too(three: list[Path]) -> None:
    said = in_process("season", three[2] / "entries.csv")
    assert (said.code, "at several exhibitions" in said.out) == (0, False)


def test_an_exhibition_named_twice_is_a_slip(three: list[Path]) -> None:
    said = in_process("season", three[0], three[0] / "entries.csv")
    assert (said.code, "is named twice" in said.err) == (2, True)


def test_a_row_that_cannot_be_understood_decides_the_code(tmp_path: Path) -> None:
    (tmp_path / "finished").mkdir()
    gradient(tmp_path / "finished" / "a.jpg", 300, 200)
    folder = exhibition(tmp_path, "autumn", "", "1,A,a.jpg,some,,,", "2,Gone,gone.jpg,,,,")
    said = in_process("season", folder)
    assert said.code == 4
    assert said.out.splitlines()[-1] == (
        "exit code 4: autumn: entry 1 cannot be understood; entry 2 cannot be read"
    )
    assert "no closing_date in the rules of: autumn" in said.out


def test_rows_of_one_number_and_of_nonsense_are_listed_each(tmp_path: Path) -> None:
    (tmp_path / "finished").mkdir()
    gradient(tmp_path / "finished" / "a.jpg", 300, 200)
    rows = ("1,A,a.jpg,,,,", "1,B,a.jpg | a.jpg,,,,", "2,C,\0.jpg,,,,", "3,D,,,,,")
    folder = exhibition(tmp_path, "autumn", "", *rows)
    said = in_process("season", folder, "--json")
    assert said.code == 3, said.err
    shown = [len(picture["shown"]) for picture in json.loads(said.out)["pictures"]]
    assert shown == [1] * 5


def test_no_row_reaches_a_picture_beside_the_two_folders(tmp_path: Path) -> None:
    (tmp_path / "finished").mkdir()
    gradient(tmp_path / "secret.jpg", 300, 200)
    (tmp_path / "finished" / "away.jpg").symlink_to(tmp_path / "secret.jpg")
    rows = ("1,Link,away.jpg,,,,", "2,Climb,../secret.jpg,,,,")
    folder = exhibition(tmp_path, "autumn", "", *rows)
    entries = json.loads(in_process("check", folder, "--json").out)["entries"]
    assert [entry["status"] for entry in entries] == ["unreadable", "not-understood"]
    assert "leads out of" in entries[0]["findings"][0]["message"]


def test_rows_are_started_for_pictures_that_stay_elsewhere(tmp_path: Path) -> None:
    (tmp_path / "finished").mkdir()
    (tmp_path / "autumn").mkdir()
    gradient(tmp_path / "finished" / "a.jpg", 300, 200)
    (tmp_path / "autumn" / "job.toml").write_text('pictures = "../finished"\n')
    said = in_process("start", tmp_path / "autumn")
    assert (said.code, "1 picture;" in said.out) == (0, True)
    assert in_process("check", tmp_path / "autumn", "--quiet").out.startswith("\n1 entry: 1 met")
    assert not (tmp_path / "finished" / "entries.csv").exists()
