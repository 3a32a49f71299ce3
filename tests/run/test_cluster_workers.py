"""The workers of a cluster: processes of their own behind a scheduler, on this machine alone."""

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import reportlab

from proofs.errors import ClusterError, ExitCode, UsageError
from proofs.outside import cluster as cluster_module
from proofs.outside.pixels.colour import spaces
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
    double_slowly,
    double_unless_seven,
    end_worker,
    place_and_process,
    refuse,
)
from tests.command import Said, gradient, in_process, report_of, write_entries
from tests.labs import JPEG
from tests.workbench import LAB

pytest.importorskip("distributed", reason="an extra that is not installed")
pytestmark = pytest.mark.skipif(os.name == "nt", reason="no process is killed in this way there")
NAMES = "ash", "birch", "cedar"
FONT = Path(reportlab.__file__).parent / "fonts" / "Vera.ttf"


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestCluster]:
    with cluster_of(tmp_path_factory.mktemp("shared").resolve(), NAMES) as cluster:
        yield cluster


@pytest.fixture
def cluster(started: TestCluster, monkeypatch: pytest.MonkeyPatch) -> Iterator[TestCluster]:
    """The cluster, with the workers that earlier tests have left."""
    monkeypatch.setenv("PROOFS_SHARED", str(started.shared))
    yield started
    assert rooms(started.shared) == []


def rooms(shared: Path) -> list[Path]:
    """The temporary folders in the shared one, once nobody writes there any more."""
    until = time.monotonic() + 20
    while (found := list(shared.glob(".proofs-cluster-*"))) and time.monotonic() < until:
        time.sleep(0.1)
    return found


@contextmanager
def joined(cluster: TestCluster) -> Iterator[ClusterWorkers]:
    order = ClusterOrder(cluster.address, SharedFolder(cluster.shared), Trial(LAB, None, None))
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
    nowhere, words = TestCluster(tmp_path, address), "is not the address of a scheduler"
    with pytest.raises(UsageError, match=words), joined(nowhere):
        pytest.fail("there is no such place")


def test_without_the_extra_the_words_say_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    nobody = TestCluster(tmp_path, "tcp://127.0.0.1:9")
    words = r"install it with: pip install 'proofs\[cluster\]'"
    with pytest.raises(UsageError, match=words), joined(nobody):
        pytest.fail("it is not installed")


def test_nothing_of_the_cluster_is_loaded_before_it_is_asked_for() -> None:
    code = (
        "import sys; import proofs.outside.cluster;"
        "print({'distributed', 'dask', 'tornado'} & sys.modules.keys())"
    )
    words = [sys.executable, "-c", code]
    assert subprocess.run(words, capture_output=True, text=True, check=True).stdout == "set()\n"


# From here on, the program as its user runs it: first with all workers, then with fewer and fewer.


@pytest.fixture(scope="module")
def pictures(started: TestCluster) -> Path:
    """Four pictures in the shared folder, with a lab that has a colour profile of its own."""
    folder = started.shared / "pictures"
    labs = folder / "profiles" / "labs"
    labs.mkdir(parents=True)
    for n, name in enumerate("abcd"):
        gradient(folder / f"{name}.jpg", 900, 600, seed=n)
    rows = [f"{name}.jpg,Вид × {name},long 6 in,0; +0.10" for name in "abcd"]
    write_entries(folder, "file,title,size,bracket", *rows)
    (labs / "small.toml").write_text(JPEG.replace('"srgb"', '"small.icc"'), encoding="utf-8")
    (labs / "small.icc").write_bytes(spaces.built_in_profile("display-p3"))
    return folder


COMMANDS = {
    "make": ("make",),
    "strip": ("strip", "--proof-prints"),
    "deliver": ("deliver", "--density", "0", "--soft-proof"),
}


def run_of(name: str, pictures: Path, out: str, *more: str) -> Said:
    """A run of a command into a folder beside the pictures, on this computer or by a cluster."""
    command, *options = COMMANDS[name]
    usual = ("--lab", "small", "--rules", "none", "--out", pictures.parent / out)
    return in_process(command, pictures, *options, *usual, *more)


