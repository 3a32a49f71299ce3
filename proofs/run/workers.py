"""Worker processes: each takes one task at a time, and each task has exactly one result.

The result of a task that raises, or whose worker dies twice, is the ``Trouble`` that stopped it. A
worker that dies takes the whole pool with it, so lost tasks are tried again, one at a time in a new
pool.
"""

import concurrent.futures
import multiprocessing
import os
import signal
import time
import traceback
from collections.abc import Callable, Collection, Generator, Iterable, Iterator, Sequence
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, replace
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Protocol, TypeVar

from proofs.errors import ClusterError, ExitCode, ProofsError, largest, system_error_of
from proofs.findings import Finding, Severity, Status
from proofs.outside.machine import memory_bytes
from proofs.plan.checks.checking import by_severity
from proofs.plan.checks.outcomes import Outcome, exit_code_of
from proofs.run.interrupts import deaf_to_requests, end_workers
from proofs.run.worker_processes import MOST_WORKERS, Forked, can_start_workers, pool_of

_BYTES_PER_WORKER = 1_000_000_000  # measured: prints of 16-bit pictures of 96 megapixels
_MOST_WAIT = 1.0  # seconds for what the system knows already


class Task(Protocol):
    """What a worker gets; small, because it is sent to another process."""

    @property
    def public_names(self) -> Sequence[tuple[Path, str]]:
        """Paths on this machine, each with the name by which the user knows the file.

        Reports made on two machines must be the same, so no message holds such a path.
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

    @property
    def finding(self) -> Finding:
        """The trouble as a finding on the entry that it stopped."""
        return Finding(self.code, Severity.UNREADABLE, self.reason)

    @property
    def status(self) -> Status:
        """The status of the entry that it stopped."""
        is_unreadable = self.exit_code is ExitCode.UNREADABLE
        return Status.UNREADABLE if is_unreadable else Status.FAILED

    def stopping(self, outcome: Outcome) -> Outcome:
        """Return the outcome of an entry that this trouble stopped."""
        findings = by_severity((*outcome.findings, self.finding))
        return replace(outcome, status=self.status, findings=findings)


def traces(troubles: Iterable[Trouble]) -> tuple[str, ...]:
    """Return the tracebacks of the faults of the program among these troubles."""
    return tuple(trouble.trace for trouble in troubles if trouble.trace)


class Cluster(Protocol):
    """Workers on other computers."""

    @property
    def failure(self) -> str:
        """Why the run cannot go on; blank while it can."""
        ...

    def results(
        self, work: Callable[[_Task], _Result], tasks: Sequence[_Task], workers: "Workers"
    ) -> Iterator[tuple[_Task, _Result | Trouble]]:
        """Yield each task with its result, as it finishes, in the way of ``Workers.results``."""
        ...


@dataclass(frozen=True, slots=True)
class Workers:
    """The workers of a run.

    ``count`` is the number of tasks at once, ``is_stopped`` returns whether the run is to end
    before all is done, and ``after_each`` is called after each task, with the name of a file of the
    user's that it was about; blank if there was nothing to do. ``cluster`` has them on other
    computers; None for processes of this one. ``forked`` are those that wait already.
    """

    count: int
    is_stopped: Callable[[], bool] = lambda: False
    after_each: Callable[[str], None] = lambda name: None
    cluster: Cluster | None = None
    forked: Forked | None = None

    @property
    def has_failed(self) -> bool:
        """Whether the cluster cannot go on."""
        return self.cluster is not None and bool(self.cluster.failure)

    def exit_code(self, outcomes: Iterable[Outcome], troubles: Iterable[Trouble]) -> ExitCode:
        """Return the exit code of a run; 130 once it was stopped, whatever was finished by then.

        An entry that failed counts by the trouble that stopped it, and one that was not done by
        what ended the run: a stop, or a cluster that cannot go on.
        """
        others = (Status.FAILED, Status.NOT_DONE)
        judged = (outcome for outcome in outcomes if outcome.status not in others)
        codes = [exit_code_of(judged), *(trouble.exit_code for trouble in troubles)]
        if self.has_failed:
            return largest([*codes, ClusterError.exit_code])
        return ExitCode.INTERRUPTED if self.is_stopped() else largest(codes)

    def results(
        self, work: Callable[[_Task], _Result], tasks: Sequence[_Task]
    ) -> Iterator[tuple[_Task, _Result | Trouble]]:
        """Yield each task with its result, as it finishes.

        ``work`` must be a function of a module. Once the run is stopped no further task begins;
        those in hand are still finished.
        """
        of = self.cluster.results if self.cluster else _results
        for finished in of(work, tasks, self):
            yield finished
            self.after_each(_file_of(finished[0]))

    def ordered_results(
        self, work: Callable[[_Task], _Result], tasks: Sequence[_Task]
    ) -> list[tuple[_Task, _Result | Trouble]]:
        """Return each finished task with its result, in the order of the tasks."""
        place = {id(task): n for n, task in enumerate(tasks)}
        return sorted(self.results(work, tasks), key=lambda finished: place[id(finished[0])])


def _file_of(task: Task) -> str:
    return next((name for _, name in task.public_names if name), "")


def guarded(work: Callable[[_Task], _Result], task: _Task) -> _Result | Trouble:
    """Return the result of a task, or the trouble that it raised."""
    try:
        return work(task)
    except Exception as error:  # one task that fails costs no other its result
        return trouble_of(error, task.public_names)


def trouble_of(error: Exception, public_names: Sequence[tuple[Path, str]]) -> Trouble:
    """Return what an error means for the task that raised it.

    An error of the program's own keeps its exit code, and what the system lacks or refuses has
    one; any other is a fault, with its traceback.
    """
    known = error if isinstance(error, ProofsError) else system_error_of(error)
    if known is not None:
        return Trouble(_public(str(known), public_names), known.code, known.exit_code)
    trace = "".join(traceback.format_exception(error))
    reason = f"a fault of the program: {trace.strip().splitlines()[-1]}"
    return Trouble(_public(reason, public_names), Status.FAILED, ExitCode.FAULT, trace)


def _public(text: str, public_names: Sequence[tuple[Path, str]]) -> str:
    for path, name in public_names:
        text = text.replace(str(path), name) if name else text.replace(f"{path}{os.sep}", "")
    return text


DIED = Trouble("a fault of the program: the worker process died", Status.FAILED, ExitCode.FAULT)
KILLED = Trouble(
    "the system ended the worker process, most likely for want of memory; close other programs, try"
    " --jobs 1, or use a smaller picture",
    Status.FAILED,
    ExitCode.NOT_WRITTEN,
)


def usual_count() -> int:
    """Return how many workers suit this machine: one per core, or fewer if memory is short."""
    try:
        cores = len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        cores = os.cpu_count() or 1
    return max(1, min(cores, memory_bytes() // _BYTES_PER_WORKER, MOST_WORKERS))


def _results(
    work: Callable[[_Task], _Result], tasks: Sequence[_Task], workers: Workers
) -> Iterator[tuple[_Task, _Result | Trouble]]:
    # A process for a single task would guard nothing else.
    if len(tasks) == 1 or not can_start_workers():
        for task in tasks:
            if workers.is_stopped():
                return
            yield task, guarded(work, task)
        return
    unfinished, _ = yield from _in_a_pool(work, tasks, workers)
    for task in unfinished:
        if workers.is_stopped():
            return
        again, trouble = yield from _in_a_pool(work, [task], replace(workers, forked=None))
        if again:
            yield task, trouble


def _in_a_pool(
    work: Callable[[_Task], _Result],
    tasks: Sequence[_Task],
    workers: Workers,
) -> Generator[tuple[_Task, _Result | Trouble], None, tuple[list[_Task], Trouble]]:
    """Yield tasks with their results; return those that were lost with a dying pool, and why."""
    under_way: dict[concurrent.futures.Future[_Result | Trouble], _Task] = {}
    coming = list(reversed(tasks))
    lost: list[_Task] = []
    trouble: Trouble | None = None
    begun: set[BaseProcess] = set()
    finished: list[tuple[_Task, _Result | Trouble]] = []
    count = min(workers.count, len(tasks), MOST_WORKERS)
    with pool_of(count, workers.forked) as pool:
        while True:
            # One for each worker: once the run is stopped, no further task begins.
            while coming and len(under_way) < count and not (trouble or workers.is_stopped()):
                try:
                    with deaf_to_requests():
                        future = pool.submit(guarded, work, coming[-1])
                except BrokenProcessPool:
                    trouble = _end_broken(begun)
                else:
                    under_way[future] = coming.pop()
                    begun.update(multiprocessing.active_children())
            yield from finished  # which may take its time: the workers have their next tasks
            finished.clear()
            if not under_way:
                return [*lost, *(reversed(coming) if trouble else ())], trouble or DIED
            for future in concurrent.futures.wait(
                under_way, return_when=concurrent.futures.FIRST_COMPLETED
            ).done:
                task = under_way.pop(future)
                try:
                    result = future.result()
                except BrokenProcessPool:
                    trouble = trouble or _end_broken(begun)
                    lost.append(task)
                else:
                    finished.append((task, result))


def _end_broken(workers: Collection[BaseProcess]) -> Trouble:
    """End all workers of a pool of which one has died, and return what that means for its task.

    The pool asks the others to end, which they do not hear, and would wait for them for ever.
    """
    by_the_system = -getattr(signal, "SIGKILL", 0)  # how a system takes its memory back
    until = time.monotonic() + _MOST_WAIT
    while not (codes := {worker.exitcode for worker in workers} - {None}):
        if time.monotonic() > until:
            break
        time.sleep(0.01)  # the pool may be just about to note how it ended
    end_workers()
    return KILLED if by_the_system in codes else DIED
