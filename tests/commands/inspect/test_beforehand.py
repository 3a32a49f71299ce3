"""Pictures looked at before ``make`` makes anything of them."""

import json
from pathlib import Path

from tests.command import in_process


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
