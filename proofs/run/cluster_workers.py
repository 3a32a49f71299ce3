"""The workers of a cluster: each takes one task at a time, like a worker of this machine.

They are examined before the first task, and see files only through the shared folder. A task whose
worker is lost is tried again once, on another.
"""

import pickle
import time
import uuid
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from proofs.errors import ClusterError, ProofsError
from proofs.outside.cluster import Connection, LostWorkError, connected
from proofs.outside.shared_folder import (
    SharedFolder,
    move_files,
    names_below,
    remove_if_abandoned,
    shared_folder,
)
from proofs.run.cluster_order import ClusterOrder
from proofs.run.fitness import Facts, differences, trial_facts, version_facts
from proofs.run.workers import DIED, Task, Trouble, Workers, guarded, trouble_of

_EXAMINE_SECONDS = 60  # a worker may be at work for another run, or on a slow disk
_LOOK_SECONDS = 0.5  # between two looks at which workers are there
_MOST_TRIES = 2
_NO_ANSWER = "it was lost, or did not answer, before its first task"

_Task = TypeVar("_Task", bound=Task)
_Result = TypeVar("_Result")

_examined: set[str] = set()
"""The runs for which this worker has been examined."""


@dataclass(frozen=True, slots=True)
class _Order:
    """What a worker gets for one task: the run, a folder of its own in a room, and the work."""

    run: str
    room: Path
    own: str
    work: Callable[[Any], Any]
    task: Any


@dataclass(frozen=True, slots=True)
class _Attempt:
    """One try at a task, by the worker at an address; ``own`` is the name of its folder."""

    task: Any
    tries: int
    worker: str
    own: str


def facts_of_worker(content: bytes) -> bytes:
    """Return the facts about this worker, for its parent to compare; the work of an examination.

    The versions come first, in built-in types: another version may not even know our values.
    """
    run, expected, trial = pickle.loads(content)
    facts = version_facts()
    if facts == expected:
        facts = (*facts, *trial_facts(shared_folder().unpacked(trial)))
        _examined.add(run)
    return pickle.dumps(facts)


def result_of_order(content: bytes) -> bytes:
    """Do one task, in a worker; return its result and the names of the files that it wrote.

    The result is None if this process has not been examined, but took the place of one that was.
    """
    shared = shared_folder()
    order: _Order = shared.unpacked(content)
    if order.run not in _examined:
        return shared.packed((None, ()))
    try:
        result = guarded(order.work, order.task)
        return shared.packed((result, names_below(order.room / order.own)))
    finally:
        remove_if_abandoned(order.room)


class ClusterWorkers:
    """The accepted workers of a cluster, for one run.

    ``refusals`` says in words which others there are and why they get no task. ``failure`` says
    why the run cannot go on; blank while it can.
    """

    def __init__(
        self, connection: Connection, shared: SharedFolder, room: Path, accepted: "_Accepted"
    ) -> None:
        self.failure = ""
        self.refusals = accepted.refusals
        self._connection = connection
        self._shared = shared
        self._room = room
        self._run = accepted.run
        self._names = dict(accepted.names)

    @property
    def count(self) -> int:
        """The number of workers that are left."""
        return len(self._names)

    def results(
        self, work: Callable[[_Task], _Result], tasks: Sequence[_Task], workers: Workers
    ) -> Iterator[tuple[_Task, _Result | Trouble]]:
        """Yield each task with its result, as it finishes; end early if no worker is left."""
        coming = deque((task, 1) for task in tasks)
        under_way: dict[int, _Attempt] = {}
        try:
            while True:
                self._begin(work, coming, under_way, workers)
                if not under_way:
                    return
                lost = []
                for number, answer in self._connection.answers(_LOOK_SECONDS):
                    attempt = under_way.pop(number)
                    if isinstance(answer, LostWorkError):
                        lost.append(attempt)
                    else:
                        yield from self._finished(attempt, answer, coming)
                # Only here, because without a scheduler all is lost, and nothing has failed.
                for attempt in (*lost, *self._lost_attempts(under_way)):
                    yield from _lost(attempt, coming)
        except ClusterError as error:
            self.failure = str(error)
        finally:
            for number in under_way:
                self._connection.forget(number)

    def _begin(
        self,
        work: Callable[[Any], Any],
        coming: deque[tuple[Any, int]],
        under_way: dict[int, _Attempt],
        workers: Workers,
    ) -> None:
        """Give each idle worker a task; none once the run is stopped."""
        busy = {attempt.worker for attempt in under_way.values()}
        idle = [worker for worker in self._names if worker not in busy]
        for worker in idle[: max(0, workers.count - len(under_way))]:
            if not coming or workers.is_stopped():
                return
            task, tries = coming.popleft()
            attempt = _Attempt(task, tries, worker, uuid.uuid4().hex)
            order = self._order(work, attempt)
            number = self._connection.begin(result_of_order, self._shared.packed(order), worker)
            under_way[number] = attempt

    def _order(self, work: Callable[[Any], Any], attempt: _Attempt) -> _Order:
        task = attempt.task
        if hasattr(task, "folder"):
            task = replace(task, folder=self._room / attempt.own)
        return _Order(self._run, self._room, attempt.own, work, task)

    def _finished(
        self, attempt: _Attempt, answer: bytes | Exception, coming: deque[tuple[Any, int]]
    ) -> Iterator[tuple[Any, Any]]:
        """Yield a finished task, its files moved to where it wants them."""
        task = attempt.task
        if isinstance(answer, Exception):
            yield task, trouble_of(answer, task.public_names)
            return
        result, names = self._shared.unpacked(answer)
        if result is None:  # another process has taken the place of the worker
            self._drop({attempt.worker})
            yield from _lost(attempt, coming)
            return
        if names:
            move_files(names, self._room / attempt.own, task.folder)
        yield task, result

    def _lost_attempts(self, under_way: dict[int, _Attempt]) -> list[_Attempt]:
        """What was under way on workers that are no longer there."""
        self._drop(self._names.keys() - self._connection.workers().keys())
        lost = [number for number, a in under_way.items() if a.worker not in self._names]
        for number in lost:
            self._connection.forget(number)
        return [under_way.pop(number) for number in lost]

    def _drop(self, workers: Iterable[str]) -> None:
        """Use these workers no more; raise ``ClusterError`` if none is left."""
        for worker in workers:
            del self._names[worker]
        if not self._names:
            raise ClusterError(
                "the last worker of the cluster is lost; start workers again, then the same"
                " command, which makes what is left"
            )


