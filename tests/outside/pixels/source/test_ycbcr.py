"""TIFF pictures stored as YCbCr, without JPEG.

Outside sources: Pillow for the differences of ITU-R BT.601 in full range (ITU-T T.871), and
colour-science for those of BT.601 and BT.709 at other depths and in the legal range.
"""

import struct
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tifffile
from PIL import Image

from proofs.errors import PhotographError
from proofs.outside.pixels.source.decode import decode, read_facts
from tests.outside.pixels import near, reference
from tests.outside.pixels.files import COLOURS, chart, patches
from tests.outside.pixels.measured import assert_colours
from tests.outside.pixels.pictures import Array

SRGB = reference.cielab_of("srgb", COLOURS / 255)


def by_pillow() -> Array:
    return np.asarray(Image.fromarray(chart()).convert("YCbCr"))


def back_by_pillow() -> Array:
    """The CIELAB of the colours after rounding to 8-bit YCbCr."""
    codes = np.asarray(Image.fromarray(by_pillow(), "YCbCr").convert("RGB"))
    return reference.cielab_of("srgb", patches(codes) / 255)


def written(path: Path, pixels: Array, **options: Any) -> Path:
    tifffile.imwrite(path, pixels, photometric="ycbcr", metadata=None, **options)
    return path


@pytest.mark.parametrize(
    "options",
    [{}, {"compression": "lzw"}, {"compression": "deflate", "tile": (16, 16)}, {"byteorder": ">"}],
)
def test_ycbcr_comes_back_as_colours(tmp_path: Path, options: dict[str, Any]) -> None:
    path = written(tmp_path / "differences.tif", by_pillow(), **options)
    assert_colours(path, back_by_pillow(), near.PATCH)
    assert [note.code for note in read_facts(path).notes] == ["profile-missing"]


def test_separate_planes_are_refused_as_the_library_mixes_them_up(
    tmp_path: Path,
) -> None:
    planes = np.moveaxis(by_pillow(), -1, 0)
    path = written(tmp_path / "planes.tif", planes, planarconfig="separate")
    with pytest.raises(PhotographError, match=r"separate planes; save it as TIFF or JPEG"):
        decode(path)


def test_16_bit_samples_keep_16_bits(tmp_path: Path) -> None:
    numbers = reference.ycbcr_of(chart() / 255, "ITU-R BT.601", 16, legal_range=False)
    path = written(tmp_path / "deep.tif", numbers)
    assert decode(path).image.format == "ushort"
    assert_colours(path, SRGB, near.PATCH_16)


def test_the_file_may_declare_other_coefficients_and_references(tmp_path: Path) -> None:
    numbers = reference.ycbcr_of(chart() / 255, "ITU-R BT.709", 8, legal_range=True)
    shares = [2126, 10000, 7152, 10000, 722, 10000]
    ends = [16, 1, 235, 1, 128, 1, 240, 1, 128, 1, 240, 1]
    tags = [(529, "2I", 3, shares, True), (532, "2I", 6, ends, True)]
    path = written(tmp_path / "legal.tif", numbers, extratags=tags)
    assert_colours(path, SRGB, near.PATCH)


def test_coefficients_that_give_no_colour_are_refused(tmp_path: Path) -> None:
    tags = [(529, "2I", 3, [0, 1, 1, 1, 0, 1], True)]
    path = written(tmp_path / "nothing.tif", by_pillow(), extratags=tags)
    with pytest.raises(PhotographError, match="luma and colour differences make no colours"):
        read_facts(path)


def subsampled(path: Path, pixels: Array) -> Path:
    """Write two colour differences per four luma samples, by block (TIFF 6.0, section 21)."""
    height, width, _ = pixels.shape
    luma = pixels[..., 0].reshape(height // 2, 2, width // 2, 2).swapaxes(1, 2)
    blocks = luma.reshape(height // 2, width // 2, 4)
    data = np.concatenate([blocks, pixels[::2, ::2, 1:]], axis=-1).tobytes()
    shorts = {256: width, 257: height, 258: 0, 259: 1, 262: 6, 273: 0, 277: 3, 278: height}
    end = 8 + 2 + 12 * (len(shorts) + 1) + 4
    table = b""
    for tag, value in shorts.items():
        kind, count = (4, 1) if tag == 273 else (3, 3 if tag == 258 else 1)
        table += struct.pack("<HHII", tag, kind, count, {258: end, 273: end + 8}.get(tag, value))
    table += struct.pack("<HHII", 279, 4, 1, len(data))
    head = b"II*\0" + struct.pack("<IH", 8, len(shorts) + 1) + table + bytes(4)
    path.write_bytes(head + struct.pack("<4H", 8, 8, 8, 0) + data)
    return path


def test_subsampled_ycbcr_is_read_without_a_note_about_channels(tmp_path: Path) -> None:
    path = subsampled(tmp_path / "thin.tif", by_pillow())
    assert_colours(path, back_by_pillow(), near.PATCH)
    assert [note.code for note in read_facts(path).notes] == ["profile-missing"]
