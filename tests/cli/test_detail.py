"""How much is printed of each entry, how wide, and in which colours."""

from pathlib import Path

import pytest

from tests.command import gradient, in_process, write_entries

RED, GREEN, PLAIN = "\x1b[31m", "\x1b[32m", "\x1b[0m"
COLOURS = ("NO_COLOR", "FORCE_COLOR", "TERM", "COLUMNS")


@pytest.fixture
def forty(tmp_path: Path) -> Path:
    """Forty good entries, which are one picture."""
    gradient(tmp_path / "a.jpg", 3000, 2000)
    rows = [f"{n},a.jpg,Picture {n},12x8 in" for n in range(1, 41)]
    write_entries(tmp_path, "number,file,title,size", *rows)
    return tmp_path


@pytest.fixture
def two(tmp_path: Path) -> Path:
    """An entry that is met, and one that breaks a rule."""
    gradient(tmp_path / "a.jpg", 3000, 2000)
    rows = ["1,a.jpg,One,12x8 in", "2,a.jpg,Two,8x5 1/3 in"]
    write_entries(tmp_path, "number,file,title,size", *rows)
    return tmp_path


@pytest.fixture(autouse=True)
def plain_surroundings(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in COLOURS:
        monkeypatch.delenv(name, raising=False)


def test_forty_good_entries_take_at_most_fifty_lines(forty: Path) -> None:
    said = in_process("check", forty, "--rules", "print-16x20-in")
    # One file entered forty times is a warning of its own for each, which is to be decided.
    lines = [line for line in said.out.splitlines() if not line.startswith("      ")]
    assert said.code == 0
    assert len(lines) <= 50


def test_what_needs_a_decision_is_below_its_entry(two: Path) -> None:
    lines = in_process("check", two).out.splitlines()
    at = next(n for n, line in enumerate(lines) if line.startswith(" 2  Two"))
    assert "broken" in lines[at]
    assert lines[at + 1].split()[:4] == ["broken", "longest", "visible", "side"]
    assert lines[at + 2].split()[:3] == ["->", "size:", "long"]


def test_verbose_states_each_rule_that_is_met(two: Path) -> None:
    said = in_process("check", two, "--verbose")
    assert "ok         shortest visible side 7 3/4 in" in said.out


def test_quiet_states_the_summary_alone(two: Path) -> None:
    said = in_process("check", two, "--quiet")
    assert said.out.splitlines()[:2] == ["", "2 entries: 1 met, 1 broken"]
    assert said.code == 1


def test_both_at_once_are_refused(two: Path) -> None:
    said = in_process("check", two, "--quiet", "--verbose")
    assert said.code == 2
    assert "exclude each other" in said.err


@pytest.mark.parametrize(
    ("surroundings", "is_coloured"),
    [
        ({}, False),
        ({"FORCE_COLOR": "1"}, True),
        ({"FORCE_COLOR": "1", "NO_COLOR": "1"}, False),
        ({"TERM": "dumb"}, False),
    ],
)
def test_verdicts_are_coloured_where_that_is_wanted(
    two: Path,
    monkeypatch: pytest.MonkeyPatch,
    surroundings: dict[str, str],
    is_coloured: bool,
) -> None:
    for name, value in surroundings.items():
        monkeypatch.setenv(name, value)
    said = in_process("check", two).out
    assert (f"{GREEN}met" in said, f"{RED}broken" in said) == (is_coloured, is_coloured)
    assert all(word in said for word in ("met", "broken"))


@pytest.mark.parametrize("columns", ["80", "120"])
def test_lines_are_as_wide_as_the_terminal(
    two: Path, monkeypatch: pytest.MonkeyPatch, columns: str
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    lines = in_process("check", two).out.partition("\n\n")[2].splitlines()
    table = [line for line in lines if line.startswith(("no ", " 1 ", " 2 "))]
    assert len(table) == 3
    assert max(map(len, table)) <= int(columns)
