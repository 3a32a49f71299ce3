"""What the machine has to offer."""

import sys
from pathlib import Path

import psutil


def memory_bytes() -> int:
    """Return the size of the machine's memory in bytes."""
    return int(psutil.virtual_memory().total)


def is_safe_to_fork() -> bool:
    """Return whether this process may be forked: it has one thread, on a system that takes it well.

    Elsewhere than on Linux, libraries of the system fail after a fork.
    """
    if sys.platform != "linux":
        return False
    try:
        return len(list(Path("/proc/self/task").iterdir())) == 1
    except OSError:  # not to be known
        return False
