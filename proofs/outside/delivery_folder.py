"""The folder of a delivery: it appears complete or not at all, and replaces only a delivery.

It is written next to its place under a temporary name, and gets its own name last. The next run
removes what a killed run left there.
"""

import contextlib
import json
import os
import shutil
import tempfile
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from proofs.errors import WriteError
from proofs.outside.files import (
    is_folder,
    is_there,
    sha256_of,
    sha256_of_bytes,
    umask,
    writing,
)
from proofs.outside.temporary_folders import temporary_folder_in

RECORD, SUMS = "delivery.json", "SHA256SUMS"
_EARLIER = "before"  # an earlier delivery, moved aside for a moment
_MOST_BYTES_OF_SUMS = 16_000_000
TICKET, TABLE, LIST = "ticket.pdf", "ticket.csv", "order.txt"

Times = Mapping[str, tuple[int, int]]


def refuse_target(path: Path) -> None:
    """Raise ``WriteError`` unless a folder is new, empty, or an earlier delivery as it was made."""
    if path.is_symlink() or (is_there(path) and not is_folder(path, error=WriteError)):
        raise WriteError(f"{path}: is not a folder; name another for --out")
    try:
        if is_there(path) and any(path.iterdir()):
            _refuse_changed(path)
    except OSError as fault:
        raise WriteError(f"{path}: cannot be read: {fault.strerror}; name another --out") from fault


def _refuse_changed(path: Path) -> None:
    if not _is_own(path / RECORD):
        raise WriteError(
            f"{path}: holds files that this program did not make; name a new or empty folder"
        )
    sums = read_sums((path / SUMS).read_bytes()) if (path / SUMS).is_file() else {}
    there = {p.relative_to(path).as_posix() for p in path.rglob("*") if not p.is_dir()}
    for name in sorted(there ^ {*sums, SUMS}):
        what = "was added" if name in there else "is missing"
        raise WriteError(
            f"{path}: the delivery is not as it was made, {name} {what}; name another --out"
        )
    for name, digest in sums.items():
        file = path / name
        if file.is_symlink() or not file.is_file() or sha256_of(file) != digest:
            raise WriteError(
                f"{file}: was changed since it was made; move it away, or name another --out"
            )


@contextlib.contextmanager
def temporary_folder(path: Path) -> Iterator[Path]:
    """Yield a new temporary folder next to ``path``; what is left of it is removed in the end.

    What killed runs left there is removed first; an earlier delivery that they had moved aside
    gets its name back. The caller holds the lock of ``path``.
    """
    with contextlib.ExitStack() as stack:
        with writing(path):
            parent = path.absolute().parent
            parent.mkdir(parents=True, exist_ok=True)
            _bring_back(path)
            folder = stack.enter_context(
                temporary_folder_in(parent, f".{path.name}-", is_alone=True)
            )
        yield folder


def _bring_back(path: Path) -> None:
    """Finish what a run was killed at while it put a delivery in the place of an earlier one."""
    with os.scandir(path.absolute().parent) as items:
        asides = [Path(i.path) for i in items if i.name.startswith(f".{path.name}-")]
    for aside in asides:
        earlier = aside / _EARLIER
        if aside.is_symlink() or earlier.is_symlink() or not _is_own(earlier / RECORD):
            continue
        if [item.name for item in aside.iterdir()] != [_EARLIER]:
            continue
        if not is_there(path):
            os.replace(earlier, path)
            aside.rmdir()
        elif _is_own(path / RECORD) and _is_unchanged(earlier):
            shutil.rmtree(aside, ignore_errors=True)


def _is_unchanged(delivery: Path) -> bool:
    try:
        _refuse_changed(delivery)
    except WriteError:
        return False
    return True


def publish(made: Path, path: Path) -> None:
    """Rename a finished folder to that of the delivery; only then is the earlier one deleted.

    Raises ``WriteError`` if somebody has changed the earlier one, which stays as it is.
    """
    with writing(path):
        seen = _times(path)
        refuse_target(path)
        made.chmod(0o777 & ~umask())
        if seen:
            _replace(made, path, seen)
            return
        if path.is_dir():
            path.rmdir()
        os.replace(made, path)


