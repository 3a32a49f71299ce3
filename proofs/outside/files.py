"""Reading and writing files: whole or not at all, and never outside the given folder."""

import contextlib
import errno
import hashlib
import os
import re
import stat
import tempfile
import unicodedata
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from proofs.errors import EntriesError, PhotographError, ProofsError, WriteError

_SUFFIXES = (
    *(".jpg", ".jpeg", ".jpe", ".tif", ".tiff", ".png", ".webp", ".heic", ".heif", ".avif"),
    *(".gif", ".bmp", ".psd", ".dng", ".jxl"),
)
_STARTS = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
MOST_TEXT_BYTES = 16_000_000
"""The most bytes of a file that somebody writes, such as a table or a profile."""
MOST_PICTURE_BYTES = 1_000_000_000
"""The most bytes of a picture that the program itself has made."""
_ENTRIES_NAME = "entries.csv"


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


def pictures_in(folder: Path) -> tuple[str, ...]:
    """Return the names of the pictures in a folder, in natural order; subfolders are left out.

    A picture is recognised by its content. A file that has only the name of a picture is listed
    too, so that the run reports it as unreadable instead of leaving it out.
    """
    try:
        names = [
            item.name
            for item in os.scandir(folder)
            if item.is_file() and not item.name.startswith((".", "~")) and _is_picture(item)
        ]
    except OSError as fault:
        raise EntriesError(f"{folder}: cannot be read: {fault.strerror}") from fault
    return tuple(sorted(names, key=natural_order))


def entries_file_in(folder: Path) -> Path | None:
    """Return the entries file of a folder, if there is one."""
    path = folder / _ENTRIES_NAME
    return path if os.path.lexists(path) else None  # its reader refuses what is not a file


def natural_order(name: str) -> tuple[tuple[int, int, str], ...]:
    """Return a key that sorts names as people do: ``2.jpg`` before ``10.jpg``.

    >>> sorted(["b10", "b9", "A1"], key=natural_order)
    ['A1', 'b9', 'b10']
    """
    parts = re.findall(r"[0-9]+|[^0-9]+", unicodedata.normalize("NFC", name).casefold())
    return tuple((0, int(p), "") if p.isdigit() else (1, 0, p) for p in parts)


def picture_path(folder: Path, name: str) -> Path:
    """Return the path of a picture in a folder; its name may be in either Unicode form.

    A backslash may be part of a name. If no file has that name, the backslash separates folders.
    Raises ``PhotographError`` if the picture is missing, or if the path or a link leads out of
    the folder.
    """
    try:
        return _picture_path(folder, name)
    except OSError as fault:
        raise PhotographError(
            f"{name}: cannot be read: {fault.strerror}; allow reading it and its folder"
        ) from fault


def _picture_path(folder: Path, name: str) -> Path:
    ways = name, name.replace("\\", "/")
    found = (_as_stored(folder, Path(way).parts) for way in ways)
    path = next((path for path in found if path), None)
    if path is None:
        raise PhotographError(f"{name}: there is no such file in the folder; correct the name")
    try:
        inside = path.resolve(strict=True).is_relative_to(folder.resolve())
    except (OSError, RuntimeError):
        raise PhotographError(f"{name}: is a link that leads nowhere; put the file there") from None
    if not inside:
        raise PhotographError(f"{name}: leads out of the folder; copy the picture into it")
    if not path.is_file():
        raise PhotographError(f"{name}: is not a file; name a picture")
    return path


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
    _write(path, content, lambda name: os.chmod(name, 0o666 & ~umask()))


def _write(path: Path, content: bytes, finish: Callable[[str], None]) -> None:
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
                file.write(content)
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

    _write(path, content, finish)


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


def umask() -> int:
    """Return the file mode mask of the process, which can be read only by setting it."""
    mask = os.umask(0o022)
    os.umask(mask)
    return mask


def _as_stored(folder: Path, parts: Iterable[str]) -> Path | None:
    """The path as the disk spells it: a name may be stored in NFC or in NFD."""
    path = folder
    for part in parts:
        if part in ("", "."):
            continue
        step = path / part
        if not os.path.lexists(step):
            wanted = unicodedata.normalize("NFC", part)
            stored = os.listdir(path) if path.is_dir() else []
            near = (n for n in stored if unicodedata.normalize("NFC", n) == wanted)
            name = next(near, None)
            if name is None:
                return None
            step = path / name
        path = step
    return path


def _is_picture(item: os.DirEntry[str]) -> bool:
    if Path(item.name).suffix.lower() in _SUFFIXES:
        return True
    try:
        with open(item.path, "rb") as file:
            start = file.read(12)
    except OSError:
        return False
    is_webp = start[:4] == b"RIFF" and start[8:] == b"WEBP"
    is_heif = start[4:8] == b"ftyp" and start[8:] in (b"heic", b"heix", b"mif1", b"avif")
    return start.startswith(_STARTS) or is_webp or is_heif
