"""What the machine has to offer."""

import psutil


def memory_bytes() -> int:
    """Return the size of the machine's memory in bytes."""
    return int(psutil.virtual_memory().total)
