"""One run at a time in a folder; a process that dies leaves no lock behind."""

import errno
import subprocess
import sys
from pathlib import Path

import pytest

from proofs.errors import WriteError
from proofs.outside.locks import locked

HOLDER = """
import sys, time
from pathlib import Path
from proofs.outside.locks import locked
with locked(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(60)
"""


def holder(path: Path) -> subprocess.Popen[str]:
    """A process that holds the lock of a path."""
    process = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path)], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "held\n"
    process.stdout.close()
    return process


def test_the_second_run_is_refused_and_learns_who_holds_the_folder(tmp_path: Path) -> None:
    process = holder(tmp_path / "out")
    try:
        with pytest.raises(WriteError, match=f"in use by another run, .*{process.pid}"):
            locked(tmp_path / "out").__enter__()
    finally:
        process.kill()
        process.wait()


def test_a_process_that_is_killed_leaves_no_lock(tmp_path: Path) -> None:
    process = holder(tmp_path / "out")
    process.kill()
    process.wait()
    with locked(tmp_path / "out"):
        pass


def test_one_folder_under_two_names_has_one_lock(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "out")
    with locked(tmp_path / "out"), pytest.raises(WriteError, match="in use"):
        locked(tmp_path / "link").__enter__()


@pytest.mark.parametrize(
    "fault",
    [
        NotImplementedError("FileSystem does not appear to support flock"),
        OSError(errno.ENOTSUP, "Operation not supported"),
    ],
)
def test_a_disk_that_knows_no_locks_is_named_with_the_remedy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: Exception
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise fault

    monkeypatch.setattr("filelock.FileLock.acquire", refuse)
    with pytest.raises(WriteError, match=r"cannot be locked: .* support.*; name another folder"):
        locked(tmp_path / "out").__enter__()


def test_nothing_lies_in_the_folder_or_next_to_it(tmp_path: Path) -> None:
    with locked(tmp_path / "out"):
        assert list(tmp_path.iterdir()) == []
