"""The log of faults of the program."""

import tempfile
from collections.abc import Callable
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.files import write_whole

_LOG = "proofs-fault.log"


def write_fault_log(text: str, folder: Path | None = None) -> Path | None:
    """Write tracebacks to a log, and return its path.

    It goes into ``folder`` or, if that is impossible, into a new temporary folder. Returns None
    if that is impossible too.
    """
    content = text.encode("utf-8", "backslashreplace")
    places: tuple[Callable[[], Path | None], ...] = (
        lambda: folder,
        lambda: Path(tempfile.mkdtemp(prefix="proofs-")),
    )
    for find in places:
        try:
            if place := find():
                write_whole(place / _LOG, content)
                return place / _LOG
        except (WriteError, OSError):
            continue
    return None
