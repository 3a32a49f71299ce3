"""The JSON Schemas that ship: up to date, true of every profile that ships, and strict.

The keywords mean what draft 7 of JSON Schema says (from memory).
"""

import copy
import datetime
import json
import re
import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from proofs.outside.schemas import schema_text
from proofs.records.profile_kinds import KINDS
from tests.command import in_process
from tests.profile_schemas import Schema, described, written
from tests.workbench import SHIPPED

ALL = (*KINDS, "job")
FILES = [(kind, SHIPPED.path(kind, name)) for kind in KINDS for name in SHIPPED.names(kind)]
IDS = [f"{kind}/{path.stem}" for kind, path in FILES]
CASES = json.loads((Path(__file__).parent / "cases" / "profiles.json").read_text("utf-8"))
TYPES: dict[str, tuple[type, ...]] = {
    "object": (dict,),
    "array": (list,),
    "string": (str,),
    "boolean": (bool,),
    "integer": (int,),
    "number": (int, float),
}
ABOUT = {"$schema", "title", "description", "examples"}
"""Keywords that refuse nothing."""


def refused(schema: Schema, value: Any, path: str = "") -> Iterator[str]:
    """The path and the keyword of everything that a schema refuses in a value from TOML."""
    value = value.isoformat() if isinstance(value, datetime.date) else value
    kind = schema.get("type")
    if kind and (
        not isinstance(value, TYPES[kind]) or (isinstance(value, bool) != (kind == "boolean"))
    ):
        yield f"{path} type"
        return
    checks: dict[str, Callable[[Any], object]] = {
        "enum": lambda among: value in among,
        "minimum": lambda least: value >= least,
        "maximum": lambda most: value <= most,
        "pattern": lambda pattern: re.search(pattern, value),
        "format": lambda _: re.fullmatch(r"\d{4}-\d\d-\d\d", value),
        "required": lambda keys: set(keys) <= set(value),
    }
    known = {*checks, *ABOUT, "type", "properties", "additionalProperties", "items"}
    assert set(schema) <= known
    yield from (
        f"{path} {word}" for word in checks.keys() & schema.keys() if not checks[word](schema[word])
    )
    for part in value if kind == "array" else ():
        yield from refused(schema["items"], part, f"{path}[]")
    for key, part in value.items() if kind == "object" else ():
        inside = schema["properties"].get(key, schema["additionalProperties"])
        yield from refused(inside, part, f"{path}.{key}") if inside else [f"{path}.{key} unknown"]


def schema_of(kind: str) -> Schema:
    """The schema of a kind, as it ships."""
    schema: Schema = json.loads(schema_text(kind))
    return schema


def content(path: Path) -> dict[str, Any]:
    """The values of a shipped profile."""
    return tomllib.loads(path.read_text("utf-8"))


@pytest.mark.parametrize("kind", ALL)
def test_the_schema_that_ships_is_up_to_date(kind: str) -> None:
    assert schema_text(kind) == written(kind), "python -m tests.profile_schemas renews it"


@pytest.mark.parametrize(("kind", "path"), FILES, ids=IDS)
def test_a_shipped_profile_meets_its_schema(kind: str, path: Path) -> None:
    assert list(refused(schema_of(kind), content(path))) == []


@pytest.mark.parametrize("kind", sorted(CASES["good"]))
def test_a_profile_with_all_keys_meets_its_schema(kind: str) -> None:
    assert list(refused(schema_of(kind), tomllib.loads(CASES["good"][kind]))) == []


@pytest.mark.parametrize(("kind", "path"), FILES, ids=IDS)
def test_a_schema_refuses_a_key_that_is_not_known_and_one_that_is_missing(
    kind: str, path: Path
) -> None:
    values = content(path)
    extra = {**values, "titel": values["title"]}
    assert list(refused(schema_of(kind), extra)) == [".titel unknown"]
    del values["title"]
    assert list(refused(schema_of(kind), values)) == [" required"]


@pytest.mark.parametrize(
    ("kind", "name", "table", "key", "value", "refusal"),
    [
        ("mounts", "overlap-white", "window", "kind", "overlp", ".window.kind enum"),
        ("mounts", "overlap-white", "backing", "thickness", 5, ".backing.thickness type"),
        ("labs", "srgb-jpeg-300", "file", "ppi", 30, ".file.ppi minimum"),
        ("labs", "srgb-jpeg-300", "file", "ppi", True, ".file.ppi type"),
        ("labs", "srgb-jpeg-300", "print", "scale_error", 5, ".print.scale_error maximum"),
        ("labs", "srgb-jpeg-300", "papers", "Lustre", " ", ".papers.Lustre pattern"),
        ("rules", "print-16x20-in", "label", "ask", ["name", "age"], ".label.ask[] enum"),
    ],
)
def test_a_schema_refuses_what_the_reader_refuses(
    kind: str, name: str, table: str, key: str, value: object, refusal: str
) -> None:
    values = copy.deepcopy(content(SHIPPED.path(kind, name)))
    values.setdefault(table, {})[key] = value
    assert list(refused(schema_of(kind), values)) == [refusal]


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_has_its_words_from_the_manual(kind: str) -> None:
    assert all(described(kind).values())
    assert list(undescribed(schema_of(kind))) == []


def undescribed(schema: Schema, path: str = "") -> Iterator[str]:
    """The paths of all values without a description."""
    for key, part in schema["properties"].items():
        inside = part.get("items", part)
        if "properties" in inside:
            yield from undescribed(inside, f"{path}.{key}")
        elif "description" not in part:
            yield f"{path}.{key}"


def test_the_program_prints_a_schema() -> None:
    said = in_process("profiles", "schema", "mounts")
    assert said.code == 0
    assert json.loads(said.out) == schema_of("mounts")
