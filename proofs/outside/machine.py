"""What the machine has to offer."""

import ctypes
import sys
from pathlib import Path

import psutil

# Of mallopt(3) in glibc: from which size on memory goes back at once, how much of what is free may
# stay, and how many heaps there are. Each picture needs the same large pieces as the one before.
_MMAP_THRESHOLD, _TRIM_THRESHOLD, _ARENA_MAX = -3, -1, -8
_ALWAYS_KEPT = 1 << 30  # bytes; a larger piece goes back to the system
_MOST_KEPT = (1 << 31) - 1  # bytes, all that fits in an int


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


def keep_freed_memory() -> None:
    """Have this process keep the memory of one picture for the next, where the C library can.

    The system clears each page before it hands it out, and to ask for 40,000 of them per picture
    took a tenth of the time of ``make`` (measured: 4 pictures of 24 megapixels).
    """
    if sys.platform != "linux":
        return
    mallopt = getattr(ctypes.CDLL(None), "mallopt", None)
    if mallopt is not None:  # other C libraries have none
        mallopt(_MMAP_THRESHOLD, _ALWAYS_KEPT)
        mallopt(_TRIM_THRESHOLD, _MOST_KEPT)
        mallopt(_ARENA_MAX, 1)
