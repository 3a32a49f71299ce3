"""The pages of the manual, Markdown files in the program's own folder."""

import re
from dataclasses import dataclass
from pathlib import Path

from proofs.errors import ProofsError
from proofs.outside.files import read_bytes

_PAGES = Path(__file__).resolve().parents[1] / "manual"
_CONTENTS = "README"  # the name that code hosts show for a folder
_PART = re.compile(r"^## (.+)$")
_TOPIC = re.compile(r"^- \[([a-z-]+)\]\(\1\.md\): (.+)$")


@dataclass(frozen=True, slots=True)
class Topic:
    """One page of the manual: its name, its summary, and the part of the manual it belongs to."""

    name: str
    summary: str
    part: str


def topics() -> tuple[Topic, ...]:
    """Return all topics in the order of the contents page."""
    found: list[Topic] = []
    part = ""
    for line in _read(_CONTENTS).splitlines():
        if heading := _PART.match(line):
            part = heading[1]
        elif topic := _TOPIC.match(line):
            found.append(Topic(topic[1], topic[2], part))
    return tuple(found)


def page(topic: str) -> str:
    """Return a page in Markdown."""
    return _read(topic)


def _read(name: str) -> str:
    return read_bytes(_PAGES / f"{name}.md", error=ProofsError).decode("utf-8")
