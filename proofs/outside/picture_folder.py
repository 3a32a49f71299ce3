"""A folder of pictures: its entries file, its pictures, and the path of each.

No path leads out of the folder, but for one more folder that the user names.
"""

import os
import re
import unicodedata
from collections.abc import Iterable, Sequence
from pathlib import Path

from proofs.errors import EntriesError, PhotographError

_SUFFIXES = (
    *(".jpg", ".jpeg", ".jpe", ".tif", ".tiff", ".png", ".webp", ".heic", ".heif", ".avif"),
    *(".gif", ".bmp", ".psd", ".dng", ".jxl"),
)
_STARTS = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
_ENTRIES_NAME = "entries.csv"


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


def picture_path(folder: Path, name: str, further: Path | None = None) -> Path:
    """Return the path of a picture in a folder; its name may be in either Unicode form.

    What is not there is looked for in ``further``, if the user names such a folder. A backslash
    may be part of a name. If no file has that name, the backslash separates folders. Raises
    ``PhotographError`` if the picture is missing, or if the path or a link leads out of these
    folders.
    """
    try:
        return _picture_path([folder, *([further] if further else [])], name)
    except OSError as fault:
        raise PhotographError(
            f"{name}: cannot be read: {fault.strerror}; allow reading it and its folder"
        ) from fault


def _picture_path(folders: Sequence[Path], name: str) -> Path:
    ways = name, name.replace("\\", "/")
    found = (_as_stored(folder, Path(way).parts) for folder in folders for way in ways)
    path = next((path for path in found if path), None)
    these = "the folder" if len(folders) == 1 else "the folder and the one named in job.toml"
    if path is None:
        raise PhotographError(f"{name}: there is no such file in {these}; correct the name")
    try:
        real = path.resolve(strict=True)
        is_inside = any(real.is_relative_to(folder.resolve()) for folder in folders)
    except (OSError, RuntimeError):
        raise PhotographError(f"{name}: is a link that leads nowhere; put the file there") from None
    if not is_inside:
        raise PhotographError(f"{name}: leads out of {these}; copy the picture into it")
    if not path.is_file():
        raise PhotographError(f"{name}: is not a file; name a picture")
    return path


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
