"""The README tells every command, option, exit code, column and profile key, and no others."""

import re
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any, ClassVar

import click
import pytest

from proofs import errors
from proofs.cli.main import COMMANDS, cli
from proofs.findings import Severity, Status
from proofs.outside.profiles import KINDS, profile_folders
from proofs.records.cutters import read_cutter
from proofs.records.headings import COLUMNS
from proofs.records.job import USUAL
from proofs.records.label_sheets import read_label_sheet
from proofs.records.labs import read_lab
from proofs.records.lights import read_light
from proofs.records.mounts import read_mount
from proofs.records.papers import read_paper
from proofs.records.rules import read_rules
from proofs.records.stock import read_stock
from proofs.records.tables import Table
from proofs.records.timetables import read_timetable

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
READERS: dict[str, Callable[[Table, str], Any]] = {
    "rules": read_rules,
    "mounts": read_mount,
    "papers": read_paper,
    "labs": read_lab,
    "cutters": read_cutter,
    "lights": read_light,
    "stock": read_stock,
    "timetables": read_timetable,
    "labels": read_label_sheet,
}
CODES = [
    error.exit_code
    for error in vars(errors).values()
    if isinstance(error, type) and issubclass(error, errors.ProofsError)
]


def section(heading: str) -> str:
    found = re.search(rf"^#+ {re.escape(heading)}\n(.*?)(?=^#|\Z)", README, re.M | re.S)
    assert found, heading
    return found[1]


def first_cells(text: str) -> list[str]:
    return re.findall(r"^\| `?([^`|]+?)`? \|", text, re.M)


CONTEXT = click.Context(cli)
ALL_COMMANDS = tuple(filter(None, (cli.get_command(CONTEXT, name) for name in COMMANDS)))


class Recorder(Table):
    """A table that remembers every key that anyone asked for, in all of its parts."""

    asked: ClassVar[list[str]] = []

    def _take(self, key: str) -> object:
        Recorder.asked.append(key)
        return super()._take(key)

    def table(self, key: str) -> Table:
        made = super().table(key)
        return Recorder(made.values, made.file, made.path)

    def tables(self, key: str) -> tuple[Table, ...]:
        return tuple(Recorder(t.values, t.file, t.path) for t in super().tables(key))


def keys_asked(kind: str) -> set[str]:
    Recorder.asked = []
    for name in profile_folders(None).names(kind):
        path = profile_folders(None).path(kind, name)
        READERS[kind](Recorder(tomllib.loads(path.read_text()), path.name), name)
    return set(Recorder.asked)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_stands_in_the_readme(command: str) -> None:
    assert f"`proofs {command}" in section("Commands")


@pytest.mark.parametrize(
    "option",
    sorted(
        {o for c in ALL_COMMANDS for p in c.params if isinstance(p, click.Option) for o in p.opts}
    ),
)
def test_every_option_stands_in_the_readme(option: str) -> None:
    assert f"`{option}" in section("Commands")


def test_the_readme_names_no_option_that_is_not_there() -> None:
    named = set(re.findall(r"`(--[a-z-]+)", README))
    there = {o for c in ALL_COMMANDS for p in c.params for o in p.opts}
    assert named <= there


def test_the_exit_codes_are_those_of_the_errors_and_of_a_broken_rule() -> None:
    assert {int(c) for c in first_cells(section("Exit codes")) if c.isdigit()} == {
        0,
        1,
        130,
        *CODES,
    }


def test_the_columns_of_the_entries_file_are_those_read() -> None:
    assert tuple(first_cells(section("The entries file"))[1:]) == COLUMNS


@pytest.mark.parametrize("kind", KINDS)
def test_the_profile_keys_are_those_read(kind: str) -> None:
    row = next(r for r in section("Profiles").splitlines() if r.startswith(f"| {kind} |"))
    without_choices = re.sub(r"\([^)]*\)", "", row)
    named = set(re.findall(r"`\[*([a-z_]+)\]*`", without_choices))
    assert named == keys_asked(kind)


def test_the_usual_profiles_are_named() -> None:
    assert all(f"`{name}`" in section("Profiles") for name in USUAL.values())


@pytest.mark.parametrize("status", Status)
def test_every_status_is_explained(status: Status) -> None:
    assert f"`{status}`" in section("report.json")


@pytest.mark.parametrize("severity", list(Severity))
def test_every_severity_is_named(severity: Severity) -> None:
    assert f"`{severity.word}`" in section("report.json")
