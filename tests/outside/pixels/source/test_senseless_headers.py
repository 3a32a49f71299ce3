"""Headers whose numbers make no sense are refused in words, whatever they are."""

import struct
from collections.abc import Callable
from pathlib import Path

import pytest

from proofs.errors import PhotographError
from proofs.outside.pixels.source.decode import decode, read_facts
from tests.command import gradient


def big_tiff_far_away() -> bytes:
    # BigTIFF: its first directory lies beyond 2^63.
    return b"II+\0\x08\0\0\0" + struct.pack("<Q", 2**63 + 8) + bytes(64)


def jpeg_that_ends_in_its_first_segment(whole: bytes) -> bytes:
    return whole[:2] + b"\xff\xe0\x00\x10JFIF\0"


def tiff_of_infinite(tag: int) -> bytes:
    entry = struct.pack("<HHIf", tag, 11, 1, float("inf"))
    return b"II*\0\x08\0\0\0" + struct.pack("<H", 1) + entry + bytes(4) + bytes(64)


@pytest.mark.parametrize("read", [read_facts, decode])
@pytest.mark.parametrize("kind", ["far", "short", "infinite width", "infinite ppi"])
def test_it_is_refused_in_words(tmp_path: Path, kind: str, read: Callable[[Path], object]) -> None:
    gradient(tmp_path / "whole.jpg", 60, 40)
    contents = {
        "far": big_tiff_far_away(),
        "short": jpeg_that_ends_in_its_first_segment((tmp_path / "whole.jpg").read_bytes()),
        "infinite width": tiff_of_infinite(256),
        "infinite ppi": tiff_of_infinite(282),
    }
    (tmp_path / "odd").write_bytes(contents[kind])
    with pytest.raises(PhotographError):
        read(tmp_path / "odd")
