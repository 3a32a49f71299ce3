"""The workers of a cluster: processes of their own behind a scheduler, on this machine alone."""

import os
import pickle
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from proofs.errors import ClusterError, ExitCode, UsageError
from proofs.outside import cluster as cluster_module
from proofs.outside.shared_folder import SharedFolder
from proofs.run import cluster_workers as module
from proofs.run.cluster_order import ClusterOrder
from proofs.run.cluster_workers import ClusterWorkers, cluster_workers, result_of_order
from proofs.run.fitness import Trial
from proofs.run.workers import DIED, Trouble, Workers
from tests.cluster_processes import OTHER_BITS, OTHER_ZLIB, TestCluster, cluster_of
from tests.cluster_work import (
    Sum,
    double,
    double_at_the_second_try,
    double_slowly,
    double_unless_seven,
    place_and_process,
    refuse,
)
from tests.command import Said, gradient, in_process, write_entries
from tests.labs import JPEG
from tests.workbench import LAB

pytest.importorskip("distributed", reason="an extra that is not installed")
pytestmark = pytest.mark.skipif(os.name == "nt", reason="no process is killed in this way there")
NAMES = "ash", "birch", "cedar"


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestCluster]:
    with cluster_of(tmp_path_factory.mktemp("shared").resolve(), NAMES) as cluster:
        yield cluster


@pytest.fixture
def cluster(started: TestCluster, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestCluster]:
    """The cluster, with its three usual workers."""
    monkeypatch.setenv("PROOFS_SHARED", str(started.shared))
    started.restore(NAMES)
    yield started
    assert rooms(started.shared) == []


def rooms(shared: Path) -> list[Path]:
    """The temporary folders in the shared one, once nobody writes there any more."""
    until = time.monotonic() + 20
    while (found := list(shared.glob(".proofs-cluster-*"))) and time.monotonic() < until:
        time.sleep(0.1)
    return found


@contextmanager
def joined(cluster: TestCluster, trial: Trial | None = None) -> Iterator[ClusterWorkers]:
    trial = trial or Trial(LAB, None, None)
    order = ClusterOrder(cluster.address, SharedFolder(cluster.shared), trial)
    with cluster_workers(order) as workers:
        yield workers


def done(
    cluster: ClusterWorkers, work: Callable[[Sum], Any], folder: Path, numbers: Sequence[int]
) -> dict[int, Any]:
    """The result of each task that was finished, by its number."""
    workers = Workers(len(NAMES), cluster=cluster)
    results = workers.results(work, [Sum(number, folder) for number in numbers])
    return {task.number: result for task, result in results}


def test_each_task_gets_its_result_and_its_files_are_where_it_wants_them(
    cluster: TestCluster, tmp_path: Path
) -> None:
    with joined(cluster) as workers:
        assert workers.count == 3
        assert workers.refusals == ()
        assert done(workers, double, tmp_path, range(5)) == {n: 2 * n for n in range(5)}
    made = {path.name: path.read_text() for path in (tmp_path / "made").iterdir()}
    assert made == {f"{n}.txt": "done" for n in range(5)}


def test_each_worker_has_one_task_at_a_time_and_a_folder_of_its_own_for_it(
    cluster: TestCluster, tmp_path: Path
) -> None:
    with joined(cluster) as workers:
        results = done(workers, place_and_process, tmp_path, range(6))
    places = {place for place, _ in results.values()}
    assert len(places) == 6
    assert all(place.startswith(f"{cluster.shared}/.proofs-cluster-") for place in places)
    processes = {process for _, process in results.values()}
    assert processes <= {process.pid for process in cluster.workers.values()}


def test_a_task_that_raises_is_in_trouble_and_names_no_path(
    cluster: TestCluster, tmp_path: Path
) -> None:
    with joined(cluster) as workers:
        trouble = done(workers, refuse, tmp_path, [4])[4]
    assert trouble == Trouble("4.jpg: the disk is full", "failed", ExitCode.NOT_WRITTEN)


def test_the_task_of_a_lost_worker_is_tried_again_on_another(
    cluster: TestCluster, tmp_path: Path
) -> None:
    with joined(cluster) as workers:
        results = done(workers, double_at_the_second_try, tmp_path, (1, 7, 3, 4))
        assert workers.count == 2
    assert results == {1: 2, 7: 14, 3: 6, 4: 8}


def test_a_task_that_loses_two_workers_is_in_trouble_and_leaves_no_file(
    cluster: TestCluster, tmp_path: Path
) -> None:
    with joined(cluster) as workers:
        results = done(workers, double_unless_seven, tmp_path, (1, 7, 3, 4))
        assert workers.failure == ""
    assert results == {1: 2, 7: DIED, 3: 6, 4: 8}
    assert not (tmp_path / "made" / "7.txt").exists()


def test_a_run_whose_last_worker_is_lost_ends_in_words_with_what_was_done(
    cluster: TestCluster, tmp_path: Path
) -> None:
    cluster.end("birch", "cedar")
    with joined(cluster) as workers:
        results = done(workers, double_unless_seven, tmp_path, (1, 7, 3, 4))
        assert results == {1: 2}
        assert workers.failure.startswith("the last worker of the cluster is lost; start workers")
        run = Workers(1, cluster=workers)
        assert run.has_failed
        assert run.exit_code((), ()) is ExitCode.NOT_WRITTEN


