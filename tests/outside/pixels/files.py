"""Picture files as cameras, editors and scanners write them, made by other libraries."""

import io
import struct
import zlib
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from tests.outside.pixels.pictures import Array

COLOURS = np.array(
    [
        [206, 148, 122],
        [84, 112, 74],
        [116, 152, 192],
        [128, 128, 128],
        [196, 72, 62],
        [232, 226, 214],
    ]
)  # skin, leaves, sky, grey, brick, paper: moderate colours that are in every gamut
PATCH = 20


def chart(colours: Array = COLOURS, dtype: str = "u1") -> Array:
    """Return a picture of colours side by side, each ``PATCH`` pixels wide and high."""
    row = np.repeat(np.asarray(colours).astype(dtype), PATCH, axis=0)
    return np.ascontiguousarray(np.repeat(row[None], PATCH, axis=0))


def patches(pixels: Array) -> NDArray[np.float64]:
    """Return the mean of the middle of each patch of a picture of patches."""
    height, width = pixels.shape[:2]
    count = round(width / height)
    middle = pixels.reshape(height, count, width // count, -1)[height // 4 : -height // 4]
    middle = middle[:, :, height // 4 : -height // 4].astype(np.float64)
    return np.asarray(middle.mean(axis=(0, 2)))


def jpeg(path: Path, pixels: Array, **options: Any) -> Path:
    """Write a JPEG with Pillow, without subsampling, and return its path."""
    mode = "CMYK" if pixels.ndim == 3 and pixels.shape[2] == 4 else None
    image = (
        Image.fromarray(pixels)
        if mode is None
        else Image.frombytes(mode, pixels.shape[1::-1], pixels.tobytes())
    )
    image.save(path, "JPEG", quality=97, subsampling=0, **options)
    return path


def with_segment(path: Path, marker: int, content: bytes) -> Path:
    """Insert a segment after the first two bytes of a JPEG."""
    whole = path.read_bytes()
    segment = struct.pack(">BBH", 0xFF, marker, len(content) + 2) + content
    path.write_bytes(whole[:2] + segment + whole[2:])
    return path


def png(path: Path, pixels: Array, chunks: dict[bytes, bytes] | None = None) -> Path:
    """Write a PNG of 8 or 16 bits by the PNG specification, with more chunks before its pixels."""
    height, width, channels = pixels.shape
    kind = {1: 0, 2: 4, 3: 2, 4: 6}[channels]
    depth = pixels.dtype.itemsize * 8
    big_endian = pixels.astype(pixels.dtype.newbyteorder(">"))
    rows = b"".join(b"\0" + row.tobytes() for row in big_endian)
    head = struct.pack(">IIBBBBB", width, height, depth, kind, 0, 0, 0)
    parts = [
        (b"IHDR", head),
        *(chunks or {}).items(),
        (b"IDAT", zlib.compress(rows)),
        (b"IEND", b""),
    ]
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(n, c) for n, c in parts))
    return path


def _chunk(name: bytes, content: bytes) -> bytes:
    return (
        struct.pack(">I4s", len(content), name)
        + content
        + struct.pack(">I", zlib.crc32(name + content))
    )


def exif_of_a_camera(colour_space: int, index: str) -> bytes:
    """Return a camera's EXIF segment with its colour space (CIPA DC-008, DCF)."""

    def entry(tag: int, kind: int, count: int, value: bytes) -> bytes:
        return struct.pack(">HHI", tag, kind, count) + value.ljust(4, b"\0")

    def table(*entries: bytes) -> bytes:
        return struct.pack(">H", len(entries)) + b"".join(entries) + struct.pack(">I", 0)

    inner = table(
        entry(0xA001, 3, 1, struct.pack(">H", colour_space)),
        entry(0xA005, 4, 1, struct.pack(">I", 56)),
    )
    main = table(entry(0x8769, 4, 1, struct.pack(">I", 26)))
    across = table(entry(1, 2, 4, index.encode("ascii")))
    return b"Exif\0\0MM\0*" + struct.pack(">I", 8) + main + inner + across


def as_bytes(image: Image.Image, format_: str, **options: Any) -> bytes:
    """Return a Pillow picture as a file."""
    file = io.BytesIO()
    image.save(file, format_, **options)
    return file.getvalue()
