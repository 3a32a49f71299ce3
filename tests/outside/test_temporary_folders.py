"""Temporary folders of killed runs are removed; those in use, or anyone else's, stay."""

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from proofs.outside.temporary_folders import HOLD, temporary_folder_in

AN_HOUR = 3600
HOLDER = """
import sys, time
from pathlib import Path
from proofs.outside.temporary_folders import temporary_folder_in
with temporary_folder_in(Path(sys.argv[1]), ".out-") as folder:
    (folder / "made").mkdir()
    (folder / "made/1.jpg").write_bytes(b"pixels")
    print(folder, flush=True)
    time.sleep(60)
"""


def holder(parent: Path) -> tuple[subprocess.Popen[str], Path]:
    """A process that holds a temporary folder, and the folder, which looks an hour old."""
    process = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(parent)], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    folder = Path(process.stdout.readline().strip())
    process.stdout.close()
    age(folder)
    return process, folder


def age(folder: Path) -> None:
    before = time.time() - AN_HOUR
    os.utime(folder, (before, before))


def test_a_folder_is_removed_in_the_end(tmp_path: Path) -> None:
    with temporary_folder_in(tmp_path, ".out-") as folder:
        (folder / "a").write_text("a")
    assert list(tmp_path.iterdir()) == []


def test_what_a_killed_run_left_is_swept_up_by_the_next(tmp_path: Path) -> None:
    process, left = holder(tmp_path)
    process.kill()
    process.wait()
    assert (left / "made/1.jpg").is_file()
    with temporary_folder_in(tmp_path, ".out-"):
        assert not left.exists()


def test_the_folder_of_a_run_that_lives_stays(tmp_path: Path) -> None:
    process, held = holder(tmp_path)
    try:
        with temporary_folder_in(tmp_path, ".out-"):
            pass
        assert (held / "made/1.jpg").read_bytes() == b"pixels"
    finally:
        process.kill()
        process.wait()


def test_a_folder_that_nobody_has_locked_yet_stays_for_a_minute(tmp_path: Path) -> None:
    (tmp_path / ".out-newborns").mkdir()
    (tmp_path / ".out-newborns" / HOLD).touch()
    with temporary_folder_in(tmp_path, ".out-"):
        assert (tmp_path / ".out-newborns").is_dir()


def test_whoever_is_alone_need_not_wait_for_that_minute(tmp_path: Path) -> None:
    (tmp_path / ".out-abcdefgh").mkdir()
    (tmp_path / ".out-abcdefgh" / HOLD).touch()
    with temporary_folder_in(tmp_path, ".out-", is_alone=True):
        assert not (tmp_path / ".out-abcdefgh").exists()


@pytest.mark.parametrize("is_alone", [True, False])
def test_an_empty_folder_is_swept_up_once_it_is_old_enough(tmp_path: Path, is_alone: bool) -> None:
    new, old = tmp_path / ".out-newborns", tmp_path / ".out-longdead"
    new.mkdir()
    old.mkdir()
    age(old)
    with temporary_folder_in(tmp_path, ".out-", is_alone=is_alone):
        assert (new.exists(), old.exists()) == (not is_alone, False)


def test_a_folder_in_use_stays_where_the_disk_knows_no_locks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_locks(*anything: object, **options: object) -> None:
        raise NotImplementedError

    monkeypatch.setattr("filelock.FileLock.acquire", no_locks)
    with temporary_folder_in(tmp_path, ".out-") as held:
        age(held)
        with temporary_folder_in(tmp_path, ".out-", is_alone=True):
            assert held.is_dir()


def test_what_is_left_of_a_folder_that_was_being_removed_is_known(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def killed(*anything: object, **options: object) -> None:
        raise SystemExit("killed")

    folder = temporary_folder_in(tmp_path, ".out-")
    left = folder.__enter__()
    (left / "a").write_text("a")
    (left / "made").mkdir()
    monkeypatch.setattr("shutil.rmtree", killed)
    with pytest.raises(SystemExit, match="killed"):
        folder.__exit__(None, None, None)
    monkeypatch.undo()
    assert (left / HOLD).is_file()
    age(left)
    with temporary_folder_in(tmp_path, ".out-"):
        assert not left.exists()


def without_a_lock_file(folder: Path) -> None:
    (folder / "mine.txt").write_text("mine")


def with_a_link_for_a_lock_file(folder: Path) -> None:
    (folder.parent / "mine.txt").write_text("mine")
    (folder / HOLD).symlink_to(folder.parent / "mine.txt")


def with_a_pipe_for_a_lock_file(folder: Path) -> None:
    os.mkfifo(folder / HOLD)


@pytest.mark.parametrize(
    "fill", [without_a_lock_file, with_a_link_for_a_lock_file, with_a_pipe_for_a_lock_file]
)
@pytest.mark.skipif(os.name == "nt", reason="links and pipes are others there")
def test_a_folder_of_anyone_else_stays(tmp_path: Path, fill: Callable[[Path], None]) -> None:
    folder = tmp_path / ".out-somebody"
    folder.mkdir()
    fill(folder)
    age(folder)
    before = sorted(path.name for path in tmp_path.rglob("*"))
    with temporary_folder_in(tmp_path, ".out-"):
        pass
    assert sorted(path.name for path in tmp_path.rglob("*")) == before


@pytest.mark.skipif(os.name == "nt", reason="links are others there")
def test_a_link_to_a_folder_is_not_followed(tmp_path: Path) -> None:
    real = tmp_path / "real"
    real.mkdir()
    (real / HOLD).touch()
    age(real)
    (tmp_path / ".out-alinkoff").symlink_to(real)
    with temporary_folder_in(tmp_path, ".out-"):
        pass
    assert real.is_dir()
