"""The recipes of the manual do what the pages say, and their records hold the keys listed.

All commands of all pages are typed in the order of the contents, in one copy of the demo.
"""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from proofs.cli.main import COMMANDS
from proofs.outside.manual import topics
from tests.command import in_process
from tests.manual_pages import (
    README,
    Rehearsal,
    blocks,
    brought_up_to_date,
    keys_of,
    missing_line,
    page_text,
    rehearse,
)

PAGES_WITH_RECIPES = [t.name for t in topics() if any(b.is_run for b in blocks(page_text(t.name)))]


@pytest.fixture(scope="module")
def rehearsal(tmp_path_factory: pytest.TempPathFactory) -> Rehearsal:
    return rehearse(tmp_path_factory.mktemp("recipes"))


@pytest.fixture(scope="module")
def records(rehearsal: Rehearsal) -> dict[str, Any]:
    """The records that the recipes left, and those that ``--json`` prints."""
    files = {
        "report": "READY/report.json",
        "strips": "STRIPS/report.json",
        "delivery": "LAB/delivery.json",
        "cuts": "BENCH/cuts.json",
        "run": "READY/proofs-run.json",
    }
    pictures = rehearsal.folder / "pictures"
    asked = {
        "check": ("check", pictures),
        "refused": ("deliver", pictures, "--lab", "srgb-jpeg-300", "--out", pictures / "no"),
        "verify": ("verify", rehearsal.folder / "LAB"),
        "arrived": ("arrived", pictures),
        "measure": ("measure", pictures / "four_pears.jpg", "--mount", "overlap-white"),
        "light": ("light", "gallery-p1", "--versus", "editing-desk"),
        "read": ("strip-read", rehearsal.folder / "STRIPS" / "strips" / "strip-1.jpg"),
    }
    return {name: loaded(rehearsal.folder / file) for name, file in files.items()} | {
        name: json.loads(in_process(*words, "--json").out) for name, words in asked.items()
    }


