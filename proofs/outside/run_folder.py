"""The folder that a run writes to, and the record of each file that runs made there.

A later run replaces only what is still as recorded, moves what it no longer makes to
``old/``, and stops before anything that someone changed. The digest of a file is on the disk
before the file takes its name, so a run that is killed leaves nothing that the next one does
not know as its own.
"""

import contextlib
import hashlib
import json
import os
import shutil
from collections.abc import Collection, Iterable, Iterator, Mapping
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.files import append_line, sha256_of, write_whole
from proofs.outside.locks import locked

RECORD = "proofs-run.json"
JOURNAL = "proofs-run.journal"

_OLD = "old"
_SPARE = 1.2  # a disk should keep some room after the run
_SCHEMA = 1

Known = dict[str, set[str]]
"""The SHA-256 digests under which runs made each file; an empty one stands for any content."""


class RunFolder:
    """A folder in use by one run; ``write`` and ``place`` are the only ways into it."""

    PARTS = ".proofs-parts"
    """The folder below in which workers write; a file leaves it whole, by a rename."""

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
        """Put a file into the folder; raise ``WriteError`` if what stands there is not ours."""
        write_whole(self.parts / name, content)
        self.place({name: hashlib.sha256(content).hexdigest()})

    def place(self, files: Mapping[str, str]) -> None:
        """Give files that a worker wrote below ``parts`` their places in the folder.

        ``files`` holds the digest of each by its name. Raises ``WriteError`` where a file stands
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
        try:
            target.parent.mkdir(parents=True, exist_ok=True)
            os.replace(self.parts / name, target)
        except OSError as fault:
            raise WriteError(f"{target}: cannot be written: {fault.strerror}") from fault
        self._made[name] = sha256

    def close(self) -> None:
        """Write the record of all files that are there, in place of the journal."""
        for name in sorted(set(self._pages) - self._made.keys()):
            _put_away(self.path, name)
        there = sorted(name for name in self._known if (self.path / name).is_file())
        files = {name: self._made.get(name) or self._as_found(name) for name in there}
        _write_record(self.path, self._own, files)
        try:
            (self.path / JOURNAL).unlink(missing_ok=True)
        except OSError as fault:
            raise WriteError(f"{self.path}: cannot be written: {fault.strerror}") from fault
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
    the run reads. What earlier runs made and this one does not goes to ``old/``. ``pages`` is a
    folder inside it whose files are known only once they are made. Raises
    ``WriteError``, before anything is written or moved, where the folder is not the run's to
    use or the disk has too little room.
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
    """What earlier runs made in the folder, once nothing speaks against this one."""
    known = _known_files(path)
    if known and own not in known and own != _recorded_own(path / RECORD):
        raise WriteError(f"{path}: holds what another command made; name another folder for --out")
    refuse_inputs(path, sources)
    refuse_full_disk(path, about_bytes)
    for name in names:
        target = path / name
        if os.path.lexists(target) and (name not in known or target.is_symlink()):
            raise WriteError(f"{target}: was not made by this program and is left as it is")
    return known


def _begun(path: Path, known: Known, *, own: str, names: Collection[str], pages: str) -> RunFolder:
    """The folder, with what is no longer made put away."""
    of_pages = {name for name in known if pages and name.startswith(f"{pages}/")}
    stays = of_pages.union(names)
    for name in sorted(set(known) - stays):
        _put_away(path, name)
    shutil.rmtree(path / RunFolder.PARTS, ignore_errors=True)
    kept = {name: known[name] for name in known if name in stays}
    if not (path / JOURNAL).exists():  # else the two of a run cut short belong together
        _write_record(path, own, {name: min(digests) for name, digests in kept.items()})
    return RunFolder(path, own, kept, of_pages)


def refuse_full_disk(path: Path, needed: int) -> None:
    """Raise ``WriteError`` unless the disk has 1.2 times the bytes that will be written."""
    place = path.absolute()
    while not place.exists():
        place = place.parent
    free = shutil.disk_usage(place).free
    if free < needed * _SPARE:
        raise WriteError(
            f"{place}: {free / 1e6:.0f} MB are free, but {needed * _SPARE / 1e6:.0f} MB are"
            " needed; make room or name another --out"
        )


def refuse_inputs(path: Path, sources: Iterable[Path]) -> None:
    """Raise ``WriteError`` where a picture lies in the folder that is to be written to.

    A picture may lie in the folder above.
    """
    own = path.resolve()
    for source in sources:
        if source.resolve().is_relative_to(own):
            raise WriteError(f"{path}: holds the picture {source.name}; name another --out")


def _known_files(path: Path) -> Known:
    """What runs made in a folder that is new, empty, or has the record of an earlier run.

    Raises ``WriteError`` where it holds other things, or where a file has been changed since.
    """
    if path.exists() and not path.is_dir():
        raise WriteError(f"{path}: is a file; name a folder for --out")
    if not (path / RECORD).is_file():
        if path.is_dir() and any(path.iterdir()):
            raise WriteError(
                f"{path}: holds files that this program did not make; name a new or empty folder"
            )
        return {}
    known = _read_record(path / RECORD)
    for name, sha256 in _read_journal(path / JOURNAL):
        known.setdefault(name, set()).add(sha256)
    for name, digests in known.items():
        if (path / name).is_file():
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
    try:
        (record.parent / name).is_file()
    except OSError:  # a name that is too long for the system
        raise WriteError(f"{record}: is damaged; name a new folder for --out") from None
    parts = Path(name).parts
    if Path(name).is_absolute() or ".." in parts or not parts or "\0" in name:
        raise WriteError(f"{record}: names {name!r}, outside its folder; name a new --out")


def _read_journal(journal: Path) -> Iterator[tuple[str, str]]:
    """Each file of a run that was cut short; its last line may be half written."""
    if not journal.is_file():
        return
    for line in journal.read_bytes().splitlines():
        try:
            name, sha256 = json.loads(line)
        except (ValueError, TypeError, RecursionError):
            return
        _refuse_senseless(journal, str(name))
        yield str(name), str(sha256)


def _recorded_own(record: Path) -> str:
    """The file by which the command of the last run is known, though it may not be made yet."""
    try:
        return str(json.loads(record.read_bytes())["own"])
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return ""  # no run yet, or one of an earlier version


def _write_record(path: Path, own: str, files: dict[str, str]) -> None:
    content = {"schema": _SCHEMA, "own": own, "files": dict(sorted(files.items()))}
    text = json.dumps(content, indent=1, ensure_ascii=False) + "\n"
    write_whole(path / RECORD, text.encode())


def _refuse_foreign(target: Path, digests: set[str] | None) -> None:
    """Raise ``WriteError`` unless a file is as a run made it."""
    if digests is None or target.is_symlink() or not target.is_file():
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
