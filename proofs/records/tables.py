"""Reading a TOML table key by key, so that every error names the key.

The reader of a profile takes the keys it knows; ``refuse_unknown`` then rejects all others. Every
reader raises ``ProfileError`` with the key, what was found and what is expected. A table with
``notes`` raises nothing: it notes each fault, and goes on with a harmless value of the same type.
"""

import datetime
import difflib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from proofs.errors import ProfileError
from proofs.lengths import ZERO, Length, Size, inches, millimetres
from proofs.measures import read_area, read_bytes_limit, read_length, read_size
from proofs.records.faults import Fault, FaultNotes, shown_value

T = TypeVar("T")
C = TypeVar("C", bound=str)

_LENGTH = "a length such as '10 1/8 in' or '25 mm'"
_MOST = 1_000_000  # of anything counted, where a key has no smaller limit of its own
LONGEST = millimetres(20_000)
"""The longest length in a profile: rolls of paper are 20 m long at most (common practice)."""
LONGEST_BOARD = inches(60)  # no larger board is sold in common sizes (common practice, no source)
_SIZE = "a size such as '16x20 in' or '400x500 mm'"
_HARMLESS = Size(inches(10), inches(10))  # in place of a size that cannot be read


@dataclass(frozen=True, slots=True)
class Profile:
    """What every profile states: its name, what it is, and where its figures come from."""

    name: str
    title: str
    source: str


