"""Files decoded: facts from the header, what is refused in plain words, what is only reported.

Kinds of faults: those that users of open-source picture libraries reported. Resolutions: JFIF
(ITU-T T.871), TIFF 6.0 and the PNG specification, with Pillow and tifffile as writers.
"""

import hashlib
import io
import struct
import time
import zlib
from pathlib import Path

import imagecodecs
import numpy as np
import pytest
import pyvips
import tifffile
from PIL import Image

from proofs.errors import PhotographError, WriteError
from proofs.findings import Severity
from proofs.outside.pixels.source.decode import decode, read_facts
from tests.outside.pixels.files import as_bytes, chart, jpeg, png, with_segment
from tests.outside.pixels.pictures import lab, photograph, tiff
from tests.outside.pixels.pipeline import pixels_of, written


def code_of(path: Path) -> str:
    with pytest.raises(PhotographError) as caught:
        decode(path)
    assert str(path) in str(caught.value)
    return str(getattr(caught.value, "code", ""))


def test_the_header_gives_size_depth_channels_and_resolution(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "a.jpg", chart(), dpi=(240, 240))
    facts = read_facts(path)
    assert (facts.pixels.width, facts.pixels.height) == (120, 20)
    assert (facts.bits, facts.channels, facts.own_ppi) == (8, 3, 240.0)
    assert facts == decode(path).facts


@pytest.mark.parametrize("unit", ["inch", "centimetre", "rounded"])
def test_tiff_resolution_is_in_pixels_per_inch(tmp_path: Path, unit: str) -> None:
    number, kind = {
        "inch": ((300, 1), 2),
        "centimetre": ((11811, 100), 3),
        "rounded": ((299999, 1000), 2),
    }[unit]
    path = tmp_path / "a.tif"
    tifffile.imwrite(
        path, chart(), photometric="rgb", resolution=(number, number), resolutionunit=kind
    )
    assert read_facts(path).own_ppi == 300.0


@pytest.mark.parametrize(("unit", "density", "expected"), [(1, 300, 300.0), (2, 118, 299.72)])
def test_jfif_resolution_is_in_pixels_per_inch(
    tmp_path: Path, unit: int, density: int, expected: float
) -> None:
    path = jpeg(tmp_path / "a.jpg", chart())
    content = path.read_bytes()
    place = content.index(b"JFIF\0") + 7
    path.write_bytes(
        content[:place] + struct.pack(">BHH", unit, density, density) + content[place + 5 :]
    )
    assert read_facts(path).own_ppi == expected


def test_the_resolution_of_a_thumbnail_is_not_that_of_the_picture(tmp_path: Path) -> None:
    # EXIF 3.0, 4.8.1: the thumbnail is a JPEG of its own inside the segment of the EXIF.
    exif = Image.Exif()
    exif.update({0x011A: 300.0, 0x011B: 300.0, 0x0128: 2})
    thumbnail = as_bytes(Image.fromarray(chart()), "JPEG", dpi=(72, 72))
    path = jpeg(tmp_path / "a.jpg", chart())
    whole = path.read_bytes()
    path.write_bytes(whole[:2] + whole[20:])  # cameras write no JFIF segment
    with_segment(path, 0xE1, exif.tobytes() + thumbnail)
    assert read_facts(path).own_ppi == 300.0


@pytest.mark.parametrize("ppi", [180, 240, 300, 360, 600])
def test_png_resolution_is_in_pixels_per_inch(tmp_path: Path, ppi: int) -> None:
    path = tmp_path / "a.png"
    Image.fromarray(chart()).save(path, dpi=(ppi, ppi))
    assert read_facts(path).own_ppi == ppi


def test_without_a_resolution_there_is_none(tmp_path: Path) -> None:
    assert read_facts(png(tmp_path / "a.png", chart())).own_ppi is None
    assert read_facts(jpeg(tmp_path / "a.jpg", chart())).own_ppi is None


def test_the_hash_is_that_of_the_file(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "a.jpg", chart())
    assert decode(path).sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


# Files that are not pictures


def test_an_empty_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "empty.jpg"
    path.touch()
    assert code_of(path) == "input-empty"
    with pytest.raises(PhotographError, match="is empty"):
        read_facts(path)


