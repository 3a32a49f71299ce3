"""Digests of files that have not changed, kept from one run to the next.

A digest counts while length, number and times of the file are as they were. The time of the last
change of its status cannot be set by anyone, so a program that puts back the time of the last
change of its content is seen too. Two changes within the grain of the clock look like one: unless
a file has been left alone for that long when it is noted, it is read again.
"""

import contextlib
import os
import stat
import time
from collections.abc import Iterator, Mapping
from dataclasses import astuple, dataclass, replace
from pathlib import Path
from typing import Any

from proofs.outside.files import sha256_of
from proofs.outside.user_cache import read_cached, write_cached

_KIND = "digests"
_GRAIN_NS = 2_000_000_000  # of the FAT file systems of memory cards; all others are finer


@dataclass(frozen=True, slots=True)
class FileState:
    """Length, number and times of a file, and when that was noted; times are in ns."""

    size: int
    changed: int
    status_changed: int
    inode: int
    noted: int

    @property
    def is_settled(self) -> bool:
        """Whether a change since then cannot look like the one before."""
        return max(self.changed, self.status_changed) + _GRAIN_NS < self.noted

    def is_like(self, other: "FileState | None") -> bool:
        """Return whether both are of the same file, unchanged."""
        return other is not None and replace(other, noted=self.noted) == self


def file_state_of(path: Path) -> FileState | None:
    """Return the state of a file now, or None if it is no plain file that can be looked at."""
    noted = time.time_ns()
    try:
        found = path.stat()
    except (OSError, ValueError):
        return None
    if not stat.S_ISREG(found.st_mode):
        return None
    return FileState(found.st_size, found.st_mtime_ns, found.st_ctime_ns, found.st_ino, noted)


class DigestCache:
    """The digests of the files below one folder."""

    def __init__(self, known: dict[str, tuple[FileState, str]]) -> None:
        self._known = known
        self._seen: dict[str, tuple[FileState, str]] = {}

    def known(self, path: Path) -> str | None:
        """Return the digest of a file if it is known without reading the file, else None."""
        name, state = _name(path), file_state_of(path)
        before, sha256 = self._seen.get(name) or self._known.get(name) or (None, "")
        if state is None or before is None or not before.is_settled or not state.is_like(before):
            return None
        self._seen[name] = before, sha256
        return sha256

    def sha256_of(self, path: Path) -> str:
        """Return the digest of a file. Raises ``WriteError`` if it cannot be read."""
        if known := self.known(path):
            return known
        state = file_state_of(path)
        sha256 = sha256_of(path)
        self.learn(path, state, sha256)
        return sha256

    def learn(self, path: Path, state: FileState | None, sha256: str) -> None:
        """Note the digest that a file had in this state, unless it has changed since."""
        now = file_state_of(path)
        if state is not None and now is not None and state.is_like(now):
            self._seen[_name(path)] = state, sha256

    def forget(self, path: Path) -> None:
        """Forget the digest of a file, so that it is read again."""
        for table in (self._known, self._seen):
            table.pop(_name(path), None)

    def settled(self) -> dict[str, tuple[FileState, str]]:
        """Return what is worth keeping of this run, with files looked at once more.

        A file made in this run had changed just before it was noted. If it still is as it was, a
        look at the end of the run is as good.
        """
        kept = {}
        for name, (state, sha256) in (self._known | self._seen).items():
            is_good = name in self._seen and state.is_settled
            now = state if is_good else file_state_of(Path(name))
            if now is not None and state.is_like(now):
                kept[name] = now, sha256
        return kept


@contextlib.contextmanager
def digest_cache(folder: Path, *, again: bool = False) -> Iterator[DigestCache]:
    """Yield the digests of files in a folder, and keep them for the next run in the end.

    With ``again`` nothing that earlier runs noted counts.
    """
    cache = DigestCache({} if again else _known(read_cached(_KIND, folder)))
    try:
        yield cache
    finally:
        settled = cache.settled().items()
        write_cached(_KIND, folder, {n: [*astuple(s), sha256] for n, (s, sha256) in settled})


def _known(noted: Mapping[str, Any]) -> dict[str, tuple[FileState, str]]:
    """The digests that were noted; none if a note is not as this version writes it."""
    try:
        return {
            name: (FileState(*map(int, numbers)), str(sha256))
            for name, (*numbers, sha256) in noted.items()
        }
    except (ValueError, TypeError):
        return {}


def _name(path: Path) -> str:
    return os.path.abspath(path)
