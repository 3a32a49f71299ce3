"""The log of faults of the program."""

import tempfile
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.files import write_whole

_LOG = "proofs-fault.log"


def write_fault_log(text: str, folder: Path | None = None) -> Path:
    """Write tracebacks to a log, and return its path.

    It goes into ``folder``, or, where that is impossible, into a new temporary folder.
    """
    content = text.encode("utf-8", "backslashreplace")
    if folder is not None:
        try:
            write_whole(folder / _LOG, content)
        except WriteError:
            folder = None
    if folder is None:
        folder = Path(tempfile.mkdtemp(prefix="proofs-"))
        write_whole(folder / _LOG, content)
    return folder / _LOG
