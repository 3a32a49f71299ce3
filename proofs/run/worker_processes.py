"""The processes of workers: forked from this one while it has one thread, else started anew.

A fork costs a hundredth of a new process, which imports everything again, and shares its memory.
But only the thread that forks goes on in the new process. What others held stays held, and the
pixel library waits for its own threads for ever. So workers are forked before this process opens a
picture, and only if it has no other thread.
"""

import multiprocessing
import os
import threading
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass

from proofs.outside.machine import is_safe_to_fork
from proofs.run.interrupts import deaf_to_requests, end_workers, ignore_requests, start_tracker

MOST_WORKERS = 61  # Windows waits for at most 63 handles at once, and the pool needs two


@dataclass(frozen=True, slots=True)
class Forked:
    """Workers that were forked and wait for tasks."""

    count: int
    pool: ProcessPoolExecutor


@contextmanager
def forked_workers(count: int) -> Iterator[Forked | None]:
    """Yield so many forked workers, which end with this context; None where no fork is safe."""
    if count < 2 or not is_safe_to_fork() or not can_start_workers():
        yield None
        return
    forked = Forked(min(count, MOST_WORKERS), _pool(min(count, MOST_WORKERS), "fork"))
    with deaf_to_requests():
        _is_whole(forked.pool)  # the first task forks them all
    try:
        yield forked
    except (Exception, SystemExit):  # those at work finish, and each removes what is temporary
        _end(forked.pool)
        raise
    except BaseException:
        _kill(forked.pool)
        raise
    else:
        _end(forked.pool)


def can_start_workers() -> bool:
    """Return whether the system has the locks that processes share; some containers lack them."""
    start_tracker()  # before the lock does
    try:
        multiprocessing.get_context("spawn").Lock()
    except (OSError, ImportError):
        return False
    return True


@contextmanager
def pool_of(count: int, forked: Forked | None) -> Iterator[ProcessPoolExecutor]:
    """Yield a pool of workers: those that wait, or as many new ones.

    They are killed if an exception ends this early. Those that wait are replaced by new ones once
    one of them has died.
    """
    waiting = forked.pool if forked and forked.count >= count else None
    if waiting and not _is_whole(waiting):
        waiting = None
    pool = waiting or _pool(count or 1, "spawn")
    try:
        yield pool
    except BaseException:
        _kill(pool)
        raise
    if not waiting:
        pool.shutdown()


def _pool(count: int, how: str) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(
        count, mp_context=multiprocessing.get_context(how), initializer=_start
    )


def _is_whole(pool: ProcessPoolExecutor) -> bool:
    """Whether a pool takes tasks: none of its workers has died, and nobody has ended it."""
    try:
        pool.submit(os.getpid)
    except RuntimeError:
        return False
    return True


def _end(pool: ProcessPoolExecutor) -> None:
    if not _is_whole(pool):
        end_workers()  # it has asked them to end, which they do not hear, and waits for them
    pool.shutdown()


def _kill(pool: ProcessPoolExecutor) -> None:
    pool.shutdown(wait=False, cancel_futures=True)
    end_workers()


def _start() -> None:
    """Ignore requests to end, which the parent handles, so that the task in hand is finished.

    A closing terminal, and many a program that ends another, sends them to all processes.
    """
    ignore_requests()
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)  # at once: what the other threads do is no longer needed
