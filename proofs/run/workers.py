"""Worker processes: one entry each at a time, the results in the order they come.

A worker that dies takes the whole pool with it, so lost work is tried again, one entry alone
in a new pool, and an entry that kills its worker twice is reported as lost.
"""

import concurrent.futures
import multiprocessing
import os
import signal
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from types import FrameType
from typing import TypeVar

_BYTES_PER_WORKER = 800_000_000  # measured: four steps of a print of 28.8 megapixels

Task = TypeVar("Task")
Result = TypeVar("Result")


def usual_jobs() -> int:
    """Return how many workers suit this machine: its cores, or what its memory carries."""
    try:
        cores = len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        cores = os.cpu_count() or 1
    try:
        memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    except (AttributeError, ValueError, OSError):
        return cores
    return max(1, min(cores, memory // _BYTES_PER_WORKER))


@contextmanager
def interrupts() -> Iterator[Callable[[], bool]]:
    """Give a question, "has someone pressed Ctrl-C?"; a second press ends the program at once.

    So that what is under way can be finished and written down before the run ends.
    """
    pressed: list[int] = []

    def note(number: int, frame: FrameType | None) -> None:
        if pressed:
            raise KeyboardInterrupt
        pressed.append(number)

    before = signal.signal(signal.SIGINT, note)
    try:
        yield lambda: bool(pressed)
    finally:
        signal.signal(signal.SIGINT, before)


def work(
    run: Callable[[Task], Result],
    tasks: Sequence[Task],
    *,
    jobs: int,
    lost: Callable[[Task], Result],
    stopped: Callable[[], bool],
) -> Iterator[Result]:
    """Yield a result a task, as they are finished; ``lost`` gives that of a task that kills.

    Once ``stopped`` says so, no task is begun any more; those under way are still yielded.
    """
    if len(tasks) == 1:  # a process of its own would cost half a second and guard nothing else
        if not stopped():
            yield run(tasks[0])
        return
    unfinished = yield from _in_a_pool(run, tasks, jobs, stopped)
    for task in unfinished:
        if stopped():
            return
        again = yield from _in_a_pool(run, [task], 1, stopped)
        if again:
            yield lost(task)


def _in_a_pool(
    run: Callable[[Task], Result], tasks: Sequence[Task], jobs: int, stopped: Callable[[], bool]
) -> Generator[Result, None, list[Task]]:
    """Yield results; return the tasks that were lost with a dying pool."""
    under_way: dict[concurrent.futures.Future[Result], Task] = {}
    coming, is_broken = list(reversed(tasks)), False
    lost: list[Task] = []
    with _pool(min(jobs, len(tasks)) or 1) as pool:
        while True:
            # Two a worker at most: an interrupt then waits for little, and memory stays small.
            while coming and len(under_way) < 2 * jobs and not (is_broken or stopped()):
                try:
                    future = pool.submit(run, coming[-1])
                except BrokenProcessPool:
                    is_broken = True
                else:
                    under_way[future] = coming.pop()
            if not under_way:
                return [*lost, *reversed(coming)] if is_broken else lost
            for future in concurrent.futures.wait(
                under_way, return_when=concurrent.futures.FIRST_COMPLETED
            ).done:
                task = under_way.pop(future)
                try:
                    result = future.result()
                except BrokenProcessPool:
                    is_broken = True
                    lost.append(task)
                else:
                    yield result


def _pool(workers: int) -> concurrent.futures.ProcessPoolExecutor:
    return concurrent.futures.ProcessPoolExecutor(
        workers,
        mp_context=multiprocessing.get_context("spawn"),  # the pixel library hangs after a fork
        initializer=_start,
    )


def _start() -> None:
    """An interrupt is the parent's to answer: workers finish the entry in hand."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
