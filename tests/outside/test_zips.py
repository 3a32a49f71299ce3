"""Zips: stored, the same bytes each time, read by Python's own reader and by the system's unzip.

ZIP64 is required from a certain file size (APPNOTE 6.3, 4.3.9.2, from memory); the limit is
lowered here.
"""

import os
import shutil
import subprocess
import time
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofs.outside.zips import write_zip
from proofs.plan.delivery.zip_parts import ZipMember, zip_parts

NAMES = ("prints/a.jpg", "ticket.csv")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "prints").mkdir()
    (tmp_path / NAMES[0]).write_bytes(os.urandom(5000))
    (tmp_path / NAMES[1]).write_bytes(b"file,copies\r\n")
    return tmp_path


def test_files_are_stored_unchanged(folder: Path) -> None:
    write_zip(folder / "one.zip", folder, NAMES)
    with zipfile.ZipFile(folder / "one.zip") as archive:
        assert archive.namelist() == list(NAMES)
        assert [archive.read(name) for name in NAMES] == [(folder / n).read_bytes() for n in NAMES]
        assert {info.compress_type for info in archive.infolist()} == {zipfile.ZIP_STORED}


def test_the_same_files_give_the_same_bytes_whenever_they_were_saved(folder: Path) -> None:
    write_zip(folder / "one.zip", folder, NAMES)
    os.utime(folder / NAMES[0], (time.time() - 9e7, time.time() - 9e7))
    write_zip(folder / "two.zip", folder, NAMES)
    assert (folder / "one.zip").read_bytes() == (folder / "two.zip").read_bytes()


def test_a_large_file_makes_it_zip64_and_another_unzip_reads_that(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(zipfile, "ZIP64_LIMIT", 1000)
    write_zip(folder / "large.zip", folder, NAMES)
    assert b"PK\x06\x06" in (folder / "large.zip").read_bytes()  # the ZIP64 record
    unzip = shutil.which("unzip") or pytest.skip("the machine has no unzip")
    done = subprocess.run([unzip, "-t", folder / "large.zip"], capture_output=True, check=False)
    assert done.returncode == 0


files = st.lists(st.integers(0, 3000), min_size=1, max_size=20).map(
    lambda sizes: [ZipMember(f"prints/{n}.jpg", size) for n, size in enumerate(sizes)]
)


@given(files=files, most=st.integers(4500, 9000))
def test_every_file_goes_into_one_part_in_order(files: list[ZipMember], most: int) -> None:
    shared = [ZipMember("ticket.pdf", 300)]
    parts = zip_parts(files, shared, most_bytes=most)
    assert [name for part in parts for name in part[:-1]] == [file.name for file in files]
    assert all(part[-1] == "ticket.pdf" for part in parts)
    sizes = {file.name: file.size_bytes for file in (*files, *shared)}
    assert all(sum(sizes[name] for name in part) < most for part in parts)


def test_without_a_limit_there_is_one_part() -> None:
    files_ = [ZipMember("a", 10**10), ZipMember("b", 10**10)]
    assert zip_parts(files_, [ZipMember("c", 1)], most_bytes=None) == (("a", "b", "c"),)


def test_a_file_too_large_for_any_part_is_named() -> None:
    with pytest.raises(ValueError, match=r"b\.tif takes 3\.0 MB"):
        zip_parts([ZipMember("a.tif", 10), ZipMember("b.tif", 3_000_000)], [], most_bytes=2_000_000)


@given(sizes=st.lists(st.integers(0, 2000), min_size=1, max_size=6))
def test_a_part_is_no_larger_than_calculated(
    tmp_path_factory: pytest.TempPathFactory, sizes: list[int]
) -> None:
    place = tmp_path_factory.mktemp("weighed")
    weighed = [ZipMember(f"file-{n}", size) for n, size in enumerate(sizes)]
    contents = {file.name: b"x" * file.size_bytes for file in weighed}
    paths = [(place / name, content) for name, content in contents.items()]
    written = [path.write_bytes(content) for path, content in paths]
    write_zip(place / "all.zip", place, list(contents))
    assert sum(written) <= (place / "all.zip").stat().st_size
    assert (place / "all.zip").stat().st_size <= sum(file.packed for file in weighed) + 100
