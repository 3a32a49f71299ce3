"""A delivery, a folder or zips, opened for reading and never unpacked.

Anybody may have made the delivery. Only plain files are opened, links are not followed, and no more
is read than the caller allows.
"""

import hashlib
import io
import os
import re
import stat
import struct
import zipfile
import zlib
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from functools import partial
from itertools import islice
from pathlib import Path
from typing import IO

from proofs.errors import UsageError
from proofs.outside.files import is_file, is_folder
from proofs.outside.picture_folder import natural_order

MOST_NAMES = 20_000
LARGEST_DIRECTORY = 4_000_000  # of a zip; 20,000 names of 100 characters take three quarters
_CHUNK = 1 << 20
_LOCAL_HEAD = 30  # bytes before the name of an entry; APPNOTE 6.3, 4.3.7, from memory
_ENCRYPTED = 0x1  # of its flags; the same, 4.4.4

# What reading a damaged, encrypted or unusual file raises; all are reported as differences.
_UNREADABLE = (
    *(zipfile.BadZipFile, zlib.error, struct.error, OSError, EOFError, RuntimeError),
    *(NotImplementedError, ValueError, OverflowError, IndexError, MemoryError),
)

Opener = Callable[[str], IO[bytes]]


@dataclass(frozen=True, slots=True)
class DeliveryPart:
    """One folder or zip: the size of each file, and the faults found before any file is read.

    ``name`` is that of the zip, empty for the folder itself.
    """

    name: str
    sizes: Mapping[str, int]
    opened: Opener
    faults: tuple[str, ...] = ()

    def read(self, name: str, *, most: int) -> bytes:
        """Return the content of a file. Raises ``ValueError`` if it is damaged or too large."""
        with self._reading(name, most) as file:
            content = file.read(self.sizes[name] + 1)
            if len(content) != self.sizes[name]:
                raise ValueError("it changes while it is read")
            return content

    def sha256(self, name: str, *, most: int) -> str:
        """Return the check sum of a file, in hexadecimal. Raises ``ValueError`` as ``read``."""
        digest, left = hashlib.sha256(), most
        with self._reading(name, most) as file:
            while chunk := file.read(_CHUNK):
                left -= len(chunk)
                if left < 0:
                    raise ValueError("it grows while it is read")
                digest.update(chunk)
        return digest.hexdigest()

    @contextmanager
    def _reading(self, name: str, most: int) -> Iterator[IO[bytes]]:
        if self.sizes[name] > most:
            raise ValueError(f"holds {self.sizes[name]} bytes, more than it can need")
        try:
            with self.opened(name) as file:
                yield file
        except _UNREADABLE as error:
            raise ValueError(f"cannot be read: {_words(error)}") from error


@contextmanager
def opened_delivery(paths: Sequence[Path]) -> Iterator[tuple[DeliveryPart, ...]]:
    """Yield the parts of a delivery: a folder with any zips in it, or zips alone.

    Raises ``UsageError`` if a path is neither.
    """
    with ExitStack() as open_files:
        parts: list[DeliveryPart] = []
        for path in paths:
            if is_folder(path, error=UsageError):
                folder = _folder(path)
                zips = [n for n in folder.sizes if "/" not in n and n.endswith(".zip")]
                parts.append(folder)
                parts += [_zip(path / n, open_files) for n in sorted(zips, key=natural_order)]
            elif is_file(path, error=UsageError):
                parts.append(_zip(path.resolve(), open_files))
            else:
                raise UsageError(f"{path}: there is no such folder or zip")
        yield tuple(parts)


def _folder(path: Path) -> DeliveryPart:
    sizes: dict[str, int] = {}
    faults: list[str] = []
    waiting, count = [""], 0
    while waiting and count < MOST_NAMES:
        inner = waiting.pop()
        try:
            with os.scandir(path / inner) as found:
                items = list(islice(found, MOST_NAMES - count))
            for item in items:
                name, mode = f"{inner}{item.name}", item.stat(follow_symlinks=False).st_mode
                if stat.S_ISDIR(mode):
                    waiting.append(f"{name}/")
                elif stat.S_ISREG(mode):
                    sizes[name] = item.stat(follow_symlinks=False).st_size
                else:
                    faults.append(f"{name} is {_kind(mode)}, not a file")
        except OSError as error:
            faults.append(f"{inner or 'the folder'} cannot be listed: {_words(error)}")
            continue
        count += len(items)
        if inner and not items:
            faults.append(f"{inner.rstrip('/')} is an empty folder")
    if count >= MOST_NAMES:
        faults.append(f"holds {MOST_NAMES} files or more; the others were not read")
    return DeliveryPart("", sizes, partial(_plain_file, path), tuple(sorted(faults)))


