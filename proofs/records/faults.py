"""The faults of a TOML file, noted key by key until all of them are known.

A reader that notes faults goes on after each with something harmless in place of the value. What
it says afterwards may only be true of that, so it is left out here.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

_MOST_SHOWN = 500
_PLACE = re.compile(r"\[\d+\]\Z")


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong with the key at ``path``, such as ``window.overlap`` or ``border[2].least``."""

    path: str
    words: str

    def __str__(self) -> str:
        return f"{self.path}: {self.words}"


@dataclass(slots=True)
class FaultNotes:
    """The faults of one file, as its reader finds them.

    ``unread`` are keys without a value that can be used, with the words for each. A clash comes
    with the paths of all keys that it rests on. ``misspelt`` are keys that are missing, but for
    which an unknown key seems to be meant.
    """

    unread: dict[str, str] = field(default_factory=dict)
    clashes: list[tuple[Fault, tuple[str, ...]]] = field(default_factory=list)
    unknown: list[Fault] = field(default_factory=list)
    misspelt: set[str] = field(default_factory=set)

    def all(self) -> tuple[Fault, ...]:
        """Return each fault once, without those that only follow from another."""
        doubtful = self.unread.keys() | self.misspelt
        faults = [
            Fault(path, words)
            for path, words in self.unread.items()
            if path not in self.misspelt and not doubtful & set(_above(path))
        ]
        for clash, keys in self.clashes:
            rests_on = {path for key in (clash.path, *keys) for path in (key, *_above(key))}
            faults += [] if doubtful & rests_on else [clash]
        return tuple(dict.fromkeys([*faults, *self.unknown]))


def _above(path: str) -> Iterator[str]:
    """The paths of all tables that a path goes through, the nearest first."""
    while path := outer(path):
        yield path


def outer(path: str) -> str:
    """Return the path of the table or list that holds this one, blank at the top.

    >>> outer("border[2].least"), outer("border[2]"), outer("border")
    ('border[2]', 'border', '')
    """
    if _PLACE.search(path):
        return _PLACE.sub("", path)
    return path.rpartition(".")[0]


def shown_value(value: object) -> str:
    """Return a value as it is quoted: only the start of a very long one."""
    try:
        shown = repr(value)
    except ValueError:  # Python writes at most 4300 digits
        return "a number of thousands of digits"
    return shown if len(shown) <= _MOST_SHOWN else f"{shown[:_MOST_SHOWN]} ..."
