"""Values kept in a record of our own, as JSON, and read back by their types."""

import enum
import types
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

T = TypeVar("T")


def stored(value: object) -> object:
    """Return a value as JSON can hold it: a dataclass as an object, a tuple as a list."""
    if isinstance(value, enum.StrEnum):
        return value.value
    if isinstance(value, enum.Enum):
        return value.name
    if is_dataclass(value):
        return {field.name: stored(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [stored(item) for item in value]
    return value


def restored(kind: type[T], value: object) -> T:
    """Return the value of this type that ``stored`` made this JSON of.

    ``kind`` is a dataclass, an enumeration, a plain type, or tuples and unions of them. Raises
    ``ValueError`` for anything that is no such value.
    """
    return cast(T, _restored(kind, value))


def _restored(kind: Any, value: Any) -> Any:
    if get_origin(kind) in (Union, types.UnionType):
        return _one_of(get_args(kind), value)
    if get_origin(kind) is tuple:
        return _tuple(get_args(kind), value)
    if kind in (None, types.NoneType):
        return _checked(value, types.NoneType)
    if issubclass(kind, enum.StrEnum):
        return kind(_checked(value, str))
    if issubclass(kind, enum.Enum):
        if _checked(value, str) not in kind.__members__:
            raise ValueError(f"{value!r} is no {kind.__name__}")
        return kind[value]
    if is_dataclass(kind):
        return _dataclass(kind, value)
    return _checked(value, (int, float) if kind is float else kind)


def _checked(value: Any, kind: Any) -> Any:
    if isinstance(value, bool) != (kind is bool) or not isinstance(value, kind):
        raise ValueError(f"{value!r} is not what is expected")
    return value


def _one_of(kinds: tuple[Any, ...], value: Any) -> Any:
    for kind in kinds:
        try:
            return _restored(kind, value)
        except ValueError:
            continue
    raise ValueError(f"{value!r} is none of what is expected")


def _tuple(kinds: tuple[Any, ...], value: Any) -> tuple[Any, ...]:
    if not isinstance(value, list):
        raise ValueError(f"{value!r} is no list")
    if len(kinds) == 2 and kinds[1] is Ellipsis:
        return tuple(_restored(kinds[0], item) for item in value)
    if len(kinds) != len(value):
        raise ValueError(f"a list of {len(value)}, not {len(kinds)}")
    return tuple(_restored(kind, item) for kind, item in zip(kinds, value, strict=True))


def _dataclass(kind: Any, value: Any) -> Any:
    hints = _hints(kind)
    if not isinstance(value, Mapping) or value.keys() != hints.keys():
        raise ValueError(f"{value!r} is no {kind.__name__}")
    return kind(**{name: _restored(hint, value[name]) for name, hint in hints.items()})


@cache
def _hints(kind: type) -> dict[str, Any]:
    hints = get_type_hints(kind)
    return {field.name: hints[field.name] for field in fields(kind)}
