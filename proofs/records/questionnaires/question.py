"""A question about one key of a profile, and its answer as people type it."""

import datetime
import enum
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

_KEY = re.compile(r"[^.\[\]]+|\[1\]")
_YES_NO = {"yes": True, "y": True, "true": True, "no": False, "n": False, "false": False}
_DATE = "a date such as 2026-03-31"

Values = Mapping[str, object]
"""The keys of a TOML file or of one of its tables, each with its value."""


class Form(enum.StrEnum):
    """What an answer is, in TOML."""

    TEXT = "text"
    TEXTS = "texts"
    NUMBER = "number"
    COUNT = "count"
    YES_NO = "yes or no"
    DATE = "date"
    DATES = "dates"


@dataclass(frozen=True, slots=True)
class Question:
    """A question about the key at a path; ``border[1].least`` is in the first such table.

    ``default`` is an answer as typed; blank leaves the key out. It is asked only if the keys in
    ``only_if`` have one of the values there, or any value where none are named; else the key is
    left out. A key that ``is_needed`` cannot be left out.
    """

    key: str
    words: str
    example: str
    default: str = ""
    form: Form = Form.TEXT
    choices: tuple[str, ...] = ()
    only_if: tuple[tuple[str, tuple[object, ...]], ...] = ()
    is_needed: bool = False

    @property
    def option(self) -> str:
        """The option that answers it.

        >>> Question("border[1].least_width", "", "").option
        '--border-least-width'
        """
        return "--" + self.key.replace("[1]", "").replace(".", "-").replace("_", "-")

    def applies(self, values: Values) -> bool:
        """Return whether it is to be asked after these answers."""
        found = ((value_at(values, key), among) for key, among in self.only_if)
        return all(value is not None and (not among or value in among) for value, among in found)

    def value(self, typed: str) -> object:
        """Return the value of an answer in TOML. Raises ``ValueError`` with what is expected."""
        readers: Mapping[Form, Callable[[str], object]] = {
            Form.TEXT: _text,
            Form.TEXTS: _texts,
            Form.NUMBER: _number,
            Form.COUNT: _count,
            Form.YES_NO: _yes_no,
            Form.DATE: _date,
            Form.DATES: _dates,
        }
        return readers[self.form](typed.strip())


def shown(value: object) -> str:
    """Return a value as one would type it; blank for none.

    >>> shown(["white", "off-white"]), shown(True), shown(["8x10 in: 4,50"])
    ('white, off-white', 'yes', '8x10 in: 4,50;')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        texts = [str(one) for one in value]
        has_commas = any("," in text for text in texts)
        last = ";" if has_commas and len(texts) == 1 else ""
        return ("; " if has_commas else ", ").join(texts) + last
    return "" if value is None else str(value)


def value_at(values: object, path: str) -> object:
    """Return the value at a path, None if there is none."""
    for step in _KEY.findall(path):
        if step == "[1]" and isinstance(values, list) and values:
            values = values[0]
        elif isinstance(values, Mapping):
            values = values.get(step)
        else:
            return None
    return values


def with_value(values: Values, path: str, value: object) -> dict[str, object]:
    """Return the values with another one at a path, or without any for None.

    A table that is empty then is left out.

    >>> with_value({"border": [{"least": "1 in"}, {}]}, "border[1].least", "2 in")
    {'border': [{'least': '2 in'}, {}]}
    >>> with_value({"title": "T", "board": {"size": "16x20 in"}}, "board.size", None)
    {'title': 'T'}
    """
    key, is_list, rest = _first_step(path)
    inner = values.get(key)
    if not rest:
        changed: object = value
    elif is_list:
        first, *others = inner if isinstance(inner, list) and inner else [{}]
        first = with_value(first, rest, value)
        changed = [first, *others] if first else others
    else:
        changed = with_value(inner if isinstance(inner, Mapping) else {}, rest, value)
    is_gone = changed is None or (bool(rest) and not changed)
    if is_gone:
        return {k: v for k, v in values.items() if k != key}
    return {**values, key: changed}


def _first_step(path: str) -> tuple[str, bool, str]:
    first, _, rest = path.partition(".")
    return first.removesuffix("[1]"), first.endswith("[1]"), rest


def _text(typed: str) -> str:
    try:
        typed.encode()
    except UnicodeEncodeError:
        raise ValueError("this is not text in UTF-8; type it again") from None
    return typed


def _texts(typed: str) -> list[str]:
    parts = _text(typed).split(";" if ";" in typed else ",")
    return [part.strip() for part in parts if part.strip()]


def _number(typed: str) -> float:
    try:
        number = float(typed.replace(",", "."))
    except ValueError:
        raise ValueError(f"{typed!r} is not a number") from None
    return int(number) if number.is_integer() and abs(number) < 2**53 else number


def _count(typed: str) -> int:
    if not re.fullmatch(r"\d{1,12}", typed, re.ASCII):
        raise ValueError(f"{typed!r} is not a whole number")
    return int(typed)


def _yes_no(typed: str) -> bool:
    if typed.casefold() not in _YES_NO:
        raise ValueError(f"{typed!r} is neither 'yes' nor 'no'")
    return _YES_NO[typed.casefold()]


def _date(typed: str) -> datetime.date:
    try:
        return datetime.date.fromisoformat(typed)
    except ValueError:
        raise ValueError(f"{typed!r} is not {_DATE}") from None


def _dates(typed: str) -> list[datetime.date]:
    return [_date(one) for one in _texts(typed)]
