"""``proofs profiles new``: the same file from a terminal, from options and from defaults."""

import datetime
import io
import os
import select
import subprocess
import sys
import time
from pathlib import Path
from unittest import mock

import pytest

from proofs.lengths import ZERO, inches, millimetres
from proofs.measures import read_size
from proofs.outside.pixels.colour.spaces import built_in_profile
from proofs.outside.profiles import profile_folders
from proofs.records.mounts import WindowKind
from proofs.records.questionnaires.kinds import QUESTIONS
from proofs.records.rules import BoardRule, BorderRule, LabelLine, VisibleRule
from tests.command import Said, in_process

ROOT = Path(__file__).parents[2]
PATIENCE = 60
"""Seconds to wait for a prompt: the machine may be busy."""
ANSWERS = {
    "--title": "Harbour Hall",
    "--source": "the entry form",
    "--unit": "mm",
    "--closing-date": "2026-11-30",
    "--board-size": "400x500 mm",
    "--board-fit": "at most",
    "--visible-longest-least": "250 mm",
    "--visible-longest-most": "400 mm",
    "--border-least": "50 mm",
    "--mat-colours": "white, off-white",
    "--entries-most-per-category": "4",
    "--label-ask": "name, address",
}


def new(kind: str, name: str, *options: str | Path) -> Said:
    """Write a profile where nobody can be asked."""
    with mock.patch.object(sys, "stdin", io.StringIO()):
        return in_process("profiles", "new", kind, name, *options)


def on_a_terminal(kind: str, name: str, answers: dict[str, list[str]], cwd: Path) -> Said:
    """Write a profile on a terminal: type the answers by the options of their questions.

    Other questions get Enter, as does one whose answers have all been typed.
    """
    pty = pytest.importorskip("pty", reason="there are no terminals of this kind here")
    ours, its = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "proofs", "profiles", "new", kind, name],
        stdin=its,
        stdout=its,
        stderr=its,
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(ROOT), "TERM": "dumb"},
    )
    os.close(its)
    seen, typed_at, end = "", 0, time.monotonic() + PATIENCE
    while time.monotonic() < end:
        try:
            seen += os.read(ours, 65536).decode() if select.select([ours], [], [], 0.2)[0] else ""
        except OSError:  # nobody else has the terminal open: the program has ended
            break
        if len(seen) > typed_at and seen.endswith("> "):
            asked = max(QUESTIONS[kind], key=lambda question: seen.rfind(question.words))
            waiting = answers.get(asked.option, [])
            os.write(ours, f"{waiting.pop(0) if waiting else ''}\n".encode())
            typed_at = len(seen)
    os.close(ours)
    return Said(process.wait(timeout=PATIENCE), seen, "")


def options_of(answers: dict[str, str]) -> list[str]:
    """Answers as options."""
    return [word for option, answer in answers.items() for word in (option, answer)]


def test_a_terminal_and_options_lead_to_the_same_file(tmp_path: Path) -> None:
    typed = {option: [answer] for option, answer in ANSWERS.items()}
    typed["--board-size"] = ["400x500", "400x500 mm"]
    typed["--visible-longest-most"] = ["240 mm", "400 mm"]
    said = on_a_terminal("rules", "harbour", typed, tmp_path)
    assert said.code == 0, said.out
    assert "found '400x500'; expected a size such as '16x20 in'" in said.out
    assert "expected at least 9.84 in (25 cm), the value of longest_least" in said.out
    assert said.out.count("The rules of the exhibition in hand always win over a profile.") == 1
    options = options_of(ANSWERS)
    assert new("rules", "harbour", "--profiles", tmp_path / "given", *options).code == 0
    written = (tmp_path / "profiles/rules/harbour.toml").read_bytes()
    assert written == (tmp_path / "given/rules/harbour.toml").read_bytes()
    assert "The rules of the exhibition in hand always win over a profile." in written.decode()


def test_the_answers_are_read_back_as_they_were_given(tmp_path: Path) -> None:
    assert new("rules", "harbour", "--profiles", tmp_path, *options_of(ANSWERS)).code == 0
    rules = profile_folders(tmp_path).rules("harbour")
    assert rules.title == "Harbour Hall"
    assert rules.closing_date == datetime.date(2026, 11, 30)
    assert rules.board == BoardRule(read_size("400x500 mm"), exact=False, either_way=True)
    assert rules.visible == VisibleRule(millimetres(250), millimetres(400))
    assert rules.borders == (BorderRule(millimetres(50)),)
    assert rules.mat_colours == ("white", "off-white")
    assert rules.most_per_category == 4
    assert rules.label_lines == (LabelLine.NAME, LabelLine.ADDRESS)


def test_ctrl_d_at_a_question_leaves_nothing(tmp_path: Path) -> None:
    said = on_a_terminal("papers", "own", {"--title": ["Own"], "--finish": ["\x04"]}, tmp_path)
    assert said.code == 130
    assert list(tmp_path.rglob("*.toml")) == []


@pytest.mark.parametrize("kind", sorted(set(QUESTIONS) - {"lights"}))
def test_without_a_terminal_the_defaults_make_a_profile(kind: str, tmp_path: Path) -> None:
    said = new(kind, "own", "--title", "Own", "--profiles", tmp_path)
    path = tmp_path / kind / "own.toml"
    assert (said.code, said.err) == (0, "")
    assert f"{path}: written, and read back\n" in said.out
    assert in_process("profiles", "check", path).code == 0


@pytest.mark.parametrize(("kind", "option"), [("lights", "--lux"), ("rules", "--title")])
def test_what_has_no_default_is_asked_for_by_its_option(
    kind: str, option: str, tmp_path: Path
) -> None:
    titled = ("--title", "Own") if option != "--title" else ()
    said = new(kind, "own", "--profiles", tmp_path, *titled)
    assert said.code == 2
    assert f"{option}: this is needed; answer such as " in said.err
    assert list(tmp_path.iterdir()) == []


