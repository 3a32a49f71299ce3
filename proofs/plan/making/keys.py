"""The key of a recipe: two recipes have the same key only if every value in them is equal.

A recipe holds all that decides the bytes of a file. It is built from the values that the work
itself gets, field by field, so that a new field counts without anyone thinking of it. What does
not matter is left out by name, with its reason.
"""

import datetime
import enum
import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any, cast

_SEPARATORS = (",", ":")


@dataclass(frozen=True, slots=True)
class Part:
    """A value without some of its fields, for ``key_of``."""

    value: object
    left_out: frozenset[str]


def without(value: object, reasons: Mapping[str, str]) -> Part:
    """Return a dataclass instance without the fields that do not matter, each with its reason.

    Raises ``ValueError`` for a field that the class does not have, or a blank reason.
    """
    unknown = set(reasons) - set(_compared(cast(Any, type(value))))
    if unknown or not all(reasons.values()):
        wrong = ", ".join(sorted(unknown)) or "a field without a reason"
        raise ValueError(f"{type(value).__name__}: {wrong} cannot be left out")
    return Part(value, frozenset(reasons))


def key_of(*values: object) -> str:
    """Return the key of a recipe made of these values: a SHA-256, in hexadecimal.

    Values are dataclasses, enumerations, texts, numbers, dates, None, and tuples, lists, sets and
    mappings of them. Raises ``TypeError`` for anything else, such as a path: where a file is on
    this machine decides nothing.

    >>> key_of(1) == key_of(1.0), key_of("1") == key_of(1), key_of((1, 2)) == key_of([1, 2])
    (False, False, True)
    """
    text = json.dumps(_plain(values), separators=_SEPARATORS, ensure_ascii=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _plain(value: object) -> object:
    """A value as lists, texts, numbers and None; different values differ."""
    if value is None or type(value) in (str, int, bool, float):
        return value
    if isinstance(value, enum.Enum):
        return [type(value).__name__, value.name]
    if isinstance(value, tuple | list):
        return [None, *map(_plain, value)]
    if isinstance(value, Part):
        return _fields(value.value, value.left_out)
    if is_dataclass(value):
        return _fields(value, frozenset())
    if isinstance(value, Mapping):
        return ["mapping", _sorted([[_plain(k), _plain(v)] for k, v in value.items()])]
    if isinstance(value, set | frozenset):
        return ["set", _sorted([_plain(item) for item in value])]
    if isinstance(value, Fraction | Decimal | datetime.date):
        return [type(value).__name__, str(value)]
    raise TypeError(f"{type(value).__name__} has no place in a recipe")


def _fields(value: object, left_out: frozenset[str]) -> list[object]:
    names = _compared(cast(Any, type(value)))
    kept = [name for name in names if name not in left_out] if left_out else names
    return [type(value).__name__, *([name, _plain(getattr(value, name))] for name in kept)]


@cache
def _compared(kind: Any) -> tuple[str, ...]:
    """The fields that make two values of a class different."""
    return tuple(field.name for field in fields(kind) if field.compare)


def _sorted(items: list[object]) -> list[object]:
    return sorted(items, key=lambda item: json.dumps(item, separators=_SEPARATORS))
