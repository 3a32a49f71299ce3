"""Nothing of the user's is ever overwritten in the folder that a run writes to."""

import contextlib
import hashlib
import json
import os
from collections.abc import Collection, Iterator, Sequence
from pathlib import Path

import pytest

from proofs.errors import WriteError
from proofs.outside.earlier_runs import refuse_full_disk, refuse_inputs
from proofs.outside.run_folder import RunFolder, opened_folder, run_folder
from proofs.outside.run_record import JOURNAL, RECORD
from proofs.plan.making.keeping import Counts

OWN = "report.json"


@contextlib.contextmanager
def run(path: Path, names: Collection[str] = ("a.jpg",)) -> Iterator[RunFolder]:
    """Open a folder as a run does that writes these names and its own file."""
    with run_folder(path, own=OWN, names=[OWN, *names], sources=()) as folder:
        folder.write(OWN, b"{}")
        yield folder


def made(path: Path, content: bytes = b"made", name: str = "a.jpg") -> Path:
    """A folder in which a run made this file."""
    with run(path, [name]) as folder:
        folder.write(name, content)
    return path


class Killed(BaseException):
    """The end of a process, for code that cannot tell."""


def killed(monkeypatch: pytest.MonkeyPatch, path: Path, *contents: bytes) -> None:
    """A run that is killed after it wrote these contents of a file, one after the other."""
    with monkeypatch.context() as patch:
        patch.setattr(RunFolder, "close", lambda folder: None)
        with contextlib.suppress(Killed), run(path) as folder:
            for content in contents:
                folder.write("a.jpg", content)
            raise Killed


def recorded(path: Path) -> dict[str, str]:
    return dict(json.loads((path / RECORD).read_text())["files"])


def digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def filled(path: Path, pieces: Sequence[bytes]) -> Counts:
    """What is counted by a run that writes a file piece by piece."""
    with opened_folder(path, own=OWN, sources=()) as folder:
        folder.begin([OWN, "a.jpg"])
        folder.write_by("a.jpg", lambda file: file.writelines(pieces), "key")
    return folder.counts


def test_a_file_written_piece_by_piece_is_kept_if_it_is_the_same(tmp_path: Path) -> None:
    assert filled(tmp_path, [b"one ", b"two"]) == Counts(made=1)
    before = (tmp_path / "a.jpg").stat()
    assert filled(tmp_path, [b"one", b" two"]) == Counts(kept=1)
    assert (tmp_path / "a.jpg").stat().st_ino == before.st_ino
    assert filled(tmp_path, [b"three"]) == Counts(made=1)
    assert (tmp_path / "a.jpg").read_bytes() == b"three"
    assert not (tmp_path / RunFolder.PARTS).exists()


@pytest.mark.parametrize("name", ["empty", "new", "deep/new"])
def test_a_new_or_empty_folder_may_be_written_to(tmp_path: Path, name: str) -> None:
    (tmp_path / "empty").mkdir()
    made(tmp_path / name)
    assert recorded(tmp_path / name) == {"a.jpg": digest(b"made"), OWN: digest(b"{}")}
    assert {item.name for item in (tmp_path / name).iterdir()} == {"a.jpg", OWN, RECORD}


