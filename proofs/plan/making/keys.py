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
_AS_THEY_ARE = frozenset((str, int, bool, float, type(None)))


@dataclass(frozen=True, slots=True)
class Part:
    """A value without some of its fields, for ``key_of``."""

    value: object
    left_out: frozenset[str]


def without(value: Any, reasons: Mapping[str, str]) -> Part:
    """Return a dataclass instance without the fields that do not matter, each with its reason.

    Raises ``ValueError`` for a field that the class does not have, or a blank reason.
    """
    unknown = set(reasons) - set(_compared(cast(Any, type(value))) or ())
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
    text = json.dumps(_plain(values, {}), separators=_SEPARATORS, ensure_ascii=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _plain(value: Any, made: dict[int, object]) -> object:
    """A value as lists, texts, numbers and None; different values differ.

    ``made`` has what dataclasses have become already, by their identity: the entries of a run
    share their mount, their paper and much else.
    """
    kind: Any = type(value)
    if kind in _AS_THEY_ARE:
        return value
    if kind is tuple or kind is list:
        return [None, *[_plain(item, made) for item in value]]
    if names := _compared(kind):
        if id(value) not in made:
            made[id(value)] = _fields(value, names, made)
        return made[id(value)]
    return _rarer(value, made)


def _rarer(value: Any, made: dict[int, object]) -> object:
    name = type(value).__name__
    if isinstance(value, enum.Enum):
        return [name, value.name]
    if isinstance(value, Part):
        names = _compared(cast(Any, type(value.value))) or ()
        kept = tuple(name for name in names if name not in value.left_out)
        return _fields(value.value, kept, made)
    if isinstance(value, Mapping):
        pairs = value.items()
        return ["mapping", _sorted([[_plain(k, made), _plain(v, made)] for k, v in pairs])]
    if isinstance(value, set | frozenset):
        return ["set", _sorted([_plain(item, made) for item in value])]
    if isinstance(value, Fraction | Decimal | datetime.date):
        return [name, str(value)]
    raise TypeError(f"{name} has no place in a recipe")


def _fields(value: Any, names: tuple[str, ...], made: dict[int, object]) -> list[object]:
    return [type(value).__name__, *[[name, _plain(getattr(value, name), made)] for name in names]]


@cache
def _compared(kind: Any) -> tuple[str, ...] | None:
    """The fields that make two values of a dataclass different; None for any other class."""
    if kind is Part or not is_dataclass(kind):
        return None
    return tuple(field.name for field in fields(kind) if field.compare)


def _sorted(items: list[object]) -> list[object]:
    return sorted(items, key=lambda item: json.dumps(item, separators=_SEPARATORS))
