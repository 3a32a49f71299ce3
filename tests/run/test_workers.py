"""Workers: every task gets one result, whatever a picture does to its worker."""

import os
import signal

from proofs.run.workers import interrupts, usual_jobs, work


def double(number: int) -> int:
    return 2 * number


def double_unless_seven(number: int) -> int:
    if number == 7:
        os.kill(os.getpid(), signal.SIGKILL)
    return 2 * number


def lost(number: int) -> int:
    return -number


def never() -> bool:
    return False


def test_every_task_gets_its_result() -> None:
    assert sorted(work(double, range(5), jobs=2, lost=lost, stopped=never)) == [0, 2, 4, 6, 8]


def test_a_task_that_kills_its_worker_costs_no_other_task_its_result() -> None:
    tasks = [1, 7, 3, 4]
    results = sorted(work(double_unless_seven, tasks, jobs=2, lost=lost, stopped=never))
    assert results == [-7, 2, 6, 8]


def test_nothing_is_begun_once_someone_stopped_the_run() -> None:
    assert list(work(double, range(5), jobs=2, lost=lost, stopped=lambda: True)) == []


def test_ctrl_c_is_noted_and_does_not_tear_the_run() -> None:
    with interrupts() as stopped:
        assert not stopped()
        signal.raise_signal(signal.SIGINT)
        assert stopped()


def test_at_least_one_worker_suits_any_machine() -> None:
    assert usual_jobs() >= 1