def _kind(mode: int) -> str:
    if stat.S_ISLNK(mode):
        return "a link"
    return "a pipe" if stat.S_ISFIFO(mode) else "a device or a socket"


def _plain_file(folder: Path, name: str) -> IO[bytes]:
    """Open a file, unless something else has taken its name since it was listed."""
    flags = os.O_RDONLY | getattr(os, "O_BINARY", 0)
    flags |= getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    handle = os.open(folder / name, flags)
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise OSError(f"{name} is not a file")
        return _BoundedFile(io.FileIO(handle))
    except BaseException:
        os.close(handle)
        raise


class _BoundedFile(io.BufferedReader):
    """A file that refuses to be read in pieces larger than ``most``; None means no limit."""

    most: int | None = None

    def read(self, size: int | None = -1, /) -> bytes:
        if self.most is not None:
            left = os.fstat(self.fileno()).st_size - self.tell()
            if (left if size is None or size < 0 else min(size, left)) > self.most:
                raise zipfile.BadZipFile(f"its directory takes more than {self.most} bytes")
        return super().read(size)


def _zip(path: Path, open_files: ExitStack) -> DeliveryPart:
    try:
        file = _plain_file(path.parent, path.name)
        open_files.enter_context(file)
        assert isinstance(file, _BoundedFile)
        file.most = LARGEST_DIRECTORY
        archive = open_files.enter_context(zipfile.ZipFile(file))
        file.most = None
        infos = archive.infolist()
        if len(infos) > MOST_NAMES:
            raise ValueError(f"it holds more than {MOST_NAMES} files")
    except _UNREADABLE:
        return DeliveryPart(path.name, {}, _unreadable, ("is not a zip that can be read",))
    refused = _refused_entries(archive, infos)
    held = {info.filename: info for info in infos}

    def opened(name: str) -> IO[bytes]:
        if why := refused.get(name):
            raise ValueError(f"it {why[0]}")
        return archive.open(held[name])

    faults = [f"{name} {why}" for name, reasons in refused.items() for why in reasons]
    sizes = {name: info.file_size for name, info in held.items()}
    return DeliveryPart(path.name, sizes, opened, tuple(faults))


def _refused_entries(
    archive: zipfile.ZipFile, infos: Sequence[zipfile.ZipInfo]
) -> dict[str, list[str]]:
    """Why entries are not read, by name. No zip of this program has such entries."""
    refused: dict[str, list[str]] = {}
    for info in infos:
        for why in _entry_faults(info):
            refused.setdefault(info.filename, []).append(why)
    for name, count in Counter(info.filename for info in infos).items():
        if count > 1:
            refused.setdefault(name, []).append("is in it twice")
    end = archive.start_dir
    for info in sorted(infos, key=lambda info: info.header_offset, reverse=True):
        if info.header_offset + _LOCAL_HEAD + info.compress_size > end:
            refused.setdefault(info.filename, []).append("overlaps what follows it")
        end = info.header_offset
    return refused


def _entry_faults(info: zipfile.ZipInfo) -> Iterator[str]:
    kind = stat.S_IFMT(info.external_attr >> 16)
    if info.compress_type != zipfile.ZIP_STORED:
        yield "is compressed"  # our files never are; a small one can unpack to a huge one
    elif info.compress_size != info.file_size:
        yield "is not as long as its directory says"
    if info.flag_bits & _ENCRYPTED:
        yield "is encrypted"
    if info.filename.endswith("/"):
        yield "is a folder"
    elif kind not in (0, stat.S_IFREG):
        yield f"is {_kind(kind)}, not a file"
    if not _is_inside(info.orig_filename):
        yield "points outside it"


def _is_inside(name: str) -> bool:
    """Whether, on any system, the file of this name stays in the folder it is unpacked into."""
    parts = name.removesuffix("/").split("/")
    is_plain = name.isprintable() and not re.search(r'[\\:*?"<>|]', name)
    return is_plain and not {"", ".", ".."} & set(parts)


def _words(error: BaseException) -> str:
    """The reason of an error, without the path, which the message states already."""
    return (error.strerror if isinstance(error, OSError) else "") or str(error) or "it is damaged"


def _unreadable(name: str) -> IO[bytes]:
    raise ValueError(f"{name} cannot be read")
