"""Ctrl-C and the other signals that ask a run to end."""

import contextlib
import os
import signal
from collections.abc import Callable, Iterator
from types import FrameType

ENDING = tuple(
    getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)
)
"""The signals that ask a run to end: Ctrl-C, the system, and a terminal that closes."""

_STOPPING = b"\nstopping after the work in hand; press Ctrl-C again to end at once\n"


@contextlib.contextmanager
def interrupts() -> Iterator[Callable[[], bool]]:
    """Yield a function that returns whether the run was asked to end, by Ctrl-C or by the system.

    The run can then finish the tasks in hand and record them. The first request is answered at
    once with a message; the second ends the program.
    """
    requests: list[int] = []

    def note(number: int, frame: FrameType | None) -> None:
        if requests:
            raise KeyboardInterrupt
        requests.append(number)
        with contextlib.suppress(OSError):
            os.write(2, _STOPPING)  # a handler must not wait for a lock that a print may hold

    before = {number: signal.signal(number, note) for number in ENDING}
    try:
        yield lambda: bool(requests)
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
