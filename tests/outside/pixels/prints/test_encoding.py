"""Finished files: exact resolution, profile, compression, limits, and nothing private.

Outside source: TIFF 6.0, JFIF (ITU-T T.871), the PNG specification, EXIF (CIPA DC-008); read
back by Pillow and tifffile, or from the bytes themselves where those matter.
"""

import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tifffile
from PIL import Image

from proofs.errors import PhotographError
from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.prints.encoding import encoded, read_back
from proofs.outside.pixels.prints.format_limits import check_format_limits
from proofs.outside.pixels.source.decode import decode
from proofs.records.labs import Compression, FileFormat, Lab
from tests.outside.pixels.files import chart, jpeg
from tests.outside.pixels.pictures import lab, photograph, tiff
from tests.outside.pixels.pipeline import pixels_of, sized, written

FORMATS = (FileFormat.TIFF, FileFormat.JPEG, FileFormat.PNG)


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    return tiff(tmp_path / "a.tif", photograph("astronaut")[:60, :90])


@pytest.mark.parametrize("ppi", [300, 360, 600])
@pytest.mark.parametrize("source", [{"resolutionunit": 3, "resolution": (118, 118)}, {}])
def test_tiff_resolution_is_a_whole_number_per_inch(
    tmp_path: Path, ppi: int, source: dict[str, Any]
) -> None:
    path = tiff(tmp_path / "cm.tif", chart(), **source)
    with tifffile.TiffFile(io.BytesIO(written(path, lab(ppi=ppi)))) as file:
        tags = file.pages.first.tags
        assert tags[282].value == (ppi, 1)
        assert tags[283].value == (ppi, 1)
        assert tags[296].value == 2


@pytest.mark.parametrize("ppi", [300, 360, 600])
def test_jpeg_resolution_is_in_its_first_segment(picture: Path, ppi: int) -> None:
    file = written(picture, lab(format_=FileFormat.JPEG, ppi=ppi))
    assert file[:4] == b"\xff\xd8\xff\xe0"
    assert file[6:18].hex() == f"4a46494600010201{ppi:04x}{ppi:04x}"
    assert file.count(b"JFIF\0") == 1
    assert Image.open(io.BytesIO(file)).info["dpi"] == (ppi, ppi)


def test_png_resolution_is_the_nearest_per_metre(picture: Path) -> None:
    file = written(picture, lab(format_=FileFormat.PNG))
    place = file.index(b"pHYs")
    assert file[place + 4 : place + 13].hex() == "00002e2300002e2301"  # 11811 per metre


@pytest.mark.parametrize("space", ["srgb", "a98-rgb", "display-p3"])
@pytest.mark.parametrize("format_", FORMATS)
def test_the_profile_is_embedded_unchanged(picture: Path, format_: FileFormat, space: str) -> None:
    file = written(picture, lab(format_=format_, space=space), 0.10)
    assert Image.open(io.BytesIO(file)).info["icc_profile"] == spaces.built_in_profile(space)


@pytest.mark.parametrize("format_", FORMATS)
def test_a_finished_file_gives_its_size_and_resolution(picture: Path, format_: FileFormat) -> None:
    printed = read_back(written(picture, lab(format_=format_)))
    assert (printed.width_px, printed.height_px, printed.ppi) == (90, 60, 300.0)
    assert printed.icc == "sRGB IEC61966-2-1"


@pytest.mark.parametrize("bits", [8, 16])
@pytest.mark.parametrize("compression", [Compression.NONE, Compression.LZW, Compression.DEFLATE])
def test_every_tiff_compression_gives_the_same_pixels(
    picture: Path, compression: Compression, bits: int
) -> None:
    file = written(picture, lab(compression=compression, bits=bits), 0.10)
    plain = written(picture, lab(compression=Compression.NONE, bits=bits), 0.10)
    with tifffile.TiffFile(io.BytesIO(file)) as opened:
        page = opened.pages.first
        assert page.compression == {"none": 1, "lzw": 5, "deflate": 8}[compression]
        assert page.bitspersample == bits
        assert page.predictor == (1 if compression == Compression.NONE else 2)
    assert np.array_equal(pixels_of(file), pixels_of(plain))


def test_png_may_have_16_bits(picture: Path) -> None:
    file = written(picture, lab(format_=FileFormat.PNG, bits=16))
    assert file[24] == 16


def test_jpegs_are_baseline_without_subsampling_at_the_requested_quality(picture: Path) -> None:
    file = written(picture, lab(format_=FileFormat.JPEG, quality=95))
    frame = file.index(b"\xff\xc0")
    assert b"\xff\xc2" not in file
    assert [file[frame + 11 + 3 * n] for n in range(3)] == [0x11] * 3
    coarse = written(picture, lab(format_=FileFormat.JPEG, quality=60))
    assert len(file) - len(coarse) > 1000  # 4 x fewer bytes of image data, plus 2.5 kB of profile


def test_fine_red_lines_stay_red(tmp_path: Path) -> None:
    lines = np.full((60, 90, 3), 30, dtype="u1")
    lines[:, ::3] = [200, 30, 30]
    path = tiff(tmp_path / "red.tif", lines)
    got = pixels_of(written(path, lab(format_=FileFormat.JPEG))).astype(int)
    assert np.abs(got - lines).mean() < 3  # with subsampled colour it is over 20


