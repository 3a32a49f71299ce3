"""Odd picture files, and hostile ones: read as they are meant, or refused in words and soon.

``check`` reads headers alone, ``make`` reads the whole file; both must come to the same end.
Outside sources: ITU-T T.81, the PNG specification (third edition), TIFF 6.0, EXIF 3.0, T.871,
as named in ``tests/outside/pixels/odd_files.py``; files by Pillow, tifffile and imagecodecs.
"""

import io
import struct
import time
import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from proofs.errors import PhotographError
from proofs.findings import Severity
from proofs.lengths import PixelSize
from proofs.outside.pixels.source.decode import decode, read_facts
from proofs.outside.pixels.source.file_limits import MOST_LAYERS, MOST_METADATA, MOST_SCANS
from tests.outside.pixels import odd_files
from tests.outside.pixels.odd_files import (
    chunk,
    exif_as_text,
    exif_of,
    grain,
    jpeg_of_process,
    jpeg_with,
    planes,
    png_with,
    progressive_jpeg,
    segment,
    tiff_of,
    words_in,
    xmp_of,
)

SOON = 3.0  # seconds of processor, on a machine with other work
READERS: list[Callable[[Path], object]] = [read_facts, decode]


def with_size(whole: bytes, width: int, height: int) -> bytes:
    """A PNG that claims another size; the check sum of its header is right."""
    head = struct.pack(">II", width, height) + whole[24:29]
    return whole[:8] + chunk(b"IHDR", head) + whole[33:]


def jpeg_size(width: int, height: int) -> bytes:
    whole = odd_files.saved("JPEG")
    at = whole.index(b"\xff\xc0") + 5
    return whole[:at] + struct.pack(">HH", height, width) + whole[at + 4 :]


def tiff_tag(number: int, count: int) -> bytes:
    return tiff_of(extratags=[(number, 7, count, bytes(count), True)])


def tiff_of_one_claim(megabytes: int) -> bytes:
    """A small TIFF with a tag that claims to hold more than the file."""
    whole = tiff_tag(65_000, 8)
    at = whole.index(struct.pack("<HHI", 65_000, 7, 8))
    return whole[: at + 4] + struct.pack("<I", megabytes * 1_000_000) + whole[at + 8 :]


def packed(length: int) -> bytes:
    return zlib.compress(bytes(length), 9)


REFUSED: dict[str, tuple[Callable[[], bytes], str]] = {
    "2000 scans": (lambda: progressive_jpeg(2000), "more than 100 scans"),
    "lossless": (odd_files.lossless_jpeg, "lossless JPEG"),
    "12 bits": (odd_files.twelve_bit_jpeg, "12 bits per channel"),
    "hierarchical": (lambda: jpeg_of_process(0xC5), "SOF5, is not supported"),
    "lossless and arithmetic": (lambda: jpeg_of_process(0xCB), "lossless JPEG"),
    "in a TIFF": (
        lambda: tiff_of(compression="jpeg", compressionargs={"lossless": True}),
        "lossless JPEG",
    ),
    "tiled planes": (lambda: planes((16, 16)), "tiles of separate planes"),
    "401 MP in PNG": (lambda: with_size(odd_files.saved("PNG"), 401_000, 1000), "401 megapixels"),
    "401 MP in JPEG": (lambda: jpeg_size(40_100, 10_000), "401 megapixels"),
    "a PNG of no area": (lambda: with_size(odd_files.saved("PNG"), 0, 10), "damaged"),
    "packed words": (lambda: png_with(chunk(b"zTXt", b"a\0\0" + packed(70_000_000))), "64 MB"),
    "packed international words": (
        lambda: png_with(chunk(b"iTXt", b"a\0\1\0en\0b\0" + packed(70_000_000))),
        "64 MB",
    ),
    "packed profile": (lambda: png_with(chunk(b"iCCP", b"a\0\0" + packed(70_000_000))), "64 MB"),
    "empty chunks": (lambda: png_with(chunk(b"noTe", b"") * 1001), "more parts"),
    "empty pixels": (lambda: png_with(after=chunk(b"IDAT", b"") * 200_000), "more parts"),
    "segments": (lambda: jpeg_with(segment(0xE5, bytes(65_000)) * 1000), "64 MB"),
    "short segments": (lambda: jpeg_with(segment(0xE5, b"") * 10_001), "more parts"),
    "a private tag": (lambda: tiff_of_one_claim(65), "64 MB besides"),
    "many tags": (
        lambda: tiff_of(extratags=[(n, 3, 1, 0, True) for n in range(40_000, 41_001)]),
        "more parts",
    ),
    "many pages": (lambda: odd_files.tiff_of_pages(201, 9), "more parts"),
    "pages of many tags": (lambda: odd_files.tiff_of_pages(150, 900), "more parts"),
    "a text in WebP": (
        lambda: odd_files.saved("WEBP", xmp=bytes(MOST_METADATA + 1)),
        "64 MB besides",
    ),
}


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("kind", REFUSED)
def test_it_is_refused_in_words_and_soon(
    tmp_path: Path, kind: str, read: Callable[[Path], object]
) -> None:
    make, words = REFUSED[kind]
    path = tmp_path / "odd"
    path.write_bytes(make())
    start = time.process_time()
    with pytest.raises(PhotographError, match=words) as caught:
        read(path)
    assert time.process_time() - start < SOON
    assert str(path) in str(caught.value)


