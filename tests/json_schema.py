"""A check of JSON against a schema: those keywords of JSON Schema 2020-12 that ours use.

A keyword that is not known here is a fault of the schema, so that none is passed over.
"""

import re
from collections.abc import Iterator
from typing import Any

_TYPES: dict[str, type | tuple[type, ...]] = {
    "object": dict,
    "array": list,
    "string": str,
    "integer": int,
    "number": (int, float),
    "boolean": bool,
    "null": type(None),
}
_WORDS = {"$schema", "$defs", "title", "description"}
_KNOWN = _WORDS | {
    *("type", "properties", "required", "additionalProperties", "items", "minItems", "maxItems"),
    *("enum", "const", "pattern", "minimum", "maximum", "anyOf", "$ref"),
}


def schema_faults(schema: dict[str, Any], value: object) -> list[str]:
    """Return where and how a value differs from a schema."""
    return list(_faults(schema, schema, value, "$"))


def _faults(whole: dict[str, Any], schema: dict[str, Any], value: Any, where: str) -> Iterator[str]:
    if unknown := schema.keys() - _KNOWN:
        yield f"{where}: the schema has {sorted(unknown)}"
    if "$ref" in schema:
        yield from _faults(whole, whole["$defs"][schema["$ref"].split("/")[-1]], value, where)
        return
    if "anyOf" in schema:
        ways = [list(_faults(whole, way, value, where)) for way in schema["anyOf"]]
        yield from [] if not all(ways) else ways[0]
    if "type" in schema and not _is_of(schema["type"], value):
        yield f"{where}: {value!r} is no {schema['type']}"
        return
    if "const" in schema and value != schema["const"]:
        yield f"{where}: {value!r} is not {schema['const']!r}"
    if "enum" in schema and value not in schema["enum"]:
        yield f"{where}: {value!r} is none of {schema['enum']}"
    yield from _plain(schema, value, where)
    if isinstance(value, list):
        yield from _items(whole, schema, value, where)
    if isinstance(value, dict):
        yield from _properties(whole, schema, value, where)


def _is_of(kinds: str | list[str], value: object) -> bool:
    names = [kinds] if isinstance(kinds, str) else kinds
    if isinstance(value, bool):
        return "boolean" in names
    return any(isinstance(value, _TYPES[name]) for name in names)


def _plain(schema: dict[str, Any], value: Any, where: str) -> Iterator[str]:
    if isinstance(value, str) and not re.search(schema.get("pattern", ""), value):
        yield f"{where}: {value!r} does not match {schema['pattern']}"
    if isinstance(value, int | float) and not isinstance(value, bool):
        low, high = schema.get("minimum", value), schema.get("maximum", value)
        if not low <= value <= high:
            yield f"{where}: {value!r} is not from {low} to {high}"


def _items(
    whole: dict[str, Any], schema: dict[str, Any], value: list[Any], where: str
) -> Iterator[str]:
    if not schema.get("minItems", 0) <= len(value) <= schema.get("maxItems", len(value)):
        yield f"{where}: {len(value)} items"
    for n, item in enumerate(value):
        yield from _faults(whole, schema.get("items", {}), item, f"{where}[{n}]")


def _properties(
    whole: dict[str, Any], schema: dict[str, Any], value: dict[str, Any], where: str
) -> Iterator[str]:
    own = schema.get("properties", {})
    yield from (f"{where}: lacks {key}" for key in schema.get("required", ()) if key not in value)
    if schema.get("additionalProperties") is False:
        yield from (f"{where}: has {key}" for key in value if key not in own)
    for key, held in value.items():
        if key in own:
            yield from _faults(whole, own[key], held, f"{where}.{key}")
