"""The report holds the keys that the README names, and no others."""

import re
from pathlib import Path
from typing import Any

import pytest

from tests.command import gradient, proofs, report_of, write_entries

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


def keys_named(part: str) -> set[str]:
    row = re.search(rf"^\| {re.escape(part)} \| (.*) \|$", README, re.M)
    assert row, part
    return set(re.findall(r"`([a-z0-9_]+)`", re.sub(r"\([^)]*\)", "", row[1])))


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> Any:
    folder = tmp_path_factory.mktemp("report")
    gradient(folder / "a.jpg", 300, 200)
    write_entries(folder, "file,size,bracket", "a.jpg,long 10.5 in,0")
    assert proofs("make", folder, "--out", folder / "out").code == 0
    return report_of(folder / "out")


def test_the_report_has_the_keys_of_the_readme(report: Any) -> None:
    entry = report["entries"][0]
    variant = entry["variants"][0]
    assert set(report) == keys_named("the report")
    assert set(entry) == keys_named("an entry")
    assert set(entry["borders_face_mm"]) == keys_named("borders")
    assert set(entry["pictures"][0]) == keys_named("a picture")
    assert set(variant) == keys_named("a variant")
    assert set(variant["pictures"][0]) == keys_named("its picture")
    assert set(entry["findings"][0]) == keys_named("a finding")
    assert set(entry["mockups"]) == {"front", "back"}


def test_lengths_are_in_millimetres_to_six_decimals(report: Any) -> None:
    # 10.5 in = 266.7 mm; two thirds of it 177.8 mm; the 1/8 in overlap takes 6.35 mm of each.
    picture = report["entries"][0]["pictures"][0]
    assert picture["image_mm"] == {"width": 266.7, "height": 177.8}
    assert picture["sight_size_mm"] == {"width": 260.35, "height": 171.45}
    # The bevel of a mat 1.4 mm thick makes the face 2.8 mm larger.
    assert picture["face_opening_mm"] == {"width": 263.15, "height": 174.25}
