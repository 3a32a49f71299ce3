"""The pictures of a folder are found by their content, and none outside it."""

import os
import unicodedata
from pathlib import Path
from typing import Literal

import pytest

from proofs.errors import PhotographError
from proofs.outside.picture_folder import natural_order, picture_path, pictures_in

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


@pytest.fixture
def two(tmp_path: Path) -> tuple[Path, Path]:
    """The folder of an entries file and that of finished pictures, with a secret beside them."""
    own, finished = tmp_path / "autumn", tmp_path / "finished"
    for folder in (own, finished, tmp_path / "finished-not"):
        folder.mkdir()
    (tmp_path / "secret.jpg").write_bytes(JPEG)
    (tmp_path / "finished-not" / "secret.jpg").write_bytes(JPEG)
    (finished / "pier.jpg").write_bytes(b"finished")
    return own, finished


def test_a_picture_may_stay_in_the_further_folder(two: tuple[Path, Path]) -> None:
    own, finished = two
    assert picture_path(own, "pier.jpg", finished).read_bytes() == b"finished"
    with pytest.raises(PhotographError, match="no such file in the folder;"):
        picture_path(own, "pier.jpg")


def test_a_picture_next_to_the_entries_comes_first(two: tuple[Path, Path]) -> None:
    own, finished = two
    (own / "pier.jpg").write_bytes(b"own")
    assert picture_path(own, "pier.jpg", finished).read_bytes() == b"own"


def test_a_picture_that_is_in_neither_folder_is_named(two: tuple[Path, Path]) -> None:
    with pytest.raises(PhotographError, match=r"in the folder and the one named in job\.toml"):
        picture_path(two[0], "gone.jpg", two[1])


def test_a_link_may_lead_from_one_of_the_folders_into_the_other(two: tuple[Path, Path]) -> None:
    own, finished = two
    (own / "linked.jpg").symlink_to(finished / "pier.jpg")
    assert picture_path(own, "linked.jpg", finished).read_bytes() == b"finished"
    with pytest.raises(PhotographError, match="leads out of the folder;"):
        picture_path(own, "linked.jpg")


@pytest.mark.parametrize(
    "name",
    ["../secret.jpg", "..\\secret.jpg", "../finished-not/secret.jpg", "sub/../../secret.jpg"],
)
def test_no_name_climbs_out_of_both_folders(two: tuple[Path, Path], name: str) -> None:
    own, finished = two
    (own / "sub").mkdir()
    with pytest.raises(PhotographError, match="leads out of"):
        picture_path(own, name, finished)


@pytest.mark.parametrize("folder", [0, 1])
@pytest.mark.parametrize("target", ["secret.jpg", "finished-not/secret.jpg", "finished-not"])
def test_no_link_in_either_folder_leads_out_of_both(
    two: tuple[Path, Path], folder: int, target: str
) -> None:
    own, finished = two
    (two[folder] / "away").symlink_to(own.parent / target)
    name = "away" if target.endswith(".jpg") else "away/secret.jpg"
    with pytest.raises(PhotographError, match="leads out of the folder and the one named"):
        picture_path(own, name, finished)


def test_an_absolute_name_leads_out(two: tuple[Path, Path]) -> None:
    own, finished = two
    with pytest.raises(PhotographError, match=r"leads out of|no such file"):
        picture_path(own, str(own.parent / "secret.jpg"), finished)


def test_a_further_folder_that_is_a_link_is_where_it_leads(two: tuple[Path, Path]) -> None:
    own, finished = two
    (own / "here").symlink_to(finished)
    assert picture_path(own, "pier.jpg", own / "here").read_bytes() == b"finished"
