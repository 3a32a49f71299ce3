"""The assault in short: spoilt inputs, kills, full disks and two runs at once.

``python -m tests.assault`` tries many more, and ``--seed`` draws others.
"""

from pathlib import Path

import pytest

from tests.assault import full_disk, kills
from tests.assault.fuzz import CONTROL, CONTROLS, fuzz, try_cases
from tests.assault.messages import fault_in
from tests.assault.processes import make_place
from tests.assault.readers import READERS
from tests.assault.two_runs import run_twice, several_choices
from tests.command import Said

SEED = 20_261_130


def test_spoilt_inputs_of_every_reader_end_in_words_and_soon(tmp_path: Path) -> None:
    figures = fuzz(160, SEED, keep=tmp_path)
    assert [failure for one in figures for failure in one.failures] == []
    assert {one.subject for one in figures} == {f"fuzz: {name}" for name in READERS}


def test_a_run_that_is_killed_leaves_nothing_half_made_and_can_be_repeated(tmp_path: Path) -> None:
    commands = ("make", "deliver", "mount")  # then `make` again, and one of its workers
    figures = kills.kill_all(4, SEED, tmp_path, pictures=2, commands=commands)
    assert [failure for one in figures for failure in one.failures] == []
    assert sum(one.cases for one in figures) == 4


@pytest.mark.parametrize(("command", "most"), [("choose", 10), ("mount", 5000)])
def test_a_disk_without_room_ends_a_run_in_words(tmp_path: Path, command: str, most: int) -> None:
    known = full_disk.known(tmp_path, command)
    assert full_disk.try_limit(tmp_path, command, known, most) == []


def test_a_disk_that_fills_up_ends_a_run_in_words(tmp_path: Path) -> None:
    if not full_disk.may_mount():
        pytest.skip("needs to mount a file system")
    known = full_disk.known(tmp_path, "mount")
    assert full_disk.try_disk(tmp_path, "mount", known, 100_000) == []


def test_two_runs_at_once_are_one(tmp_path: Path) -> None:
    figures = run_twice(tmp_path, 1, commands=("mount", "choose"))
    assert [failure for one in figures for failure in one.failures] == []


# What the assault itself must notice


def test_a_hang_a_crash_gigabytes_and_noise_are_noticed() -> None:
    cases = [(CONTROL, n) for n in range(len(CONTROLS))]
    found = list(try_cases(cases, SEED, most_seconds=3.0))
    assert [failure and failure.kind for failure in found] == ["noise", "hang", "crash", "memory"]


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (Said(70, "", "proofs: a fault of the program: KeyError"), "exit code 70"),
        (Said(1, "", "Traceback (most recent call last):"), "printed 'Traceback'"),
        (Said(5, "", "proofs: there is too little memory; close"), "too little memory"),
        (Said(3, "", ""), "exit code 3 without a message"),
        (Said(0, "Pier \x1b[2J", ""), "printed control characters"),
    ],
)
def test_a_fault_in_what_is_printed_is_noticed(said: Said, words: str) -> None:
    assert words in fault_in(said)


def test_a_plain_message_is_no_fault() -> None:
    assert fault_in(Said(4, "", "proofs: a.jpg: is cut short; copy it again\n")) == ""


def test_files_that_are_missing_added_or_half_written_are_noticed() -> None:
    found = kills.differences({"a": b"1", "b": b"ha"}, {"b": b"half", "c": b"3"}, "then")
    assert found == ["then: c is missing", "then: a should not be there", "then: b differs"]


def test_a_mixture_of_two_choices_is_noticed(tmp_path: Path) -> None:
    place = make_place(tmp_path / "two", 1)
    (place.pictures / "entries.before-9.csv").write_text("half")
    assert any("is a mixture" in fault for fault in several_choices(place))