@pytest.mark.parametrize("read", READERS)
def test_a_file_much_larger_than_its_picture_is_not_read(
    tmp_path: Path, read: Callable[[Path], object]
) -> None:
    path = tmp_path / "long.png"
    with path.open("wb") as file:
        file.write(odd_files.saved("PNG"))
        file.truncate(3_000_000_000)  # a hole, where the disk has such
    with pytest.raises(PhotographError, match=r"holds 3\.0 GB, more than its 0 megapixels need"):
        read(path)


def test_a_progressive_jpeg_may_have_as_many_scans_as_the_limit(tmp_path: Path) -> None:
    path = tmp_path / "scans.jpg"
    path.write_bytes(progressive_jpeg(10))
    assert decode(path).image.numpy().std() > 20  # a picture, not an even grey
    path.write_bytes(progressive_jpeg(MOST_SCANS))
    assert read_facts(path).pixels == PixelSize(60, 40)
    path.write_bytes(progressive_jpeg(MOST_SCANS + 1))
    with pytest.raises(PhotographError, match="more than 100 scans"):
        read_facts(path)


def test_markers_in_other_places_are_not_scans(tmp_path: Path) -> None:
    # A thumbnail inside a segment, and what follows the end, have start-of-scan markers of
    # their own.
    path = tmp_path / "preview.jpg"
    path.write_bytes(jpeg_with(segment(0xE1, b"\xff\xda" * 200)) + b"\xff\xda\0\x02" * 200)
    assert read_facts(path).pixels == PixelSize(60, 40)
    path.write_bytes(progressive_jpeg(10) + b"\xff\xda\0\x02" * 200)
    assert read_facts(path).pixels == PixelSize(60, 40)


def test_a_frame_behind_stray_bytes_is_found(tmp_path: Path) -> None:
    whole = odd_files.twelve_bit_jpeg()
    path = tmp_path / "stray.jpg"
    path.write_bytes(whole[:2] + b"\xff\xff\xe5\0\x02stray" + whole[2:])
    with pytest.raises(PhotographError, match="12 bits per channel"):
        read_facts(path)


def test_planes_in_strips_are_read(tmp_path: Path) -> None:
    path = tmp_path / "planes.tif"
    path.write_bytes(planes(None))
    assert np.array_equal(decode(path).image.numpy(), grain())


