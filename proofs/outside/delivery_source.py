"""A delivery, a folder or zips, opened for reading and never unpacked."""

import zipfile
import zlib
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from proofs.errors import UsageError, WriteError
from proofs.outside.files import natural_order, read_bytes

# What reading a damaged, encrypted or unusual zip raises; all are reported as differences.
_UNREADABLE = (zipfile.BadZipFile, OSError, RuntimeError, NotImplementedError, zlib.error)


@dataclass(frozen=True, slots=True)
class DeliveryPart:
    """One folder or zip: its file names, and the faults found before any file is read.

    ``read`` returns a file's content and raises ``ValueError`` where it cannot be read whole.
    ``name`` is that of the zip, empty for the folder itself.
    """

    name: str
    names: tuple[str, ...]
    read: Callable[[str], bytes]
    faults: tuple[str, ...] = ()


@contextmanager
def opened_delivery(paths: Sequence[Path]) -> Iterator[tuple[DeliveryPart, ...]]:
    """Yield the parts of a delivery: a folder with any zips in it, or zips alone.

    Raises ``UsageError`` where a path is neither.
    """
    with ExitStack() as open_files:
        parts: list[DeliveryPart] = []
        for path in paths:
            if path.is_dir():
                parts.append(_folder(path))
                zips = sorted(path.glob("*.zip"), key=lambda p: natural_order(p.name))
                parts += [_zip(item, open_files) for item in zips]
            elif path.is_file():
                parts.append(_zip(path, open_files))
            else:
                raise UsageError(f"{path}: there is no such folder or zip")
        yield tuple(parts)


def _folder(path: Path) -> DeliveryPart:
    items = sorted(path.rglob("*"))
    links = [item for item in items if item.is_symlink()]
    names = tuple(item.relative_to(path).as_posix() for item in items if not item.is_dir())

    def read(name: str) -> bytes:
        try:
            return read_bytes(path / name, error=WriteError)
        except WriteError as error:
            raise ValueError(str(error)) from error

    faults = [f"{link.relative_to(path).as_posix()} is a link, not a file" for link in links]
    used = {"", *(str(PurePosixPath(name).parent) for name in names)}
    empty = [d for d in items if d.is_dir() and d.relative_to(path).as_posix() not in used]
    faults += [f"{folder.relative_to(path).as_posix()} is an empty folder" for folder in empty]
    return DeliveryPart("", names, read, tuple(faults))


def _zip(path: Path, open_files: ExitStack) -> DeliveryPart:
    try:
        archive = open_files.enter_context(zipfile.ZipFile(path))
    except (zipfile.BadZipFile, OSError, NotImplementedError):
        return DeliveryPart(path.name, (), _unreadable, ("is not a zip that can be read",))
    infos = archive.infolist()
    names = [info.filename for info in infos]
    repeated = [name for name, count in Counter(names).items() if count > 1]
    compressed = [info.filename for info in infos if info.compress_type != zipfile.ZIP_STORED]

    def read(name: str) -> bytes:
        if name in compressed:  # ours never are, and a small one can unpack to a huge file
            raise ValueError(f"{path.name}: {name} is compressed")
        try:
            return archive.read(name)
        except _UNREADABLE as error:
            raise ValueError(f"{path.name}: {name} cannot be read from it: {error}") from error

    faults = [f"{name} is in it twice" for name in repeated]
    faults += [f"{name} is compressed" for name in compressed]
    faults += [f"{name} points outside it" for name in names if _points_outside(name)]
    return DeliveryPart(path.name, tuple(dict.fromkeys(names)), read, tuple(faults))


def _points_outside(name: str) -> bool:
    return name.startswith("/") or ".." in PurePosixPath(name).parts or "\\" in name


def _unreadable(name: str) -> bytes:
    raise ValueError(f"{name} cannot be read")