def contents(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


@pytest.fixture(scope="module")
def here(pictures: Path) -> dict[str, tuple[Said, dict[str, bytes]]]:
    """What each command prints and makes on this computer alone."""
    made = {}
    with pytest.MonkeyPatch.context() as patch:
        for name in COMMANDS:
            said = run_of(name, pictures, f"{name}-here", "--jobs", "2")
            made[name] = said, contents(pictures.parent / f"{name}-here")
            # The first by a pool; the others in this process, because pools take their time.
            patch.setattr("proofs.run.workers.can_start_workers", lambda: False)
    return made


@pytest.mark.parametrize("name", COMMANDS)
def test_a_cluster_makes_the_same_bytes_and_prints_the_same_words(
    cluster: TestCluster, pictures: Path, here: dict[str, Any], name: str
) -> None:
    said = run_of(name, pictures, f"{name}-there", "--cluster", cluster.address)
    alone, made = here[name]
    assert contents(cluster.shared / f"{name}-there") == made
    assert said.out == alone.out.replace(f"{name}-here", f"{name}-there")
    assert said.err == "using 3 workers\n"
    assert said.code == alone.code == 0


def begun(cluster: TestCluster, pictures: Path, out: str, jobs: int) -> "subprocess.Popen[str]":
    """A run of ``make`` by the cluster, of which the first file has just been written."""
    words = [sys.executable, "-W", "error", "-m", "proofs", "make", str(pictures)]
    words += [
        "--lab",
        "small",
        "--rules",
        "none",
        "--out",
        str(cluster.shared / out),
    ]
    words += ["--cluster", cluster.address, "--jobs", str(jobs)]
    run = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    until = time.monotonic() + 60
    while not list(cluster.shared.glob(".proofs-cluster-*/*/*/*")):
        assert time.monotonic() < until, "no worker began"
        assert run.poll() is None, "the run ended by itself"
        time.sleep(0.01)
    return run


def test_ctrl_c_finishes_what_is_in_hand_and_the_next_run_completes_it(
    cluster: TestCluster, pictures: Path, here: dict[str, Any]
) -> None:
    run = begun(cluster, pictures, "stopped", 2)
    run.send_signal(signal.SIGINT)
    out, err = run.communicate(timeout=60)
    assert run.returncode == 130
    assert err.startswith("using 3 workers\n\nstopping after the work in hand")
    assert err.count("\n") == 3
    assert len(list((cluster.shared / "stopped" / "prints").iterdir())) == 2
    assert "entries 3, 4 were not done" in out
    again = run_of("make", pictures, "stopped", "--cluster", cluster.address)
    assert again.code == 0
    assert contents(cluster.shared / "stopped") == here["make"][1]


def test_a_second_ctrl_c_ends_the_run_at_once(cluster: TestCluster, pictures: Path) -> None:
    run = begun(cluster, pictures, "cancelled", 1)
    for _ in range(2):
        run.send_signal(signal.SIGINT)
        time.sleep(0.1)
    pressed = time.monotonic()
    _, err = run.communicate(timeout=60)
    assert time.monotonic() - pressed < 10
    assert run.returncode == 130
    assert err.endswith("proofs: interrupted\n")
    assert "Traceback" not in err


@pytest.mark.parametrize(
    ("command", "options"),
    [
        ("make", {"--out": "{outside}/out"}),
        ("make", {"": "{outside}/a.jpg"}),
        ("make", {"": "{shared}/link"}),
        ("strip", {"--font": "{font}"}),
        ("deliver", {"--lab": "srgb-jpeg-300", "--out": "{outside}/out"}),
    ],
)
def test_what_is_outside_the_shared_folder_is_refused_before_anything_begins(
    cluster: TestCluster, pictures: Path, tmp_path: Path, command: str, options: dict[str, str]
) -> None:
    gradient(tmp_path / "a.jpg", 60, 40)
    link = cluster.shared / "link"
    link.unlink(missing_ok=True)
    link.symlink_to(tmp_path)
    places = {"outside": tmp_path, "shared": cluster.shared, "font": FONT}
    usual = {"": str(pictures), "--out": str(cluster.shared / "out"), "--cluster": cluster.address}
    named = usual | {name: path.format(**places) for name, path in options.items()}
    said = in_process(command, *(word for pair in named.items() for word in pair if word))
    assert said.code == 2
    assert f"is outside the shared folder {cluster.shared}" in said.err
    assert "making" not in said.out
    assert not (cluster.shared / "out").exists()


def test_workers_that_differ_are_refused_by_name_and_get_no_task(
    cluster: TestCluster, tmp_path: Path
) -> None:
    cluster.start(
        {
            "elder": {OTHER_ZLIB: "0.9"},
            "fir": {OTHER_BITS: "yes"},
            "ivy": {"PROOFS_SHARED": ""},
        }
    )
    with joined(cluster) as workers:
        refusals = workers.refusals
        results = done(workers, place_and_process, tmp_path, range(8))
    starts = (
        *("worker elder: zlib is 0.9, here 1.", "worker fir: test print is "),
        "worker ivy: where is the shared folder on this computer?",
    )
    assert [r.startswith(s) for r, s in zip(refusals, starts, strict=True)] == [True] * 3
    assert {p for _, p in results.values()} == {cluster.workers[name].pid for name in NAMES}
    cluster.end(*NAMES)
    with pytest.raises(ClusterError) as caught, joined(cluster):
        pytest.fail("no worker can be used")
    assert f"no worker can be used: {'; '.join(refusals)}" in str(caught.value)


def test_a_worker_that_is_killed_in_the_middle_changes_no_byte(
    cluster: TestCluster, pictures: Path, here: dict[str, Any]
) -> None:
    cluster.restore(NAMES)
    run = begun(cluster, pictures, "with-a-loss", 3)
    cluster.end("cedar")
    _, err = run.communicate(timeout=60)
    assert (run.returncode, err) == (0, "using 3 workers\n")
    assert contents(cluster.shared / "with-a-loss") == here["make"][1]


def test_a_task_that_loses_two_workers_is_in_trouble_and_leaves_no_file(
    cluster: TestCluster, tmp_path: Path
) -> None:
    cluster.restore(NAMES)
    with joined(cluster) as workers:
        results = done(workers, double_unless_seven, tmp_path, (1, 7, 3, 4))
        assert workers.failure == ""
    assert results == {1: 2, 7: DIED, 3: 6, 4: 8}
    assert not (tmp_path / "made" / "7.txt").exists()


def test_a_delivery_whose_last_worker_is_lost_is_not_made(
    cluster: TestCluster, pictures: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("proofs.commands.delivery.run.make_lab_sheet", end_worker)
    said = run_of("deliver", pictures, "undelivered", "--cluster", cluster.address)
    assert said.code == 5
    assert "nothing was made" in said.out
    assert "the last worker of the cluster is lost" in said.err
    assert not (cluster.shared / "undelivered").exists()


def test_a_run_whose_scheduler_goes_away_ends_in_words_with_what_was_done(
    cluster: TestCluster, pictures: Path
) -> None:
    cluster.restore(NAMES[:1])
    run = begun(cluster, pictures, "lost", 1)
    until = time.monotonic() + 60
    while not list((cluster.shared / "lost").glob("prints/*.jpg")):
        assert time.monotonic() < until, "no entry was finished"
        time.sleep(0.01)
    killed = time.monotonic()
    cluster.end()
    out, err = run.communicate(timeout=60)
    assert time.monotonic() - killed < 15
    assert run.returncode == 5
    assert err.startswith("using 1 worker\n--cluster tcp://127.0.0.1:")
    assert err.endswith(
        "the scheduler does not answer any more; start it again, then the same command, which"
        " makes what is left\n"
    )
    assert "were not done" in out
    assert len(report_of(cluster.shared / "lost")["entries"]) == 4