def test_an_answer_that_will_not_do_is_refused_with_its_option(tmp_path: Path) -> None:
    said = new("rules", "own", "--title", "T", "--board-size", "big", "--profiles", tmp_path)
    assert said.code == 2
    assert "--board-size: found 'big'; expected a size such as " in said.err
    assert list(tmp_path.iterdir()) == []


def test_a_country_that_nothing_is_known_of_is_refused_at_once(tmp_path: Path) -> None:
    said = new("timetables", "own", "--title", "T", "--country", "XX", "--profiles", tmp_path)
    assert said.code == 2
    assert "--country: 'XX' is not known; " in said.err


def test_a_file_that_is_there_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "papers" / "own.toml"
    path.parent.mkdir()
    path.write_text("mine", encoding="utf-8")
    said = new("papers", "own", "--title", "Own", "--profiles", tmp_path)
    assert said.code == 5
    assert f"{path}: is there already and is left as it is" in said.err
    assert path.read_text(encoding="utf-8") == "mine"


def test_yours_writes_into_the_users_own_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("click.get_app_dir", lambda name: str(tmp_path / name))
    assert new("cutters", "own", "--title", "Own", "--yours").code == 0
    assert (tmp_path / "proofs/profiles/cutters/own.toml").is_file()
    assert "yours  Own" in in_process("profiles", "cutters").out


def test_a_profile_goes_into_the_folder_that_the_job_file_names(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "job.toml").write_text("profiles = 'mine'\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert new("papers", "own", "--title", "Own").code == 0
    assert (tmp_path / "mine/papers/own.toml").is_file()


def test_a_profile_can_start_from_another(tmp_path: Path) -> None:
    options = ("--from", "reveal-white", "--window-kind", "overlap", "--least-border", "3 in")
    assert new("mounts", "own", *options, "--profiles", tmp_path).code == 0
    mount = profile_folders(tmp_path).mount("own")
    reveal = profile_folders(None).mount("reveal-white")
    assert (mount.window, mount.overlap) == (WindowKind.OVERLAP, inches("1/8"))
    assert (mount.least_border, mount.reveal) == (inches(3), ZERO)
    assert (mount.title, mount.backing) == (reveal.title, reveal.backing)


def test_an_icc_file_is_copied_beside_the_lab(tmp_path: Path) -> None:
    icc = tmp_path / "from the lab.icc"
    icc.write_bytes(built_in_profile("srgb"))
    folder = tmp_path / "own"
    assert new("labs", "corner", "--title", "L", "--icc", icc, "--profiles", folder).code == 0
    copy = folder / "labs" / "corner.icc"
    assert copy.read_bytes() == icc.read_bytes()
    assert profile_folders(folder).lab("corner").colour_profile == str(copy)
    said = new("labs", "branch", "--from", "corner", "--profiles", folder)
    assert said.code == 0
    assert (folder / "labs" / "branch.icc").read_bytes() == icc.read_bytes()


def test_another_colour_space_replaces_the_icc_file_of_the_lab_at_the_start(
    tmp_path: Path,
) -> None:
    icc = tmp_path / "from the lab.icc"
    icc.write_bytes(built_in_profile("srgb"))
    folder = tmp_path / "own"
    assert new("labs", "corner", "--title", "L", "--icc", icc, "--profiles", folder).code == 0
    options = ("--from", "corner", "--colour-profile", "display-p3", "--profiles", folder)
    assert new("labs", "branch", *options).code == 0
    assert profile_folders(folder).lab("branch").colour_profile == "display-p3"
    assert not (folder / "labs" / "branch.icc").exists()


def test_an_icc_file_and_a_colour_space_are_refused_together(tmp_path: Path) -> None:
    icc = tmp_path / "from the lab.icc"
    icc.write_bytes(built_in_profile("srgb"))
    options = ("--title", "L", "--icc", icc, "--colour-profile", "srgb")
    said = new("labs", "own", *options, "--profiles", tmp_path / "own")
    assert said.code == 2
    assert "--colour-profile and --icc exclude each other" in said.err


def test_an_icc_file_that_is_not_for_prints_is_refused(tmp_path: Path) -> None:
    icc = tmp_path / "other.icc"
    icc.write_bytes(b"no profile")
    said = new("labs", "own", "--title", "L", "--icc", icc, "--profiles", tmp_path / "own")
    assert said.code == 3
    assert "this ICC profile cannot be used for prints" in said.err
    assert not (tmp_path / "own").exists()


@pytest.mark.parametrize("name", ["../own", "a/b", "", ".own", "own\n", "a" * 99])
def test_a_name_that_files_should_not_have_is_refused(name: str, tmp_path: Path) -> None:
    said = new("papers", name, "--title", "Own", "--profiles", tmp_path)
    assert said.code == 2
    assert list(tmp_path.iterdir()) == []


def test_two_places_to_write_to_are_refused(tmp_path: Path) -> None:
    said = new("papers", "own", "--title", "Own", "--profiles", tmp_path, "--yours")
    assert said.code == 2
    assert "--profiles and --yours exclude each other" in said.err


def test_a_file_that_does_not_hold_what_was_asked_is_reported(tmp_path: Path) -> None:
    other = "title = 'Other'\nsource = 's'\nfinish = 'matt'\n"
    with mock.patch("proofs.commands.profiles.new.toml_text", return_value=other):
        said = new("papers", "own", "--title", "Own", "--profiles", tmp_path)
    assert said.code == 5
    assert "does not hold what was asked" in said.err
    assert "written, and read back" not in said.out