def test_a_tiff_with_layers_of_an_editor_is_read(tmp_path: Path) -> None:
    path = tmp_path / "layers.tif"
    path.write_bytes(tiff_tag(37_724, MOST_METADATA + 1))
    photograph = decode(path)
    assert read_facts(path).notes == photograph.facts.notes
    assert np.array_equal(photograph.image.numpy(), grain())


def test_a_tiff_with_too_many_layers_is_refused(tmp_path: Path) -> None:
    whole = tiff_tag(37_724, 8)
    at = whole.index(struct.pack("<HHI", 37_724, 7, 8))
    path = tmp_path / "layers.tif"
    path.write_bytes(whole[: at + 4] + struct.pack("<I", MOST_LAYERS + 1) + whole[at + 8 :])
    with pytest.raises(PhotographError, match="400 MB of layers"):
        read_facts(path)


def test_a_tiff_of_one_large_strip_is_read(tmp_path: Path) -> None:
    # Its packed strip is larger than 50 MB, the most that the library allows by itself.
    pixels = np.random.default_rng(4).integers(0, 256, (4500, 4000, 3)).astype("u1")
    path = tmp_path / "strip.tif"
    path.write_bytes(
        tiff_of(pixels, compression="zlib", compressionargs={"level": 1}, rowsperstrip=4500)
    )
    assert np.array_equal(decode(path).image.numpy()[::100], pixels[::100])


# Turns


EXIF_IN_PNG = {
    "before the pixels": lambda block: png_with(chunk(b"eXIf", block)),
    "after the pixels": lambda block: png_with(after=chunk(b"eXIf", block)),
    "as text": lambda block: png_with(
        chunk(b"tEXt", b"Raw profile type exif\0" + exif_as_text(block))
    ),
    "as packed text": lambda block: png_with(
        chunk(b"zTXt", b"Raw profile type APP1\0\0" + zlib.compress(exif_as_text(block)))
    ),
    "as packed international text": lambda block: png_with(
        chunk(b"iTXt", b"Raw profile type exif\0\1\0en\0\0" + zlib.compress(exif_as_text(block)))
    ),
    "as text after the pixels": lambda block: png_with(
        after=chunk(b"iTXt", b"Raw profile type exif\0\0\0\0\0" + exif_as_text(block))
    ),
}


@pytest.mark.parametrize("place", EXIF_IN_PNG)
@pytest.mark.parametrize("orientation", [6, 8])
def test_a_png_is_upright_wherever_its_exif_is(
    tmp_path: Path, place: str, orientation: int
) -> None:
    path = tmp_path / "turned.png"
    path.write_bytes(EXIF_IN_PNG[place](exif_of(orientation)))
    assert read_facts(path).pixels == PixelSize(40, 60)
    assert read_facts(path).is_turned
    # EXIF 3.0: 6 is for a picture whose first row is at the right, 8 at the left.
    upright = np.rot90(grain(), {6: -1, 8: 1}[orientation])
    assert np.array_equal(decode(path).image.numpy(), upright)


@pytest.mark.parametrize("text", [b"", b"exif\n12\nxyz", b"\nexif\n4\nffff0000\n"])
def test_a_text_that_holds_no_exif_is_ignored(tmp_path: Path, text: bytes) -> None:
    path = tmp_path / "odd.png"
    path.write_bytes(png_with(chunk(b"tEXt", b"Raw profile type exif\0" + text)))
    assert decode(path).facts.pixels == PixelSize(60, 40)


def test_words_in_latin_1_do_no_harm(tmp_path: Path) -> None:
    # Keywords and texts of tEXt are Latin-1 (PNG specification, third edition, 11.3.3.2).
    path = tmp_path / "words.png"
    path.write_bytes(png_with(chunk(b"tEXt", "Künstler\0Jürgen".encode("latin-1"))))
    assert np.array_equal(decode(path).image.numpy(), grain())


# Shape of pixels


