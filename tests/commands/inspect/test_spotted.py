"""Marks that are ticked off stay away, and a border that is meant counts."""

from pathlib import Path

import pytest

from tests.command import gradient, pdf_text
from tests.looks import inspect, record_of, tick_off, ticks_in


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