def loaded(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


def documented(page: str, parts: dict[str, Any]) -> Iterator[tuple[str, set[str], set[str]]]:
    """The headings of a page whose keys are not those of the record, with both."""
    for heading, record in parts.items():
        if keys_of(page, heading) != set(record):
            yield heading, keys_of(page, heading), set(record)


@pytest.mark.parametrize("page", PAGES_WITH_RECIPES)
def test_each_command_of_a_page_ends_as_the_page_says(rehearsal: Rehearsal, page: str) -> None:
    wrong = [r for r in rehearsal.ran if r.page == page and r.said.code != r.promised]
    assert [(r.command, r.said.code, r.said.err) for r in wrong] == []


@pytest.mark.parametrize("page", PAGES_WITH_RECIPES)
def test_what_a_page_shows_is_what_appears(rehearsal: Rehearsal, page: str) -> None:
    shown = [s for s in rehearsal.shown if s.page == page]
    missing = [missing_line(s.block.text, s.said) for s in shown]
    assert [line for line in missing if line] == [], "python -m tests.manual_pages renews it"


def test_every_command_is_typed_in_a_recipe(rehearsal: Rehearsal) -> None:
    typed = {ran.command.split()[1] for ran in rehearsal.ran}
    assert set(COMMANDS) - typed == {"manual"}


def test_the_commands_of_the_readme_are_among_the_recipes(rehearsal: Rehearsal) -> None:
    typed = {re.sub(r"\s+#.*", "", ran.command) for ran in rehearsal.ran}
    readme = [command for block in blocks(README) if block.is_run for command in block.commands]
    assert readme
    assert [command for command in readme if command not in typed] == []


def test_the_keys_of_the_reports_are_those_listed(records: dict[str, Any]) -> None:
    report, strips = records["report"], records["strips"]
    entry, strip = report["entries"][0], strips["entries"][0]
    step = strip["steps"][0]
    parts = {
        "The report of make and check": report,
        "An entry": entry | {"shelf": []},  # which only a check has
        "Borders": entry["borders_face_mm"],
        "A picture": entry["pictures"][0],
        "A variant": entry["variants"][0],
        "A print file": entry["variants"][0]["pictures"][0],
        "A finding": entry["findings"][0],
        "The report of strip": strips,
        "A sheet of strips": strips["sheets"][0],
        "An entry of strips": strip,
        "A picture of strips": strip["pictures"][0],
        "A step of strips": step,
        "A place on a sheet": step["crops"][0],
    }
    assert list(documented("json-report", parts)) == []
    assert set(records["check"]["entries"][0]) == keys_of("json-report", "An entry") - {"variants"}


def test_the_keys_of_a_delivery_are_those_listed(records: dict[str, Any]) -> None:
    delivery, verified = records["delivery"], records["verify"]
    parts = {
        "delivery.json": delivery,
        "The lab": delivery["lab"],
        "A line of the order": delivery["lines"][0],
        "A print file": delivery["files"][0],
        "The limits": delivery["files"][0]["limits"],
        "The catalogue": delivery["catalogue"],
        "A catalogue copy": delivery["catalogue"]["copies"][0],
        "The soft proof": delivery["soft_proof"],
        "A refused delivery": records["refused"],
        "The record of verify": verified,
        "A verified file": verified["files"][0],
    }
    assert list(documented("json-delivery", parts)) == []
    listed = page_text("json-delivery")
    inside = [*delivery["catalogue"]["rule"], *records["refused"]["refused"][0]]
    assert [key for key in inside if f"`{key}`" not in listed] == []


def test_the_keys_of_the_cuts_are_those_listed(records: dict[str, Any]) -> None:
    cuts, arrived = records["cuts"], records["arrived"]
    mount, setting = cuts["mounts"][0], cuts["settings"][0]
    mat, entry = mount["mats"][0], mount["entries"][0]
    parts = {
        "cuts.json": cuts,
        "A mount": mount,
        "A mat": mat,
        "An opening": mat["openings"][0],
        "A cut": mat["cuts"][0],
        "An entry on its mount": entry,
        "What an opening passes": mount["passes"][0],
        "A print": entry["prints"][0],
        "A setting": setting,
        "A use": setting["uses"][0],
        "An entry left out": cuts["left_out"][0],
        "The record of arrived": arrived,
    }
    assert list(documented("json-cuts", parts)) == []
    assert set(mount["passes"][0]["least_mm"][0]) == {"width", "height"}
    assert set(arrived["entries"][0]) == {*entry, "verdict"}


def test_the_keys_of_the_other_records_are_those_listed(records: dict[str, Any]) -> None:
    light, read = records["light"], records["read"]
    parts = {
        "The record of measure": records["measure"],
        "A measured file": records["measure"]["files"][0],
        "The record of light": light,
        "A light": light["light"],
        "The comparison": light["versus"],
        "The record of strip-read": read,
        "A step of the wedge": read["steps"][0],
    }
    assert list(documented("json-readings", parts)) == []
    assert set(records["run"]) == keys_of("json-run", "proofs-run.json")


@pytest.mark.parametrize(
    ("shown", "said", "missing"),
    [
        ("a\nb\n", "a\nb\n", ""),
        ("a\n", "a\nb\n", "(the end; then came: b)"),
        ("…\nb\n", "a\nb\n", ""),
        ("a\n…\n", "a\nb\nc\n", ""),
        ("a\nc\n", "a\nb\nc\n", "c"),
        ("…\nb\n…\na\n", "a\nb\n", "a"),
    ],
)
def test_a_line_of_dots_stands_for_any_number_of_lines(shown: str, said: str, missing: str) -> None:
    assert missing_line(shown, said) == missing


def test_a_shown_text_is_renewed_line_by_line() -> None:
    shown = "…\nas usual: mount a\n…\nready in OUT: 2 files\n"
    said = "rules  x\ndefaults used: mount a\n1  MET\nready in OUT: 3 files\nexit code 1\n"
    assert brought_up_to_date(shown, said) == (
        "…\ndefaults used: mount a\n…\nready in OUT: 3 files\n…\n"
    )
