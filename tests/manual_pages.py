"""The pages of the manual as tests read them: sections, keys, and the recipes to run.

``python -m tests.manual_pages`` runs every recipe and brings what the pages show up to date
with what the program says now.
"""

import contextlib
import difflib
import os
import re
import shlex
import shutil
import tempfile
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

from proofs.outside.manual import topics
from tests.command import Said, in_process

ROOT = Path(__file__).parents[1]
PAGES = ROOT / "proofs" / "manual"
DEMO = ROOT / "demo_images"
SHOWN = DEMO / "shown"
README = (ROOT / "README.md").read_text(encoding="utf-8")
CONTENTS = (PAGES / "README.md").read_text(encoding="utf-8")
LEFT_OUT = "…"
PAGE_COLUMNS = "80"
"""The width of the terminal that the pages show."""

FOLDER = "pictures"
"""What the recipes call the folder of pictures: here it is a copy of the demo."""

_BLOCK = re.compile(r"^( *)```([^\n]*)\n(.*?)^\1```$", re.M | re.S)
_BULLET = re.compile(r"^- ((?:`[^`\n]+`(?:, |,\n  | and |:)?)+)", re.M)
_EXIT = re.compile(r"\s+# exit code (\d+)$")


def page_text(name: str) -> str:
    """Return a page as it was written."""
    return (PAGES / f"{name}.md").read_text(encoding="utf-8")


def section(text: str, heading: str) -> str:
    """Return what follows a heading, up to the next one of any rank."""
    found = re.search(rf"^#+ {re.escape(heading)}\n(.*?)(?=^#|\Z)", text, re.M | re.S)
    assert found, heading
    return found[1]


def bulleted(text: str) -> list[str]:
    """Return every word in code that opens a bullet, without what follows a blank in it."""
    opening = " ".join(_BULLET.findall(text))
    return [word.split()[0] for word in re.findall("`(.*?)`", opening)]


def keys_of(page: str, heading: str) -> set[str]:
    """Return the keys that a section of a page documents, one or more to a bullet."""
    return set(bulleted(section(page_text(page), heading)))


@dataclass(frozen=True, slots=True)
class Block:
    """A fenced block: its language, the words behind it, its text, and where the text is."""

    language: str
    words: str
    text: str
    start: int
    end: int
    indent: str = ""

    @property
    def is_run(self) -> bool:
        """Whether it holds commands to run."""
        return self.language == "sh" and self.words != "not run"

    @property
    def commands(self) -> list[str]:
        """Its lines; one that ends with a backslash goes on in the next."""
        return [line for line in self.text.replace("\\\n", " ").splitlines() if line.strip()]


def blocks(text: str) -> list[Block]:
    """Return the fenced blocks of a page, in their order."""
    found = []
    for match in _BLOCK.finditer(text):
        language, _, words = match[2].partition(" ")
        body = textwrap.dedent(match[3])
        found.append(Block(language, words, body, match.start(3), match.end(3), match[1]))
    return found


@dataclass(frozen=True, slots=True)
class Ran:
    """One command of a recipe: what it said, and the exit code that the page promises."""

    page: str
    command: str
    said: Said
    promised: int


@dataclass(frozen=True, slots=True)
class Shown:
    """What a page shows of the commands above, and all that they said."""

    page: str
    block: Block
    said: str


@dataclass(frozen=True, slots=True)
class Rehearsal:
    """All recipes, run in the order of the contents in one copy of the demo."""

    folder: Path
    ran: Sequence[Ran]
    shown: Sequence[Shown]


def rehearse(folder: Path) -> Rehearsal:
    """Run every recipe of the manual in a new copy of the demo inside a folder."""
    pictures = folder / FOLDER
    pictures.mkdir()
    for picture in DEMO.glob("*.jpg"):
        shutil.copy(picture, pictures)
    ran: list[Ran] = []
    shown: list[Shown] = []
    with contextlib.chdir(folder), mock.patch.dict(os.environ, {"COLUMNS": PAGE_COLUMNS}):
        for topic in topics():
            _rehearse_page(topic.name, ran, shown)
            if topic.name == "start":  # from here on the entries file is filled in
                shutil.copy(DEMO / "entries.csv", pictures)
    return Rehearsal(folder, ran, shown)


