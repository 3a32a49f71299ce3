"""Which files of an earlier run a run keeps, under which names."""

from collections.abc import Mapping
from dataclasses import dataclass, field


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
