"""What earlier runs left in a folder, and whether another run may use it."""

import os
import shutil
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.digest_cache import DigestCache
from proofs.outside.files import is_file, is_folder, is_there
from proofs.outside.run_record import RECORD, RunRecord, read_run_record

PARTS = ".proofs-parts"
OLD = "old"
_SPARE = 1.2  # a disk should keep some room after the run


@dataclass(frozen=True, slots=True)
class EarlierRuns:
    """The files that earlier runs left in a folder, each as they made it.

    ``files`` holds the digests that each file may have, as in ``RunRecord``, also of files that
    are gone. ``found`` has the digest of each file that is there. ``keys`` are the recipe keys of
    those that a run may keep, ``results`` the figures noted with them.
    """

    files: Mapping[str, Mapping[str, str]]
    found: Mapping[str, str]
    keys: Mapping[str, str]
    results: Mapping[str, object]


def earlier_runs(
    path: Path, own: str, sources: Iterable[Path], digests: DigestCache, *, again: bool
) -> EarlierRuns:
    """Return what earlier runs left in a folder; with ``again`` nothing of it may be kept.

    Raises ``WriteError`` if the folder is another command's or somebody else's, if a file has been
    changed, or if one of the pictures is in it.
    """
    record = _record_of(path)
    if record.files and own not in record.files and own != record.own:
        raise WriteError(f"{path}: holds what another command made; name another folder for --out")
    found = {}
    for name, known in record.files.items():
        if is_file(path / name, error=WriteError):
            found[name] = unchanged(path / name, known, digests)
    refuse_inputs(path, sources)
    keys = {name: record.files[name].get(sha256, "") for name, sha256 in found.items()}
    kept = {} if again else {name: key for name, key in keys.items() if key}
    return EarlierRuns(record.files, found, kept, record.results if kept else {})


def refuse_names(path: Path, names: Collection[str], known: Collection[str]) -> None:
    """Raise ``WriteError`` if a file that a run will write is there, and no run made it."""
    for name in names:
        target = path / name
        if os.path.lexists(target) and (name not in known or target.is_symlink()):
            raise WriteError(f"{target}: was not made by this program and is left as it is")
    wanted = {str(parent) for name in names for parent in Path(name).parents} - {"."}
    for folder in sorted({PARTS, OLD} | wanted):
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


def unchanged(target: Path, known: Mapping[str, str] | None, digests: DigestCache) -> str:
    """Return the digest of a file that a run made.

    ``known`` holds the digests that it may have, None if no run made it. Raises ``WriteError`` if
    it is any other file.
    """
    if known is None or target.is_symlink() or not is_file(target, error=WriteError):
        raise WriteError(f"{target}: was not made by this program and is left as it is")
    sha256 = digests.sha256_of(target)
    if "" not in known and sha256 not in known:
        raise WriteError(
            f"{target}: was changed since it was made; move it away, or name another --out"
        )
    return sha256


def put_away(path: Path, name: str) -> None:
    """Move a file of a folder to its subfolder ``old``, where it replaces nothing."""
    source = path / name
    if not source.is_file():
        return
    target, count = path / OLD / name, 1
    while target.exists():
        count += 1
        target = path / OLD / f"{Path(name).with_suffix('')}-{count}{source.suffix}"
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        os.replace(source, target)
    except OSError as fault:
        raise WriteError(f"{source}: cannot be moved to {target}: {fault.strerror}") from fault


def _record_of(path: Path) -> RunRecord:
    """The record of a folder; an empty one if the folder is new or empty.

    Raises ``WriteError`` if it has no record but holds files.
    """
    if is_there(path) and not is_folder(path, error=WriteError):
        raise WriteError(f"{path}: is not a folder; name one for --out")
    if is_file(path / RECORD, error=WriteError):
        return read_run_record(path)
    try:
        is_empty = not is_there(path) or not any(path.iterdir())
    except OSError as fault:
        raise WriteError(f"{path}: cannot be read: {fault.strerror}; name another --out") from fault
    if not is_empty:
        raise WriteError(
            f"{path}: holds files that this program did not make; name a new or empty folder"
        )
    return RunRecord()