def _rehearse_page(page: str, ran: list[Ran], shown: list[Shown]) -> None:
    last: list[Ran] = []
    for block in blocks(page_text(page)):
        if block.is_run:
            last = [_run(page, command) for command in block.commands]
            ran += last
        elif block.language == "text":
            shown.append(Shown(page, block, "".join(r.said.out + r.said.err for r in last)))
            last = []
        elif block.words:
            path = Path(block.words)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(block.text, encoding="utf-8")


def _run(page: str, command: str) -> Ran:
    exits = _EXIT.search(command)
    program, *words = shlex.split(_EXIT.sub("", command))
    assert program == "proofs", f"{page}: only proofs is run here, not {program}"
    return Ran(page, command, in_process(*words), int(exits[1]) if exits else 0)


def missing_line(shown: str, said: str) -> str:
    """Return the first line of a shown text that was not said in its place, or nothing.

    A line ``…`` stands for any number of lines. Without it, the next line must follow at once.
    """
    lines = said.rstrip("\n").splitlines()
    at, is_free = 0, False
    for line in shown.rstrip("\n").splitlines():
        if line == LEFT_OUT:
            is_free = True
            continue
        places = range(at, len(lines)) if is_free else range(at, min(at + 1, len(lines)))
        found = next((n for n in places if lines[n].rstrip() == line.rstrip()), None)
        if found is None:
            return line
        at, is_free = found + 1, False
    return "" if is_free or at == len(lines) else f"(the end; then came: {lines[at]})"


def brought_up_to_date(shown: str, said: str) -> str:
    """Return a shown text with each of its lines replaced by the likest line that was said.

    The lines keep their order; the runs between them become ``…``.
    """
    wanted = [line for line in shown.rstrip("\n").splitlines() if line != LEFT_OUT]
    lines = [line.rstrip() for line in said.rstrip("\n").splitlines()]
    made: list[str] = []
    at = -1
    for n in _likest(wanted, lines):
        made += [LEFT_OUT] * (n > at + 1) + [lines[n]]
        at = n
    return "\n".join(made + [LEFT_OUT] * (at + 1 < len(lines))) + "\n"


def _likest(wanted: Sequence[str], lines: Sequence[str]) -> list[int]:
    """The line for each wanted one, in rising order, so that all together are the likest."""
    best: list[list[tuple[float, int]]] = [[(0.0, -1)] * (len(lines) + 1)]
    for word in wanted:
        row = [(-1.0, -1)]
        for n, line in enumerate(lines):
            likeness = best[-1][n][0] + difflib.SequenceMatcher(None, word, line).ratio()
            row.append(max(row[-1], (likeness, n), key=lambda one: one[0]))
        best.append(row)
    chosen: list[int] = []
    end = len(lines)
    for row in reversed(best[1:]):
        end = row[end][1]
        assert end >= 0, "more is shown than was said"
        chosen.append(end)
    return chosen[::-1]


def _refreshed(page: str, shown: Sequence[Shown]) -> Iterator[str]:
    text, at = page_text(page), 0
    for one in shown:
        new = brought_up_to_date(one.block.text, one.said)
        yield text[at : one.block.start] + textwrap.indent(new, one.block.indent)
        at = one.block.end
    yield text[at:]


def main() -> None:
    """Run all recipes and write what they say into the pages."""
    with tempfile.TemporaryDirectory() as folder:
        rehearsal = rehearse(Path(folder))
    for one in rehearsal.ran:
        if one.said.code != one.promised:
            print(f"{one.page}: {one.command}: exit code {one.said.code}\n{one.said.err}")
    for page in dict.fromkeys(shown.page for shown in rehearsal.shown):
        old = page_text(page)
        new = "".join(_refreshed(page, [s for s in rehearsal.shown if s.page == page]))
        if new != old:
            (PAGES / f"{page}.md").write_text(new, encoding="utf-8")
            print(f"{page}: brought up to date")


if __name__ == "__main__":
    main()