def test_a_run_whose_scheduler_goes_away_ends_in_words_within_seconds(tmp_path: Path) -> None:
    with cluster_of(tmp_path, ["yew"]) as own, joined(own) as workers:
        assert own.scheduler
        threading.Timer(0.5, own.scheduler.kill).start()
        begun = time.monotonic()
        results = done(workers, double_slowly, tmp_path / "out", (1, 2, 3))
        assert time.monotonic() - begun < 10
    assert results == {}
    assert "the scheduler does not answer any more; start it again" in workers.failure


def test_no_task_begins_once_the_run_is_stopped_and_those_in_hand_are_finished(
    cluster: TestCluster, tmp_path: Path
) -> None:
    finished: list[str] = []
    tasks = [Sum(n, tmp_path) for n in range(6)]
    with joined(cluster) as own:
        workers = Workers(
            2, is_stopped=lambda: bool(finished), after_each=finished.append, cluster=own
        )
        assert len(list(workers.results(double_slowly, tasks))) == 2
    assert len(finished) == 2


def test_a_worker_with_another_version_is_refused_by_name_and_gets_no_task(
    cluster: TestCluster, tmp_path: Path
) -> None:
    cluster.end("cedar")
    cluster.start(["elder"], **{OTHER_ZLIB: "0.9"})
    with joined(cluster) as workers:
        (refusal,) = workers.refusals
        processes = {p for _, p in done(workers, place_and_process, tmp_path, range(6)).values()}
    assert refusal.startswith("worker elder: zlib is 0.9, here 1.")
    assert processes == {cluster.workers[name].pid for name in ("ash", "birch")}


def test_a_worker_whose_test_print_differs_is_refused(cluster: TestCluster) -> None:
    cluster.end("cedar")
    cluster.start(["fir"], **{OTHER_BITS: "yes"})
    with joined(cluster) as workers:
        (refusal,) = workers.refusals
    assert refusal.startswith("worker fir: test print is ")


def test_a_worker_that_does_not_see_the_folder_is_refused_and_no_other_ends_the_run(
    cluster: TestCluster, tmp_path: Path
) -> None:
    cluster.end(*cluster.workers)
    cluster.start(["holly"], PROOFS_SHARED=str(tmp_path))
    cluster.start(["ivy"], PROOFS_SHARED="")
    picture = cluster.shared / "seen.jpg"
    picture.write_bytes(b"a picture")
    with pytest.raises(ClusterError) as caught, joined(cluster, Trial(LAB, None, picture)):
        pytest.fail("no worker can be used")
    assert "no worker can be used: worker holly: picture in the shared folder is" in str(caught)
    assert "worker ivy: where is the shared folder on this computer?" in str(caught.value)


def test_another_process_at_the_place_of_a_worker_gets_no_task(
    cluster: TestCluster, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with joined(cluster) as workers:
        monkeypatch.setattr(workers, "_run", "a run that has examined nobody")
        assert done(workers, double, tmp_path, [1]) == {1: DIED}
        assert workers.count == 1


def test_what_a_worker_writes_after_the_end_of_its_run_is_removed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PROOFS_SHARED", str(tmp_path))
    monkeypatch.setattr(module, "_examined", {"run"})
    room = tmp_path / ".proofs-cluster-abcdefgh"
    order = module._Order("run", room, "own", double, Sum(2, room / "own"))
    shared = SharedFolder(tmp_path)
    answer = shared.unpacked(result_of_order(shared.packed(order)))
    assert answer == (4, ("made/2.txt",))
    assert list(tmp_path.iterdir()) == []


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as server:
        port: int = server.getsockname()[1]
        return port


def test_where_no_scheduler_is_the_run_ends_in_words(tmp_path: Path) -> None:
    nobody = TestCluster(tmp_path, f"tcp://127.0.0.1:{free_port()}")
    with pytest.raises(ClusterError, match="no scheduler can be reached there"), joined(nobody):
        pytest.fail("nobody is there")


def test_where_something_else_answers_the_run_ends_in_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster_module, "_CONNECT_SECONDS", 1)
    with socket.create_server(("127.0.0.1", 0)) as server:
        other = TestCluster(tmp_path, f"tcp://127.0.0.1:{server.getsockname()[1]}")
        with pytest.raises(ClusterError, match="is no scheduler of a cluster"), joined(other):
            pytest.fail("it is no scheduler")


@pytest.mark.parametrize("address", ["nonsense", "tcp://somewhere", "tcp://a:b", "tcp://[::1"])
def test_what_is_no_address_is_refused(tmp_path: Path, address: str) -> None:
    with pytest.raises(UsageError, match="is not the address of a scheduler"):
        with joined(TestCluster(tmp_path, address)):
            pytest.fail("there is no such place")


def test_without_the_extra_the_words_say_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    nobody = TestCluster(tmp_path, "tcp://127.0.0.1:9")
    with pytest.raises(UsageError, match=r"install it with: pip install 'proofs\[cluster\]'"):
        with joined(nobody):
            pytest.fail("it is not installed")


def test_nothing_of_the_cluster_is_loaded_without_the_option() -> None:
    code = (
        "import sys; import proofs.cli.make, proofs.cli.strip, proofs.cli.deliver;"
        "print({'distributed', 'dask', 'tornado'} & sys.modules.keys())"
    )
    words = [sys.executable, "-c", code]
    assert subprocess.run(words, capture_output=True, text=True, check=True).stdout == "set()\n"
