"""Worker processes: each takes one task at a time, and each task gets exactly one result.

A task that raises, or that kills its worker twice, gets its result from the ``Trouble`` that
stopped it. A worker that dies takes the whole pool with it, so lost tasks are tried again, one
at a time in a new pool.
"""

import concurrent.futures
import functools
import multiprocessing
import os
import signal
import threading
import traceback
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol, TypeVar

from proofs.errors import ExitCode, ProofsError, system_error_of
from proofs.findings import Status
from proofs.outside.machine import memory_bytes
from proofs.run.interrupts import deaf_to_ctrl_c, end_workers

_BYTES_PER_WORKER = 800_000_000  # measured: four steps of a print of 28.8 megapixels
_MOST_WORKERS = 61  # Windows waits for at most 63 handles at once, and the pool needs two


class Task(Protocol):
    """What a worker is given; small, because it is sent to another process."""

    @property
    def public_names(self) -> Sequence[tuple[Path, str]]:
        """Paths on this machine, each with the name under which the user knows the file.

        Reports made on another machine must be the same, so no message holds such a path.
        """
        ...


_Task = TypeVar("_Task", bound=Task)
_Task_contra = TypeVar("_Task_contra", bound=Task, contravariant=True)
_Result = TypeVar("_Result")


@dataclass(frozen=True, slots=True)
class Trouble:
    """What stopped a task: the reason in words, its finding's code, and its exit code.

    ``trace`` is the traceback of a fault of the program, or blank.
    """

    reason: str
    code: str
    exit_code: ExitCode
    trace: str = ""


@dataclass(frozen=True, slots=True)
class Workers:
    """How many tasks run at once, a question whether to stop, and whom to tell of progress."""

    count: int
    is_stopped: Callable[[], bool] = lambda: False
    one_done: Callable[[], None] = lambda: None

    @property
    def exit_code(self) -> ExitCode:
        """130 once the run was stopped, whatever had been finished by then."""
        return ExitCode.INTERRUPTED if self.is_stopped() else ExitCode.DONE

    def results(
        self,
        work: Callable[[_Task], _Result],
        tasks: Sequence[_Task],
        *,
        spoilt: Callable[[_Task, Trouble], _Result],
    ) -> Iterator[_Result]:
        """Yield the result of each task as it finishes.

        ``spoilt`` turns a task and its trouble into a result; like ``work`` it must be a
        function of a module. Once the run is stopped no further task begins; those in hand are
        still finished.
        """
        for result in _results(functools.partial(guarded, work, spoilt), tasks, spoilt, self):
            yield result
            self.one_done()


def guarded(
    work: Callable[[_Task], _Result], spoilt: Callable[[_Task, Trouble], _Result], task: _Task
) -> _Result:
    """Return the result of a task, whatever it raises."""
    try:
        return work(task)
    except Exception as error:  # one task that fails costs no other its result
        return spoilt(task, trouble_of(error, task.public_names))


def trouble_of(error: Exception, public_names: Sequence[tuple[Path, str]]) -> Trouble:
    """Return what an error means for the task that raised it.

    An error of the program's own keeps its exit code, and what the system lacks or refuses has
    one; any other is a fault, with its traceback.
    """
    if isinstance(error, ProofsError):
        return Trouble(_public(str(error), public_names), error.code, error.exit_code)
    if (refused := system_error_of(error)) is not None:
        return Trouble(_public(str(refused), public_names), refused.code, refused.exit_code)
    trace = "".join(traceback.format_exception(error))
    reason = f"a fault of the program: {trace.strip().splitlines()[-1]}"
    return Trouble(_public(reason, public_names), Status.FAILED, ExitCode.FAULT, trace)


def _public(text: str, public_names: Sequence[tuple[Path, str]]) -> str:
    for path, name in public_names:
        text = text.replace(str(path), name) if name else text.replace(f"{path}{os.sep}", "")
    return text


DIED = Trouble(
    "the worker process died; is there enough memory? Try --jobs 1", Status.FAILED, ExitCode.FAULT
)


def usual_count() -> int:
    """Return how many workers suit this machine: one per core, or fewer if memory is short."""
    try:
        cores = len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        cores = os.cpu_count() or 1
    return max(1, min(cores, memory_bytes() // _BYTES_PER_WORKER, _MOST_WORKERS))


def _results(
    run: Callable[[_Task], _Result],
    tasks: Sequence[_Task],
    spoilt: Callable[[_Task, Trouble], _Result],
    workers: Workers,
) -> Iterator[_Result]:
    # A process for a single task would cost half a second and guard nothing else.
    if len(tasks) == 1 or not _can_start_workers():
        for task in tasks:
            if workers.is_stopped():
                return
            yield run(task)
        return
    unfinished = yield from _in_a_pool(run, tasks, workers.count, workers.is_stopped)
    for task in unfinished:
        if workers.is_stopped():
            return
        again = yield from _in_a_pool(run, [task], 1, workers.is_stopped)
        if again:
            yield spoilt(task, DIED)


def _can_start_workers() -> bool:
    """Whether the system has the locks that processes share; some containers lack them."""
    try:
        multiprocessing.get_context("spawn").Lock()
    except (OSError, ImportError):
        return False
    return True


def _in_a_pool(
    run: Callable[[_Task], _Result],
    tasks: Sequence[_Task],
    count: int,
    is_stopped: Callable[[], bool],
) -> Generator[_Result, None, list[_Task]]:
    """Yield results; return the tasks that were lost with a dying pool."""
    under_way: dict[concurrent.futures.Future[_Result], _Task] = {}
    coming, is_broken = list(reversed(tasks)), False
    lost: list[_Task] = []
    with _pool(min(count, len(tasks), _MOST_WORKERS)) as pool:
        while True:
            # One for each worker: once the run is stopped, no further task begins.
            while coming and len(under_way) < count and not (is_broken or is_stopped()):
                try:
                    with deaf_to_ctrl_c():
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


@contextmanager
def _pool(count: int) -> Iterator[concurrent.futures.ProcessPoolExecutor]:
    """Give a pool of workers; whatever ends it early ends them at once."""
    pool = concurrent.futures.ProcessPoolExecutor(
        count or 1,
        mp_context=multiprocessing.get_context("spawn"),  # the pixel library hangs after a fork
        initializer=_start,
    )
    try:
        yield pool
    except BaseException:
        pool.shutdown(wait=False, cancel_futures=True)
        end_workers()
        raise
    pool.shutdown()


def _start() -> None:
    """The parent answers an interrupt; workers finish the task in hand, and end with the parent."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)  # whatever the other threads are at: nobody waits for it any more
