"""Reading and writing files: whole or not at all."""

import contextlib
import errno
import hashlib
import os
import re
import stat
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO

from proofs.errors import EntriesError, ProofsError, WriteError

MOST_TEXT_BYTES = 16_000_000
"""The most bytes of a file that somebody writes, such as a table or a profile."""
MOST_PICTURE_BYTES = 1_000_000_000
"""The most bytes of a picture that the program itself has made."""


def is_folder(path: Path, *, error: type[ProofsError] = EntriesError) -> bool:
    """Return whether this is the path of a folder; raise ``error`` if that cannot be known."""
    return stat.S_ISDIR(_mode(path, error))


def is_file(path: Path, *, error: type[ProofsError] = EntriesError) -> bool:
    """Return whether this is the path of a file; raise ``error`` if that cannot be known.

    A pipe or a device is not a file: it may never end.
    """
    return stat.S_ISREG(_mode(path, error))


def is_there(path: Path) -> bool:
    """Return whether anything has this name, even a link that leads nowhere."""
    return os.path.lexists(path)


def _mode(path: Path, error: type[ProofsError]) -> int:
    """The mode of what a path leads to, 0 if there is nothing."""
    try:
        return path.stat().st_mode
    except ValueError:  # a NUL
        return 0
    except OSError as fault:
        if fault.errno in (errno.ENOENT, errno.ENOTDIR, errno.ENAMETOOLONG):
            return 0
        raise error(
            f"{path}: cannot be read: {fault.strerror}; correct that, or name another"
        ) from fault


def read_bytes(
    path: Path, *, error: type[ProofsError] = EntriesError, most: int = MOST_TEXT_BYTES
) -> bytes:
    """Return the content of a file of at most ``most`` bytes.

    Raises ``error`` with the reason if it cannot be read.
    """
    try:
        status = path.stat()
        mode = status.st_mode
        if stat.S_ISDIR(mode):
            raise error(f"{path}: is a folder, not a file")
        if not stat.S_ISREG(mode):  # a pipe or a device may never end
            raise error(f"{path}: is not a file; put one in its place, or name one")
        if status.st_size > most:
            raise error(f"{path}: is larger than {most // 1_000_000} MB; is it another file?")
        return path.read_bytes()
    except FileNotFoundError:
        raise error(f"{path}: there is no such file") from None
    except ValueError as fault:
        raise error(f"{path}: is not a name that a file can have") from fault
    except OSError as fault:
        raise error(f"{path}: cannot be read: {fault.strerror}") from fault


def size_of(path: Path) -> int:
    """Return the size of a file in bytes."""
    return path.stat().st_size


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file, in hexadecimal. Raises ``WriteError`` if it is not a file."""
    if not is_file(path, error=WriteError):
        raise WriteError(f"{path}: is not a file that can be read; move it away")
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as fault:
        raise WriteError(f"{path}: cannot be read: {fault.strerror}; move it away") from fault


def sha256_of_bytes(content: bytes) -> str:
    """Return the SHA-256 of this content, in hexadecimal."""
    return hashlib.sha256(content).hexdigest()


@contextlib.contextmanager
def writing(path: Path) -> Iterator[None]:
    """Raise ``WriteError`` with the path and the reason if the system refuses what is done here."""
    try:
        yield
    except OSError as fault:
        raise WriteError(f"{path}: cannot be written: {fault.strerror}") from fault


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that it never has its name while it is half written.

    Raises ``WriteError`` with the path and the reason.
    """
    write_whole_by(path, lambda file: file.write(content))


def write_whole_by(path: Path, fill: Callable[[BinaryIO], object]) -> None:
    """Write a file as ``write_whole`` does; ``fill`` writes its content, piece by piece."""
    _write(path, fill, lambda name: os.chmod(name, 0o666 & ~umask()))


