"""Values that go from one computer to another: each path as its place in the shared folder."""

from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from proofs.errors import UsageError
from proofs.outside.profiles import NO_OWN_FOLDERS, OwnFolders
from proofs.outside.shared_folder import (
    SharedFolder,
    move_files,
    names_below,
    remove_if_abandoned,
    shared_folder,
)
from proofs.outside.temporary_folders import HOLD
from tests.workbench import LAB


@dataclass(frozen=True, slots=True)
class Parcel:
    name: str
    files: tuple[Path, ...]
    by_number: dict[int, Path]


@pytest.fixture
def one(tmp_path: Path) -> SharedFolder:
    (tmp_path / "one").mkdir()
    return SharedFolder((tmp_path / "one").resolve())


def test_a_path_crosses_as_its_place_and_holds_where_it_arrives(
    one: SharedFolder, tmp_path: Path
) -> None:
    a, b = one.path / "a b" / "Ü.jpg", one.path / "c.jpg"
    packed = one.packed(Parcel("a parcel", (a, one.path), {3: b}))
    assert str(tmp_path).encode() not in packed
    two = SharedFolder(tmp_path / "elsewhere" / "two")
    arrived = two.unpacked(packed)
    assert arrived.files == (two.path / "a b" / "Ü.jpg", two.path)
    assert arrived.by_number == {3: two.path / "c.jpg"}


def test_the_colour_profile_of_a_lab_crosses_like_any_path(
    one: SharedFolder, tmp_path: Path
) -> None:
    lab = replace(LAB, colour_profile=str(one.path / "profiles" / "own.icc"))
    packed = one.packed([LAB, lab])
    assert str(tmp_path).encode() not in packed
    two = SharedFolder(tmp_path / "two")
    own = str(tmp_path / "two" / "profiles" / "own.icc")
    assert two.unpacked(packed) == [LAB, replace(LAB, colour_profile=own)]
    with pytest.raises(UsageError, match="is outside the shared folder"):
        one.packed(replace(LAB, colour_profile=str(tmp_path / "own.icc")))


def test_folders_of_profiles_stay_here_because_profiles_cross_as_values(
    one: SharedFolder, tmp_path: Path
) -> None:
    packed = one.packed({"profiles": OwnFolders(tmp_path / "own", tmp_path / "mine")})
    assert str(tmp_path).encode() not in packed
    assert one.unpacked(packed) == {"profiles": NO_OWN_FOLDERS}


def test_a_relative_path_is_that_of_the_folder_one_works_in(
    one: SharedFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(one.path)
    assert one.unpacked(one.packed(Path("READY"))) == one.path / "READY"


def test_a_path_outside_is_refused_even_behind_a_link(one: SharedFolder, tmp_path: Path) -> None:
    link = one.path / "link"
    link.symlink_to(tmp_path)
    for path in (tmp_path / "a.jpg", one.path / ".." / "a.jpg", link / "a.jpg"):
        with pytest.raises(UsageError, match="is outside the shared folder"):
            one.packed(("nested", [path]))


def test_the_folder_is_the_one_that_the_environment_names(
    one: SharedFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PROOFS_SHARED", str(one.path))
    assert shared_folder() == one
    monkeypatch.setenv("PROOFS_SHARED", str(one.path / "none"))
    with pytest.raises(UsageError, match=r"none: there is no such folder; correct the variable"):
        shared_folder()
    monkeypatch.delenv("PROOFS_SHARED")
    with pytest.raises(UsageError, match="where is the shared folder on this computer"):
        shared_folder()


def test_files_are_moved_with_the_folders_that_they_are_in(tmp_path: Path) -> None:
    source, target = tmp_path / "source", tmp_path / "target"
    (source / "prints").mkdir(parents=True)
    (source / "prints" / "a.jpg").write_bytes(b"a")
    (source / "b.png").write_bytes(b"b")
    names = names_below(source)
    assert names == ("b.png", "prints/a.jpg")
    move_files(names, source, target)
    assert names_below(target) == names
    assert names_below(source) == names_below(tmp_path / "none") == ()


def test_a_room_is_gone_in_the_end_and_what_is_written_later_is_removed(one: SharedFolder) -> None:
    with one.room() as room:
        (room / "own").mkdir()
        remove_if_abandoned(room)
        assert (room / "own").is_dir()
        assert (room / HOLD).exists()
    assert list(one.path.iterdir()) == []
    (room / "own").mkdir(parents=True)
    remove_if_abandoned(room)
    assert list(one.path.iterdir()) == []
