"""``proofs profiles``: what it lists, from where, and what it finds wrong."""

import re
from pathlib import Path

import pytest

from proofs.records.profile_kinds import KINDS
from tests.command import Said, in_process
from tests.workbench import SHIPPED

GOOD = "title = 'Own'\nsource = 'mine'\nlux = 400\n"
SHIPPED_FILES = [(kind, name) for kind in KINDS for name in SHIPPED.names(kind)]
ONE_LINE = re.compile(r'([a-z_]+|".+") = .*[^\[{]')
"""A key with its value on the same line."""
BAD = "title = 'Own'\nsource = 'mine'\nlux = 'dim'\nkelvn = 3000\n"


def a_light(folder: Path, name: str, text: str = GOOD) -> Path:
    """Write the profile of a light into a folder of profiles."""
    path = folder / "lights" / f"{name}.toml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture(name="of_user")
def _of_user(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the user's own folder of profiles, in an empty place."""
    monkeypatch.setattr("click.get_app_dir", lambda name: str(tmp_path / "config" / name))
    return tmp_path / "config" / "proofs" / "profiles"


def row(said: Said, name: str) -> list[str]:
    """The rows of a list that name a profile."""
    return [line for line in said.out.splitlines() if line.split()[:1] == [name]]


def test_profiles_are_found_here_then_among_yours_then_among_ours(
    of_user: Path, tmp_path: Path
) -> None:
    here = tmp_path / "profiles"
    a_light(here, "hall", GOOD.replace("Own", "From here"))
    a_light(of_user, "hall")
    a_light(of_user, "living-room", GOOD.replace("Own", "My desk"))
    said = in_process("profiles", "lights", "--profiles", here)
    assert said.code == 0
    assert row(said, "hall") == [
        "  hall                      here   From here",
        "  hall                      yours  not used, because the one that is here comes first",
    ]
    assert row(said, "living-room")[0] == "  living-room               yours  My desk"
    assert row(said, "living-room")[1].split()[1] == "ours"
    assert row(said, "north-window")[0].split()[1] == "ours"
    assert said.out.endswith(f"\nhere   {here}\nyours  {of_user}\n")


def test_a_profile_of_the_user_is_used_by_every_command(of_user: Path) -> None:
    a_light(of_user, "hall")
    assert "400 lx" in in_process("light", "hall").out


def test_without_a_folder_of_the_users_the_list_names_none(of_user: Path) -> None:
    assert str(of_user) not in in_process("profiles", "lights").out


def test_a_faulty_profile_does_not_hide_the_others_in_the_list(tmp_path: Path) -> None:
    path = a_light(tmp_path, "dim", BAD)
    said = in_process("profiles", "lights", "--profiles", tmp_path)
    assert said.code == 3
    assert row(said, "dim")[0].endswith(f"cannot be used: see 'proofs profiles check {path}'")
    assert row(said, "north-window")


def test_check_states_all_faults_with_their_lines(tmp_path: Path) -> None:
    path = a_light(tmp_path, "dim", BAD)
    said = in_process("profiles", "check", path)
    assert said.code == 3
    assert said.out.splitlines() == [
        f"{path}: 2 faults",
        "  line 3: lux: found 'dim'; expected a number from 1 to 100000",
        "  line 4: kelvn: unknown key; did you mean 'kelvin'?",
    ]


@pytest.mark.parametrize(("kind", "name"), SHIPPED_FILES)
def test_faults_on_many_lines_are_stated_with_those_lines(
    kind: str, name: str, tmp_path: Path
) -> None:
    lines = SHIPPED.path(kind, name).read_text("utf-8").splitlines()
    spoilt = [n for n, line in enumerate(lines, 1) if ONE_LINE.fullmatch(line)]
    for n in spoilt:
        lines[n - 1] = ONE_LINE.sub(r"\1 = 12:00:00", lines[n - 1])  # a time of day is never asked
    path = tmp_path / kind / "own.toml"
    path.parent.mkdir()
    path.write_text("\n".join(lines), encoding="utf-8")
    said = in_process("profiles", "check", path)
    assert [int(n) for n in re.findall(r"^  line (\d+): ", said.out, re.M)] == spoilt


def test_check_says_in_a_line_that_a_profile_has_no_faults(tmp_path: Path) -> None:
    path = a_light(tmp_path, "hall")
    said = in_process("profiles", "check", path)
    assert (said.code, said.out) == (0, f"{path}: no faults; Own\n")


def test_check_states_the_line_where_a_file_is_not_toml(tmp_path: Path) -> None:
    path = a_light(tmp_path, "dim", "title = 'T'\n\nsource = \nlux = x\n")
    said = in_process("profiles", "check", path)
    assert said.code == 3
    assert f"{path}: is not TOML: " in said.err
    assert "line 3" in said.err


def test_check_takes_several_files_and_one_kind_for_all(tmp_path: Path) -> None:
    one, other = tmp_path / "one.toml", tmp_path / "other.toml"
    one.write_text(BAD, encoding="utf-8")
    other.write_text(GOOD, encoding="utf-8")
    said = in_process("profiles", "check", "--kind", "lights", one, other)
    assert said.code == 3
    assert f"{one}: 2 faults\n" in said.out
    assert said.out.endswith(f"{other}: no faults; Own\n")


def test_a_file_in_a_folder_that_names_no_kind_needs_one(tmp_path: Path) -> None:
    path = tmp_path / "one.toml"
    path.write_text(GOOD, encoding="utf-8")
    said = in_process("profiles", "check", path)
    assert said.code == 2
    assert "give --kind, one of rules, mounts, " in said.err


def test_check_reads_the_job_file_too(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text("mount = 1\n[exhibitor]\nnme = 'A. Maker'\n", encoding="utf-8")
    assert in_process("profiles", "check", path).out.splitlines() == [
        f"{path}: 2 faults",
        "  line 1: mount: found 1; expected text in quotes",
        "  line 3: exhibitor.nme: unknown key; did you mean 'name'?",
    ]


def test_check_finds_a_country_and_an_icc_file_that_cannot_be_used(tmp_path: Path) -> None:
    timetable = tmp_path / "timetables" / "own.toml"
    timetable.parent.mkdir()
    text = (Path(__file__).parents[2] / "profiles/timetables/usual.toml").read_text("utf-8")
    timetable.write_text(f"country = 'XX'\ndays_off = 3\n{text}", encoding="utf-8")
    lab = tmp_path / "labs" / "own.toml"
    lab.parent.mkdir()
    text = (Path(__file__).parents[2] / "profiles/labs/srgb-jpeg-300.toml").read_text("utf-8")
    lab.write_text(text.replace('"srgb"', '"own.icc"'), encoding="utf-8")
    (lab.parent / "own.icc").write_bytes(b"no profile at all")
    said = in_process("profiles", "check", timetable, lab)
    assert said.code == 3
    assert "  line 1: country: 'XX' is not known; " in said.out
    assert "  line 2: days_off: " in said.out
    line = text.splitlines().index('profile = "srgb"') + 1
    assert f"  line {line}: colour.profile: {lab.parent / 'own.icc'}: this ICC" in said.out
