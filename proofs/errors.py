"""The ways a run, or one entry of it, can fail; each carries its exit code.

A broken exhibition rule is no error but a ``Finding``: work goes on.
"""

FAULT_CODE = 70
"""The exit code of a fault of the program, as ``EX_SOFTWARE`` of BSD's sysexits.h has it."""


class ProofsError(Exception):
    """Something cannot be done; the message says where, what was found, and the remedy."""

    exit_code = FAULT_CODE


class UsageError(ProofsError):
    """The command was asked for something that makes no sense."""

    exit_code = 2


class ProfileError(ProofsError):
    """A profile, or the job file, is wrong."""

    exit_code = 3


class EntriesError(ProofsError):
    """The entries file is no table, or a row of it cannot be understood."""

    exit_code = 3


class PhotographError(ProofsError):
    """A photograph cannot be read, or cannot become the print asked for.

    ``code`` is that of the finding it becomes.
    """

    exit_code = 4
    code = "unreadable"


class WriteError(ProofsError):
    """A file cannot be written, or would overwrite what the program did not make."""

    exit_code = 5