@pytest.mark.parametrize(
    "content",
    [
        b"<!DOCTYPE html><html><body>404</body></html>",
        b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>',
        b"2 2\n1 2\n3 4\n",
        b"\0\x05\x16\x07\0\x02\0\0Mac OS X        ",
        b"P6 1 1 255 abc",
    ],
)
def test_what_is_not_a_picture_is_refused_whatever_its_name(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "picture.jpg"
    path.write_bytes(content)
    assert code_of(path) == "unsupported-format"
    with pytest.raises(PhotographError, match="is not a picture the program can read"):
        read_facts(path)


def test_phone_containers_are_named_with_a_remedy(tmp_path: Path) -> None:
    path = tmp_path / "IMG_0001.HEIC"
    path.write_bytes(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0" * 64)
    assert code_of(path) == "unsupported-format"
    with pytest.raises(PhotographError, match=r"HEIC or AVIF\? save it as TIFF or JPEG"):
        read_facts(path)


def test_a_missing_file_is_reported(tmp_path: Path) -> None:
    assert code_of(tmp_path / "none.jpg") == "input-missing"


@pytest.mark.parametrize("compression", ["zstd", "lzma"])
def test_a_compression_that_would_come_out_black_is_refused(
    tmp_path: Path, compression: str
) -> None:
    path = tiff(tmp_path / "a.tif", chart(), compression=compression)
    assert code_of(path) == "unsupported-format"


def test_64_bit_samples_are_refused(tmp_path: Path) -> None:
    path = tiff(tmp_path / "a.tif", chart().astype("f8"))
    assert code_of(path) == "unsupported-format"


def test_signed_samples_are_refused(tmp_path: Path) -> None:
    path = tiff(tmp_path / "a.tif", chart().astype("i2"))
    assert code_of(path) == "unsupported-format"


@pytest.mark.parametrize("bits", [4, 10, 12])
def test_bit_depths_that_the_library_cannot_read_are_refused(tmp_path: Path, bits: int) -> None:
    codes = (chart().astype("u2") >> 4).astype("u1" if bits < 8 else "u2")
    path = tiff(tmp_path / "a.tif", codes, bitspersample=bits)
    with pytest.raises(PhotographError, match=f"{bits} bits per channel; save it as TIFF or JPEG"):
        read_facts(path)


@pytest.mark.parametrize("colour", [4, 32803, 32844, 32845])  # masks, raw sensors, LogL, LogLuv
def test_other_photometric_interpretations_are_refused_by_number(
    tmp_path: Path, colour: int
) -> None:
    pixels = chart()[..., 0] if colour == 32803 else chart()
    path = tiff(tmp_path / "a.tif", pixels, photometric=colour)
    with pytest.raises(PhotographError, match=f"interpretation, {colour}, is not supported"):
        read_facts(path)


def test_a_12_bit_jpeg_is_not_called_damaged(tmp_path: Path) -> None:
    path = tmp_path / "deep.jpg"
    path.write_bytes(imagecodecs.jpeg8_encode(chart().astype("u2") << 4, bitspersample=12))
    for opened in (read_facts, decode):
        with pytest.raises(PhotographError, match="12 bits per channel; save it as TIFF or JPEG"):
            opened(path)


def test_a_jpeg_of_a_process_that_the_library_lacks_is_not_called_damaged(tmp_path: Path) -> None:
    path = jpeg(tmp_path / "levels.jpg", chart())
    frame, differential = b"\xff\xc0\0\x11", b"\xff\xc5\0\x11"  # SOF0 and SOF5 of ITU-T T.81
    assert path.read_bytes().count(frame) == 1
    path.write_bytes(path.read_bytes().replace(frame, differential))
    with pytest.raises(PhotographError, match="kind of JPEG, SOF5, is not supported; save"):
        read_facts(path)


def bomb(path: Path, side: int) -> Path:
    """A PNG whose header claims ``side`` pixels each way, with hardly any content."""
    head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    content = b"\x89PNG\r\n\x1a\n"
    for name, chunk in ((b"IHDR", head), (b"IDAT", zlib.compress(b"\0" * 99)), (b"IEND", b"")):
        check = zlib.crc32(name + chunk)
        content += struct.pack(">I", len(chunk)) + name + chunk + struct.pack(">I", check)
    path.write_bytes(content)
    return path


def test_a_picture_of_more_than_400_megapixels_is_refused_by_its_header(tmp_path: Path) -> None:
    path = bomb(tmp_path / "huge.png", 30_000)
    with pytest.raises(PhotographError, match="has 900 megapixels, more than 400"):
        read_facts(path)
    assert code_of(path) == "input-too-large"


# Damage


def whole(format_: str) -> bytes:
    image = Image.fromarray(photograph("astronaut")[:180, :240])
    return as_bytes(image, format_, quality=92)


@pytest.mark.parametrize("format_", ["JPEG", "PNG", "WEBP"])
def test_a_file_cut_at_60_per_cent_is_refused(tmp_path: Path, format_: str) -> None:
    content = whole(format_)
    path = tmp_path / "cut"
    path.write_bytes(content[: len(content) * 6 // 10])
    assert code_of(path) == "input-truncated"


def test_a_tiff_whose_strips_are_cut_is_refused(tmp_path: Path) -> None:
    image = photograph("astronaut")[:180, :240]
    content = tiff(tmp_path / "whole.tif", image, rowsperstrip=20).read_bytes()
    path = tmp_path / "cut.tif"
    path.write_bytes(content[: len(content) * 6 // 10])
    assert code_of(path) == "input-truncated"


def test_bytes_after_the_end_do_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "tail.jpg"
    path.write_bytes(whole("JPEG") + b"\0" * 400)
    assert [n.code for n in decode(path).facts.notes] == ["profile-missing"]


def test_a_harmless_fault_is_read_and_reported(tmp_path: Path) -> None:
    content = bytearray(whole("JPEG"))
    scan = content.index(b"\xff\xda")
    content[scan + 12] = 0  # the end of spectral selection, which is 63 in a baseline scan
    path = tmp_path / "odd.jpg"
    path.write_bytes(bytes(content))
    finding = decode(path).facts.notes[-1]
    assert (finding.code, finding.severity) == ("read-with-warnings", Severity.WARNING)


# Names


@pytest.mark.parametrize(
    "name",
    [
        "scan[1]",
        "IMG_9 [bw].jpg",
        "a [page=2]",
        "-rf.jpg",
        "%s%d.jpg",
        "naïve é.jpg",
        "nai\u0308ve e\u0301.jpg",
        "日本.jpg",
        "quote'\".jpg",
        " blank .jpg",
        "no_extension",
        "really.dng",
        "really.tif",
        "#hash?.jpg",
    ],
)
def test_file_names_are_never_taken_for_options(tmp_path: Path, name: str) -> None:
    path = jpeg(tmp_path / name, chart())
    plain = jpeg(tmp_path / "plain.jpg", chart())
    assert read_facts(path).pixels == read_facts(plain).pixels
    assert written(path, lab()) == written(plain, lab())


def test_a_file_rewritten_under_its_name_is_read_again(tmp_path: Path) -> None:
    path = tiff(tmp_path / "a.tif", np.full((9, 9, 3), 10, dtype="u1"))
    first = pixels_of(written(path, lab()))
    tiff(path, np.full((9, 9, 3), 200, dtype="u1"))
    assert (first == 10).all()
    assert (pixels_of(written(path, lab())) == 200).all()


def test_reading_a_header_does_not_decode_the_pixels(tmp_path: Path) -> None:
    path = tmp_path / "large.jpg"
    Image.fromarray(np.zeros((4000, 6000, 3), dtype="u1")).save(path, quality=50)
    read_facts(path)
    start = time.process_time()
    read_facts(path)
    header = time.process_time() - start
    Image.open(io.BytesIO(path.read_bytes())).load()
    assert header < time.process_time() - start - header


def test_a_lack_of_memory_is_no_fault_of_the_picture(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The words of the library for a block that the system did not give it, as measured.
    path = tmp_path / "good.png"
    Image.new("RGB", (60, 40)).save(path)

    def lacking(*_: object, **__: object) -> None:
        raise pyvips.Error("", "out of memory -- size == 24MB")

    monkeypatch.setattr("proofs.outside.pixels.source.decode.all_pixels", lacking)
    with pytest.raises(WriteError, match="too little memory"):
        decode(path)
