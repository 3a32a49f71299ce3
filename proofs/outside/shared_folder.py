"""The folder that several computers share, and values that go from one of them to another.

Each computer may have the folder at another place, so a path crosses as its place in the folder.
"""

import io
import os
import pickle
import shutil
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from typing import Any

from proofs.errors import UsageError
from proofs.outside.files import umask, writing
from proofs.outside.profiles import OwnFolders
from proofs.outside.temporary_folders import HOLD, temporary_folder_in
from proofs.records.labs import COLOUR_SPACES, Lab

VARIABLE = "PROOFS_SHARED"
"""The environment variable by which each computer knows the place of the folder."""

_ROOM = ".proofs-cluster-"


@dataclass(frozen=True, slots=True)
class SharedFolder:
    """The shared folder, by its place on this computer; ``path`` holds no links."""

    path: Path

    def place_of(self, path: Path) -> str:
        """Return the place of a path in the folder, the same on each computer.

        Links are followed, because one may lead out of the folder. Raises ``UsageError`` if the
        path is not in it.
        """
        try:
            return path.resolve().relative_to(self.path).as_posix()
        except (ValueError, OSError, RuntimeError):  # it is elsewhere, or links form a loop
            raise UsageError(
                f"{path}: is outside the shared folder {self.path}, so other computers cannot see"
                f" it; put it there, or name another folder in {VARIABLE}"
            ) from None

    def packed(self, value: object) -> bytes:
        """Return a value as bytes for another computer, each path in it as its place.

        Raises ``UsageError`` for a path outside the folder.
        """
        content = io.BytesIO()
        _Packer(content, self).dump(value)
        return content.getvalue()

    def unpacked(self, content: bytes) -> Any:
        """Return a value that another computer packed, with the paths that hold here."""
        return _Unpacker(io.BytesIO(content), self).load()

    @contextmanager
    def room(self) -> Iterator[Path]:
        """Yield a temporary folder in the shared one, for what other computers write."""
        with writing(self.path), temporary_folder_in(self.path, _ROOM) as folder:
            folder.chmod(0o777 & ~umask())  # workers may belong to another user
            yield folder


class _Packer(pickle.Pickler):
    def __init__(self, file: io.BytesIO, shared: SharedFolder) -> None:
        super().__init__(file, protocol=pickle.HIGHEST_PROTOCOL)
        self._shared = shared

    def persistent_id(self, obj: object) -> str | None:
        return self._shared.place_of(obj) if isinstance(obj, Path) else None

    def reducer_override(self, obj: object) -> Any:
        """A lab holds the path of its colour profile as text; folders of profiles stay here.

        Profiles have been read, and cross as values.
        """
        if isinstance(obj, OwnFolders):
            return OwnFolders, ()
        if isinstance(obj, Lab) and obj.colour_profile not in ("", *COLOUR_SPACES):
            return _with_profile, (replace(obj, colour_profile=""), Path(obj.colour_profile))
        return NotImplemented


def _with_profile(lab: Lab, path: Path) -> Lab:
    return replace(lab, colour_profile=str(path))


class _Unpacker(pickle.Unpickler):
    def __init__(self, file: io.BytesIO, shared: SharedFolder) -> None:
        super().__init__(file)
        self._shared = shared

    def persistent_load(self, pid: str) -> Path:
        return self._shared.path.joinpath(*PurePosixPath(pid).parts)


def shared_folder() -> SharedFolder:
    """Return the folder that this computer shares with others.

    Raises ``UsageError`` if nothing says where it is, or if it is not there.
    """
    named = os.environ.get(VARIABLE, "")
    if not named:
        raise UsageError(
            f"where is the shared folder on this computer? Name it in the environment variable"
            f" {VARIABLE}"
        )
    path = Path(named)
    if not path.is_dir():
        raise UsageError(f"{VARIABLE}: {named}: there is no such folder; correct the variable")
    return SharedFolder(path.resolve())


def seen_from_here(path: Path) -> str:
    """Return the length and the time of a file, which are the same wherever it is seen from."""
    try:
        status = path.stat()
    except OSError:
        return "not there"
    return f"{status.st_size} bytes of {status.st_mtime_ns}"


def names_below(folder: Path) -> tuple[str, ...]:
    """Return the names of all files below a folder, relative to it; none if it is not there."""
    files = (path for path in folder.rglob("*") if path.is_file())
    return tuple(sorted(path.relative_to(folder).as_posix() for path in files))


def move_files(names: Iterable[str], source: Path, target: Path) -> None:
    """Move files with these names from one folder into another, which may be on another disk."""
    for name in names:
        with writing(target / name):
            (target / name).parent.mkdir(parents=True, exist_ok=True)
            try:
                os.replace(source / name, target / name)
            except OSError:
                shutil.copyfile(source / name, target / name)


def remove_if_abandoned(room: Path) -> None:
    """Remove a room for temporary files whose run has ended and removed it already.

    A worker that nobody waits for any more would otherwise leave behind what it still wrote.
    """
    if not (room / HOLD).exists():
        shutil.rmtree(room, ignore_errors=True)