def test_a_folder_with_other_things_is_refused(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(WriteError, match="holds files that this program did not make"):
        made(tmp_path)


def test_a_file_in_place_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("mine")
    with pytest.raises(WriteError, match="is not a folder; name one"):
        made(tmp_path / "out")


def test_a_folder_of_another_command_is_refused(tmp_path: Path) -> None:
    made(tmp_path)
    with (
        pytest.raises(WriteError, match="holds what another command made"),
        run_folder(tmp_path, own="strip.pdf", names=["strip.pdf"], sources=()),
    ):
        pass


def test_a_file_that_someone_changed_stops_the_run_and_is_named(tmp_path: Path) -> None:
    made(tmp_path)
    (tmp_path / "a.jpg").write_bytes(b"retouched")
    with pytest.raises(WriteError, match=r"a\.jpg: was changed since it was made"):
        made(tmp_path)
    assert (tmp_path / "a.jpg").read_bytes() == b"retouched"


def test_a_file_that_is_no_longer_made_goes_to_old(tmp_path: Path) -> None:
    made(tmp_path)
    made(tmp_path, name="b.jpg")
    assert (tmp_path / "old/a.jpg").read_bytes() == b"made"
    assert not (tmp_path / "a.jpg").exists()
    assert set(recorded(tmp_path)) == {"b.jpg", OWN}


def test_a_run_that_was_killed_before_it_made_its_own_file_is_completed(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(RunFolder, "close", lambda folder: None)
        with run_folder(tmp_path, own=OWN, names=[OWN, "a.jpg"], sources=()) as folder:
            folder.write("a.jpg", b"half of the run")
    made(tmp_path)
    assert set(recorded(tmp_path)) == {"a.jpg", OWN}


def test_a_run_that_could_not_make_its_own_file_is_completed_but_not_by_another_command(
    tmp_path: Path,
) -> None:
    with run_folder(tmp_path, own=OWN, names=[OWN, "a.jpg"], sources=()) as folder:
        folder.write("a.jpg", b"half of the run")
    with (
        pytest.raises(WriteError, match="holds what another command made"),
        run_folder(tmp_path, own="strip.pdf", names=["strip.pdf"], sources=()),
    ):
        pass
    made(tmp_path)
    assert (tmp_path / "a.jpg").read_bytes() == b"made"


def with_pages(path: Path, *names: str) -> None:
    """A run that finds out only on the way how many pages it makes."""
    with run_folder(path, own=OWN, names=[OWN], sources=(), pages="pages") as folder:
        for name in (OWN, *names):
            folder.write(name, name.encode())


def test_pages_that_are_made_again_stay_and_the_others_go_to_old(tmp_path: Path) -> None:
    with_pages(tmp_path, "pages/1.jpg", "pages/2.jpg")
    with_pages(tmp_path, "pages/1.jpg")
    assert set(recorded(tmp_path)) == {"pages/1.jpg", OWN}
    left = (p for p in tmp_path.rglob("*.jpg"))
    assert {p.relative_to(tmp_path).as_posix() for p in left} == {"pages/1.jpg", "old/pages/2.jpg"}


def test_pages_that_somebody_changed_stop_the_run(tmp_path: Path) -> None:
    with_pages(tmp_path, "pages/1.jpg")
    (tmp_path / "pages/1.jpg").write_bytes(b"retouched")
    with pytest.raises(WriteError, match=r"1\.jpg: was changed since it was made"):
        with_pages(tmp_path, "pages/1.jpg")


def test_a_second_file_of_the_same_name_in_old_overwrites_nothing(tmp_path: Path) -> None:
    for content in (b"first", b"second"):
        made(tmp_path, content)
        made(tmp_path, name="b.jpg")
    kept = {path.read_bytes() for path in (tmp_path / "old").glob("a*.jpg")}
    assert kept == {b"first", b"second"}


def test_a_name_that_stands_on_someone_elses_file_stops_the_run(tmp_path: Path) -> None:
    made(tmp_path)
    (tmp_path / "b.jpg").write_bytes(b"theirs")
    with pytest.raises(WriteError, match=r"b\.jpg: was not made by this program"):
        made(tmp_path, name="b.jpg")
    assert (tmp_path / "b.jpg").read_bytes() == b"theirs"
    assert (tmp_path / "a.jpg").exists()


@pytest.mark.skipif(os.name == "nt", reason="links need a privilege there")
def test_a_link_in_place_of_a_file_stops_the_run(tmp_path: Path) -> None:
    made(tmp_path / "out")
    (tmp_path / "mine.jpg").write_bytes(b"made")
    (tmp_path / "out/a.jpg").unlink()
    (tmp_path / "out/a.jpg").symlink_to(tmp_path / "mine.jpg")
    with pytest.raises(WriteError, match="was not made by this program"):
        made(tmp_path / "out", b"made anew")
    assert (tmp_path / "mine.jpg").read_bytes() == b"made"


def test_a_file_that_is_edited_during_the_run_is_left_as_it_is(tmp_path: Path) -> None:
    made(tmp_path)
    with run(tmp_path) as folder:
        (tmp_path / "a.jpg").write_bytes(b"retouched meanwhile")
        with pytest.raises(WriteError, match=r"a\.jpg: was changed since it was made"):
            folder.write("a.jpg", b"made again")
    assert (tmp_path / "a.jpg").read_bytes() == b"retouched meanwhile"


def test_a_file_that_appears_during_the_run_is_left_as_it_is(tmp_path: Path) -> None:
    with run(tmp_path) as folder:
        (tmp_path / "a.jpg").write_bytes(b"theirs")
        with pytest.raises(WriteError, match="was not made by this program"):
            folder.write("a.jpg", b"made")
    assert (tmp_path / "a.jpg").read_bytes() == b"theirs"


@pytest.mark.parametrize("contents", [(), (b"half",), (b"half", b"other")])
def test_a_run_that_was_killed_over_another_is_taken_up_by_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, contents: tuple[bytes, ...]
) -> None:
    made(tmp_path, b"first")
    killed(monkeypatch, tmp_path, *contents)
    killed(monkeypatch, tmp_path, *contents[:1])
    made(tmp_path, b"last")
    assert (tmp_path / "a.jpg").read_bytes() == b"last"
    assert {item.name for item in tmp_path.iterdir()} == {"a.jpg", OWN, RECORD}
    assert recorded(tmp_path)["a.jpg"] == digest(b"last")


def test_a_run_that_was_killed_between_record_and_rename_is_taken_up_by_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made(tmp_path, b"first")
    killed(monkeypatch, tmp_path, b"second")
    (tmp_path / "a.jpg").write_bytes(b"first")  # as if the rename had not come to pass
    made(tmp_path, b"third")
    assert (tmp_path / "a.jpg").read_bytes() == b"third"


def test_a_journal_that_breaks_off_is_read_as_far_as_it_goes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made(tmp_path, b"first")
    killed(monkeypatch, tmp_path, b"second")
    with (tmp_path / JOURNAL).open("a") as journal:
        journal.write('["b.jpg", "12')
    made(tmp_path, b"third")
    assert recorded(tmp_path)["a.jpg"] == digest(b"third")


def test_a_file_edited_after_a_run_was_killed_is_not_ours(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made(tmp_path, b"first")
    killed(monkeypatch, tmp_path, b"second")
    (tmp_path / "a.jpg").write_bytes(b"retouched")
    with pytest.raises(WriteError, match="was changed since it was made"):
        made(tmp_path)


def test_the_record_of_an_earlier_version_is_read(tmp_path: Path) -> None:
    # It held a blank digest for a file that a run had begun.
    (tmp_path / "a.jpg").write_bytes(b"half written")
    content = {"schema": 1, "files": {"a.jpg": "", OWN: ""}}
    (tmp_path / RECORD).write_text(json.dumps(content))
    made(tmp_path)
    assert (tmp_path / "a.jpg").read_bytes() == b"made"


@pytest.mark.parametrize("name", ["../x", "/etc/passwd", "a/../../x"])
def test_a_record_that_names_files_outside_its_folder_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / RECORD).write_text(json.dumps({"files": {name: "0"}}))
    with pytest.raises(WriteError, match="outside its folder"):
        made(tmp_path)


@pytest.mark.parametrize("name", ["../x", "/etc/passwd", "a/../../x", "a\0b"])
def test_a_journal_that_names_files_outside_its_folder_is_refused(
    tmp_path: Path, name: str
) -> None:
    made(tmp_path)
    (tmp_path / JOURNAL).write_text(json.dumps([name, "0"]) + "\n")
    with pytest.raises(WriteError, match="outside its folder"):
        made(tmp_path)


@pytest.mark.parametrize("line", ["0.5", "null", "{}", "[]", '["a.jpg"]', "[" * 5000])
def test_a_line_of_a_journal_that_is_no_pair_ends_it(tmp_path: Path, line: str) -> None:
    made(tmp_path)
    (tmp_path / JOURNAL).write_text(line + "\n")
    made(tmp_path, b"anew")
    assert (tmp_path / "a.jpg").read_bytes() == b"anew"


@pytest.mark.parametrize(
    "text", ["{", "[" * 5000, '{"files": [1]}', json.dumps({"files": {"x" * 5000: "0"}})]
)
def test_a_damaged_record_is_refused(tmp_path: Path, text: str) -> None:
    (tmp_path / RECORD).write_text(text)
    with pytest.raises(WriteError, match="is damaged"):
        made(tmp_path)


@contextlib.contextmanager
def keeping_run(path: Path, recipes: dict[str, str], *, again: bool = False) -> Iterator[RunFolder]:
    """A run that makes files by these recipes and keeps what is there of them."""
    with opened_folder(path, own=OWN, sources=(), again=again) as folder:
        folder.begin([OWN, *recipes], recipes)
        yield folder


def made_by(path: Path, recipes: dict[str, str]) -> Path:
    """A folder in which a run made each file with the key of its recipe as its content."""
    with keeping_run(path, recipes) as folder:
        folder.write(OWN, b"{}")
        for name, key in recipes.items():
            folder.write(name, key.encode(), key)
        folder.place({}, results={"figures": [1, 2]})
    return path


def test_a_file_of_the_same_recipe_is_kept(tmp_path: Path) -> None:
    made_by(tmp_path, {"a.jpg": "1", "b.jpg": "2"})
    with keeping_run(tmp_path, {"a.jpg": "1", "b.jpg": "3"}) as folder:
        assert folder.counts == Counts(kept=1)
        assert folder.sha256("a.jpg") == digest(b"1")
    assert set(recorded(tmp_path)) == {OWN, "a.jpg", "b.jpg"}


def test_files_that_change_places_are_renamed(tmp_path: Path) -> None:
    made_by(tmp_path, {"a.jpg": "1", "b.jpg": "2", "c.jpg": "3"})
    with keeping_run(tmp_path, {"a.jpg": "2", "b.jpg": "1", "d/e.jpg": "3"}) as folder:
        assert folder.counts == Counts(renamed=3)
    assert (tmp_path / "a.jpg").read_bytes() == b"2"
    assert (tmp_path / "b.jpg").read_bytes() == b"1"
    assert (tmp_path / "d/e.jpg").read_bytes() == b"3"
    assert not (tmp_path / "c.jpg").exists()
    assert not (tmp_path / "old").exists()


def test_a_file_wanted_under_two_names_is_copied_not_linked(tmp_path: Path) -> None:
    made_by(tmp_path, {"a.jpg": "1"})
    with keeping_run(tmp_path, {"a.jpg": "1", "b.jpg": "1"}) as folder:
        assert folder.counts == Counts(made=1, kept=1)
    (tmp_path / "a.jpg").write_bytes(b"edited in place")
    assert (tmp_path / "b.jpg").read_bytes() == b"1"


def test_with_again_nothing_is_kept(tmp_path: Path) -> None:
    made_by(tmp_path, {"a.jpg": "1"})
    with keeping_run(tmp_path, {"a.jpg": "1"}, again=True) as folder:
        assert folder.counts == Counts()
        assert not folder.may_keep
        assert folder.result("figures") is None
        folder.write("a.jpg", b"1", "1")
        assert folder.counts == Counts(made=1)


def test_a_file_without_a_recipe_that_has_the_same_content_is_kept(tmp_path: Path) -> None:
    made_by(tmp_path, {"a.jpg": "1"})
    with keeping_run(tmp_path, {"a.jpg": "1"}) as folder:
        folder.write(OWN, b"{}")
        assert folder.counts == Counts(kept=2)


def test_figures_are_noted_while_they_are_asked_for(tmp_path: Path) -> None:
    made_by(tmp_path, {"a.jpg": "1"})
    with keeping_run(tmp_path, {"a.jpg": "1"}) as folder:
        assert folder.result("figures") == [1, 2]
    with keeping_run(tmp_path, {"a.jpg": "1"}):
        pass
    with keeping_run(tmp_path, {"a.jpg": "1"}) as folder:
        assert folder.result("figures") is None


def test_what_a_killed_run_made_is_kept_with_its_figures(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made_by(tmp_path, {"a.jpg": "1", "b.jpg": "2"})
    with monkeypatch.context() as patch:
        patch.setattr(RunFolder, "close", lambda folder: None)
        with contextlib.suppress(Killed), keeping_run(tmp_path, {"a.jpg": "3"}) as folder:
            folder.write("a.jpg", b"3", "3", {"more": 5})
            raise Killed
    with keeping_run(tmp_path, {"a.jpg": "3", "b.jpg": "2"}) as folder:
        assert folder.counts == Counts(kept=1)
        assert folder.result("more") == 5


def test_a_kept_file_that_somebody_edits_stops_the_next_run(tmp_path: Path) -> None:
    made_by(tmp_path, {"a.jpg": "1"})
    (tmp_path / "a.jpg").write_bytes(b"2")
    with (
        pytest.raises(WriteError, match=r"a\.jpg: was changed since it was made"),
        keeping_run(tmp_path, {"a.jpg": "1"}),
    ):
        pass


def test_a_run_that_may_not_use_the_folder_changes_nothing_in_it(tmp_path: Path) -> None:
    made_by(tmp_path, {"a.jpg": "1"})
    (tmp_path / "b.jpg").write_bytes(b"theirs")
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    with (
        pytest.raises(WriteError, match=r"b\.jpg: was not made by this program"),
        keeping_run(tmp_path, {"b.jpg": "1"}),
    ):
        pass
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_a_picture_inside_the_output_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match=r"holds the picture a\.jpg"):
        refuse_inputs(tmp_path, [tmp_path / "a.jpg"])


def test_a_disk_too_small_stops_the_run(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="make room"):
        refuse_full_disk(tmp_path / "not/yet/there", 10**18)