def _replace(made: Path, path: Path, seen: Times) -> None:
    """Replace a delivery; if that fails, the earlier one goes back or stays where it was moved."""
    aside = Path(tempfile.mkdtemp(prefix=f".{path.name}-", dir=path.absolute().parent))
    earlier = aside / _EARLIER
    try:
        os.replace(path, earlier)
        try:
            if _times(earlier) != seen:
                raise WriteError(f"{path}: was changed a moment ago; look at it, and start again")
            os.replace(made, path)
        except BaseException:
            os.replace(earlier, path)
            raise
    except BaseException:
        with contextlib.suppress(OSError):
            aside.rmdir()
        raise
    shutil.rmtree(aside, ignore_errors=True)


def _times(folder: Path) -> Times:
    """The size and the time of the last change of each file in a folder."""
    found = {p.relative_to(folder).as_posix(): p.lstat() for p in folder.rglob("*")}
    return {name: (at.st_size, at.st_mtime_ns) for name, at in found.items()}


@dataclass(frozen=True, slots=True)
class EarlierFiles:
    """The files of an earlier delivery, also of those in its zips.

    ``places`` holds them by their digests, each as a path and the name in the zip, which is blank
    for a file of the folder. ``sums`` are the digests of the files of the folder, by name.
    """

    places: Mapping[str, tuple[Path, str]]
    sums: Mapping[str, str]

    def has_copied(self, sha256: str, target: Path) -> bool:
        """Copy the file of a digest, and return whether that is the content of the copy now.

        It is never a link: until the earlier delivery is replaced, somebody may edit it.
        """
        path, member = self.places.get(sha256, (None, ""))
        if path is None:
            return False
        try:
            target.parent.mkdir(parents=True, exist_ok=True)
            with _opened(path, member) as source, target.open("xb") as copy:
                shutil.copyfileobj(source, copy)
        except (OSError, KeyError, zipfile.BadZipFile):
            target.unlink(missing_ok=True)
            return False
        target.chmod(0o666 & ~umask())
        if sha256_of(target) == sha256:
            return True
        target.unlink()
        return False


def earlier_files(path: Path) -> EarlierFiles:
    """Return the files of the delivery in a folder, as its check sums list them; none if new."""
    if not _is_own(path / RECORD) or not (path / SUMS).is_file():
        return EarlierFiles({}, {})
    content = (path / SUMS).read_bytes()
    sums = read_sums(content)
    places = {digest: (path / name, "") for name, digest in sums.items()}
    for name in sums:
        if name.endswith(".zip"):
            with contextlib.suppress(OSError, KeyError, zipfile.BadZipFile):
                with _opened(path / name, SUMS) as listed:
                    inside = read_sums(listed.read(_MOST_BYTES_OF_SUMS))
                places |= {digest: (path / name, member) for member, digest in inside.items()}
    return EarlierFiles(places, sums | {SUMS: sha256_of_bytes(content)})


@contextlib.contextmanager
def _opened(path: Path, member: str) -> Iterator[IO[bytes]]:
    if not member:
        with path.open("rb") as file:
            yield file
        return
    with zipfile.ZipFile(path) as archive, archive.open(member) as file:
        yield file


def sums_of(folder: Path, names: Iterable[str]) -> bytes:
    """Return the check sums of some files of a folder, as ``sha256sum -c`` reads them."""
    return written_sums({name: sha256_of(folder / name) for name in names})


def written_sums(sums: Mapping[str, str]) -> bytes:
    """Return check sums as ``sha256sum -c`` reads them, in the order of the names."""
    return "".join(f"{digest}  {name}\n" for name, digest in sorted(sums.items())).encode()


def read_sums(content: bytes) -> dict[str, str]:
    """Return the check sum of each named file; lines in any other form are left out."""
    lines = content.decode("utf-8", "replace").splitlines()
    parts = [line.partition("  ") for line in lines]
    return {name: digest for digest, _, name in parts if name and len(digest) == 64}


def _is_own(record: Path) -> bool:
    if record.is_symlink() or not record.is_file():
        return False
    try:
        content = json.loads(record.read_bytes())
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(content, dict) and content.get("kind") == "delivery"