@dataclass(slots=True)
class Table:
    """One TOML table; ``file`` and ``path`` locate it in messages.

    ``known`` holds the keys taken so far, ``parts`` the tables taken from it. ``notes`` is None if
    the first fault is to be raised.
    """

    values: Mapping[str, object]
    file: str
    path: str = ""
    known: list[str] = field(default_factory=list)
    parts: dict[str, "Table"] = field(default_factory=dict)
    notes: FaultNotes | None = None

    def heading(self, name: str) -> tuple[str, str, str]:
        """Return the fields of a ``Profile`` of this name, in their order."""
        return name, self.text("title"), self.text("source")

    def text(self, key: str, *, default: str | None = None) -> str:
        """Return a text; without ``default`` the key is required and must not be blank."""
        value = self._take(key)
        if value is None and default is not None:
            return default
        if not isinstance(value, str) or not (value.strip() or default is not None):
            return self._refused(key, "text in quotes", default or "")
        return value.strip()

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of texts, empty if the key is missing."""
        value = self._take(key, [])
        if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
            return self._refused(key, 'a list of texts such as ["white", "black"]', ())
        return tuple(value)

    def choice(self, key: str, choices: Iterable[C], *, default: C | None = None) -> C:
        """Return one of ``choices``, such as the members of a ``StrEnum``."""
        value = self._take(key)
        if value is None and default is not None:
            return default
        known = {str(choice): choice for choice in choices}
        text = value if isinstance(value, str) else ""
        if text in known:
            return known[text]
        near = difflib.get_close_matches(text, known, n=1)
        hint = f"; did you mean {near[0]!r}?" if near else ""
        expected = f"one of {', '.join(map(repr, known))}{hint}"
        return self._refused(key, expected, next(iter(known.values())))

    def choices(self, key: str, choices: Iterable[C]) -> tuple[C, ...]:
        """Return a list of some of ``choices``, empty if the key is missing."""
        known = {str(choice): choice for choice in choices}
        texts = self.texts(key)
        if not known.keys() >= set(texts):
            return self._refused(key, f"a list of some of {', '.join(map(repr, known))}", ())
        return tuple(known[text] for text in texts)

    def choice_or_none(self, key: str, choices: Iterable[C]) -> C | None:
        """Return one of ``choices``, or None if the key is missing."""
        return None if self._take(key) is None else self.choice(key, choices)

    def boolean(self, key: str, *, default: bool) -> bool:
        """Return true or false."""
        value = self._take(key, default)
        if not isinstance(value, bool):
            return self._refused(key, "true or false", default)
        return value

    def count(
        self, key: str, *, least: int = 1, most: int = _MOST, default: int | None = None
    ) -> int:
        """Return a whole number from ``least`` to ``most``; required without ``default``."""
        value = self.count_or_none(key, least=least, most=most)
        return self._or(default, value, key, _count_of(least, most), least)

    def count_or_none(self, key: str, *, least: int = 1, most: int = _MOST) -> int | None:
        """Return a whole number from ``least`` to ``most``, or None if the key is missing."""
        value = self._take(key)
        if value is None:
            return None
        if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
            return self._refused(key, _count_of(least, most), None)
        return value

    def number(self, key: str, *, least: float, most: float, default: float | None = None) -> float:
        """Return a number from ``least`` to ``most``; without ``default`` the key is required."""
        number = self.number_or_none(key, least=least, most=most)
        return self._or(default, number, key, f"a number from {least:g} to {most:g}", least)

    def number_or_none(self, key: str, *, least: float, most: float) -> float | None:
        """Return a number from ``least`` to ``most``, or None if the key is missing."""
        value = self._take(key)
        if value is None:
            return None
        if (
            not isinstance(value, int | float)
            or isinstance(value, bool)
            or not least <= value <= most
        ):
            return self._refused(key, f"a number from {least:g} to {most:g}", None)
        return float(value)

    def length(self, key: str, *, default: Length | None = None) -> Length:
        """Return a length of 0 or more; without ``default`` the key is required."""
        return self._or(default, self.length_or_none(key), key, _LENGTH, ZERO)

    def length_or_none(self, key: str) -> Length | None:
        """Return a length of 0 or more, or None if the key is missing."""
        return self._read(key, _read_length, _LENGTH)

    def size(self, key: str) -> Size:
        """Return a size; the key is required."""
        return self._or(None, self.size_or_none(key), key, _SIZE, _HARMLESS)

    def size_or_none(self, key: str, *, most: Length = LONGEST) -> Size | None:
        """Return a size with sides of at most ``most``, or None if the key is missing."""
        size = self._read(key, _read_sheet, _SIZE)
        if size and size.longest > most:
            return self._refused(key, f"sides of at most {most}", None)
        return size

    def area_or_none(self, key: str) -> int | None:
        """Return an area in square nanometres, or None if the key is missing."""
        return self._read(key, read_area, "an area such as '80 sq in' or '500 sq cm'")

    def bytes_or_none(self, key: str) -> int | None:
        """Return a file size in bytes, or None if the key is missing."""
        return self._read(key, read_bytes_limit, "a file size such as '2 MB' or '800 kB'")

    def sizes(self, key: str) -> tuple[Size, ...]:
        """Return a list of sizes, empty if the key is missing."""
        texts = self.texts(key)
        try:
            return tuple(_read_sheet(text) for text in texts)
        except ValueError:
            return self._refused(key, 'a list of sizes such as ["8x10 in", "11x14 in"]', ())

    def parsed(self, key: str, read: Callable[[str], T], expected: str, *, default: T) -> T:
        """Return what ``read`` makes of a text, ``default`` if the key is missing.

        ``read`` raises ``ValueError`` for a text that is not ``expected``.
        """
        value = self._read(key, read, expected)
        return default if value is None else value

    def date_or_none(self, key: str) -> datetime.date | None:
        """Return a date, or None if the key is missing."""
        value = self._take(key)
        if value is None:
            return None
        if not isinstance(value, datetime.date) or isinstance(value, datetime.datetime):
            return self._refused(key, "a date such as 2026-03-31, without quotes", None)
        return value

    def dates(self, key: str) -> tuple[datetime.date, ...]:
        """Return a list of dates, empty if the key is missing."""
        value = self._take(key, [])
        # In Python a datetime is a date too, but it is not a day off.
        if not isinstance(value, list) or any(type(v) is not datetime.date for v in value):
            return self._refused(key, "a list of dates such as [2026-12-25, 2026-12-26]", ())
        return tuple(value)

    def table(self, key: str) -> "Table":
        """Return the table under ``key``, empty if the key is missing."""
        value = self._take(key, {})
        if not isinstance(value, dict):
            value = self._refused(key, f"a table under the heading [{self.at(key)}]", {})
        return self._part(key, value)

    def tables(self, key: str) -> tuple["Table", ...]:
        """Return the list of tables under ``key``, empty if the key is missing."""
        value = self._take(key, [])
        if not isinstance(value, list) or not all(isinstance(v, dict) for v in value):
            return self._refused(key, f"tables, each under the heading [[{self.at(key)}]]", ())
        return tuple(self._part(f"{key}[{n}]", v) for n, v in enumerate(value, 1))

    def every_text(self) -> dict[str, str]:
        """Return all keys of a table whose keys are the user's own words, each with its text."""
        return {key: self.text(key) for key in self.values}

    def refuse_unknown(self) -> None:
        """Raise ``ProfileError`` for a key that was not taken, with the nearest known key.

        The same goes for the keys of every table taken from this one.
        """
        for part in self.parts.values():
            part.refuse_unknown()
        for key in self.values:
            if key in self.known:
                continue
            near = difflib.get_close_matches(key, self.known, n=1, cutoff=0.5)
            hint = f"did you mean {near[0]!r}?" if near else "known: " + ", ".join(self.known)
            fault = Fault(self.at(key), f"unknown key; {hint}")
            if self.notes is None:
                raise ProfileError(f"{self.file}: {fault}")
            self.notes.unknown.append(fault)
            self.notes.misspelt |= {self.at(n) for n in near if n not in self.values}

    def refuse(self, key: str, expected: str, *, rests_on: Iterable[str] = ()) -> None:
        """Raise ``ProfileError`` for a value that does not go with others.

        ``rests_on`` are the paths of those others. While faults are noted, it is no fault if one
        of them has no value that can be used.
        """
        self.refuse_saying(key, self._words(key, expected), rests_on=rests_on)

    def refuse_saying(self, key: str, words: str, *, rests_on: Iterable[str] = ()) -> None:
        """Do the same as ``refuse``, in words that state by themselves what is wrong."""
        fault = Fault(self.at(key), words)
        if self.notes is None:
            raise ProfileError(f"{self.file}: {fault}")
        self.notes.clashes.append((fault, tuple(rests_on)))

    def at(self, key: str) -> str:
        """Return the path of a key from the top of the file."""
        return f"{self.path}.{key}" if self.path else key

    def wrong(self, key: str, expected: str) -> ProfileError:
        """Return the error for the value of a key: where it is, what was found and expected."""
        return ProfileError(f"{self.file}: {self.at(key)}: {self._words(key, expected)}")

    def _words(self, key: str, expected: str) -> str:
        value = self.values.get(key)
        found = "nothing" if value is None else shown_value(value)
        unknown = [k for k in self.values if k not in self.known]
        if value is None and (near := difflib.get_close_matches(key, unknown, n=1)):
            found = f"nothing, but an unknown key {near[0]!r}"
        return f"found {found}; expected {expected}"

    def _refused(self, key: str, expected: str, instead: T) -> T:
        """Raise the error for a value that cannot be used, or note it and return another."""
        if self.notes is None:
            raise self.wrong(key, expected)
        self.notes.unread.setdefault(self.at(key), self._words(key, expected))
        return instead

    def _take(self, key: str, instead: object = None) -> object:
        if key not in self.known:
            self.known.append(key)
        return self.values.get(key, instead)

    def _part(self, key: str, values: Mapping[str, object]) -> "Table":
        part = type(self)(values, self.file, self.at(key), notes=self.notes)
        return self.parts.setdefault(key, part)

    def _read(self, key: str, read: Callable[[str], T], expected: str) -> T | None:
        value = self._take(key)
        if value is None:
            return None
        try:
            if isinstance(value, str):
                return read(value)
        except ValueError:
            pass
        return self._refused(key, expected, None)

    def _or(self, default: T | None, value: T | None, key: str, expected: str, harmless: T) -> T:
        """The value, or the default, or else the fault of a missing key."""
        value = default if value is None else value
        return self._refused(key, expected, harmless) if value is None else value


def _count_of(least: int, most: int) -> str:
    if most == _MOST:
        return f"a whole number of at least {least}"
    return f"a whole number from {least} to {most}"


def _read_length(text: str) -> Length:
    length = read_length(text)
    if length > LONGEST:
        raise ValueError(f"{text!r} is longer than {LONGEST}")
    return length


def _read_sheet(text: str) -> Size:
    """A size with neither side 0, nor longer than any sheet."""
    size = read_size(text)
    if not size.shortest or size.longest > LONGEST:
        raise ValueError(f"{text!r} is no size of a sheet")
    return size