def jfif(unit: int, across: int, down: int) -> bytes:
    whole = odd_files.saved("JPEG")
    at = whole.index(b"JFIF\0") + 7  # ITU-T T.871, 10.1
    return whole[:at] + struct.pack(">BHH", unit, across, down) + whole[at + 5 :]


def fax(across: int, down: int) -> bytes:
    return tiff_of(resolution=(across, down), resolutionunit="INCH")


def phys(across: int, down: int, unit: int) -> bytes:
    return png_with(chunk(b"pHYs", struct.pack(">IIB", across, down, unit)))


@pytest.mark.parametrize(
    ("whole", "ratio", "ppi"),
    [
        (fax(204, 98), "2.08", 204),
        (jfif(1, 300, 150), "2.00", 300),
        (jfif(0, 1, 2), "0.50", None),
        (phys(11_811, 5906, 1), "2.00", 300),
        (phys(2, 1, 0), "2.00", None),
    ],
)
def test_pixels_that_are_not_square_are_warned_of(
    tmp_path: Path, whole: bytes, ratio: str, ppi: int | None
) -> None:
    path = tmp_path / "wide"
    path.write_bytes(whole)
    facts = read_facts(path)
    finding = next(note for note in facts.notes if note.code == "non-square-pixels")
    assert finding.severity == Severity.WARNING
    assert f"{ratio} times as many" in finding.message
    assert facts.own_ppi == ppi
    assert finding in decode(path).facts.notes


@pytest.mark.parametrize(
    "whole",
    [
        fax(300, 300),
        fax(3000, 2999),
        jfif(1, 300, 300),
        jfif(0, 1, 1),
        jfif(0, 0, 7),
        phys(9, 0, 1),
    ],
)
def test_pixels_that_are_square_are_not(tmp_path: Path, whole: bytes) -> None:
    path = tmp_path / "square"
    path.write_bytes(whole)
    assert "non-square-pixels" not in {note.code for note in read_facts(path).notes}


# XMP


@pytest.mark.parametrize("encoding", ["shift_jis", "utf-16", "euc-jp", "cp037"])
def test_a_packet_in_another_encoding_does_no_harm(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "title.png"
    path.write_bytes(png_with(words_in([xmp_of("pier", encoding)])))
    assert decode(path).facts.notes == read_facts(path).notes


def test_of_a_large_packet_the_title_is_kept_and_that_is_reported(tmp_path: Path) -> None:
    path = tmp_path / "history.png"
    path.write_bytes(png_with(words_in([xmp_of("Pier at dawn", filling=100_000)])))
    photograph = decode(path)
    assert b"Pier at dawn" in photograph.metadata.xmp
    assert b"xxx" not in photograph.metadata.xmp
    (finding,) = (n for n in photograph.facts.notes if n.code == "metadata-left-out")
    assert "its XMP metadata are larger than 64 kB" in finding.message
    assert finding in read_facts(path).notes


def test_a_packet_of_megabytes_is_left_out_soon(tmp_path: Path) -> None:
    path = tmp_path / "deep.png"
    path.write_bytes(png_with(words_in([xmp_of("<a/>" * 5_000_000)])))
    start = time.process_time()
    assert decode(path).metadata.xmp == b""
    assert time.process_time() - start < SOON
    assert "metadata-left-out" in {note.code for note in read_facts(path).notes}


def test_of_large_exif_only_the_short_texts_are_kept(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x8298] = "Somebody"
    exif[0x9286 - 1] = "x" * 70_000
    whole = io.BytesIO()
    Image.fromarray(grain()).save(whole, "PNG", exif=exif)
    path = tmp_path / "comment.png"
    path.write_bytes(whole.getvalue())
    photograph = decode(path)
    assert [entry.tag for entry in photograph.metadata.exif["main"]] == [0x8298]
    assert "metadata-left-out" in {note.code for note in read_facts(path).notes}
