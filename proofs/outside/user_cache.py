"""What a run notes only to spare the next one work: it may be deleted at any time.

It is in the user's own folder for such things, because a folder of pictures may be read-only, or
shared by several machines, whose clocks and numbers of files differ. There is one file for each
folder that a run reads or writes; two runs may write it at once, and the last one wins. Where it
cannot be written, nothing is kept.
"""

import contextlib
import json
import os
import sys
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from proofs.errors import WriteError
from proofs.outside.files import sha256_of_bytes, write_whole

_SCHEMA = 1
_MOST_BYTES = 200_000_000
_UNUSED_DAYS = 180


def read_cached(kind: str, path: Path) -> dict[str, Any]:
    """Return what earlier runs noted of this kind for a path; nothing if that makes no sense."""
    file = _file(kind, path)
    try:
        if file is None or file.stat().st_size > _MOST_BYTES:
            return {}
        content = json.loads(file.read_bytes())
        os.utime(file)  # it is in use
        noted = content["noted"] if content["schema"] == _SCHEMA else {}
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return {}
    return noted if isinstance(noted, dict) else {}


def write_cached(kind: str, path: Path, noted: Mapping[str, object]) -> None:
    """Note something of this kind for a path, in place of what was noted before."""
    file = _file(kind, path)
    content = json.dumps({"schema": _SCHEMA, "noted": noted}, sort_keys=True).encode()
    with contextlib.suppress(OSError, WriteError):
        if file is not None and not (file.exists() and file.read_bytes() == content):
            write_whole(file, content)
            _sweep(file.parent)


def cache_folder() -> Path | None:
    """Return the folder of this program among the user's caches, or None if there is none.

    Sources: XDG Base Directory Specification 0.8; Apple's and Microsoft's own folders for caches
    (all from memory).
    """
    named = os.environ.get("XDG_CACHE_HOME", "")
    if named and Path(named).is_absolute():
        return Path(named) / "proofs"
    if sys.platform == "win32":
        local = os.environ.get("LOCALAPPDATA", "")
        return Path(local) / "proofs" / "cache" if local else None
    try:
        home = Path.home()
    except RuntimeError:
        return None
    above = home / "Library" / "Caches" if sys.platform == "darwin" else home / ".cache"
    return above / "proofs" if home.is_dir() else None


def _file(kind: str, path: Path) -> Path | None:
    above = cache_folder()
    try:
        digest = sha256_of_bytes(os.fsencode(path.resolve()))
    except (OSError, RuntimeError, ValueError):
        return None
    return above / kind / f"{digest[:32]}.json" if above else None


def _sweep(folder: Path) -> None:
    """Remove the notes for folders that no run has used for half a year."""
    before = time.time() - _UNUSED_DAYS * 86_400
    with os.scandir(folder) as items:
        for item in items:
            if item.is_file(follow_symlinks=False) and item.stat().st_mtime < before:
                Path(item.path).unlink(missing_ok=True)
