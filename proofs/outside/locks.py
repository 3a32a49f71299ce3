"""One run at a time in a folder, one change at a time to a file."""

import contextlib
import datetime
import json
import os
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import filelock

from proofs.errors import WriteError
from proofs.outside.files import sha256_of_bytes, writing


@contextlib.contextmanager
def locked(path: Path) -> Iterator[None]:
    """Hold a folder or file for this process alone.

    The system releases the lock when the process ends, however it ends. Raises ``WriteError`` if
    another process holds it, which the message names, or if no lock can be made.
    """
    own = _own_lock(path)
    lock = filelock.FileLock(own)
    try:
        lock.acquire(blocking=False)
    except filelock.Timeout:
        raise WriteError(f"{path}: is in use by {_holder(own)}; wait until it has ended") from None
    except (OSError, NotImplementedError) as fault:  # not every disk knows locks
        why = getattr(fault, "strerror", None) or str(fault)
        raise WriteError(
            f"{own}: cannot be locked: {why}; name another folder for temporary files in TMPDIR"
        ) from fault
    try:
        _note_holder(own)
        yield
    finally:
        lock.release()


def _own_lock(path: Path) -> Path:
    """The lock file of a path, in a folder of its own, away from the user's pictures."""
    folder = Path(tempfile.gettempdir()) / f"proofs-locks-{_user()}"
    with writing(folder):
        folder.mkdir(mode=0o700, exist_ok=True)
    try:
        resolved = path.resolve()
    except (OSError, RuntimeError, ValueError) as fault:  # a loop of links, or a NUL
        raise WriteError(f"{path}: is not a name that a file can have; name another") from fault
    digest = sha256_of_bytes(os.fsencode(resolved))
    return folder / f"{digest[:32]}.lock"


def _user() -> str:
    """The user's number, if there is one: in a container a user may have no name."""
    if hasattr(os, "getuid"):
        return str(os.getuid())
    return os.environ.get("USERNAME") or "user"


def _note_holder(own: Path) -> None:
    started = datetime.datetime.now().astimezone().strftime("%H:%M")
    command = " ".join(sys.argv[1:2]) or "proofs"
    holder = {"process": os.getpid(), "command": command, "since": started}
    with contextlib.suppress(OSError):  # it is only for a message
        own.with_suffix(".holder").write_text(json.dumps(holder), encoding="utf-8")


def _holder(own: Path) -> str:
    try:
        holder = json.loads(own.with_suffix(".holder").read_text(encoding="utf-8"))
        return (
            f"another run, '{holder['command']}', process {holder['process']},"
            f" since {holder['since']}"
        )
    except (OSError, ValueError, KeyError, TypeError):
        return "another run"
