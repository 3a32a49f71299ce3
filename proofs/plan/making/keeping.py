"""Which files of an earlier run a run keeps, under which names."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Counts:
    """The number of files that a run made, kept, and kept under another name."""

    made: int = 0
    kept: int = 0
    renamed: int = 0


@dataclass(frozen=True, slots=True)
class Keeping:
    """The files that need not be made: those in place, and those that have another name.

    ``renamed`` and ``copied`` give the earlier name by the new one. A file is copied if it is also
    wanted under a name that it has.
    """

    in_place: frozenset[str] = frozenset()
    renamed: Mapping[str, str] = field(default_factory=dict)
    copied: Mapping[str, str] = field(default_factory=dict)

    @property
    def names(self) -> frozenset[str]:
        """The names of all files that need not be made."""
        return self.in_place.union(self.renamed, self.copied)


def counts_of(before: Mapping[str, str], after: Mapping[str, str]) -> Counts:
    """Return the counts of a run from the digests of all files before and after it, by name.

    >>> counts_of({"a": "1", "b": "2"}, {"a": "1", "c": "2", "d": "3"})
    Counts(made=1, kept=1, renamed=1)
    """
    keeps = keeping(after, before)
    kept, renamed = len(keeps.in_place), len(keeps.renamed)
    return Counts(len(after) - kept - renamed, kept, renamed)


def keeping(wanted: Mapping[str, str], there: Mapping[str, str]) -> Keeping:
    """Return what to keep of the files that are there; both give recipe keys by name.

    A blank key is like no other.

    >>> keeping({"b.jpg": "1", "c.jpg": "2"}, {"a.jpg": "1", "c.jpg": "3"}).renamed
    {'b.jpg': 'a.jpg'}
    """
    in_place = {name for name, key in wanted.items() if key and there.get(name) == key}
    having: dict[str, list[str]] = {}
    for name in sorted(there):
        having.setdefault(there[name], []).append(name)
    renamed: dict[str, str] = {}
    copied: dict[str, str] = {}
    for name in sorted(wanted.keys() - in_place):
        key = wanted[name]
        earlier = having.get(key, []) if key else []
        free = [n for n in earlier if n not in in_place and n not in renamed.values()]
        if free:
            renamed[name] = free[0]
        elif earlier:
            copied[name] = earlier[0]
    return Keeping(frozenset(in_place), renamed, copied)
