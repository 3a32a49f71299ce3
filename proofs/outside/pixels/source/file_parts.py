"""The parts that a picture file is made of: where each begins, and how long it is.

PNG: the PNG specification, third edition, 5.3. JPEG: ITU-T T.81, B.1.1. WebP: RFC 9649, 2.3.
All from memory.
"""

import re
from collections.abc import Iterator
from typing import NamedTuple

from proofs.outside.pixels.source.file_bytes import FileBytes

Buffer = bytes | FileBytes

START_OF_SCAN, _END_OF_IMAGE = 0xDA, 0xD9
_FIRST_PNG_CHUNK, _FIRST_WEBP_CHUNK, _FIRST_JPEG_MARKER = 8, 12, 2
# Without those that stand alone. Among coded pixels, 0xFF is followed by 0 or by a restart
# marker (B.1.1.2 and B.1.1.5).
_MARKER = re.compile(rb"\xff[\x02-\xcf\xd9-\xfe]")
_LEAST_WINDOW, _MOST_WINDOW = 64, 1 << 20


class Part(NamedTuple):
    """A part of a file: its name, where its content begins, and the length of that in bytes."""

    name: bytes
    start: int
    length: int


def png_chunks(buffer: Buffer) -> Iterator[Part]:
    """Yield each chunk of a PNG, as far as the file goes."""
    at = _FIRST_PNG_CHUNK
    while len(head := buffer[at : at + 8]) == 8:
        part = Part(head[4:], at + 8, int.from_bytes(head[:4], "big"))
        yield part
        at = part.start + part.length + 4


def webp_chunks(buffer: Buffer) -> Iterator[Part]:
    """Yield each chunk of a WebP, as far as the file goes."""
    at = _FIRST_WEBP_CHUNK
    while len(head := buffer[at : at + 8]) == 8:
        part = Part(head[:4], at + 8, int.from_bytes(head[4:], "little"))
        yield part
        at = part.start + part.length + part.length % 2


def jpeg_segments(buffer: Buffer, start: int = 0) -> Iterator[Part]:
    """Yield each segment of the JPEG that begins at ``start``, to its end.

    A name is the marker's one byte. As decoders do, it passes over any bytes before a marker.
    """
    at: int | None = start + _FIRST_JPEG_MARKER
    while at is not None and (at := _after_marker(buffer, at)) is not None:
        marker = buffer[at - 1]
        if marker == _END_OF_IMAGE:
            return
        length = int.from_bytes(buffer[at : at + 2], "big")
        if length < 2 or at + length > len(buffer):
            return
        yield Part(bytes([marker]), at + 2, length - 2)
        at += length


def _after_marker(buffer: Buffer, at: int) -> int | None:
    """The place after the next marker, or None without one."""
    size = _LEAST_WINDOW
    while len(window := buffer[at : at + size]) > 1:
        if found := _MARKER.search(window):
            return at + found.end()
        at += len(window) - 1
        size = min(4 * size, _MOST_WINDOW)
    return None
