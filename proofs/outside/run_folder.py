"""The folder that a run writes to, and the record of each file that runs made there.

A later run replaces only files that are still as recorded, moves those that it no longer makes to
``old/``, and stops if somebody has changed one. The digest of a file is on the disk before the file
gets its name, so the next run recognises every file of a run that was killed.
"""

import contextlib
import json
import os
import shutil
from collections.abc import Collection, Iterable, Iterator, Mapping
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.files import (
    append_line,
    is_file,
    is_folder,
    is_there,
    read_bytes,
    sha256_of,
    sha256_of_bytes,
    write_whole,
    writing,
)
from proofs.outside.locks import locked

RECORD = "proofs-run.json"
JOURNAL = "proofs-run.journal"

_OLD = "old"
_SPARE = 1.2  # a disk should keep some room after the run
_SCHEMA = 1

Known = dict[str, set[str]]
"""The SHA-256 digests of each file as runs made it; an empty digest means any content."""


class RunFolder:
    """A folder in use by one run, which puts files into it only with ``write`` and ``place``."""

    PARTS = ".proofs-parts"
    """The subfolder in which workers write; a finished file is moved out of it by a rename."""

    def __init__(self, path: Path, own: str, known: Known, pages: Collection[str] = ()) -> None:
        self.path = path
        self._own = own
        self._known = known
        self._pages = pages
        self._made: dict[str, str] = {}

    @property
    def parts(self) -> Path:
        """The folder in which a worker writes a file under its name, before ``place``."""
        return self.path / self.PARTS

    def write(self, name: str, content: bytes) -> None:
        """Put a file into the folder; raise ``WriteError`` if another file has its name."""
        write_whole(self.parts / name, content)
        self.place({name: sha256_of_bytes(content)})

    def place(self, files: Mapping[str, str]) -> None:
        """Move files that a worker wrote below ``parts`` to their places in the folder.

        ``files`` holds the digest of each by its name. Raises ``WriteError`` if a file is there
        that no run made, or that has been changed.
        """
        lines = [json.dumps(pair, ensure_ascii=False) for pair in files.items()]
        if lines:  # all at once: each wait for the disk costs as much as a small file
            append_line(self.path / JOURNAL, "\n".join(lines))
        for name, sha256 in files.items():
            self._place(name, sha256)

    def _place(self, name: str, sha256: str) -> None:
        target = self.path / name
        if os.path.lexists(target):
            _refuse_foreign(target, self._known.get(name))
        self._known.setdefault(name, set()).add(sha256)
        with writing(target):
            target.parent.mkdir(parents=True, exist_ok=True)
            os.replace(self.parts / name, target)
        self._made[name] = sha256

    def close(self) -> None:
        """Replace the journal by the record of all files that are there."""
        for name in sorted(set(self._pages) - self._made.keys()):
            _put_away(self.path, name)
        there = sorted(name for name in self._known if (self.path / name).is_file())
        files = {name: self._made.get(name) or self._as_found(name) for name in there}
        _write_record(self.path, self._own, files)
        with writing(self.path):
            (self.path / JOURNAL).unlink(missing_ok=True)
        shutil.rmtree(self.parts, ignore_errors=True)

    def _as_found(self, name: str) -> str:
        """The digest to record for a file of an earlier run."""
        known = self._known[name]
        found = sha256_of(self.path / name)
        return found if found in known or "" in known else min(known)


@contextlib.contextmanager
def run_folder(
    path: Path,
    *,
    own: str,
    names: Collection[str],
    sources: Iterable[Path],
    pages: str = "",
    about_bytes: int = 0,
) -> Iterator[RunFolder]:
    """Open the folder of a run that will write these names, and record it in the end.

    ``own`` is a file that every run of this command writes, ``sources`` are the pictures that
    the run reads. ``pages`` is a subfolder whose files are known only once they are made. Files
    that earlier runs made and this one does not are moved to ``old/``. Raises ``WriteError``,
    before anything is written or moved, if the run must not use the folder or the disk has too
    little room.
    """
    with locked(path):
        known = _usable(path, own=own, names=names, sources=sources, about_bytes=about_bytes)
        folder = _begun(path, known, own=own, names=names, pages=pages)
        try:
            yield folder
        finally:
            folder.close()


def _usable(
    path: Path, *, own: str, names: Collection[str], sources: Iterable[Path], about_bytes: int
) -> Known:
    """What earlier runs made in the folder. Raises ``WriteError`` if this run must not use it."""
    known = _known_files(path)
    if known and own not in known and own != _recorded_own(path / RECORD):
        raise WriteError(f"{path}: holds what another command made; name another folder for --out")
    refuse_inputs(path, sources)
    refuse_full_disk(path, about_bytes)
    for name in names:
        target = path / name
        if os.path.lexists(target) and (name not in known or target.is_symlink()):
            raise WriteError(f"{target}: was not made by this program and is left as it is")
    _refuse_in_place_of_folders(path, names)
    return known


def _begun(path: Path, known: Known, *, own: str, names: Collection[str], pages: str) -> RunFolder:
    """The folder, with the files that are no longer made moved to ``old/``."""
    of_pages = {name for name in known if pages and name.startswith(f"{pages}/")}
    stays = of_pages.union(names)
    for name in sorted(set(known) - stays):
        _put_away(path, name)
    shutil.rmtree(path / RunFolder.PARTS, ignore_errors=True)
    kept = {name: known[name] for name in known if name in stays}
    if not (path / JOURNAL).exists():  # after a run cut short, record and journal belong together
        _write_record(path, own, {name: min(digests) for name, digests in kept.items()})
    return RunFolder(path, own, kept, of_pages)


