"""The report has the keys that the manual lists, and no others."""

from typing import Any

import pytest

from tests.command import gradient, proofs, report_of, write_entries
from tests.manual_pages import keys_of


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> Any:
    folder = tmp_path_factory.mktemp("report")
    gradient(folder / "a.jpg", 300, 200)
    write_entries(folder, "file,size,bracket", "a.jpg,long 10.5 in,0")
    assert proofs("make", folder, "--out", folder / "out").code == 0
    return report_of(folder / "out")


def test_the_report_has_the_keys_of_the_manual(report: Any) -> None:
    entry = report["entries"][0]
    variant = entry["variants"][0]
    assert set(report) == keys_of("json-report", "The report of make and check")
    assert set(entry) == keys_of("json-report", "An entry") - {"shelf"}
    assert set(entry["borders_face_mm"]) == keys_of("json-report", "Borders")
    assert set(entry["pictures"][0]) == keys_of("json-report", "A picture")
    assert set(variant) == keys_of("json-report", "A variant")
    assert set(variant["pictures"][0]) == keys_of("json-report", "A print file")
    assert set(entry["findings"][0]) == keys_of("json-report", "A finding")
    assert set(entry["mockups"]) == {"front", "back"}


def test_lengths_are_in_millimetres_to_six_decimals(report: Any) -> None:
    # 10.5 in = 266.7 mm; two thirds of it 177.8 mm; the 1/8 in overlap takes 6.35 mm of each.
    picture = report["entries"][0]["pictures"][0]
    assert picture["image_mm"] == {"width": 266.7, "height": 177.8}
    assert picture["sight_size_mm"] == {"width": 260.35, "height": 171.45}
    # The bevel of a mat 1.4 mm thick makes the face 2.8 mm larger.
    assert picture["face_opening_mm"] == {"width": 263.15, "height": 174.25}
