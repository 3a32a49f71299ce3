"""Files are read and written whole, and never outside the folder in hand."""

import os
import stat
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import Literal

import pytest

from proofs.errors import PhotographError, ProofsError, WriteError
from proofs.outside.files import (
    natural_order,
    picture_path,
    pictures_in,
    read_bytes,
    rewrite,
    sha256_of,
    write_new,
    write_own,
    write_whole,
)

# The first bytes of the formats, from memory of ITU-T T.81, the PNG and the TIFF 6.0 documents.
JPEG, PNG, TIFF = b"\xff\xd8\xff\xe0rest", b"\x89PNG\r\n\x1a\nrest", b"II*\0rest"


def test_a_picture_is_known_by_its_content(tmp_path: Path) -> None:
    (tmp_path / "no ending").write_bytes(JPEG)
    (tmp_path / "b.dat").write_bytes(PNG)
    (tmp_path / "c.xyz").write_bytes(TIFF)
    (tmp_path / "notes.txt").write_text("text")
    assert pictures_in(tmp_path) == ("b.dat", "c.xyz", "no ending")


def test_a_file_with_a_pictures_name_is_listed_so_that_its_failure_is_told(tmp_path: Path) -> None:
    (tmp_path / "empty.jpg").write_bytes(b"")
    (tmp_path / "page.tif").write_text("<html>")
    assert pictures_in(tmp_path) == ("empty.jpg", "page.tif")


def test_hidden_and_system_files_and_folders_are_left_out(tmp_path: Path) -> None:
    (tmp_path / "._a.jpg").write_bytes(JPEG)
    (tmp_path / "Thumbs.db").write_bytes(b"\xd0\xcf\x11\xe0")
    (tmp_path / "a.xmp").write_text("<x:xmpmeta/>")
    (tmp_path / "sub.jpg").mkdir()
    (tmp_path / "a.jpg").write_bytes(JPEG)
    assert pictures_in(tmp_path) == ("a.jpg",)


def test_names_come_in_natural_order() -> None:
    names = ["img10.jpg", "IMG9.jpg", "img1.jpg", "a.jpg"]
    assert sorted(names, key=natural_order) == ["a.jpg", "img1.jpg", "IMG9.jpg", "img10.jpg"]


Form = Literal["NFC", "NFD"]


@pytest.mark.parametrize("stored", ["NFC", "NFD"])
@pytest.mark.parametrize("asked", ["NFC", "NFD"])
def test_a_name_matches_in_either_unicode_form(tmp_path: Path, stored: Form, asked: Form) -> None:
    name = "Größe é.jpg"
    (tmp_path / unicodedata.normalize(stored, name)).write_bytes(JPEG)
    found = picture_path(tmp_path, unicodedata.normalize(asked, name))
    assert found.read_bytes() == JPEG


def test_a_backslash_is_part_of_a_name_or_of_a_path(tmp_path: Path) -> None:
    (tmp_path / "sub").mkdir()
    (tmp_path / "sub" / "a.jpg").write_bytes(b"in a folder")
    assert picture_path(tmp_path, "sub\\a.jpg").read_bytes() == b"in a folder"
    if os.sep == "/":  # elsewhere no name can hold one
        (tmp_path / "sub\\a.jpg").write_bytes(b"so named")
        assert picture_path(tmp_path, "sub\\a.jpg").read_bytes() == b"so named"
    (tmp_path / "b.jpg").write_bytes(b"outside")
    with pytest.raises(PhotographError, match="leads out of"):
        picture_path(tmp_path / "sub", "..\\b.jpg")


def test_a_link_that_leads_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "secret.jpg").write_bytes(JPEG)
    folder = tmp_path / "job"
    folder.mkdir()
    (folder / "a.jpg").symlink_to(tmp_path / "secret.jpg")
    with pytest.raises(PhotographError, match="leads out of"):
        picture_path(folder, "a.jpg")


def test_a_path_that_climbs_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "secret.jpg").write_bytes(JPEG)
    folder = tmp_path / "job"
    folder.mkdir()
    with pytest.raises(PhotographError, match="leads out of"):
        picture_path(folder, "../secret.jpg")


def test_a_link_in_a_circle_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.jpg").symlink_to(tmp_path / "b.jpg")
    (tmp_path / "b.jpg").symlink_to(tmp_path / "a.jpg")
    with pytest.raises(PhotographError, match="leads nowhere"):
        picture_path(tmp_path, "a.jpg")


def test_a_missing_picture_is_named(tmp_path: Path) -> None:
    with pytest.raises(PhotographError, match=r"gone\.jpg: there is no such file"):
        picture_path(tmp_path, "gone.jpg")


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
