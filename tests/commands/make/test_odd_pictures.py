"""``check`` and ``make`` come to the same end on odd pictures, and neither shows a traceback.

The files, and the standards that they follow, are in ``tests/outside/pixels/odd_files.py``.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from proofs.outside.pixels.colour import icc, spaces
from tests.command import Said, in_process, report_of, write_entries
from tests.outside.pixels import odd_files
from tests.outside.pixels.odd_files import chunk, exif_of, png_with, words_in, xmp_of

PHOTOGRAPH = np.random.default_rng(8).integers(60, 200, (40, 60, 3)).astype("u1")


def black_profile() -> bytes:
    curve = icc.curve_tag(np.zeros(16))
    return icc.build_matrix_profile("Black", spaces.rgb_to_xyz(spaces.SRGB), curve)


ODD: dict[str, tuple[Callable[[], bytes], str]] = {
    "scans.jpg": (lambda: odd_files.progressive_jpeg(2000), "input-too-large"),
    "lossless.jpg": (odd_files.lossless_jpeg, "unsupported-format"),
    "12-bit.jpg": (odd_files.twelve_bit_jpeg, "unsupported-format"),
    "planes.tif": (lambda: odd_files.planes((16, 16)), "unsupported-format"),
    "black.png": (
        lambda: odd_files.saved("PNG", icc_profile=black_profile()),
        "profile-unusable",
    ),
    "hdr.png": (lambda: png_with(chunk(b"cICP", bytes((9, 16, 0, 1)))), "colour-guessed"),
    "fax.tif": (
        lambda: odd_files.tiff_of(resolution=(204, 98), resolutionunit="INCH"),
        "non-square-pixels",
    ),
    "turned.png": (lambda: png_with(after=chunk(b"eXIf", exif_of(6))), "resolution"),
    "history.png": (
        lambda: png_with(words_in([xmp_of("Pier", filling=100_000)])),
        "metadata-left-out",
    ),
    "sjis.png": (lambda: png_with(words_in([xmp_of("pier", "shift_jis")])), "resolution"),
    "latin.png": (
        lambda: png_with(chunk(b"tEXt", "Künstler\0Jürgen".encode("latin-1"))),
        "resolution",
    ),
    "good.png": (lambda: odd_files.saved("PNG", PHOTOGRAPH), "resolution"),
}
REFUSED = ("scans.jpg", "lossless.jpg", "12-bit.jpg", "planes.tif")


@pytest.fixture(scope="module")
def said(tmp_path_factory: pytest.TempPathFactory) -> tuple[Said, Said, dict[str, Any]]:
    """What ``check`` and ``make`` say, and the entries of the report by their file."""
    folder = tmp_path_factory.mktemp("odd")
    for name, (make, _) in ODD.items():
        (folder / name).write_bytes(make())
    rows = (f"{name},{name},long 3 in,0" for name in ODD)
    write_entries(folder, "file,title,size,bracket", *rows)
    checked = in_process("check", folder, "--json", "--rules", "none")
    out = folder / "out"
    made = in_process("make", folder, "--rules", "none", "--out", out, "--jobs", "1", "--variants")
    entries = {"check": json.loads(checked.out), "make": report_of(out)}
    return checked, made, entries


def test_both_end_as_for_a_photograph_that_cannot_be_read(
    said: tuple[Said, Said, dict[str, Any]],
) -> None:
    checked, made, _ = said
    assert (checked.code, made.code) == (4, 4)
    assert "Traceback" not in checked.out + checked.err + made.out + made.err


@pytest.mark.parametrize("name", ODD)
def test_both_find_the_same(said: tuple[Said, Said, dict[str, Any]], name: str) -> None:
    found = {}
    for command, report in said[2].items():
        (entry,) = (e for e in report["entries"] if e["title"] == name)
        codes = {finding["code"] for finding in entry["findings"]}
        found[command] = entry["status"], codes
        assert ODD[name][1] in codes
        assert (entry["status"] == "unreadable") == (name in REFUSED)
    assert found["check"] == found["make"]


@pytest.mark.parametrize("column", ["title", "crop"])
def test_a_row_with_a_cell_too_long_stops_no_other(tmp_path: Path, column: str) -> None:
    Image.fromarray(PHOTOGRAPH).save(tmp_path / "good.png")
    cell = " " * 50_000 if column == "title" else f'"{"," * 20_000}"'
    write_entries(tmp_path, f"file,{column}", f"good.png,{cell}", "good.png,")
    told = in_process("check", tmp_path, "--rules", "none")
    assert told.code == 3
    assert f"line 2, {column}: it has " in told.out
    assert "2 entries: 1 not understood, 1 met" in told.out


def test_a_table_of_absurd_size_is_refused(tmp_path: Path) -> None:
    write_entries(tmp_path, "file", "a.jpg\n" * 400_000)
    told = in_process("check", tmp_path)
    assert told.code == 3
    assert "is larger than 2 MB" in told.err


def own_profile(folder: Path, kind: str, text: str) -> None:
    place = folder / "profiles" / kind
    place.mkdir(parents=True)
    (place / "own.toml").write_text(text, encoding="utf-8")


LAB = """
title = "Own lab"
source = "made up"
[file]
ppi = 300
format = "jpeg"
[colour]
profile = "own.icc"
"""
MOUNT = """
title = "Wall"
source = "made up"
board = "100x100 in"
[window]
kind = "overlap"
overlap = "1/8 in"
[mat]
thickness = "1.4 mm"
[backing]
thickness = "5 mm"
"""
LABELS = """
title = "Dust"
source = "made up"
page = "a4"
columns = 100000000
rows = 1
label = "0.000001x10 mm"
left = "0 mm"
top = "0 mm"
"""


@pytest.mark.parametrize(
    ("kind", "option", "text", "words"),
    [
        ("labs", "--lab", LAB, "cannot be used for prints: it is cut short"),
        ("mounts", "--mount", MOUNT, "expected sides of at most 60 in"),
        ("mounts", "--mount", "a = " + "[" * 100_000, "too deep"),
        ("mounts", "--mount", "a = " + "9" * 10_000, "too many digits"),
        ("mounts", "--mount", "#" * 1_000_001, "is larger than 1 MB"),
    ],
)
@pytest.mark.parametrize("command", [("check",), ("make", "--out", "out")])
def test_a_profile_beyond_measure_ends_with_3(
    tmp_path: Path, command: tuple[str, ...], kind: str, option: str, text: str, words: str
) -> None:
    Image.fromarray(PHOTOGRAPH).save(tmp_path / "good.png")
    own_profile(tmp_path, kind, text)
    (tmp_path / "profiles" / kind / "own.icc").write_bytes(black_profile()[:200])
    told = in_process(*command, tmp_path, option, "own")
    assert told.code == 3
    assert words in told.err
    assert "Traceback" not in told.err


def test_a_sheet_of_too_many_labels_ends_with_3(tmp_path: Path) -> None:
    Image.fromarray(PHOTOGRAPH).save(tmp_path / "good.png")
    own_profile(tmp_path, "labels", LABELS)
    told = in_process("mount", tmp_path, "--labels", "own", "--out", tmp_path / "out")
    assert told.code == 3
    assert "columns: found 100000000; expected a whole number from 1 to 100" in told.err