@pytest.mark.parametrize("format_", FORMATS)
def test_the_same_picture_gives_the_same_bytes(picture: Path, format_: FileFormat) -> None:
    assert written(picture, lab(format_=format_), 0.20) == written(
        picture, lab(format_=format_), 0.20
    )


@pytest.mark.parametrize(
    ("format_", "width", "height"),
    [
        (FileFormat.JPEG, 70_866, 300),
        (FileFormat.JPEG, 10, 65_501),
        (FileFormat.PNG, 1_000_001, 1),
        (FileFormat.TIFF, 1_000_001, 1),
        (FileFormat.TIFF, 20_001, 20_000),  # more than 400 megapixels
        (FileFormat.PNG, 20_001, 20_000),
    ],
)
def test_what_a_format_cannot_hold_is_refused_before_any_work(
    format_: FileFormat, width: int, height: int
) -> None:
    with pytest.raises(PhotographError) as caught:
        check_format_limits(width, height, lab(format_=format_))
    assert getattr(caught.value, "code", "") == "output-too-large-for-format"


def test_a_long_panorama_fits_a_jpeg() -> None:
    check_format_limits(17_717, 177, lab(format_=FileFormat.JPEG))


# Metadata

TEXTS = {270: "A heron at dawn", 315: "A. Maker", 33432: "(c) A. Maker"}
PLACE = {1: "N", 2: (59.0, 0.0, 0.0), 3: "E", 4: (10.0, 0.0, 0.0)}
PACKET = (
    b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-'
    b'syntax-ns#"><rdf:Description rdf:about="" xmlns:tiff="http://ns.adobe.com/tiff/1.0/" '
    b'tiff:Orientation="6" xmlns:dc="http://purl.org/dc/elements/1.1/" dc:format="heron"/>'
    b"</rdf:RDF></x:xmpmeta>"
)


@pytest.fixture
def private(tmp_path: Path) -> Path:
    """A JPEG with names, a place, a maker note, a thumbnail and an orientation."""
    exif = Image.Exif()
    for tag, text in TEXTS.items():
        exif[tag] = text
    exif[274] = 6
    exif.get_ifd(0x8769)[0x927C] = b"secret of the maker"
    exif.get_ifd(0x8769)[0x9003] = "2026:01:01 06:30:00"
    exif.get_ifd(0x8825).update(PLACE)
    return jpeg(tmp_path / "private.jpg", chart(), exif=exif, xmp=PACKET)


@pytest.mark.parametrize("format_", FORMATS)
def test_nothing_private_is_passed_on(private: Path, format_: FileFormat) -> None:
    file = written(private, lab(format_=format_), 0.10)
    opened = Image.open(io.BytesIO(file))
    assert not opened.getexif().get_ifd(0x8825)
    assert 274 not in opened.getexif() or opened.getexif()[274] == 1
    assert not any(word in file for word in (b"heron", b"Maker", b"secret", b"2026:01", b"xmpmeta"))


def kept_file(path: Path, own: Lab) -> bytes:
    photograph = decode(path)
    image = variant_image(sized(path), own, 0.0)
    return encoded(image, own, kept=photograph.metadata)


@pytest.mark.parametrize("format_", FORMATS)
def test_names_place_and_time_are_kept_on_request(private: Path, format_: FileFormat) -> None:
    file = kept_file(private, lab(format_=format_))
    opened = Image.open(io.BytesIO(file))
    exif = opened.getexif()
    assert {tag: exif[tag] for tag in TEXTS} == TEXTS
    assert exif.get_ifd(0x8825)[2] == PLACE[2]
    assert exif.get_ifd(0x8769)[0x9003] == "2026:01:01 06:30:00"
    assert b'dc:format="heron"' in file


@pytest.mark.parametrize("format_", FORMATS)
def test_values_that_no_longer_hold_are_never_kept(private: Path, format_: FileFormat) -> None:
    file = kept_file(private, lab(format_=format_))
    assert Image.open(io.BytesIO(file)).getexif().get(274, 1) == 1
    assert b"secret" not in file
    assert b"tiff:Orientation" not in file


@pytest.mark.parametrize("format_", FORMATS)
def test_kept_metadata_changes_no_pixel_and_no_size(private: Path, format_: FileFormat) -> None:
    own = lab(format_=format_)
    plain, kept = written(private, own), kept_file(private, own)
    assert np.array_equal(pixels_of(plain), pixels_of(kept))
    assert read_back(plain) == read_back(kept)
    assert Image.open(io.BytesIO(kept)).info["icc_profile"] == spaces.built_in_profile("srgb")


def test_the_texts_of_a_tiff_are_kept_too(tmp_path: Path) -> None:
    path = tiff(tmp_path / "a.tif", chart(), description="A heron at dawn")
    file = kept_file(path, lab(format_=FileFormat.JPEG))
    assert Image.open(io.BytesIO(file)).getexif()[270] == "A heron at dawn"


def test_thumbnails_inside_exif_are_not_kept(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[315] = "A. Maker"
    block = exif.tobytes()  # after its directories, where cameras put the thumbnail
    path = jpeg(tmp_path / "a.jpg", chart(), exif=block + b"THUMBNAIL" * 9)
    file = kept_file(path, lab(format_=FileFormat.JPEG))
    assert b"A. Maker" in file
    assert b"THUMBNAIL" not in file
