"""How a run ends: at the user's word, at the system's, or when its output goes nowhere."""

import contextlib
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import psutil
import pytest

from proofs.cli import check as check_module
from tests.command import gradient, in_process, proofs, report_of, write_entries

resource = pytest.importorskip("resource", reason="limits are others there")
pytestmark = pytest.mark.skipif(os.name == "nt", reason="signals and devices are others there")
WORDS = [sys.executable, "-W", "error", "-m", "proofs"]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    path = tmp_path / "pictures"
    path.mkdir()
    for name in "abcd":
        gradient(path / f"{name}.jpg", 1500, 1000)
    rows = [f"{name}.jpg,Вид × {name},long 12 in" for name in "abcd"]
    write_entries(path, "file,title,size", *rows)
    return path


def begun(folder: Path, *arguments: str | Path) -> subprocess.Popen[str]:
    """A run in a group of its own of which a worker has begun a task."""
    run = subprocess.Popen(
        [*WORDS, *map(str, arguments)],
        cwd=folder,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    until = time.monotonic() + 60
    while not any(map(is_at_work, workers_of(run.pid))):
        assert time.monotonic() < until, "no worker began"
        assert run.poll() is None, "the run ended by itself"
        time.sleep(0.02)
    return run


def workers_of(pid: int) -> list[psutil.Process]:
    try:
        return psutil.Process(pid).children(recursive=True)
    except psutil.NoSuchProcess:
        return []


def is_at_work(worker: psutil.Process) -> bool:
    """Whether it has more threads than one that waits, which has its own and one for its parent."""
    with contextlib.suppress(psutil.NoSuchProcess):
        return worker.num_threads() > 2
    return False


def alive(processes: list[psutil.Process]) -> list[psutil.Process]:
    return [p for p in processes if p.is_running() and p.status() != psutil.STATUS_ZOMBIE]


def assert_all_end(processes: list[psutil.Process]) -> None:
    until = time.monotonic() + 5
    while alive(processes) and time.monotonic() < until:
        time.sleep(0.05)
    assert alive(processes) == []


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_request_to_end_is_answered_in_words_and_with_130(folder: Path, number: int) -> None:
    run = begun(folder, "make", folder, "--out", folder.parent / "out", "--jobs", "2")
    os.kill(run.pid, number)
    _, err = run.communicate(timeout=60)
    assert run.returncode == 130
    assert "stopping after the work in hand" in err
    assert "Traceback" not in err


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_terminal_that_closes_or_stops_all_processes_ends_a_run_after_the_work_in_hand(
    folder: Path, number: int
) -> None:
    out = folder.parent / "out"
    run = begun(folder, "make", folder, "--out", out, "--jobs", "2")
    os.killpg(run.pid, number)
    _, err = run.communicate(timeout=60)
    assert run.returncode == 130
    assert "stopping after the work in hand" in err
    assert "Traceback" not in err
    assert len(list((out / "prints").iterdir())) in (1, 2)
    assert report_of(out)["entries"]


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_worker_hears_no_request_to_end_but_its_parent_does(folder: Path, number: int) -> None:
    out = folder.parent / "out"
    run = begun(folder, "make", folder, "--out", out, "--jobs", "2")
    for worker in workers_of(run.pid):
        worker.send_signal(number)
    run.communicate(timeout=120)
    assert run.returncode == 0
    assert len(list((out / "prints").iterdir())) == 4


def test_ctrl_c_reaches_workers_that_are_only_starting_and_none_says_a_word(folder: Path) -> None:
    words = [*WORDS, "make", str(folder), "--out", str(folder.parent / "out"), "--jobs", "2"]
    run = subprocess.Popen(words, stderr=subprocess.PIPE, text=True, start_new_session=True)
    until = time.monotonic() + 60
    while not workers_of(run.pid) and time.monotonic() < until:
        time.sleep(0.005)
    for _ in range(3):  # a terminal sends it to every process of the run
        time.sleep(0.1)
        with contextlib.suppress(ProcessLookupError):
            os.killpg(run.pid, signal.SIGINT)
    _, err = run.communicate(timeout=60)
    assert run.returncode == 130
    assert "Traceback" not in err
    assert "KeyboardInterrupt" not in err


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_run_that_ends_before_its_first_task_leaves_no_process(folder: Path, number: int) -> None:
    words = [*WORDS, "make", str(folder), "--out", str(folder.parent / "out"), "--jobs", "2"]
    run = subprocess.Popen(words, stderr=subprocess.PIPE, text=True, start_new_session=True)
    until = time.monotonic() + 60
    while len(workers := workers_of(run.pid)) < 3 and time.monotonic() < until:
        time.sleep(0.001)
    os.killpg(run.pid, number)
    _, err = run.communicate(timeout=60)
    assert run.returncode == 130
    assert "Traceback" not in err
    assert_all_end(workers)


def test_a_delivery_that_is_stopped_leaves_nothing_even_if_all_was_under_way(folder: Path) -> None:
    out = folder.parent / "out"
    arguments = ("deliver", folder, "--lab", "srgb-jpeg-300", "--density", "0", "--anyway")
    run = begun(folder, *arguments, "--out", out, "--jobs", "4")
    os.kill(run.pid, signal.SIGINT)
    run.communicate(timeout=60)
    assert run.returncode == 130
    assert not out.exists()
    assert [p.name for p in folder.parent.iterdir()] == ["pictures"]


def test_workers_end_when_their_parent_is_killed(folder: Path) -> None:
    run = begun(folder, "make", folder, "--out", folder.parent / "out", "--jobs", "2")
    workers = workers_of(run.pid)
    run.kill()
    run.communicate(timeout=60)
    assert_all_end(workers)


def test_a_run_that_was_killed_is_completed_to_the_bytes_of_an_undisturbed_one(
    folder: Path,
) -> None:
    out, whole = folder.parent / "out", folder.parent / "whole"
    run = begun(folder, "make", folder, "--out", out, "--jobs", "2")
    time.sleep(0.5)
    run.kill()
    run.communicate(timeout=60)
    assert proofs("make", folder, "--out", out).code == 0
    assert proofs("make", folder, "--out", whole).code == 0
    assert contents(out) == contents(whole)


def test_an_inspection_that_is_stopped_ends_with_130_and_the_next_completes_it(
    folder: Path,
) -> None:
    write_entries(folder, "file,size", *(f"{name}.jpg,long 2 in" for name in "abcd"))
    out, whole = folder.parent / "out", folder.parent / "whole"
    run = begun(folder, "inspect", folder, "--out", out, "--jobs", "2")
    os.kill(run.pid, signal.SIGINT)
    _, err = run.communicate(timeout=60)
    assert run.returncode == 130
    assert "stopping after the work in hand" in err
    assert (out / "inspection.json").is_file()
    assert proofs("inspect", folder, "--out", out).code == 0
    assert proofs("inspect", folder, "--out", whole).code == 0
    assert contents(out) == contents(whole)


def contents(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def test_two_runs_at_once_into_one_folder_are_one_run(folder: Path) -> None:
    out = folder.parent / "out"
    run = begun(folder, "make", folder, "--out", out, "--jobs", "2")
    second = proofs("make", folder, "--out", out)
    run.communicate(timeout=120)
    assert run.returncode == 0
    assert second.code == 5
    assert f"is in use by another run, 'make', process {run.pid}" in second.err


@pytest.mark.parametrize("jobs", ["1", "2"])
@pytest.mark.parametrize(
    "arguments", [("make",), ("strip",), ("strip", "--proof-prints"), ("make", "--soft-proof")]
)
def test_a_disk_that_takes_no_large_file_ends_with_5(
    folder: Path, jobs: str, arguments: tuple[str, ...]
) -> None:
    command, *options = arguments
    words = [*WORDS, command, str(folder), *options, "--out", str(folder.parent / "out")]
    most = (200_000, 200_000)
    done = subprocess.run(
        [*words, "--jobs", jobs],
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, most),
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 5, done.stdout + done.stderr
    assert "cannot be written: File too large" in done.stdout + done.stderr
    assert "Traceback" not in done.stderr


def test_an_unforeseen_error_ends_with_70_and_the_path_of_a_log(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: Any, **__: Any) -> Any:
        raise RuntimeError("out of order")

    monkeypatch.setattr(check_module, "exit_code_of", broken)
    said = in_process("check", folder)
    assert said.code == 70
    assert "a fault of the program: RuntimeError: out of order; please send " in said.err
    log = Path(said.err.strip().rpartition(" ")[2])
    assert "RuntimeError: out of order" in log.read_text(encoding="utf-8")


def shell(line: str, folder: Path, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run a line of a shell in which $PROOFS is the program."""
    words = " ".join(f"'{word}'" for word in WORDS)
    return subprocess.run(
        ["bash", "-c", line.replace("$PROOFS", words)],
        cwd=folder,
        env=os.environ | environment,
        capture_output=True,
        check=False,
        timeout=120,
    )


@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_a_closed_pipe_ends_quietly_with_the_runs_own_code(folder: Path, unbuffered: str) -> None:
    line = "$PROOFS check . --light '2000 lx' | head -1; exit ${PIPESTATUS[0]}"
    done = shell(line, folder, PYTHONUNBUFFERED=unbuffered)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.parametrize("where", [">/dev/full", ">&-", "2>&- >&-"])
def test_an_output_that_takes_nothing_leaves_the_code_as_it_is(folder: Path, where: str) -> None:
    if not Path("/dev/full").exists():
        pytest.skip("there is no such device there")
    done = shell(f"$PROOFS check . {where}", folder)
    assert (done.returncode, done.stderr) == (0, b"")
    out = folder.parent / "out"
    assert shell(f"$PROOFS make . --out '{out}' {where}", folder).returncode == 0
    assert (out / "proof-sheet.pdf").is_file()


@pytest.mark.parametrize("encoding", ["cp1251", "cp437", "ascii"])
def test_characters_that_an_output_lacks_are_replaced(folder: Path, encoding: str) -> None:
    done = shell("$PROOFS check .", folder, PYTHONIOENCODING=encoding)
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"?" in done.stdout or "×".encode() in done.stdout  # what is not ASCII alone
    locale = shell("$PROOFS check .", folder, LC_ALL="C", PYTHONCOERCECLOCALE="0", PYTHONUTF8="0")
    assert (locale.returncode, locale.stderr) == (0, b"")


@pytest.mark.parametrize(
    ("typed", "hint"), [("chekc", "Did you mean 'check'?"), ("xyzzy", "No such command 'xyzzy'.")]
)
def test_a_mistyped_command_gets_a_suggestion(typed: str, hint: str) -> None:
    said = in_process(typed)
    assert said.code == 2
    assert hint in said.err
