"""Large pictures below 100 megapixels take less than 1 GB; a figure of our own, no source."""

import struct
import subprocess
import sys
from pathlib import Path

import pytest

MOST = 1_000_000_000  # bytes
WIDTH, HEIGHT = 12_000, 8_000

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="measured on Linux")


def hollow_tiff(path: Path, *, bits: int, is_float: bool = False) -> Path:
    """Write a TIFF of 96 megapixels in RGB, of which the disk holds no pixels: all are 0.

    TIFF 6.0, section 2 (from memory): tag, type (3 is 16 bits, 4 is 32), count, value.
    """
    size = WIDTH * HEIGHT * 3 * bits // 8
    rows = 64  # of a strip
    strips = HEIGHT // rows
    depths, formats, offsets, counts = 1000, 1010, 2000, 4000
    tags = [
        (256, 3, 1, WIDTH),
        (257, 3, 1, HEIGHT),
        (258, 3, 3, depths),
        (259, 3, 1, 1),
        (262, 3, 1, 2),
        (273, 4, strips, offsets),
        (277, 3, 1, 3),
        (278, 3, 1, rows),
        (279, 4, strips, counts),
        (339, 3, 3, formats),
    ]
    start, strip = 8000, size // strips
    with path.open("wb") as file:
        file.write(struct.pack("<2sHIH", b"II", 42, 8, len(tags)))
        file.writelines(struct.pack("<HHII", *tag) for tag in tags)
        for at, kind, numbers in (
            (depths, "H", [bits] * 3),
            (formats, "H", [3 if is_float else 1] * 3),
            (offsets, "I", [start + n * strip for n in range(strips)]),
            (counts, "I", [strip] * strips),
        ):
            file.seek(at)
            file.write(struct.pack(f"<{len(numbers)}{kind}", *numbers))
        file.truncate(start + size)
    return path


# A process counts the memory of the one that it was forked from, so a small one stands between.
MEASURE = """
import resource, subprocess, sys
print(subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL).returncode)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""


def most_memory(*arguments: str | Path) -> int:
    """Run the program in one process, and return the most bytes of memory that it took."""
    words = [sys.executable, "-c", MEASURE, sys.executable, "-m", "proofs", *map(str, arguments)]
    done = subprocess.run(words, capture_output=True, text=True, check=True, timeout=300)
    code, kilobytes = map(int, done.stdout.split())
    assert code == 0, done.stderr
    return kilobytes * 1024


def test_a_print_of_96_megapixels_with_16_bits_takes_less_than_1_gb(tmp_path: Path) -> None:
    picture = hollow_tiff(tmp_path / "a.tif", bits=16)
    assert most_memory("make", picture, "--out", tmp_path / "out") < MOST


def test_96_megapixels_in_floating_point_take_less_than_1_gb(tmp_path: Path) -> None:
    picture = hollow_tiff(tmp_path / "a.tif", bits=32, is_float=True)
    assert most_memory("measure", picture) < MOST


def test_a_header_of_96_megapixels_takes_less_than_a_tenth_of_that(tmp_path: Path) -> None:
    assert most_memory("check", hollow_tiff(tmp_path / "a.tif", bits=16)) < MOST / 10
