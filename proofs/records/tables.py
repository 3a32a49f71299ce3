"""Reading a TOML table key by key, so that a fault can be named to the key.

Each reader takes what it knows; ``done`` refuses what is left, with the nearest known key.
"""

import datetime
import difflib
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from proofs.errors import ProfileError
from proofs.lengths import Length, Size
from proofs.measures import read_area, read_bytes_limit, read_length, read_size

T = TypeVar("T")
C = TypeVar("C", bound=str)


@dataclass(slots=True)
class Table:
    """One TOML table and where it stands: ``file`` for the message, ``path`` for the key."""

    values: Mapping[str, object]
    file: str
    path: str = ""
    known: list[str] = field(default_factory=list)

    def text(self, key: str, *, default: str | None = None) -> str:
        """Return a line of text; without ``default`` the key must be there and not be blank."""
        value = self._take(key)
        if value is None and default is not None:
            return default
        if not isinstance(value, str) or not (value.strip() or default is not None):
            raise self._wrong(key, value, "text in quotes")
        return value.strip()

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of texts; none when the key is missing."""
        value = self._take(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
            raise self._wrong(key, value, 'a list of texts such as ["white", "black"]')
        return tuple(value)

    def choice(self, key: str, choices: Iterable[C], *, default: C | None = None) -> C:
        """Return one of ``choices``, such as the members of a ``StrEnum``."""
        value = self._take(key)
        if value is None and default is not None:
            return default
        for choice in choices:
            if value == choice:
                return choice
        raise self._wrong(key, value, "one of " + ", ".join(repr(str(c)) for c in choices))

    def choice_or_none(self, key: str, choices: Iterable[C]) -> C | None:
        """Return one of ``choices``, or None when the key is missing."""
        return None if self._take(key) is None else self.choice(key, choices)

    def truth(self, key: str, *, default: bool) -> bool:
        """Return true or false."""
        value = self._take(key)
        if value is None:
            return default
        if not isinstance(value, bool):
            raise self._wrong(key, value, "true or false")
        return value

    def count(self, key: str, *, least: int = 1, default: int | None = None) -> int:
        """Return a whole number of at least ``least``; without ``default`` it must be there."""
        number = self.count_or_none(key, least=least)
        if number is None:
            if default is None:
                raise self._wrong(key, None, f"a whole number of at least {least}")
            return default
        return number

    def count_or_none(self, key: str, *, least: int = 1) -> int | None:
        """Return a whole number of at least ``least``, or None when the key is missing."""
        value = self._take(key)
        if value is None:
            return None
        if not isinstance(value, int) or isinstance(value, bool) or value < least:
            raise self._wrong(key, value, f"a whole number of at least {least}")
        return value

    def number(self, key: str, *, least: float, most: float, default: float) -> float:
        """Return a number from ``least`` to ``most``."""
        value = self._take(key)
        if value is None:
            return default
        if not isinstance(value, int | float) or isinstance(value, bool):
            raise self._wrong(key, value, f"a number from {least:g} to {most:g}")
        if not least <= value <= most:
            raise self._wrong(key, value, f"a number from {least:g} to {most:g}")
        return float(value)

    def number_or_none(self, key: str, *, least: float, most: float) -> float | None:
        """Return a number from ``least`` to ``most``, or None when the key is missing."""
        value = self.number(key, least=least, most=most, default=math.nan)
        return None if math.isnan(value) else value

    def length(self, key: str, *, default: Length | None = None) -> Length:
        """Return a length of nothing or more; without ``default`` the key must be there."""
        length = self.length_or_none(key)
        if length is None:
            if default is None:
                raise self._wrong(key, None, "a length such as '10 1/8 in' or '25 mm'")
            return default
        return length

    def length_or_none(self, key: str) -> Length | None:
        """Return a length of nothing or more, or None when the key is missing."""
        return self._read(key, read_length, "a length such as '10 1/8 in' or '25 mm'")

    def size_or_none(self, key: str) -> Size | None:
        """Return a size, or None when the key is missing."""
        return self._read(key, _read_sheet, "a size such as '16x20 in' or '400x500 mm'")

    def area_or_none(self, key: str) -> int | None:
        """Return an area in square nanometres, or None when the key is missing."""
        return self._read(key, read_area, "an area such as '80 sq in' or '500 sq cm'")

    def bytes_or_none(self, key: str) -> int | None:
        """Return the size of a file in bytes, or None when the key is missing."""
        return self._read(key, read_bytes_limit, "a size of a file such as '2 MB' or '800 kB'")

    def sizes(self, key: str) -> tuple[Size, ...]:
        """Return a list of sizes; none when the key is missing."""
        expected = 'a list of sizes such as ["8x10 in", "11x14 in"]'
        texts = self.texts(key)
        try:
            return tuple(_read_sheet(text) for text in texts)
        except ValueError:
            raise self._wrong(key, list(texts), expected) from None

    def parsed(self, key: str, read: Callable[[str], T], expected: str, *, default: T) -> T:
        """Return what ``read`` makes of a text; it raises ``ValueError`` for one that is none."""
        value = self._read(key, read, expected)
        return default if value is None else value

    def date_or_none(self, key: str) -> datetime.date | None:
        """Return a date, or None when the key is missing."""
        value = self._take(key)
        if value is None:
            return None
        if not isinstance(value, datetime.date) or isinstance(value, datetime.datetime):
            raise self._wrong(key, value, "a date such as 2026-03-31, without quotes")
        return value

    def dates(self, key: str) -> tuple[datetime.date, ...]:
        """Return a list of dates; none when the key is missing."""
        value = self._take(key)
        if value is None:
            return ()
        # A moment is a date too in Python, but no day off.
        if not isinstance(value, list) or any(type(v) is not datetime.date for v in value):
            raise self._wrong(key, value, "a list of dates such as [2026-12-25, 2026-12-26]")
        return tuple(value)

    def table(self, key: str) -> "Table":
        """Return the table under ``key``; an empty one when the key is missing."""
        value = self._take(key)
        if value is None:
            value = {}
        if not isinstance(value, dict):
            raise self._wrong(key, value, f"a table, headed [{self._at(key)}]")
        return Table(value, self.file, self._at(key))

    def tables(self, key: str) -> tuple["Table", ...]:
        """Return the list of tables under ``key``; none when the key is missing."""
        value = self._take(key)
        if value is None:
            return ()
        if not isinstance(value, list) or not all(isinstance(v, dict) for v in value):
            raise self._wrong(key, value, f"tables, each headed [[{self._at(key)}]]")
        return tuple(Table(v, self.file, f"{self._at(key)}[{n}]") for n, v in enumerate(value, 1))

    def done(self) -> None:
        """Refuse what nobody asked for, naming the nearest key that is known."""
        for key in self.values:
            if key in self.known:
                continue
            near = difflib.get_close_matches(key, self.known, n=1, cutoff=0.5)
            hint = f"did you mean {near[0]!r}?" if near else "known: " + ", ".join(self.known)
            raise ProfileError(f"{self.file}: {self._at(key)}: unknown key; {hint}")

    def wrong(self, key: str, expected: str) -> ProfileError:
        """Return the error for a key whose value reads well but makes no sense."""
        return self._wrong(key, self.values.get(key), expected)

    def _take(self, key: str) -> object:
        if key not in self.known:
            self.known.append(key)
        return self.values.get(key)

    def _read(self, key: str, read: Callable[[str], T], expected: str) -> T | None:
        value = self._take(key)
        if value is None:
            return None
        try:
            if isinstance(value, str):
                return read(value)
        except ValueError:
            pass
        raise self._wrong(key, value, expected)

    def _at(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key

    def _wrong(self, key: str, value: object, expected: str) -> ProfileError:
        found = "nothing" if value is None else repr(value)
        slips = [k for k in self.values if k not in self.known]
        if value is None and (near := difflib.get_close_matches(key, slips, n=1)):
            found = f"nothing, but an unknown key {near[0]!r}"
        return ProfileError(f"{self.file}: {self._at(key)}: found {found}; expected {expected}")


def _read_sheet(text: str) -> Size:
    """The size of a thing that there is: neither side is nothing."""
    size = read_size(text)
    if not size.shortest:
        raise ValueError(f"{text!r} has no area")
    return size
