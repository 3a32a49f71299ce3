"""Files are read and written whole, and nothing of the user's is written over."""

import errno
import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from proofs.errors import ProofsError, WriteError
from proofs.outside.files import (
    read_bytes,
    rewrite,
    rewrite_keeping,
    sha256_of,
    write_new,
    write_own,
    write_whole,
)


def test_a_write_that_fails_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(WriteError, match=r"a\.tif: cannot be written: No space left"):
        write_whole(tmp_path / "a.tif", b"x")
    assert list(tmp_path.iterdir()) == []


def test_a_new_file_never_lands_on_an_old_one(tmp_path: Path) -> None:
    path = tmp_path / "entries.csv"
    path.write_bytes(b"mine")
    with pytest.raises(WriteError, match="is left as it is"):
        write_new(path, b"other")
    assert path.read_bytes() == b"mine"


def test_a_written_file_has_the_rights_that_the_user_gives_new_files(tmp_path: Path) -> None:
    write_whole(tmp_path / "a", b"x")
    (tmp_path / "b").write_bytes(b"x")
    assert (tmp_path / "a").stat().st_mode == (tmp_path / "b").stat().st_mode


def test_the_sha256_of_a_file_is_the_standards(tmp_path: Path) -> None:
    # FIPS 180-4's example: the digest of "abc".
    (tmp_path / "a").write_bytes(b"abc")
    digest = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert sha256_of(tmp_path / "a") == digest


def test_a_rewritten_file_keeps_its_mode(tmp_path: Path) -> None:
    path = tmp_path / "entries.csv"
    path.write_bytes(b"before")
    path.chmod(0o600)
    rewrite(path, b"after")
    assert path.read_bytes() == b"after"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_read_only_file_is_not_rewritten(tmp_path: Path) -> None:
    path = tmp_path / "entries.csv"
    path.write_bytes(b"before")
    path.chmod(0o444)
    with pytest.raises(WriteError, match="is read-only"):
        rewrite(path, b"after")
    assert path.read_bytes() == b"before"


def test_what_a_file_held_is_kept_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "entries.csv"
    path.write_bytes(b"before")
    kept = rewrite_keeping(path, b"after", b"before")
    assert (path.read_bytes(), kept.read_bytes()) == (b"after", b"before")
    assert kept.name == "entries.before-1.csv"


def test_no_copy_is_left_of_a_file_that_could_not_be_changed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "entries.csv"
    path.write_bytes(b"before")

    def full(source: str, target: Path) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(WriteError, match="No space left"):
        rewrite_keeping(path, b"after", b"before")
    assert [p.name for p in tmp_path.iterdir()] == ["entries.csv"]
    assert path.read_bytes() == b"before"


def test_a_file_of_ours_is_written_over_only_while_it_is_unchanged(tmp_path: Path) -> None:
    path = tmp_path / "plot.pdf"
    for content in (b"%PDF one", b"%PDF two"):
        write_own(path, content, b"%% ours: ")
    assert path.read_bytes().startswith(b"%PDF two")
    path.write_bytes(path.read_bytes().replace(b"two", b"2"))
    with pytest.raises(WriteError, match="is there already"):
        write_own(path, b"%PDF three", b"%% ours: ")
    assert path.read_bytes().startswith(b"%PDF 2")


def test_a_file_of_the_users_is_never_written_over_as_ours(tmp_path: Path) -> None:
    (tmp_path / "mine.pdf").write_bytes(b"%PDF mine")
    (tmp_path / "link.pdf").symlink_to(tmp_path / "mine.pdf")
    for name in ("mine.pdf", "link.pdf"):
        with pytest.raises(WriteError, match="is there already"):
            write_own(tmp_path / name, b"%PDF ours", b"%% ours: ")
    assert (tmp_path / "mine.pdf").read_bytes() == b"%PDF mine"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes with names there")
@pytest.mark.parametrize("read", [read_bytes, sha256_of])
def test_a_pipe_is_refused_and_never_opened(tmp_path: Path, read: Callable[[Path], object]) -> None:
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(ProofsError, match="is not a file"):
        read(tmp_path / "pipe")
