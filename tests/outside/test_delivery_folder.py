"""A delivery replaces an earlier one only where that is still as it was made."""

import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from proofs.errors import WriteError
from proofs.outside import delivery_folder
from proofs.outside.delivery_folder import (
    RECORD,
    SUMS,
    publish,
    refuse_target,
    sums_of,
    temporary_folder,
)

FILES = {RECORD: json.dumps({"kind": "delivery"}), "order.txt": "1 x", "prints/1.jpg": "pixels"}


def a_delivery(folder: Path, **changes: str) -> Path:
    for name, text in (FILES | changes).items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)
    (folder / SUMS).write_bytes(sums_of(folder, FILES))
    return folder


def contents(folder: Path) -> dict[str, str]:
    files = (p for p in folder.rglob("*") if p.is_file())
    return {p.relative_to(folder).as_posix(): p.read_text() for p in files}


def edit(out: Path) -> None:
    (out / "order.txt").write_text("2 x")


def add(out: Path) -> None:
    (out / "prints/notes.txt").write_text("to be printed darker")


def link(out: Path) -> None:
    (out / "order.txt").rename(out.parent / "order.txt")
    (out / "order.txt").symlink_to(out.parent / "order.txt")


def nest(out: Path) -> None:
    (out / RECORD).write_text("[" * 50_000)


def pipe_for_a_record(out: Path) -> None:
    (out / RECORD).unlink()
    os.mkfifo(out / RECORD)


def pipe_for_a_file(out: Path) -> None:
    (out / "order.txt").unlink()
    os.mkfifo(out / "order.txt")


CHANGES = [edit, add, link, nest, pipe_for_a_record, pipe_for_a_file]


def test_an_earlier_delivery_is_replaced(tmp_path: Path) -> None:
    out, made = a_delivery(tmp_path / "out"), a_delivery(tmp_path / "made", **{"order.txt": "3 x"})
    publish(made, out)
    assert contents(out)["order.txt"] == "3 x"
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("change", CHANGES)
def test_what_was_changed_while_the_next_was_made_stays(
    tmp_path: Path, change: Callable[[Path], None]
) -> None:
    out, made = a_delivery(tmp_path / "out"), a_delivery(tmp_path / "made")
    refuse_target(out)
    change(out)
    before = contents(out)
    with pytest.raises(WriteError, match=r"--out|new or empty folder") as refused:
        publish(made, out)
    assert refused.value.exit_code == 5
    assert contents(out) == before
    assert contents(made) == contents(a_delivery(tmp_path / "same"))


def test_a_file_written_between_the_last_look_and_the_exchange_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out, made = a_delivery(tmp_path / "out"), a_delivery(tmp_path / "made")
    look = delivery_folder.refuse_target

    def look_and_edit(path: Path) -> None:
        look(path)
        edit(path)

    monkeypatch.setattr(delivery_folder, "refuse_target", look_and_edit)
    with pytest.raises(WriteError, match="was changed a moment ago"):
        publish(made, out)
    assert contents(out)["order.txt"] == "2 x"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["made", "out"]


def test_where_the_earlier_delivery_cannot_go_back_it_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out, made = a_delivery(tmp_path / "out"), a_delivery(tmp_path / "made")
    move = os.replace

    def move_aside_only(source: Path, target: Path) -> None:
        if target == out:
            raise OSError(39, "something else took its name")
        move(source, target)

    monkeypatch.setattr(os, "replace", move_aside_only)
    with pytest.raises(WriteError, match="something else took its name"):
        publish(made, out)
    (kept,) = tmp_path.glob(".out-*/before")
    assert contents(kept) == contents(made)


class Killed(BaseException):
    """The end of a process, for code that cannot tell."""


def killed_while(out: Path, monkeypatch: pytest.MonkeyPatch, source: str) -> None:
    """A run that is killed when it renames a folder of this name; it leaves all that it made."""
    move = os.replace

    def replace_or_die(at: Path, target: Path) -> None:
        if at.name == source:
            raise Killed
        move(at, target)

    with monkeypatch.context() as patch:
        patch.setattr(os, "replace", replace_or_die)
        patch.setattr(shutil, "rmtree", lambda *_, **__: None)
        with pytest.raises(Killed), temporary_folder(out) as unfinished:
            publish(a_delivery(unfinished / "made", **{"order.txt": "3 x"}), out)


@pytest.mark.parametrize("is_first", [True, False])
def test_what_a_killed_run_left_is_swept_by_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, is_first: bool
) -> None:
    out = tmp_path / "out"
    before = {} if is_first else contents(a_delivery(out))
    killed_while(out, monkeypatch, "made")
    assert len(list(tmp_path.glob(".out-*"))) == 1
    with temporary_folder(out):
        assert contents(out) == before
    assert list(tmp_path.glob(".out-*")) == []


def test_an_earlier_delivery_that_a_killed_run_had_moved_is_put_back(tmp_path: Path) -> None:
    out, aside = tmp_path / "out", tmp_path / ".out-a1b2c3d4"
    before = contents(a_delivery(aside / "before"))
    with temporary_folder(out):
        assert contents(out) == before
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("name", [".out-mine", ".out-a1b2c3d4", "out-a1b2c3d4"])
def test_a_folder_that_only_looks_like_one_that_was_left_stays(tmp_path: Path, name: str) -> None:
    (tmp_path / name).mkdir()
    (tmp_path / name / "mine.txt").write_text("mine")
    with temporary_folder(tmp_path / "out"):
        pass
    assert contents(tmp_path) == {f"{name}/mine.txt": "mine"}


def test_the_only_copy_of_a_delivery_stays_where_another_folder_has_its_name(
    tmp_path: Path,
) -> None:
    aside = tmp_path / ".out-a1b2c3d4"
    before = contents(a_delivery(aside / "before"))
    (tmp_path / "out").mkdir()
    (tmp_path / "out/mine.txt").write_text("mine")
    with temporary_folder(tmp_path / "out"):
        pass
    assert contents(aside / "before") == before


def test_a_folder_that_was_empty_at_first_and_is_not_any_more_stays(tmp_path: Path) -> None:
    made = a_delivery(tmp_path / "made")
    (tmp_path / "out").mkdir()
    refuse_target(tmp_path / "out")
    (tmp_path / "out/mine.txt").write_text("mine")
    with pytest.raises(WriteError, match="did not make"):
        publish(made, tmp_path / "out")
    assert contents(tmp_path / "out") == {"mine.txt": "mine"}


def killed_in_between(out: Path) -> Path:
    """A delivery that a killed run had moved aside, to put the next in its place."""
    aside = out.parent / ".out-abcd1234"
    aside.mkdir()
    return a_delivery(aside / "before")


def test_an_earlier_delivery_that_a_killed_run_moved_aside_gets_its_name_back(
    tmp_path: Path,
) -> None:
    out = tmp_path / "out"
    earlier = contents(killed_in_between(out))
    with temporary_folder(out):
        assert contents(out) == earlier
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_an_earlier_delivery_goes_once_the_next_is_in_its_place(tmp_path: Path) -> None:
    out = a_delivery(tmp_path / "out")
    killed_in_between(out)
    with temporary_folder(out):
        pass
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize("change", [edit, add])
def test_an_earlier_delivery_that_someone_changed_stays_aside(
    tmp_path: Path, change: Callable[[Path], None]
) -> None:
    out = a_delivery(tmp_path / "out")
    kept = killed_in_between(out)
    change(kept)
    before = contents(kept)
    with temporary_folder(out):
        pass
    assert contents(kept) == before
