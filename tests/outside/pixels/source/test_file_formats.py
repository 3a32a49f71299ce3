"""A picture is the same whatever its compression, pages and orientation.

Outside source: TIFF 6.0, CIPA DC-008, colour-science for colours; files by Pillow, tifffile
and the tests' own writers. Kinds of faults: those that users of open-source picture libraries
reported.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tifffile
from PIL import Image

from proofs.outside.pixels.colour import spaces
from proofs.outside.pixels.source.decode import read_facts
from proofs.records.labs import FileFormat
from tests.outside.pixels import near, reference
from tests.outside.pixels.files import (
    COLOURS,
    PATCH,
    as_bytes,
    chart,
    jpeg,
    with_segment,
)
from tests.outside.pixels.measured import assert_colours, codes_found
from tests.outside.pixels.pictures import Array, lab, tiff
from tests.outside.pixels.pipeline import pixels_of, written

# File formats


@pytest.mark.parametrize(
    "options",
    [
        {"tile": (16, 16)},
        {"bigtiff": True},
        {"compression": "deflate", "predictor": 2},
        {"byteorder": ">"},
        {"rowsperstrip": 3, "compression": "lzw"},
    ],
)
def test_a_picture_is_the_same_in_every_compression(
    tmp_path: Path, options: dict[str, Any]
) -> None:
    plain = tiff(tmp_path / "plain.tif", chart())
    packed = tiff(tmp_path / "packed.tif", chart(), **options)
    assert written(packed, lab()) == written(plain, lab())


def test_separate_planes_give_the_same_picture(tmp_path: Path) -> None:
    plain = tiff(tmp_path / "plain.tif", chart())
    path = tiff(tmp_path / "planes.tif", np.moveaxis(chart(), 2, 0).copy(), planarconfig="separate")
    assert written(path, lab()) == written(plain, lab())


@pytest.mark.parametrize("options", [{"rowsperstrip": 16}, {"tile": (32, 32)}])
def test_jpeg_inside_tiff_is_read_in_its_colours(tmp_path: Path, options: dict[str, Any]) -> None:
    path = tmp_path / "archive.tif"
    tifffile.imwrite(
        path,
        np.asarray(Image.fromarray(chart()).convert("YCbCr")),
        photometric="ycbcr",
        compression="jpeg",
        subsampling=(2, 2),
        metadata=None,
        **options,
    )
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255), near.PATCH_JPEG)


def test_the_first_of_several_pages_is_used_and_reported(tmp_path: Path) -> None:
    path = tmp_path / "pages.tif"
    with tifffile.TiffWriter(path) as writer:
        writer.write(chart(), photometric="rgb", metadata=None)
        writer.write(chart(COLOURS[::-1]), photometric="rgb", metadata=None)
    assert codes_found(path) == ["profile-missing", "several-pages"]
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))


@pytest.mark.parametrize("marked", [True, False])
@pytest.mark.parametrize("smallest_first", [True, False])
def test_the_largest_of_several_sizes_of_one_picture_is_used(
    tmp_path: Path, marked: bool, smallest_first: bool
) -> None:
    path = tmp_path / "levels.tif"
    levels = [chart()[::n, ::n] for n in (1, 2, 4)]
    with tifffile.TiffWriter(path) as writer:
        for level in reversed(levels) if smallest_first else levels:
            reduced = int(marked and level.shape != levels[0].shape)
            writer.write(level, photometric="rgb", subfiletype=reduced, metadata=None)
    assert read_facts(path).pixels.width == 6 * PATCH
    assert [n.code for n in read_facts(path).notes] == ["profile-missing"]
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))


def test_a_picture_inside_a_thumbnail_page_is_found(tmp_path: Path) -> None:
    path = tmp_path / "inside.tif"
    with tifffile.TiffWriter(path) as writer:
        small = chart()[::4, ::4]
        writer.write(small, photometric="rgb", subfiletype=1, subifds=1, metadata=None)
        writer.write(chart(), photometric="rgb", metadata=None)
    assert read_facts(path).pixels.width == 6 * PATCH
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))


def test_an_animated_webp_gives_its_first_frame_and_is_reported(tmp_path: Path) -> None:
    path = tmp_path / "moving.webp"
    first, second = Image.fromarray(chart()), Image.fromarray(chart(COLOURS[::-1]))
    first.save(path, save_all=True, append_images=[second], lossless=True, duration=100)
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))
    assert "several-pages" in codes_found(path)


def test_an_animated_png_gives_its_first_frame_and_is_reported(tmp_path: Path) -> None:
    path = tmp_path / "moving.png"
    first, second = Image.fromarray(chart()), Image.fromarray(chart(COLOURS[::-1]))
    first.save(path, save_all=True, append_images=[second], duration=100)
    assert_colours(path, reference.cielab_of("srgb", COLOURS / 255))
    assert codes_found(path) == ["profile-missing", "several-pages"]


def test_a_second_picture_in_a_phone_jpeg_changes_nothing(tmp_path: Path) -> None:
    plain = jpeg(tmp_path / "plain.jpg", chart())
    double = tmp_path / "double.jpg"
    preview = as_bytes(Image.fromarray(chart(COLOURS[::-1])), "JPEG")
    double.write_bytes(plain.read_bytes() + preview)
    marked = with_segment(double, 0xE2, b"MPF\0II*\0\x08\0\0\0\0\0" + b"\0" * 60)
    gain_map = (
        b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-'
        b'syntax-ns#"><rdf:Description rdf:about="" xmlns:hdrgm="http://ns.adobe.com/hdr-gain-map/'
        b'1.0/" hdrgm:Version="1.0"/></rdf:RDF></x:xmpmeta>'
    )
    with_segment(marked, 0xE1, b"http://ns.adobe.com/xap/1.0/\0" + gain_map)
    file = written(marked, lab(format_=FileFormat.JPEG))
    assert file == written(plain, lab(format_=FileFormat.JPEG))
    assert b"hdrgm" not in file
    assert b"MPF\0" not in file


TURNS = {
    1: lambda a: a,
    2: lambda a: a[:, ::-1],
    3: lambda a: a[::-1, ::-1],
    4: lambda a: a[::-1],
    5: lambda a: a.transpose(1, 0, 2),
    6: lambda a: a.transpose(1, 0, 2)[::-1],
    7: lambda a: a[::-1, ::-1].transpose(1, 0, 2),
    8: lambda a: a.transpose(1, 0, 2)[:, ::-1],
}


def turned_jpeg(path: Path, stored: Array, orientation: int) -> Path:
    exif = Image.Exif()
    exif[274] = orientation
    return jpeg(path, stored, exif=exif)


def turned_tiff(path: Path, stored: Array, orientation: int) -> Path:
    tags = [(274, 3, 1, orientation, True)]
    tifffile.imwrite(path, stored, photometric="rgb", metadata=None, extratags=tags)
    return path


@pytest.mark.parametrize("orientation", TURNS)
@pytest.mark.parametrize("maker", [turned_jpeg, turned_tiff])
def test_pictures_are_upright_by_their_orientation_tag(
    tmp_path: Path, orientation: int, maker: Callable[[Path, Array, int], Path]
) -> None:
    upright = chart()
    upright[: PATCH // 2] = 255 - upright[: PATCH // 2]
    stored = np.ascontiguousarray(TURNS[orientation](upright))  # CIPA DC-008, tag 274
    path = maker(tmp_path / "turned", stored, orientation)
    facts = read_facts(path)
    assert (facts.pixels.width, facts.pixels.height) == (6 * PATCH, PATCH)
    got = pixels_of(written(path, lab())).astype(int)
    assert np.abs(got - upright).max() <= near.JPEG_CODES


def test_dark_16_bit_ramps_keep_their_levels(tmp_path: Path) -> None:
    ramp = np.linspace(0, 6000, 2000).astype("u2")[None, :, None].repeat(8, 0).repeat(3, 2)
    path = tiff(tmp_path / "night.tif", ramp, icc_profile=spaces.built_in_profile("srgb"))
    sixteen = pixels_of(written(path, lab(bits=16), -0.10))
    assert len(np.unique(sixteen[0, :, 0])) >= 1500
    eight = pixels_of(written(path, lab(), -0.30))[0, :, 0].astype(int)
    assert set(np.diff(eight).tolist()) == {0, 1}
