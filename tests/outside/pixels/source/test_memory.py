"""What reading a header takes: never the whole file, and never a second copy of it."""

import tracemalloc
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from proofs.errors import PhotographError
from proofs.outside.pixels.source.decode import read_facts
from tests.outside.pixels import odd_files
from tests.outside.pixels.pictures import tiff

MOST_BYTES = 100_000_000


@pytest.fixture
def traced() -> Iterator[None]:
    tracemalloc.start()
    yield
    tracemalloc.stop()


def most_held() -> int:
    """The most bytes that Python has held since the test began."""
    return tracemalloc.get_traced_memory()[1]


@pytest.mark.usefixtures("traced")
@pytest.mark.parametrize("name", [b"prIv", b"eXIf", b"iCCP", b"tEXtRaw profile type exif\0"])
def test_a_large_chunk_before_the_pixels_is_not_read(tmp_path: Path, name: bytes) -> None:
    path, length = tmp_path / "long.png", 400_000_000
    whole = odd_files.saved("PNG")
    with path.open("wb") as file:
        file.write(whole[:33] + length.to_bytes(4, "big") + name)
        file.seek(33 + 12 + length)  # a hole, where the disk has such
        file.write(whole[33:])
    with pytest.raises(PhotographError, match="more than 64 MB besides its pixels"):
        read_facts(path)
    assert most_held() < MOST_BYTES


@pytest.mark.usefixtures("traced")
def test_the_header_of_a_cielab_tiff_takes_no_copy_of_the_file(tmp_path: Path) -> None:
    # 16 bits of CIELAB are read only after the file's own label has been changed.
    path = tiff(tmp_path / "lab.tif", np.zeros((2500, 2000, 3), np.uint16), photometric="cielab")
    tracemalloc.reset_peak()
    read_facts(path)
    assert most_held() < path.stat().st_size / 5
