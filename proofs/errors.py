"""Exit codes, and the errors that stop a run or one entry of it.

A broken exhibition rule is not an error but a ``Finding``: work goes on.
"""

import enum
import errno
from collections.abc import Iterable

_NO_TEMPORARY_FOLDER = "No usable temporary directory"  # Python's own words; it has no number
# Words of Python, GLib and the image library, as measured under a limit; none has an error of its
# own kind for it.
_NO_MEMORY = (
    *("can't start new thread", "error return without exception set", "out of memory"),
    *("Error creating thread: Resource temporarily unavailable", "unable to write to memory"),
)
_NO_MEMORY_FOR = "out of memory -- size == "
_NO_ROOM = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}


class ExitCode(enum.IntEnum):
    """What the program returns to the shell; the codes of a run are joined by ``largest``."""

    DONE = 0
    BROKEN = 1
    """A rule is broken, a lab refuses a file, or a delivery is not as it was made."""
    USAGE = 2
    NOT_UNDERSTOOD = 3
    """A profile, the job file, the entries file or a row of it, or an earlier record."""
    UNREADABLE = 4
    """A photograph, or a scan."""
    NOT_WRITTEN = 5
    """A file cannot be written, something else stands in its place, or a cluster is not there."""
    FAULT = 70
    """A fault of the program itself; ``EX_SOFTWARE`` of BSD's sysexits.h."""
    INTERRUPTED = 130
    """128 + SIGINT, as shells report it."""


def largest(codes: Iterable[ExitCode]) -> ExitCode:
    """Return the exit code of a run from those of its parts.

    >>> largest([ExitCode.BROKEN, ExitCode.UNREADABLE, ExitCode.DONE]).name
    'UNREADABLE'
    >>> largest([]).name
    'DONE'
    """
    return max(codes, default=ExitCode.DONE)


class ProofsError(Exception):
    """Something cannot be done; the message says where, what was found, and the remedy.

    If several things are wrong, each has a message. ``code`` is the code of the finding that the
    error becomes where it stops one entry only.

    >>> str(ProofsError("1=Q: no such step", "9=B: no such entry"))
    '1=Q: no such step; 9=B: no such entry'
    """

    exit_code = ExitCode.FAULT
    code = "failed"

    def __init__(self, *messages: str) -> None:
        super().__init__(*messages)
        self.messages = messages

    def __str__(self) -> str:
        return "; ".join(self.messages)


class UsageError(ProofsError):
    """The command line asks for something that makes no sense."""

    exit_code = ExitCode.USAGE


class ProfileError(ProofsError):
    """A profile, or the job file, is wrong."""

    exit_code = ExitCode.NOT_UNDERSTOOD


class EntriesError(ProofsError):
    """The entries file is not a table, or one of its rows cannot be understood."""

    exit_code = ExitCode.NOT_UNDERSTOOD


class RecordError(ProofsError):
    """A record was written by an earlier version of the program."""

    exit_code = ExitCode.NOT_UNDERSTOOD


class PhotographError(ProofsError):
    """A photograph cannot be read, or cannot become the print that was asked for."""

    exit_code = ExitCode.UNREADABLE
    code = "unreadable"


class WriteError(ProofsError):
    """A file cannot be written, or something else stands in its place."""

    exit_code = ExitCode.NOT_WRITTEN


class ClusterError(ProofsError):
    """A cluster cannot be used: no scheduler answers, or no worker is fit for the work."""

    exit_code = ExitCode.NOT_WRITTEN


def system_error_of(error: BaseException) -> WriteError | None:
    """Return the error as what the system lacks or refuses; None for a fault of the program.

    The system may lack room on the disk or memory, or refuse the use of a file.
    """
    if is_lack_of_memory(error):
        return WriteError("there is too little memory; close other programs, or try --jobs 1")
    if not isinstance(error, OSError):
        return None
    if error.errno in _NO_ROOM:
        where = error.filename or "the folder for temporary files"
        return WriteError(f"{where}: cannot be written: {error.strerror}; make room")
    if error.errno in (errno.EMFILE, errno.ENFILE):
        return WriteError("too many files are open at once; allow more, or try --jobs 1")
    if error.filename is not None:
        why = error.strerror or str(error)
        return WriteError(f"{error.filename}: cannot be used: {why}; correct that, or name another")
    if isinstance(error, FileNotFoundError):
        if _NO_TEMPORARY_FOLDER in str(error):
            return WriteError(
                "no folder for temporary files can be written to; make room, or name one in TMPDIR"
            )
        return WriteError("the folder that you work in is not there any more; go to another one")
    return None


def is_lack_of_memory(error: BaseException) -> bool:
    """Return whether an error reports that the system has no memory, or no thread, to give."""
    if isinstance(error, MemoryError) or getattr(error, "errno", None) == errno.ENOMEM:
        return True
    words = str(error).strip()
    is_worded = words.endswith(_NO_MEMORY) or _NO_MEMORY_FOR in words
    return not isinstance(error, ProofsError) and is_worded
