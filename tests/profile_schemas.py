"""JSON Schemas of all kinds of profiles, from what their readers ask a table for.

``python -m tests.profile_schemas`` writes the files that ship with the program. The descriptions
are those of the manual.
"""

import datetime
import json
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from proofs.lengths import Length, Size
from proofs.records.faults import FaultNotes
from proofs.records.job import read_job_file
from proofs.records.profile_kinds import READERS
from proofs.records.tables import Table
from tests.manual_pages import ROOT, page_text

SHIPPED = ROOT / "proofs" / "schemas"
DRAFT = "http://json-schema.org/draft-07/schema#"  # the one that most editors read; from memory
LENGTHS = {"type": "string", "examples": ["10 1/8 in", "25 mm"]}
SIZES = {"type": "string", "examples": ["16x20 in", "400x500 mm"]}
DATES = {"type": "string", "format": "date"}

_HEADING = re.compile(r"^## (?:`\[+([a-z_]+)\]+`)?.*?$", re.M)
_BULLET = re.compile(r"^- ((?:`[a-z_0-9]+`(?:, )?)+): (.*?)(?=^\S|^  - |^$|\Z)", re.M | re.S)
_LINK = re.compile(r"\[([^\]]+)\]\([^)]+\)")

Schema = dict[str, Any]
T = TypeVar("T")
C = TypeVar("C", bound=str)


@dataclass
class Recorder(Table):
    """A table that notes what is asked of it, and has nothing."""

    keys: dict[str, Schema] = field(default_factory=dict)
    needed: list[str] = field(default_factory=list)
    any_text: bool = False

    def _note(self, key: str, schema: Schema, value: T, *, is_needed: bool = False) -> T:
        self.keys[key] = schema
        if is_needed and key not in self.needed:
            self.needed.append(key)
        return value

    def text(self, key: str, *, default: str | None = None) -> str:
        value = super().text(key, default=default)
        is_needed = default is None
        written = {"type": "string"} | ({"pattern": r"\S"} if is_needed else {})
        return self._note(key, written, value, is_needed=is_needed)

    def texts(self, key: str) -> tuple[str, ...]:
        return self._note(key, _list({"type": "string"}), super().texts(key))

    def choice(self, key: str, choices: Iterable[C], *, default: C | None = None) -> C:
        known = list(choices)
        value = super().choice(key, known, default=default)
        return self._note(key, _one_of(known), value, is_needed=default is None)

    def choices(self, key: str, choices: Iterable[C]) -> tuple[C, ...]:
        known = list(choices)
        return self._note(key, _list(_one_of(known)), super().choices(key, known))

    def choice_or_none(self, key: str, choices: Iterable[C]) -> C | None:
        known = list(choices)
        return self._note(key, _one_of(known), super().choice_or_none(key, known))

    def boolean(self, key: str, *, default: bool) -> bool:
        return self._note(key, {"type": "boolean"}, super().boolean(key, default=default))

    def count(
        self, key: str, *, least: int = 1, most: int = 10**6, default: int | None = None
    ) -> int:
        value = super().count(key, least=least, most=most, default=default)
        return self._note(key, self.keys[key], value, is_needed=default is None)

    def count_or_none(self, key: str, *, least: int = 1, most: int = 10**6) -> int | None:
        value = super().count_or_none(key, least=least, most=most)
        return self._note(key, {"type": "integer", "minimum": least, "maximum": most}, value)

    def number(self, key: str, *, least: float, most: float, default: float | None = None) -> float:
        value = super().number(key, least=least, most=most, default=default)
        return self._note(key, self.keys[key], value, is_needed=default is None)

    def number_or_none(self, key: str, *, least: float, most: float) -> float | None:
        value = super().number_or_none(key, least=least, most=most)
        return self._note(key, {"type": "number", "minimum": least, "maximum": most}, value)

    def length(self, key: str, *, default: Length | None = None) -> Length:
        value = super().length(key, default=default)
        return self._note(key, LENGTHS, value, is_needed=default is None)

    def length_or_none(self, key: str) -> Length | None:
        return self._note(key, LENGTHS, super().length_or_none(key))

    def size(self, key: str) -> Size:
        return self._note(key, SIZES, super().size(key), is_needed=True)

    def size_or_none(self, key: str, **limits: Any) -> Size | None:
        return self._note(key, SIZES, super().size_or_none(key, **limits))

    def area_or_none(self, key: str) -> int | None:
        examples = {"type": "string", "examples": ["80 sq in", "500 sq cm"]}
        return self._note(key, examples, super().area_or_none(key))

    def bytes_or_none(self, key: str) -> int | None:
        examples = {"type": "string", "examples": ["2 MB", "800 kB"]}
        return self._note(key, examples, super().bytes_or_none(key))

    def sizes(self, key: str) -> tuple[Size, ...]:
        return self._note(key, _list(SIZES), super().sizes(key))

    def parsed(self, key: str, read: Callable[[str], T], expected: str, *, default: T) -> T:
        value = super().parsed(key, read, expected, default=default)
        return self._note(key, {"type": "string"}, value)

    def date_or_none(self, key: str) -> datetime.date | None:
        return self._note(key, DATES, super().date_or_none(key))

    def dates(self, key: str) -> tuple[datetime.date, ...]:
        return self._note(key, _list(DATES), super().dates(key))

    def table(self, key: str) -> Table:
        return self._note(key, {}, super().table(key))

    def tables(self, key: str) -> tuple[Table, ...]:
        super().tables(key)
        return self._note(key, {}, (self._part(f"{key}[1]", {}),))

    def every_text(self) -> dict[str, str]:
        self.any_text = True
        return super().every_text()

    def schema(self) -> Schema:
        """Return the schema of this table."""
        keys = dict(self.keys)
        needed = list(self.needed)
        for name, part in self.parts.items():
            assert isinstance(part, Recorder)
            key, is_list, _ = name.partition("[1]")
            keys[key] = _list(part.schema()) if is_list else part.schema()
            if "required" in keys[key]:
                needed.append(key)
        others: Schema | bool = {"type": "string", "pattern": r"\S"} if self.any_text else False
        schema: Schema = {"type": "object", "properties": keys, "additionalProperties": others}
        return schema | ({"required": needed} if needed else {})


