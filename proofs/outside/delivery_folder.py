"""The folder of a delivery: it appears complete or not at all, and replaces only a delivery.

It is written next to its place under a temporary name, and gets its own name last. The next run
removes what a killed run left there.
"""

import contextlib
import json
import os
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.files import is_folder, is_there, sha256_of, umask, writing

RECORD, SUMS = "delivery.json", "SHA256SUMS"
TICKET, TABLE, LIST = "ticket.pdf", "ticket.csv", "order.txt"

_MARK = ".proofs-unfinished"
_EARLIER = "before"
_RANDOM = 8  # characters that tempfile adds

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

    What killed runs left is removed first: the caller holds the lock of ``path``.
    """
    with writing(path):
        path.absolute().parent.mkdir(parents=True, exist_ok=True)
        _clear_remains(path)
        folder = _new_beside(path)
    try:
        yield folder
    finally:
        try:
            shutil.rmtree(folder, ignore_errors=True)
        except KeyboardInterrupt:  # a second Ctrl-C: even then nothing is left behind
            shutil.rmtree(folder, ignore_errors=True)
            raise


def _new_beside(path: Path) -> Path:
    folder = Path(tempfile.mkdtemp(prefix=f".{path.name}-", dir=path.absolute().parent))
    (folder / _MARK).touch()
    return folder


def _clear_remains(path: Path) -> None:
    """Remove what killed runs left; an earlier delivery that they had moved goes back first."""
    prefix = f".{path.name}-"
    for left in list(path.absolute().parent.iterdir()):
        is_ours = left.name.startswith(prefix) and len(left.name) == len(prefix) + _RANDOM
        if not is_ours or left.is_symlink() or not (left / _MARK).is_file():
            continue
        if (left / _EARLIER).is_dir():
            if not os.path.lexists(path):
                os.replace(left / _EARLIER, path)
            elif not _is_own(path / RECORD):
                continue  # it holds the only copy
        shutil.rmtree(left, ignore_errors=True)


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
    aside = _new_beside(path)
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
            (aside / _MARK).unlink()
            aside.rmdir()
        raise
    shutil.rmtree(aside, ignore_errors=True)


def _times(folder: Path) -> Times:
    """The size and the time of the last change of each file in a folder."""
    found = {p.relative_to(folder).as_posix(): p.lstat() for p in folder.rglob("*")}
    return {name: (at.st_size, at.st_mtime_ns) for name, at in found.items()}


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
