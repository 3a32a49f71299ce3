"""The folder that a run writes to, and the record of every file that it made there.

A later run replaces only what is still as recorded, moves what it no longer makes to
``old/``, and stops before anything that someone changed.
"""

import json
import os
import shutil
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.files import sha256_of, write_whole

RECORD = "proofs-run.json"
_OLD = "old"
_SPARE = 1.2  # a disk should keep some room beside what is about to be written


@dataclass(frozen=True, slots=True)
class OutputFolder:
    """A folder, and what earlier runs made in it: name to SHA-256, '' while it was being made."""

    path: Path
    made: dict[str, str]


def open_output(path: Path) -> OutputFolder:
    """Return a folder to write to: new, empty, or with the record of an earlier run.

    Raises ``WriteError`` where it holds other things, or where a file that a run made has been
    changed since.
    """
    if path.exists() and not path.is_dir():
        raise WriteError(f"{path}: is a file; name a folder for --out")
    record = path / RECORD
    if record.is_file():
        made = _read_record(record)
        _refuse_changed(path, made)
        return OutputFolder(path, made)
    if path.is_dir() and any(path.iterdir()):
        raise WriteError(
            f"{path}: holds files that this program did not make; name a new or empty folder"
        )
    return OutputFolder(path, {})


def refuse_others(folder: OutputFolder, own: str) -> None:
    """Raise ``WriteError`` where another command made what is in the folder.

    ``own`` is a file that every run of this command writes. A run puts away what it no longer
    makes, and must not do so with another command's files.
    """
    if folder.made and own not in folder.made:
        raise WriteError(
            f"{folder.path}: holds what another command made; name another folder for --out"
        )


def begin(folder: OutputFolder, names: Collection[str]) -> None:
    """Make ready for a run that will write these names; put what is no longer made in ``old/``.

    Raises ``WriteError``, before anything is moved, where a name stands on a file that no run
    made.
    """
    for name in names:
        target = folder.path / name
        if os.path.lexists(target) and (name not in folder.made or target.is_symlink()):
            raise WriteError(f"{target}: was not made by this program and is left as it is")
    for name in sorted(set(folder.made) - set(names)):
        _put_away(folder, name)
    write_record(folder, {name: folder.made.get(name, "") for name in names})


def write_record(folder: OutputFolder, made: dict[str, str]) -> None:
    """Write down every file that runs made in the folder, with its SHA-256."""
    content = {"schema": 1, "files": dict(sorted(made.items()))}
    text = json.dumps(content, indent=1, ensure_ascii=False) + "\n"
    write_whole(folder.path / RECORD, text.encode())


def refuse_full_disk(path: Path, needed: int) -> None:
    """Raise ``WriteError`` unless the disk has 1.2 times the bytes that will be written."""
    place = path
    while not place.exists():
        place = place.parent
    free = shutil.disk_usage(place).free
    if free < needed * _SPARE:
        raise WriteError(
            f"{place}: {free / 1e6:.0f} MB are free, but {needed * _SPARE / 1e6:.0f} MB are"
            " wanted; make room or name another --out"
        )


def refuse_inputs(folder: OutputFolder, inputs: Iterable[Path]) -> None:
    """Raise ``WriteError`` where the output folder is, or lies over, a picture's own folder.

    A picture may stand in the folder above, never where a run writes.
    """
    own = folder.path.resolve()
    for source in inputs:
        if source.resolve().is_relative_to(own):
            raise WriteError(f"{folder.path}: holds the picture {source.name}; name another --out")


def _read_record(record: Path) -> dict[str, str]:
    try:
        files = json.loads(record.read_bytes())["files"]
        made = {str(name): str(digest) for name, digest in files.items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        raise WriteError(f"{record}: is damaged; name a new folder for --out") from None
    for name in made:
        parts = Path(name).parts
        if Path(name).is_absolute() or ".." in parts or not parts:
            raise WriteError(f"{record}: names {name!r}, outside its folder; name a new --out")
    return made


def _refuse_changed(path: Path, made: dict[str, str]) -> None:
    for name, digest in made.items():
        target = path / name
        if not target.is_file() or not digest:
            continue
        if sha256_of(target) != digest:
            raise WriteError(
                f"{target}: was changed since it was made; move it away, or name another --out"
            )


def _put_away(folder: OutputFolder, name: str) -> None:
    source = folder.path / name
    if not source.is_file():
        return
    target, count = folder.path / _OLD / name, 1
    while target.exists():
        count += 1
        target = folder.path / _OLD / f"{Path(name).with_suffix('')}-{count}{source.suffix}"
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        os.replace(source, target)
    except OSError as fault:
        raise WriteError(f"{source}: cannot be moved to {target}: {fault.strerror}") from fault