def _list(of: Schema) -> Schema:
    return {"type": "array", "items": of}


def _one_of(choices: Iterable[str]) -> Schema:
    return {"enum": [str(choice) for choice in choices]}


def schema_of(kind: str) -> Schema:
    """Return the JSON Schema of a kind of profile, or of ``job.toml``."""
    table = Recorder({}, "", notes=FaultNotes())
    read: Callable[[Table, str], object] = READERS.get(kind, lambda table, _: read_job_file(table))
    read(table, "any")
    schema = table.schema()
    for (heading, key), words in described(kind).items():
        holder = schema
        if heading:
            holder = holder["properties"][heading]
            holder = holder.get("items", holder)
        holder["properties"][key] = {**holder["properties"][key], "description": words}
    title = "job.toml, of the program proofs" if kind == "job" else f"proofs: {kind}"
    return {"$schema": DRAFT, "title": title, **schema}


def described(kind: str) -> dict[tuple[str, str], str]:
    """Return what the manual says of each key, by its table, which is blank at the top."""
    text = page_text(kind)
    if kind == "job":
        text = text.partition("\n## job.toml\n")[2].partition("\n## ")[0]
    headings = [(0, ""), *((found.end(), found[1] or "") for found in _HEADING.finditer(text))]
    ends = [*(start for start, _ in headings[1:]), len(text)]
    words = {}
    for (start, heading), end in zip(headings, ends, strict=True):
        for bullet in _BULLET.finditer(text, start, end):
            plain = " ".join(_LINK.sub(r"\1", bullet[2]).replace("`", "").split())
            for key in re.findall("`([a-z_0-9]+)`", bullet[1]):
                words[heading, key] = plain[:1].upper() + plain[1:]
    return words


def written(kind: str) -> str:
    """Return the text of the file of a schema."""
    return json.dumps(schema_of(kind), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    SHIPPED.mkdir(exist_ok=True)
    for one in (*READERS, "job"):
        (SHIPPED / f"{one}.schema.json").write_text(written(one), encoding="utf-8")