def _lost(attempt: _Attempt, coming: deque[tuple[Any, int]]) -> Iterator[tuple[Any, Trouble]]:
    """Have a task whose worker was lost tried again, or yield it if that was the last try."""
    if attempt.tries < _MOST_TRIES:
        coming.appendleft((attempt.task, attempt.tries + 1))
    else:
        yield attempt.task, DIED


@dataclass(frozen=True, slots=True)
class _Accepted:
    """The workers that passed the examination for a run, by address, and why others did not."""

    run: str
    names: Mapping[str, str]
    refusals: tuple[str, ...]


@contextmanager
def cluster_workers(order: ClusterOrder) -> Iterator[ClusterWorkers]:
    """Yield the workers of a cluster that make what this computer makes.

    Raises ``UsageError`` or ``ClusterError``, before anything is written, if there are none.
    """
    with connected(order.address) as connection:
        accepted = _accepted(connection, order)
        if not accepted.names:
            reasons = "; ".join(accepted.refusals) or "none has been started"
            raise ClusterError(f"--cluster {order.address}: no worker can be used: {reasons}")
        with order.shared.room() as room:
            yield ClusterWorkers(connection, order.shared, room, accepted)


def _accepted(connection: Connection, order: ClusterOrder) -> _Accepted:
    run, versions = uuid.uuid4().hex, version_facts()
    names = dict(connection.workers())
    packed = pickle.dumps((run, versions, order.shared.packed(order.trial)))
    asked = {connection.begin(facts_of_worker, packed, worker): worker for worker in names}
    here = (*versions, *trial_facts(order.trial))
    why = {}
    for number, answer in _answers(connection, asked):
        why[asked[number]] = _refusal(here, answer)
    for number, worker in asked.items():
        if worker not in why:
            connection.forget(number)
            why[worker] = _NO_ANSWER
    accepted = {worker: name for worker, name in names.items() if not why[worker]}
    refused = {names[worker]: reason for worker, reason in why.items() if reason}
    refusals = tuple(f"worker {name}: {reason}" for name, reason in sorted(refused.items()))
    return _Accepted(run, accepted, refusals)


def _answers(
    connection: Connection, asked: Mapping[int, str]
) -> Iterator[tuple[int, bytes | Exception]]:
    """Yield the answers to an examination until all are there, or it has taken too long."""
    left = set(asked.values())
    until = time.monotonic() + _EXAMINE_SECONDS
    while left and time.monotonic() < until:
        for number, answer in connection.answers(_LOOK_SECONDS):
            yield number, answer
            left.discard(asked[number])
        left &= connection.workers().keys()


def _refusal(here: Facts, answer: bytes | Exception) -> str:
    """Why a worker gets no task; blank if it may have some."""
    if isinstance(answer, LostWorkError):
        return _NO_ANSWER
    if isinstance(answer, ImportError | AttributeError):
        return f"it has another version of the program, or none ({answer})"
    if isinstance(answer, Exception):
        return str(answer) if isinstance(answer, ProofsError) else repr(answer)
    there: Facts = pickle.loads(answer)
    found = differences(here[: len(there)], there)
    return "; ".join(found)
