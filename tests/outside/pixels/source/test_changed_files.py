"""A picture that changes between the check and the print is never printed unnoticed."""

import os
from pathlib import Path

import pytest

from proofs.errors import PhotographError
from proofs.outside.pixels.source.decode import decode, read_facts
from proofs.outside.pixels.source.file_bytes import file_bytes
from proofs.plan.entry.facts import PhotoFacts
from tests.command import gradient


def code_of(path: Path, expected: PhotoFacts | None = None) -> str:
    with pytest.raises(PhotographError) as refused:
        decode(path, expected=expected)
    return refused.value.code


@pytest.mark.parametrize("name", ["a.jpg", "a.tif", "a.png", "a.webp"])
def test_a_file_that_was_checked_is_read_as_long_as_it_is_the_same(
    tmp_path: Path, name: str
) -> None:
    gradient(tmp_path / name, 60, 40)
    facts = read_facts(tmp_path / name)
    assert decode(tmp_path / name, expected=facts).facts.pixels == facts.pixels


def test_another_picture_under_the_same_name_is_refused(tmp_path: Path) -> None:
    gradient(tmp_path / "a.jpg", 60, 40)
    facts = read_facts(tmp_path / "a.jpg")
    gradient(tmp_path / "b.jpg", 600, 400)
    os.replace(tmp_path / "b.jpg", tmp_path / "a.jpg")
    assert code_of(tmp_path / "a.jpg", expected=facts) == "changed-while-read"


def test_a_picture_saved_anew_at_the_same_length_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    gradient(path, 60, 40)
    facts = read_facts(path)
    os.utime(path, ns=(0, path.stat().st_mtime_ns + 1))
    assert code_of(path, expected=facts) == "changed-while-read"


def test_bytes_of_a_file_are_those_on_the_disk_also_once_it_is_cut(tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_bytes(bytes(range(200)))
    with path.open("rb") as file:
        held = file_bytes(file)
        assert (len(held), held[-2:], held[5:9]) == (200, b"\xc6\xc7", b"\5\6\7\x08")
        assert bytes(held) == bytes(range(200))
        os.truncate(path, 100)
        assert held[150:160] == b""  # a mapped file would end the process here


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes with names there")
def test_a_pipe_is_not_a_picture_and_is_never_opened(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.jpg")
    assert code_of(tmp_path / "pipe.jpg") == "unsupported-format"
    with pytest.raises(PhotographError, match="not a file"):
        read_facts(tmp_path / "pipe.jpg")