def _refuse_in_place_of_folders(path: Path, names: Iterable[str]) -> None:
    """Raise ``WriteError`` if something else has the name of a folder of the run."""
    wanted = {str(parent) for name in names for parent in Path(name).parents} - {"."}
    for folder in sorted({RunFolder.PARTS, _OLD} | wanted):
        place = path / folder
        if is_there(place) and not is_folder(place, error=WriteError):
            raise WriteError(f"{place}: is not a folder; move it away, or name another --out")


def has_room(path: Path, needed: int) -> bool:
    """Return whether the disk of a path has 1.2 times these bytes."""
    return _disk_of(path)[1] >= needed * _SPARE


def _disk_of(path: Path) -> tuple[Path, int]:
    """The last folder on the way to a path that is there, and the bytes that are free in it."""
    place = path.absolute()
    while not place.exists():
        place = place.parent
    return place, shutil.disk_usage(place).free


def refuse_full_disk(path: Path, needed: int) -> None:
    """Raise ``WriteError`` unless the disk has 1.2 times the bytes that will be written."""
    if not has_room(path, needed):
        place, free = _disk_of(path)
        raise WriteError(
            f"{place}: {free / 1e6:.0f} MB are free, but {needed * _SPARE / 1e6:.0f} MB are"
            " needed; make room or name another --out"
        )


def refuse_inputs(path: Path, sources: Iterable[Path]) -> None:
    """Raise ``WriteError`` if a picture is in the folder that the run writes to.

    A picture may be in a folder above it.
    """
    own = path.resolve()
    for source in sources:
        if source.resolve().is_relative_to(own):
            raise WriteError(f"{path}: holds the picture {source.name}; name another --out")


def _known_files(path: Path) -> Known:
    """The files that runs made in a folder: none if it is new or empty, else those of its record.

    Raises ``WriteError`` if it has no record but holds files, or if a file has been changed.
    """
    if is_there(path) and not is_folder(path, error=WriteError):
        raise WriteError(f"{path}: is not a folder; name one for --out")
    if not is_file(path / RECORD, error=WriteError):
        try:
            is_empty = not is_there(path) or not any(path.iterdir())
        except OSError as fault:
            raise WriteError(
                f"{path}: cannot be read: {fault.strerror}; name another --out"
            ) from fault
        if not is_empty:
            raise WriteError(
                f"{path}: holds files that this program did not make; name a new or empty folder"
            )
        return {}
    known = _read_record(path / RECORD)
    for name, sha256 in _read_journal(path / JOURNAL):
        known.setdefault(name, set()).add(sha256)
    for name, digests in known.items():
        if is_file(path / name, error=WriteError):
            _refuse_foreign(path / name, digests)
    return known


def _read_record(record: Path) -> Known:
    try:
        files = json.loads(record.read_bytes())["files"]
        known = {str(name): {str(digest)} for name, digest in files.items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise WriteError(f"{record}: is damaged; name a new folder for --out") from None
    for name in known:
        _refuse_senseless(record, name)
    return known


def _refuse_senseless(record: Path, name: str) -> None:
    """Raise ``WriteError`` for a name that no run can have recorded."""
    try:
        (record.parent / name).is_file()
    except OSError:  # a name that is too long for the system
        raise WriteError(f"{record}: is damaged; name a new folder for --out") from None
    parts = Path(name).parts
    if Path(name).is_absolute() or ".." in parts or not parts or "\0" in name:
        raise WriteError(f"{record}: names {name!r}, outside its folder; name a new --out")


def _read_journal(journal: Path) -> Iterator[tuple[str, str]]:
    """Each file of a run that was cut short; its last line may be half written."""
    if not is_there(journal):
        return
    for line in read_bytes(journal, error=WriteError).splitlines():
        try:
            name, sha256 = json.loads(line)
        except (ValueError, TypeError, RecursionError):
            return
        _refuse_senseless(journal, str(name))
        yield str(name), str(sha256)


def _recorded_own(record: Path) -> str:
    """The file that identifies the command of the last run, even if it was not made; or blank."""
    try:
        return str(json.loads(record.read_bytes())["own"])
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return ""  # no run yet, or one of an earlier version


def _write_record(path: Path, own: str, files: dict[str, str]) -> None:
    content = {"schema": _SCHEMA, "own": own, "files": dict(sorted(files.items()))}
    text = json.dumps(content, indent=1, ensure_ascii=False) + "\n"
    write_whole(path / RECORD, text.encode("utf-8", "backslashreplace"))


def _refuse_foreign(target: Path, digests: set[str] | None) -> None:
    """Raise ``WriteError`` unless a file is as a run made it."""
    if digests is None or target.is_symlink() or not is_file(target, error=WriteError):
        raise WriteError(f"{target}: was not made by this program and is left as it is")
    if "" not in digests and sha256_of(target) not in digests:
        raise WriteError(
            f"{target}: was changed since it was made; move it away, or name another --out"
        )


def _put_away(path: Path, name: str) -> None:
    source = path / name
    if not source.is_file():
        return
    target, count = path / _OLD / name, 1
    while target.exists():
        count += 1
        target = path / _OLD / f"{Path(name).with_suffix('')}-{count}{source.suffix}"
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        os.replace(source, target)
    except OSError as fault:
        raise WriteError(f"{source}: cannot be moved to {target}: {fault.strerror}") from fault
