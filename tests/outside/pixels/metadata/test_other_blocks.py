"""Comments and blocks of applications in finished files are named, written here by Pillow."""

import io

import numpy as np
import pytest
from PIL import Image, PngImagePlugin

from proofs.outside.pixels.metadata.other_blocks import COMMENT, other_blocks
from proofs.outside.pixels.prints.encoding import encoded
from proofs.outside.pixels.prints.file_facts import file_facts
from proofs.outside.pixels.source.file_header import format_of
from proofs.outside.pixels.vips import image_of_codes
from proofs.records.labs import FileFormat
from tests.outside.pixels.pictures import lab

PICTURE = Image.new("RGB", (16, 16), (90, 100, 110))


def saved(kind: str, **options: object) -> bytes:
    stream = io.BytesIO()
    PICTURE.save(stream, kind, **options)
    return stream.getvalue()


def with_segment(jpeg: bytes, marker: int, content: bytes) -> bytes:
    return jpeg[:2] + bytes([0xFF, marker]) + (len(content) + 2).to_bytes(2) + content + jpeg[2:]


def png_with(*texts: tuple[str, str, bool]) -> bytes:
    chunks = PngImagePlugin.PngInfo()
    for key, text, is_packed in texts:
        chunks.add_text(key, text, zip=is_packed)
    return saved("PNG", pnginfo=chunks)


@pytest.mark.parametrize(
    ("content", "named"),
    [
        (saved("JPEG"), ()),
        (saved("JPEG", comment=b"scanned at home"), (COMMENT,)),
        (with_segment(saved("JPEG"), 0xEE, b"Adobe\0\x64\0\0\0\0\1"), ()),
        (with_segment(saved("JPEG"), 0xE7, b"Camera raw data"), ("block APP7",)),
        (with_segment(saved("JPEG"), 0xE1, b"Unknown\0"), ("block APP1",)),
        (saved("PNG"), ()),
        (png_with(("Comment", "scanned at home", False)), (COMMENT,)),
        (png_with(("Comment", "scanned at home", True)), (COMMENT,)),
        (saved("TIFF"), ()),
    ],
)
def test_blocks_besides_picture_and_metadata_are_named(
    content: bytes, named: tuple[str, ...]
) -> None:
    kind = format_of(content)
    assert other_blocks(content, kind) == named
    assert set(named) <= set(file_facts(content).extras)


@pytest.mark.parametrize("kind", [FileFormat.JPEG, FileFormat.PNG, FileFormat.TIFF])
def test_files_of_our_own_carry_none(kind: FileFormat) -> None:
    codes = np.full((20, 30, 3), 120, np.uint8)
    file = encoded(image_of_codes(codes), lab(format_=kind))
    assert other_blocks(file, kind) == ()
