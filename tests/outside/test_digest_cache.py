"""A digest counts only while the file is certain to be as it was."""

import hashlib
import os
import shutil
import stat
from pathlib import Path
from typing import Any

import pytest

from proofs.errors import WriteError
from proofs.outside import digest_cache as module
from proofs.outside.digest_cache import FileState, digest_cache, file_state_of
from proofs.outside.user_cache import cache_folder

SECOND = 1_000_000_000


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[str]:
    """The names of the files that are read for their digests; files count as old at once."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr(module, "_GRAIN_NS", 0)
    names: list[str] = []

    def noted(path: Path) -> str:
        names.append(path.name)
        return hashlib.sha256(path.read_bytes()).hexdigest()

    monkeypatch.setattr(module, "sha256_of", noted)
    return names


def a_file(tmp_path: Path, content: bytes = b"one") -> Path:
    path = tmp_path / "pictures" / "a.jpg"
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(content)
    return path


def digest_in_a_run(path: Path, **options: Any) -> str:
    with digest_cache(path.parent, **options) as cache:
        return cache.sha256_of(path)


def test_a_file_is_read_once(tmp_path: Path, reads: list[str]) -> None:
    path = a_file(tmp_path)
    assert {digest_in_a_run(path) for _ in range(3)} == {hashlib.sha256(b"one").hexdigest()}
    assert reads == ["a.jpg"]


def test_with_again_it_is_read_again(tmp_path: Path, reads: list[str]) -> None:
    path = a_file(tmp_path)
    digest_in_a_run(path)
    digest_in_a_run(path, again=True)
    assert reads == ["a.jpg", "a.jpg"]


def test_other_content_of_the_same_length_at_the_same_time_is_seen(
    tmp_path: Path, reads: list[str]
) -> None:
    path = a_file(tmp_path)
    before = path.stat()
    digest_in_a_run(path)
    path.write_bytes(b"two")
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert digest_in_a_run(path) == hashlib.sha256(b"two").hexdigest()


def test_another_file_of_the_same_time_and_length_is_seen(tmp_path: Path, reads: list[str]) -> None:
    path = a_file(tmp_path)
    before = path.stat()
    digest_in_a_run(path)
    other = tmp_path / "other"
    other.write_bytes(b"two")
    os.utime(other, ns=(before.st_atime_ns, before.st_mtime_ns))
    os.replace(other, path)
    assert digest_in_a_run(path) == hashlib.sha256(b"two").hexdigest()


def test_a_file_within_the_clocks_grain_is_read_again(
    tmp_path: Path, reads: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "_GRAIN_NS", 3600 * SECOND)
    path = a_file(tmp_path)
    digest_in_a_run(path)
    digest_in_a_run(path)
    assert reads == ["a.jpg", "a.jpg"]


@pytest.mark.parametrize(
    ("changed", "noted", "is_settled"),
    [(10, 13, True), (10, 12, False), (10, 10, False), (13, 10, False)],
)
def test_a_file_is_settled_two_seconds_after_its_last_change(
    changed: int, noted: int, is_settled: bool
) -> None:
    # FAT notes times to 2 s (Microsoft, FAT specification 1.03, from memory).
    by_content = FileState(3, changed * SECOND, 0, 7, noted * SECOND)
    by_status = FileState(3, 0, changed * SECOND, 7, noted * SECOND)
    assert (by_content.is_settled, by_status.is_settled) == (is_settled, is_settled)


def test_a_file_made_in_a_run_is_known_to_the_next(tmp_path: Path, reads: list[str]) -> None:
    path = a_file(tmp_path)
    with digest_cache(path.parent) as cache:
        cache.learn(path, file_state_of(path), "digest")
    assert digest_in_a_run(path) == "digest"
    assert reads == []


def test_a_digest_of_what_has_changed_since_is_not_learnt(tmp_path: Path, reads: list[str]) -> None:
    path = a_file(tmp_path)
    state = file_state_of(path)
    path.write_bytes(b"two")
    with digest_cache(path.parent) as cache:
        cache.learn(path, state, "of the one before")
        assert cache.known(path) is None


def test_a_file_that_changes_before_the_end_of_the_run_is_read_by_the_next(
    tmp_path: Path, reads: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = a_file(tmp_path)
    with digest_cache(path.parent) as cache:
        cache.learn(path, file_state_of(path), "digest")
        path.write_bytes(b"two")
    assert digest_in_a_run(path) == hashlib.sha256(b"two").hexdigest()


def test_the_cache_may_be_deleted_or_damaged(tmp_path: Path, reads: list[str]) -> None:
    path, folder = a_file(tmp_path), cache_folder()
    assert folder is not None
    digest_in_a_run(path)
    (file,) = (folder / "digests").iterdir()
    file.write_bytes(b'{"schema": 1, "noted": {"a": [1]}}')
    assert digest_in_a_run(path) == hashlib.sha256(b"one").hexdigest()
    shutil.rmtree(folder)
    assert digest_in_a_run(path) == hashlib.sha256(b"one").hexdigest()
    assert reads == ["a.jpg"] * 3


@pytest.mark.skipif(os.name == "nt" or os.getuid() == 0, reason="root may write anywhere")
def test_a_cache_that_cannot_be_written_does_no_harm(tmp_path: Path, reads: list[str]) -> None:
    path = a_file(tmp_path)
    (tmp_path / "cache").mkdir(mode=stat.S_IRUSR | stat.S_IXUSR)
    digest_in_a_run(path)
    digest_in_a_run(path)
    assert reads == ["a.jpg", "a.jpg"]


def test_files_that_a_run_did_not_look_at_stay_known(tmp_path: Path, reads: list[str]) -> None:
    path = a_file(tmp_path)
    other = path.with_name("b.jpg")
    other.write_bytes(b"other")
    digest_in_a_run(path)
    digest_in_a_run(other)
    digest_in_a_run(path)
    assert reads == ["a.jpg", "b.jpg"]


def test_a_file_that_is_gone_is_forgotten(tmp_path: Path, reads: list[str]) -> None:
    path, folder = a_file(tmp_path), cache_folder()
    digest_in_a_run(path)
    path.unlink()
    with digest_cache(path.parent) as cache:
        assert cache.known(path) is None
    assert folder is not None
    (file,) = (folder / "digests").iterdir()
    assert b"a.jpg" not in file.read_bytes()


def test_notes_that_nobody_has_used_for_half_a_year_are_removed(
    tmp_path: Path, reads: list[str]
) -> None:
    path, folder = a_file(tmp_path), cache_folder()
    assert folder is not None
    (folder / "digests").mkdir(parents=True)
    old = folder / "digests" / "old.json"
    old.write_bytes(b"{}")
    os.utime(old, (0, 0))
    digest_in_a_run(path)
    assert not old.exists()


def test_a_file_that_is_not_there_has_no_digest(tmp_path: Path) -> None:
    with digest_cache(tmp_path) as cache, pytest.raises(WriteError, match="not a file"):
        cache.sha256_of(tmp_path / "a.jpg")
