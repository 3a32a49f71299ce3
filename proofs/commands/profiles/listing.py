"""All profiles, and where each comes from."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from proofs.errors import ProfileError
from proofs.outside.files import is_there
from proofs.outside.profiles import Origin, ProfileFolders, read_profile

_LEAST_WIDE = 24  # so that the columns of most kinds line up with each other


@dataclass(frozen=True, slots=True)
class Listed:
    """A profile in a list, with its title or what there is to say instead."""

    name: str
    origin: Origin
    words: str
    is_faulty: bool = False


def listed(folders: ProfileFolders, kind: str) -> Iterator[Listed]:
    """Yield the profiles of a kind by name; one that another hides follows that one."""
    for name in folders.names(kind):
        there = [(o, folder / kind / f"{name}.toml") for o, folder in folders.origins]
        (origin, path), *hidden = [(origin, path) for origin, path in there if is_there(path)]
        try:
            yield Listed(name, origin, read_profile(kind, path).title)
        except ProfileError:
            words = f"cannot be used: see 'proofs profiles check {path}'"
            yield Listed(name, origin, words, is_faulty=True)
        for other, _ in hidden:
            yield Listed(name, other, f"not used, because the one that is {origin} comes first")


def list_lines(profiles: Iterable[Listed]) -> list[str]:
    """Return a line for each profile: its name, origin and title, in columns.

    >>> list_lines([Listed("hand", Origin.OURS, "Hand-held mat cutter")])
    ['  hand                      ours   Hand-held mat cutter']
    """
    rows = list(profiles)
    wide = max([_LEAST_WIDE, *(len(row.name) for row in rows)])
    return [f"  {row.name:<{wide}}  {row.origin:<5}  {row.words}" for row in rows]


def origin_lines(folders: ProfileFolders) -> list[str]:
    """Return a line for each folder of the user's own profiles that is searched."""
    own = [(origin, path) for origin, path in folders.origins if origin != Origin.OURS]
    return [f"{origin:<5}  {path}" for origin, path in own]
