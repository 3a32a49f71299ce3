"""Reading JSON that anybody may have written; every error names the place of the fault."""

import json
import re
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeVar

T = TypeVar("T")
C = TypeVar("C", bound=str)

LONGEST_TEXT = 10_000
_MOST_DIGITS = 40
_MOST_SHOWN = 40


@dataclass(frozen=True, slots=True)
class JsonField:
    """One value of a JSON text and its place, such as ``files[2].image_px.width``.

    Each method raises ``ValueError`` that states the place, what was found and what is expected.
    """

    value: object
    place: str = ""

    def __getitem__(self, key: str) -> "JsonField":
        place = f"{self.place}.{key}" if self.place else key
        if not isinstance(self.value, dict):
            raise self.wrong("an object")
        if key not in self.value:
            raise ValueError(f"{place}: is missing")
        return JsonField(self.value[key], place)

    def items(self, *, most: int, least: int = 0) -> tuple["JsonField", ...]:
        """Return the members of a list of ``least`` to ``most``."""
        if not isinstance(self.value, list):
            raise self.wrong("a list")
        if not least <= len(self.value) <= most:
            raise ValueError(
                f"{self.place}: a list of {len(self.value)}; expected {least} to {most}"
            )
        return tuple(JsonField(v, f"{self.place}[{n}]") for n, v in enumerate(self.value))

    def text(self, *, most: int = LONGEST_TEXT, pattern: str = "", expected: str = "a text") -> str:
        """Return a text of at most ``most`` whole characters, all of it matched by ``pattern``.

        A text that is not has ``expected`` in its error.
        """
        value = self.value
        if not isinstance(value, str):
            raise self.wrong(expected)
        if len(value) > most:
            raise ValueError(f"{self.place}: a text of {len(value)} characters; at most {most}")
        try:
            value.encode()
        except UnicodeEncodeError:  # half of a pair of surrogates
            raise self.wrong("a text of whole characters") from None
        if pattern and not re.fullmatch(pattern, value):
            raise self.wrong(expected)
        return value

    def whole(self, least: int, most: int) -> int:
        """Return a whole number from ``least`` to ``most``."""
        value = self.value
        if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
            raise self.wrong(f"a whole number from {least} to {most}")
        return value

    def number(self, least: float, most: float) -> float:
        """Return a number from ``least`` to ``most``."""
        value = self.value
        if (
            not isinstance(value, int | float)
            or isinstance(value, bool)
            or not least <= value <= most
        ):
            raise self.wrong(f"a number from {least:g} to {most:g}")
        return value

    def truth(self) -> bool:
        """Return true or false."""
        if not isinstance(self.value, bool):
            raise self.wrong("true or false")
        return self.value

    def choice(self, choices: Iterable[C]) -> C:
        """Return one of ``choices``, such as the members of a ``StrEnum``."""
        known = tuple(choices)
        for choice in known:
            if self.value == choice:
                return choice
        raise self.wrong("one of " + ", ".join(repr(str(c)) for c in known))

    def or_none(self, read: "Callable[[JsonField], T]") -> T | None:
        """Return what ``read`` makes of the value, or None where it is null."""
        return None if self.value is None else read(self)

    def wrong(self, expected: str) -> ValueError:
        """Return the error for a value that is not what is expected."""
        where = f"{self.place}: " if self.place else ""
        return ValueError(f"{where}{_found(self.value)} is not {expected}")


def read_json(content: bytes) -> JsonField:
    """Return the value of a JSON text in UTF-8.

    Raises ``ValueError`` for anything else, and for numbers of many digits, NaN, infinity, a key
    that an object has twice, and nesting that the machine cannot follow.
    """
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        raise ValueError("is not text in UTF-8") from None
    try:
        value = json.loads(
            text,
            parse_int=lambda digits: int(_short(digits)),
            parse_float=lambda digits: float(_short(digits)),
            parse_constant=_constant,
            object_pairs_hook=_object,
        )
    except json.JSONDecodeError as error:
        raise ValueError(f"is not JSON: line {error.lineno}, column {error.colno}") from None
    except RecursionError:
        raise ValueError("is nested too deeply") from None
    except MemoryError:
        raise ValueError("is too large to be read") from None
    return JsonField(value)


def _short(digits: str) -> str:
    if len(digits) > _MOST_DIGITS:
        raise ValueError(f"holds a number of {len(digits)} digits")
    return digits


def _constant(name: str) -> object:
    raise ValueError(f"holds {name}, which is not a number in JSON")


def _object(pairs: list[tuple[str, object]]) -> dict[str, object]:
    made = dict(pairs)
    if len(made) < len(pairs):
        twice, _ = Counter(key for key, _ in pairs).most_common(1)[0]
        raise ValueError(f"holds the key {_found(twice)} twice in one object")
    return made


def _found(value: object) -> str:
    """A value in a message: short, whatever it holds."""
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    if value is None or isinstance(value, bool):
        return json.dumps(value)
    shown = ascii(value[:_MOST_SHOWN] if isinstance(value, str) else value)
    return shown if len(shown) <= _MOST_SHOWN + 2 else shown[:_MOST_SHOWN] + "..."