def _write(path: Path, fill: Callable[[BinaryIO], object], finish: Callable[[str], None]) -> None:
    """Write a file under a temporary name; it gets its own once ``finish`` has set its mode.

    Anything there that is not a file stays: a device or a pipe serves another purpose.
    """
    if os.path.lexists(path) and not path.is_symlink() and not is_file(path, error=WriteError):
        raise WriteError(f"{path}: is not a file and is left as it is; name another")
    with writing(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=".part-", suffix=path.suffix, dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                fill(file)
                file.flush()
                os.fsync(file.fileno())
            finish(name)
            os.replace(name, path)
        except BaseException:
            with contextlib.suppress(FileNotFoundError):
                os.unlink(name)
            raise


def append_line(path: Path, line: str) -> None:
    """Append a line to a file, and return only once the disk holds it.

    Raises ``WriteError`` with the path and the reason.
    """
    with writing(path), path.open("a", encoding="utf-8") as file:
        file.write(f"{line}\n")
        file.flush()
        os.fsync(file.fileno())


def write_new(path: Path, content: bytes) -> None:
    """Write a new file; raise ``WriteError`` if there is one of this name."""
    if path.exists() or path.is_symlink():
        raise WriteError(f"{path}: is there already and is left as it is")
    write_whole(path, content)


def refuse_read_only(path: Path) -> os.stat_result:
    """Return the mode and owner of a file; raise ``WriteError`` if it is read-only."""
    with writing(path):
        status = path.stat()
    if not status.st_mode & 0o222 or not os.access(path, os.W_OK):
        raise WriteError(f"{path}: is read-only; allow writing to it first")
    return status


def rewrite(path: Path, content: bytes) -> None:
    """Write new content into one of the user's own files; it keeps its mode and its owner.

    Raises ``WriteError`` if the file is read-only.
    """
    before = refuse_read_only(path)

    def finish(name: str) -> None:
        os.chmod(name, stat.S_IMODE(before.st_mode))
        if hasattr(os, "chown"):
            os.chown(name, before.st_uid, before.st_gid)

    _write(path, lambda file: file.write(content), finish)


def write_own(path: Path, content: bytes, mark: bytes) -> None:
    """Write a file, or replace one that this function wrote and nobody has changed since.

    Its last line begins with ``mark``, which starts a comment in its format, and holds the digest
    of everything above it. Raises ``WriteError`` if any other file has the name.
    """
    if os.path.lexists(path) and not _is_own(path, mark):
        raise WriteError(f"{path}: is there already and is left as it is; name another file")
    write_whole(path, content + mark + sha256_of_bytes(content).encode() + b"\n")


def _is_own(path: Path, mark: bytes) -> bool:
    if path.is_symlink() or not path.is_file():
        return False
    content, _, digest = path.read_bytes().rpartition(mark)
    return sha256_of_bytes(content).encode() + b"\n" == digest


def keep_before(path: Path, content: bytes) -> Path:
    """Keep the content of a file before it is changed, and return the path of the copy.

    Raises ``WriteError`` if all names for copies are taken.
    """
    for count in range(1, 10_000):
        kept = path.with_name(f"{path.stem}.before-{count}{path.suffix}")
        if not (kept.exists() or kept.is_symlink()):
            write_new(kept, content)
            return kept
    raise WriteError(f"{path}: it already has ten thousand earlier versions; delete some")


def rewrite_keeping(path: Path, content: bytes, before: bytes) -> Path:
    """Write new content into one of the user's own files, and keep what it held ``before``.

    Returns the path of the copy. If the new content cannot be written, the copy is removed again,
    since nothing has changed. Raises ``WriteError``, also for a read-only file.
    """
    refuse_read_only(path)
    kept = keep_before(path, before)
    try:
        rewrite(path, content)
    except BaseException:
        with contextlib.suppress(OSError):
            kept.unlink()
        raise
    return kept


def newest_before(path: Path) -> Path | None:
    """Return the copy that ``keep_before`` made last of those that are still there, if any."""
    name = re.compile(re.escape(path.stem) + r"\.before-\d{1,5}" + re.escape(path.suffix))
    kept = (p for p in path.parent.iterdir() if name.fullmatch(p.name) and p.is_file())
    return max(kept, key=lambda p: (p.stat().st_mtime_ns, len(p.name), p.name), default=None)


def umask() -> int:
    """Return the file mode mask of the process, which can be read only by setting it."""
    mask = os.umask(0o022)
    os.umask(mask)
    return mask
