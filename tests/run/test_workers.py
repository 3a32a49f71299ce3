"""Workers: every task gets one result, whatever it raises or does to its worker."""

import os
import signal
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

from proofs.errors import ExitCode, PhotographError, ProfileError, UsageError, WriteError
from proofs.run.workers import Trouble, Workers, guarded, trouble_of, usual_count

PATIENCE_S = 60  # for a worker to begin, on a busy machine
PRIVATE = Path("/home/maker/pictures/one.jpg")


@dataclass(frozen=True, slots=True)
class Sum:
    number: int

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        return ((PRIVATE, "one.jpg"), (PRIVATE.parent, ""))


@dataclass(frozen=True, slots=True)
class Mark:
    path: Path

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        return ()


def leave_mark(task: Mark) -> None:
    task.path.touch()


def double(task: Sum) -> int:
    return 2 * task.number


def double_unless_seven(task: Sum) -> int:
    if task.number == 7:
        os.kill(os.getpid(), signal.SIGKILL)
    return 2 * task.number


def double_unless_eight(task: Sum) -> int:
    if task.number == 8:
        os._exit(3)
    return 2 * task.number


def double_after_the_others_wait(task: Sum) -> int:
    if task.number == 7:
        time.sleep(1)  # until the other worker waits for a task
        os.kill(os.getpid(), signal.SIGKILL)
    return 2 * task.number


def refuse_odd(task: Sum) -> int:
    if task.number % 2:
        raise WriteError(f"{PRIVATE}: the disk is full")
    return 2 * task.number


def figures(workers: Workers, work: Callable[[Sum], int], numbers: Sequence[int]) -> list[int]:
    """Return the sorted results; of a task in trouble, its exit code with a minus sign."""
    results = workers.results(work, [Sum(number) for number in numbers])
    return sorted(-r.exit_code if isinstance(r, Trouble) else r for _, r in results)


def test_every_task_gets_its_result() -> None:
    assert figures(Workers(2), double, range(5)) == [0, 2, 4, 6, 8]


def test_results_can_be_had_in_the_order_of_their_tasks() -> None:
    tasks = [Sum(number) for number in (5, 1, 4, 1)]
    assert Workers(2).ordered_results(double, tasks) == [(task, 2 * task.number) for task in tasks]


@pytest.mark.skipif(os.name == "nt", reason="no process is killed in this way there")
@pytest.mark.parametrize("work", [double_unless_seven, double_after_the_others_wait])
def test_a_worker_that_the_system_kills_twice_is_a_lack_of_memory_and_costs_no_other_task(
    work: Callable[[Sum], int],
) -> None:
    assert figures(Workers(2), work, (1, 7, 3, 4)) == [-5, 2, 6, 8]


@pytest.mark.skipif(os.name == "nt", reason="no process is killed in this way there")
def test_the_words_for_a_killed_worker_name_the_lack_of_memory_and_the_remedy() -> None:
    tasks = [Sum(7), Sum(2)]
    killed = Workers(2).ordered_results(double_unless_seven, tasks)[0][1]
    assert isinstance(killed, Trouble)
    assert "the system ended the worker process, most likely for want of memory" in killed.reason
    assert "try --jobs 1" in killed.reason
    assert killed.trace == ""


def test_a_worker_that_ends_itself_twice_is_a_fault_of_the_program() -> None:
    assert figures(Workers(2), double_unless_eight, (1, 8, 3, 4)) == [-70, 2, 6, 8]


def test_a_task_that_raises_costs_no_other_task_its_result() -> None:
    assert figures(Workers(2), refuse_odd, (2, 3, 4)) == [-5, 4, 8]


def test_progress_is_reported_after_each_task() -> None:
    done: list[str] = []
    workers = Workers(2, after_each=done.append)
    figures(workers, double, (1, 2, 3))
    assert done == ["one.jpg"] * 3


def test_no_task_begins_once_the_run_is_stopped() -> None:
    workers = Workers(2, is_stopped=lambda: True)
    assert figures(workers, double, (1, 2)) == []


def test_no_task_waits_in_a_pool_of_fewer_workers_than_were_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("proofs.run.workers.MOST_WORKERS", 1)
    done: list[str] = []
    stopping = Workers(9, is_stopped=lambda: bool(done), after_each=done.append)
    # The second begins before the first is handed out, and so before the run is stopped.
    assert figures(stopping, double, (1, 2, 3)) == [2, 4]


def test_a_worker_has_its_next_task_while_a_result_is_dealt_with(tmp_path: Path) -> None:
    tasks = [Mark(tmp_path / name) for name in "ab"]
    results = Workers(1).results(leave_mark, tasks)
    assert next(iter(results))[0] is tasks[0]
    until = time.monotonic() + PATIENCE_S
    while not tasks[1].path.exists() and time.monotonic() < until:
        time.sleep(0.01)
    assert tasks[1].path.exists()


@pytest.mark.parametrize(
    ("error", "code", "exit_code"),
    [
        (PhotographError("no"), "unreadable", ExitCode.UNREADABLE),
        (WriteError("no"), "failed", ExitCode.NOT_WRITTEN),
        (ProfileError("no"), "failed", ExitCode.NOT_UNDERSTOOD),
        (UsageError("no"), "failed", ExitCode.USAGE),
        (RuntimeError("no"), "failed", ExitCode.FAULT),
    ],
)
def test_an_error_keeps_its_own_exit_code(error: Exception, code: str, exit_code: int) -> None:
    trouble = trouble_of(error, ())
    assert (trouble.code, trouble.exit_code) == (code, exit_code)


def test_only_a_fault_of_the_program_has_a_traceback() -> None:
    assert trouble_of(WriteError("no"), ()).trace == ""
    assert "RuntimeError: no" in trouble_of(RuntimeError("no"), ()).trace


def test_a_reason_names_files_as_the_user_does() -> None:
    trouble = guarded(refuse_odd, Sum(1))
    assert isinstance(trouble, Trouble)
    assert trouble.reason == "one.jpg: the disk is full"
    folder = trouble_of(WriteError(f"{PRIVATE.parent / 'a.tif'}: no"), Sum(1).public_names)
    assert folder.reason == "a.tif: no"


def test_any_machine_has_a_worker_and_windows_no_more_than_it_can_wait_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert usual_count() >= 1
    monkeypatch.setattr("proofs.run.workers.memory_bytes", lambda: 10**12)
    monkeypatch.setattr(os, "sched_getaffinity", lambda pid: range(96), raising=False)
    assert usual_count() == 61
    monkeypatch.setattr("proofs.run.workers.memory_bytes", lambda: 10**9)
    assert usual_count() == 1
