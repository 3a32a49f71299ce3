"""Temporary folders: whoever makes one holds a lock in it, so what a killed run left is known.

The system lets go of a lock when its process ends, however it ends. Only folders with such a
lock file are ever swept up, and only once nobody holds it; and empty ones, since a run may be
killed before it has made its lock file, or after it has removed it.
"""

import contextlib
import os
import shutil
import stat
import tempfile
import time
from collections.abc import Iterator
from multiprocessing.util import Finalize
from pathlib import Path

import filelock

HOLD = ".proofs-temporary"
"""The lock file in a temporary folder."""

_RANDOM = 8  # characters that tempfile adds to a prefix
_NEW_SECONDS = 60  # a folder that is being made has no lock yet, for a moment


@contextlib.contextmanager
def temporary_folder_in(parent: Path, prefix: str, *, is_alone: bool = False) -> Iterator[Path]:
    """Yield a new folder whose name begins with ``prefix``, and remove it in the end.

    What killed runs left in ``parent`` under that prefix is removed first; with ``is_alone``, no
    other run can be making such a folder just now. Raises ``OSError`` if no folder can be made.
    """
    _sweep(parent, prefix, 0 if is_alone else _NEW_SECONDS)
    folder = Path(tempfile.mkdtemp(prefix=prefix, dir=parent))
    lock = filelock.FileLock(folder / HOLD)
    try:
        with contextlib.suppress(OSError, NotImplementedError):  # not every disk knows locks
            lock.acquire(blocking=False)
        with contextlib.suppress(OSError):  # what needs room tells it later, in its own words
            (folder / HOLD).touch()  # where no lock can be had there may be no file yet
        yield folder
    finally:
        try:
            _remove(folder, lock)
        except KeyboardInterrupt:  # whoever cannot wait still finds nothing left behind
            _remove(folder, lock)
            raise


def temporary_folder_of_process(prefix: str) -> Path:
    """Return a new folder for temporary files that lasts as long as this process."""
    stack = contextlib.ExitStack()
    folder = stack.enter_context(temporary_folder_in(Path(tempfile.gettempdir()), prefix))
    Finalize(None, stack.close, exitpriority=0)  # forked workers never come to atexit
    return folder


def _remove(folder: Path, lock: filelock.BaseFileLock) -> None:
    lock.release()  # first, because some systems remove no file that is open
    _remove_all(folder)


def _remove_all(folder: Path) -> None:
    """Remove a folder, its lock file last: what a run leaves that is killed meanwhile is known."""
    with contextlib.suppress(OSError), os.scandir(folder) as items:
        for item in [item for item in items if item.name != HOLD]:
            if item.is_dir(follow_symlinks=False):
                shutil.rmtree(item.path, ignore_errors=True)
            else:
                with contextlib.suppress(OSError):
                    os.unlink(item.path)
    shutil.rmtree(folder, ignore_errors=True)


def _sweep(parent: Path, prefix: str, seconds: float) -> None:
    """Remove the temporary folders that nobody holds any more and that are this old."""
    with contextlib.suppress(OSError), os.scandir(parent) as items:
        named = [Path(item.path) for item in items if item.name.startswith(prefix)]
        for folder in named:
            if len(folder.name) == len(prefix) + _RANDOM and _is_left_behind(folder, seconds):
                _remove_all(folder)


def _is_left_behind(folder: Path, seconds: float) -> bool:
    try:
        status = folder.lstat()
        if not _is_own(status, stat.S_IFDIR) or time.time() - status.st_mtime < seconds:
            return False
        if not any(folder.iterdir()):
            return True
        if not _is_own((folder / HOLD).lstat(), stat.S_IFREG):
            return False
        with filelock.FileLock(folder / HOLD).acquire(blocking=False):
            return True
    except (OSError, NotImplementedError, filelock.Timeout):  # held, gone, or not to be known
        return False


def _is_own(status: os.stat_result, kind: int) -> bool:
    """Whether it is of a kind, and the user's: others may write to a shared folder too."""
    is_mine = not hasattr(os, "getuid") or status.st_uid == os.getuid()
    return is_mine and stat.S_IFMT(status.st_mode) == kind
