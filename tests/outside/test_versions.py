"""Whatever makes bytes is in every recipe."""

import re
import tomllib
from pathlib import Path

from proofs.outside import versions as module
from proofs.outside.versions import PACKAGES, versions

ROOT = Path(__file__).parents[2]
MAKES_NO_BYTES = {"click", "filelock", "psutil", "wcwidth"}  # words, locks, memory, columns


def test_every_library_that_the_program_needs_counts_or_makes_no_bytes() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    needed = {re.split(r"[^\w-]", line)[0] for line in project["dependencies"]}
    assert needed == {*PACKAGES} | MAKES_NO_BYTES


def test_every_version_is_known() -> None:
    assert [name for name, version in versions() if not version] == []


def test_the_code_of_the_program_counts(tmp_path: Path) -> None:
    digests = []
    for code in ("a = 1", "a = 2"):
        (tmp_path / "code.py").write_text(code, encoding="utf-8")
        digests.append(module.code_sha256(tmp_path))
    assert len({*digests, module.code_sha256(ROOT / "proofs")}) == 3
