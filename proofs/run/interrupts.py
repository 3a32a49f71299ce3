"""Ctrl-C and the other signals that ask a run to end."""

import contextlib
import multiprocessing
import os
import signal
from collections.abc import Callable, Collection, Iterator
from multiprocessing import resource_tracker
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
    once with a message; the second ends the workers and the program. Further ones are ignored,
    because what is left is soon removed.
    """
    requests: list[int] = []

    def note(number: int, frame: FrameType | None) -> None:
        requests.append(number)
        if len(requests) > 1:
            ignore_requests()
            end_workers()  # here, because nobody else may hear of it before folders are removed
            raise KeyboardInterrupt
        with contextlib.suppress(OSError):
            os.write(2, _STOPPING)  # a handler must not wait for a lock that a print may hold

    before = {number: signal.signal(number, note) for number in ENDING}
    try:
        yield lambda: bool(requests)
    finally:
        if len(requests) < 2:
            for number, handler in before.items():
                signal.signal(number, handler)


def ignore_requests() -> None:
    """Let no further request disturb the end of the program."""
    for number in ENDING:
        signal.signal(number, signal.SIG_IGN)


def end_workers() -> None:
    """End all workers at once, and wait until none can write a file any more."""
    children = multiprocessing.active_children()
    for child in children:
        child.kill()
    for child in children:
        child.join()


@contextlib.contextmanager
def deaf_to_requests() -> Iterator[None]:
    """Let the processes that start meanwhile hear no request to end.

    A terminal sends them to all processes, and one that has only begun would end, or answer with a
    traceback.
    """
    start_tracker()  # otherwise Python does with the first worker, and then lets signals through
    with _held_back(ENDING):
        yield


def start_tracker() -> None:
    """Start Python's own helper process so that a closing terminal does not end it.

    It ignores Ctrl-C and SIGTERM by itself. If it is gone, Python prints tracebacks.
    """
    if hasattr(signal, "pthread_sigmask"):
        with _held_back([signal.SIGHUP]):
            resource_tracker.ensure_running()


@contextlib.contextmanager
def _held_back(numbers: Collection[int]) -> Iterator[None]:
    """Hold signals back, also from the processes that start meanwhile, which inherit that."""
    if not hasattr(signal, "pthread_sigmask"):  # not on every system
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, numbers)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
