"""The guide for developers names only what exists, and its map shows every folder."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.manual_pages import ROOT, section

PROGRAM = ROOT / "proofs"
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
ENDINGS = ("csv", "json", "md", "pdf", "py", "toml")
WRITTEN = {
    *("job.toml", "arrived.csv", "cuts.json", "delivery.json", "inspection.json", "mounting.pdf"),
    "NAME.before-1.csv",
}
"""Files that users and runs write: the guide names them, the project does not hold them."""
WALKED = {"records", "plan", "pages", "outside", "commands"}
"""The floors that every walk goes through."""

_FENCED = re.compile(r"^```\w+\n(.*?)^```$", re.M | re.S)
_CODE = re.compile(r"`([^`\n]+)`")
_PATH = re.compile(rf"[\w.*/-]*/[\w.*/-]*|[\w.*-]+\.(?:{'|'.join(ENDINGS)})")
_NAME = re.compile(r"((?:\w+/)*[a-z]\w*)\.([A-Za-z_]\w*(?:\.\w+)?)")
_TYPED = re.compile(r"(?:tests|proofs|demo_images)/[\w/.-]+(?:::\w+)?")
_BULLET = re.compile(r"^- `([a-z_/]+)/`: (.*?)(?=^- |^$)", re.M | re.S)
_WALK = re.compile(r"^### (.*?)\n(.*?)(?=^##|\Z)", re.M | re.S)


def codes_in(text: str) -> list[str]:
    """Everything in backticks, each once; fenced blocks are left out."""
    return list(dict.fromkeys(_CODE.findall(_FENCED.sub("", text))))


def names_in(text: str) -> list[tuple[str, str]]:
    """Each module of the program with a function, class or value that a text says it defines."""
    found = (_NAME.fullmatch(code) for code in codes_in(text))
    return [(name[1], name[2]) for name in found if name and name[2] not in ENDINGS]


def paths_in(text: str) -> list[str]:
    """Each path that a text names, in backticks or as an argument of a command."""
    names = {f"{module}.{name}" for module, name in names_in(text)}
    found = [code for code in codes_in(text) if _PATH.fullmatch(code)]
    found += [path for block in _FENCED.findall(text) for path in _TYPED.findall(block)]
    return [path for path in found if path not in names | WRITTEN]


def is_there(path: str) -> bool:
    """Whether a path, from the top of the project or from the program's folder, exists."""
    path, _, test = path.partition("::")
    if test:
        return test in defined_in(ROOT / path)
    if "*" in path:
        return any(ROOT.glob(path))
    places = (ROOT / path, PROGRAM / path)
    if path.endswith("/"):
        return any(place.is_dir() for place in places)
    return any(place.exists() or Path(f"{place}.py").is_file() for place in places)


def defined_in(path: Path) -> set[str]:
    """The names that a module defines, and those of its classes as ``Class.member``."""
    if not path.is_file():
        return set()
    return set(_defined(ast.parse(path.read_text(encoding="utf-8")).body))


def _defined(body: list[ast.stmt]) -> Iterator[str]:
    for node in body:
        if isinstance(node, ast.FunctionDef):
            yield node.name
        elif isinstance(node, ast.ClassDef):
            yield node.name
            yield from (f"{node.name}.{member}" for member in _defined(node.body))
        elif isinstance(node, ast.AnnAssign | ast.Assign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            inside = (n for target in targets for n in ast.walk(target))
            yield from (n.id for n in inside if isinstance(n, ast.Name))


def folders() -> set[str]:
    """Every folder of the program that holds modules or pages of the manual."""
    inside = {path.parent for path in PROGRAM.rglob("*") if path.suffix in (".py", ".md")}
    return {path.relative_to(PROGRAM).as_posix() for path in inside} - {"."}


def modules(folder: str) -> set[str]:
    """The modules of a folder of the program."""
    return {path.stem for path in (PROGRAM / folder).glob("*.py")} - {"__init__", "__main__"}


MAP = _FENCED.findall(section(GUIDE, "The map"))[0]
DESCRIBED = {found[1]: codes_in(found[2]) for found in _BULLET.finditer(GUIDE)}
ABOVE = [f for f in sorted(folders()) if f.split("/")[0] in ("run", "commands", "cli")]
WALKS = dict(_WALK.findall(GUIDE.partition("## Four walks\n")[2].partition("\n## ")[0]))


@pytest.mark.parametrize("path", paths_in(GUIDE))
def test_a_path_that_the_guide_names_exists(path: str) -> None:
    assert is_there(path)


@pytest.mark.parametrize(("module", "name"), names_in(GUIDE))
def test_a_name_is_defined_in_the_module_that_the_guide_gives(module: str, name: str) -> None:
    assert name in defined_in(PROGRAM / f"{module}.py")


def test_the_map_shows_every_folder_of_the_program_and_no_other() -> None:
    assert sorted(re.findall(r"^([a-z_/]+)/ ", MAP, re.M)) == sorted(folders())


def test_the_map_begins_with_the_modules_of_the_ground_floor() -> None:
    assert set(MAP.splitlines()[0].split()) == modules("")


@pytest.mark.parametrize("folder", ABOVE)
def test_a_folder_above_outside_is_described_with_all_its_modules(folder: str) -> None:
    assert {code for code in DESCRIBED[folder] if re.fullmatch("[a-z_]+", code)} == modules(folder)


def test_there_are_four_walks() -> None:
    assert len(WALKS) == 4


@pytest.mark.parametrize("walk", WALKS)
def test_a_walk_names_functions_of_every_floor_that_it_goes_through(walk: str) -> None:
    assert {module.split("/")[0] for module, _ in names_in(WALKS[walk])} >= WALKED


def test_what_does_not_exist_is_found() -> None:
    text = "`run/workers.guarded` `run/workers.unheard_of` `run/nowhere.guarded` `run/nowhere`"
    assert names_in(text)[1:] == [("run/workers", "unheard_of"), ("run/nowhere", "guarded")]
    assert [name in defined_in(PROGRAM / f"{m}.py") for m, name in names_in(text)] == [
        *(True, False, False)
    ]
    assert [path for path in paths_in(text) if not is_there(path)] == ["run/nowhere"]


def test_members_of_classes_and_values_are_found() -> None:
    assert {"ExitCode", "ExitCode.DONE", "ProofsError.exit_code", "largest", "_NO_ROOM"} <= (
        defined_in(PROGRAM / "errors.py")
    )


def test_a_test_in_a_command_is_looked_up() -> None:
    text = "```sh\npytest tests/test_developers.py::test_there_are_four_walks tests/no.py\n```\n"
    assert [is_there(path) for path in paths_in(text)] == [True, False]
