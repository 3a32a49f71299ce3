"""The README is short, opens with the job, and leads on to everything else."""

import re
import runpy
import tomllib
from pathlib import Path

import pytest

from proofs.cli.main import COMMANDS
from tests.manual_pages import DEMO, PAGES, README, ROOT, SHOWN, section

MOST_WORDS = 1500
TEXTS = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted(PAGES.glob("*.md"))]
PICTURE = re.compile(r"!\[([^\]]+)\]\(([^)]+)\)")
LINK = re.compile(r"\[[^\]]+\]\(([^)]+)\)")


def targets(path: Path) -> list[str]:
    """What a text links to."""
    return LINK.findall(path.read_text(encoding="utf-8"))


def test_it_has_at_most_1500_words() -> None:
    assert len(README.split()) <= MOST_WORDS


def test_it_opens_with_one_paragraph_that_states_the_job() -> None:
    title, job, *_ = README.split("\n\n")
    assert title == "# proofs"
    assert job.startswith("`proofs` prepares prints for judged exhibitions of *mounted* prints.")
    facts = [
        *("visible", "inside the mat window", "resolution", "colour space", "mock-up"),
        *("to scale", "proof sheet", "variant", "quarter of an inch", "judging light"),
    ]
    assert [fact for fact in facts if fact not in " ".join(job.split())] == []


def test_the_rules_in_hand_win_is_said_right_after_the_job() -> None:
    assert README.split("\n\n")[2].startswith("The rules of the exhibition in hand always win")


def test_it_lists_every_command_in_order() -> None:
    listed = re.findall(r"^\| `proofs ([a-z-]+)", section(README, "Commands"), re.M)
    assert listed == list(COMMANDS)


@pytest.mark.parametrize("way", [r".venv\Scripts\proofs", ".venv/bin/proofs", "pipx", "uv tool"])
def test_it_names_each_way_of_setting_up(way: str) -> None:
    assert way in section(README, "Set up")


def test_it_names_the_command_that_runs_the_tests() -> None:
    assert ".venv/bin/pytest" in section(README, "For developers")


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_every_link_and_picture_leads_to_a_file_of_the_project(path: Path) -> None:
    there = [(path.parent / target.partition("#")[0]).resolve() for target in targets(path)]
    assert [lead for lead in there if not lead.is_file() or not lead.is_relative_to(ROOT)] == []


def test_what_a_package_index_shows_has_no_link_that_leads_nowhere() -> None:
    hooks = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["hatch"]
    text = README
    for change in hooks["metadata"]["hooks"]["fancy-pypi-readme"]["substitutions"]:
        text = re.sub(change["pattern"], change["replacement"], text)
    assert "](" not in text
    words = LINK.sub(lambda link: link[0][1:].partition("](")[0], PICTURE.sub("", README))
    assert text.split() == words.split()


def test_every_picture_has_a_caption_and_every_file_is_shown_somewhere() -> None:
    found = [p for path in TEXTS for p in PICTURE.findall(path.read_text(encoding="utf-8"))]
    assert all(caption.strip() for caption, _ in found)
    assert {Path(target).name for _, target in found} == {path.name for path in SHOWN.iterdir()}


def test_the_pictures_are_those_that_the_script_draws() -> None:
    script = runpy.run_path(str(DEMO / "draw_pictures.py"))
    assert {path.name for path in SHOWN.iterdir()} == set(script["PICTURES"])
    assert len(script["PICTURES"]) == 10
    assert max(path.stat().st_size for path in SHOWN.iterdir()) <= script["MOST_BYTES"]
