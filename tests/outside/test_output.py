"""Nothing of the user's is ever overwritten in the folder that a run writes to."""

import hashlib
import json
from pathlib import Path

import pytest

from proofs.errors import WriteError
from proofs.outside.output import (
    RECORD,
    OutputFolder,
    begin,
    open_output,
    refuse_full_disk,
    refuse_inputs,
    write_record,
)


def made_by_a_run(folder: Path, name: str, content: bytes) -> None:
    (folder / name).parent.mkdir(parents=True, exist_ok=True)
    (folder / name).write_bytes(content)
    digest = hashlib.sha256(content).hexdigest()
    write_record(OutputFolder(folder, {}), {name: digest})


def test_a_new_or_empty_folder_may_be_written_to(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert open_output(tmp_path / "empty").made == {}
    assert open_output(tmp_path / "new").made == {}


def test_a_folder_with_other_things_is_refused(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(WriteError, match="holds files that this program did not make"):
        open_output(tmp_path)


def test_a_file_that_someone_changed_stops_the_run_and_is_named(tmp_path: Path) -> None:
    made_by_a_run(tmp_path, "prints/a.jpg", b"made")
    (tmp_path / "prints/a.jpg").write_bytes(b"retouched")
    with pytest.raises(WriteError, match=r"a\.jpg: was changed since it was made"):
        open_output(tmp_path)


def test_a_file_that_is_no_longer_made_goes_to_old(tmp_path: Path) -> None:
    made_by_a_run(tmp_path, "prints/a.jpg", b"made")
    begin(open_output(tmp_path), ["prints/b.jpg"])
    assert (tmp_path / "old/prints/a.jpg").read_bytes() == b"made"
    assert not (tmp_path / "prints/a.jpg").exists()


def test_a_second_file_of_the_same_name_in_old_overwrites_nothing(tmp_path: Path) -> None:
    made_by_a_run(tmp_path, "prints/a.jpg", b"first")
    begin(open_output(tmp_path), [])
    made_by_a_run(tmp_path, "prints/a.jpg", b"second")
    begin(open_output(tmp_path), [])
    kept = {path.read_bytes() for path in (tmp_path / "old/prints").iterdir()}
    assert kept == {b"first", b"second"}


def test_a_name_that_stands_on_someone_elses_file_stops_the_run(tmp_path: Path) -> None:
    made_by_a_run(tmp_path, "prints/a.jpg", b"made")
    (tmp_path / "prints/b.jpg").write_bytes(b"theirs")
    with pytest.raises(WriteError, match=r"b\.jpg: was not made by this program"):
        begin(open_output(tmp_path), ["prints/a.jpg", "prints/b.jpg"])
    assert (tmp_path / "prints/b.jpg").read_bytes() == b"theirs"


def test_a_file_half_recorded_by_a_killed_run_may_be_made_again(tmp_path: Path) -> None:
    begin(open_output(tmp_path), ["prints/a.jpg"])
    (tmp_path / "prints").mkdir()
    (tmp_path / "prints/a.jpg").write_bytes(b"written just before the power failed")
    begin(open_output(tmp_path), ["prints/a.jpg"])
    assert json.loads((tmp_path / RECORD).read_text())["files"] == {"prints/a.jpg": ""}


@pytest.mark.parametrize("name", ["../x", "/etc/passwd", "a/../../x"])
def test_a_record_that_names_files_outside_its_folder_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / RECORD).write_text(json.dumps({"files": {name: "0"}}))
    with pytest.raises(WriteError, match="outside its folder"):
        open_output(tmp_path)


def test_a_picture_inside_the_output_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match=r"holds the picture a\.jpg"):
        refuse_inputs(open_output(tmp_path), [tmp_path / "a.jpg"])


def test_a_disk_too_small_stops_the_run(tmp_path: Path) -> None:
    with pytest.raises(WriteError, match="make room"):
        refuse_full_disk(tmp_path / "not/yet/there", 10**18)
