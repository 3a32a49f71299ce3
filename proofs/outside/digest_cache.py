"""Digests of files that have not changed, kept from one run to the next.

The cache is only a help: it may be deleted at any time, and where it cannot be written every file
is read. It is in the user's own folder for such things, because a folder of pictures may be
read-only, or shared by several machines, whose clocks and numbers of files differ.

A digest counts while length, number and times of the file are as they were. The time of the last
change of its status cannot be set by anyone, so a program that puts back the time of the last
change of its content is seen too. Two changes within the grain of the clock look like one: unless
a file has been left alone for that long when it is noted, it is read again.
"""

import contextlib
import json
import os
import stat
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.files import sha256_of, sha256_of_bytes, write_whole

_SCHEMA = 1
_GRAIN_NS = 2_000_000_000  # of the FAT file systems of memory cards; all others are finer
_MOST_BYTES = 100_000_000
_UNUSED_DAYS = 180


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
    file = _cache_file(folder)
    cache = DigestCache({} if again or file is None else _read(file))
    try:
        yield cache
    finally:
        if file is not None:
            _write(file, cache.settled())


def cache_folder() -> Path | None:
    """Return the user's folder for what programs may lose, or None if there is none.

    Source: XDG Base Directory Specification 0.8 (from memory); Apple's and Microsoft's own
    places for caches, from memory too.
    """
    named = os.environ.get("XDG_CACHE_HOME", "")
    if named and Path(named).is_absolute():
        return Path(named) / "proofs"
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA", "")
        return Path(local) / "proofs" / "cache" if local else None
    try:
        home = Path.home()
    except RuntimeError:
        return None
    above = home / "Library" / "Caches" if sys.platform == "darwin" else home / ".cache"
    return above / "proofs" if home.is_dir() else None


def _cache_file(folder: Path) -> Path | None:
    above = cache_folder()
    try:
        digest = sha256_of_bytes(os.fsencode(folder.resolve()))
    except (OSError, RuntimeError, ValueError):
        return None
    return above / "digests" / f"{digest[:32]}.json" if above else None


def _name(path: Path) -> str:
    return os.path.abspath(path)


def _read(file: Path) -> dict[str, tuple[FileState, str]]:
    """What a cache file holds; nothing if it is missing or no longer makes sense."""
    try:
        if file.stat().st_size > _MOST_BYTES:
            return {}
        content = json.loads(file.read_bytes())
        if content["schema"] != _SCHEMA:
            return {}
        os.utime(file)  # it is in use
        return {
            str(name): (FileState(*map(int, numbers)), str(sha256))
            for name, (*numbers, sha256) in content["files"].items()
        }
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}


def _write(file: Path, files: dict[str, tuple[FileState, str]]) -> None:
    rows = {
        name: [s.size, s.changed, s.status_changed, s.inode, s.noted, sha256]
        for name, (s, sha256) in sorted(files.items())
    }
    content = json.dumps({"schema": _SCHEMA, "files": rows}, ensure_ascii=True).encode()
    with contextlib.suppress(OSError, WriteError):
        if rows and (not file.exists() or file.read_bytes() != content):
            write_whole(file, content)
            _sweep(file.parent)


def _sweep(folder: Path) -> None:
    """Remove the caches of folders that nobody has used for half a year."""
    before = time.time() - _UNUSED_DAYS * 86_400
    with os.scandir(folder) as items:
        for item in items:
            if item.is_file(follow_symlinks=False) and item.stat().st_mtime < before:
                Path(item.path).unlink(missing_ok=True)
