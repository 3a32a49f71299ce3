"""The log of faults of the program."""

import tempfile
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
    if folder is not None and (log := _written(folder, content)):
        return log
    try:
        return _written(Path(tempfile.mkdtemp(prefix="proofs-")), content)
    except OSError:
        return None


def _written(folder: Path, content: bytes) -> Path | None:
    try:
        write_whole(folder / _LOG, content)
    except WriteError:
        return None
    return folder / _LOG
