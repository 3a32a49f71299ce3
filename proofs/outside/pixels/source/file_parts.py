"""The parts of a picture file: where each begins, and how long it is.

PNG: the PNG specification, third edition, 5.3. JPEG: ITU-T T.81, B.1.1. WebP: RFC 9649, 2.3.
All from memory.
"""

import re
from collections.abc import Iterator
from itertools import takewhile
from typing import NamedTuple

from proofs.outside.pixels.source.file_bytes import FileBytes

Buffer = bytes | FileBytes

MOST_PNG_CHUNKS = 200_000  # of 8 kB, as encoders write them, that is 1.6 GB of pixels
MOST_WEBP_CHUNKS = 10_000  # one for each frame of an animation
MOST_JPEG_SEGMENTS = 10_000  # a thousand of them hold 64 MB

START_OF_SCAN, _END_OF_IMAGE = b"\xda", b"\xd9"
_FIRST_PNG_CHUNK, _FIRST_WEBP_CHUNK, _FIRST_JPEG_MARKER = 8, 12, 2
# Markers of segments. Those without content are left out, among them restart markers, which
# follow 0xFF among coded pixels, as 0 does (B.1.1.2 and B.1.1.5).
_MARKER = re.compile(rb"\xff[\x02-\xcf\xd9-\xfe]")
_LEAST_WINDOW, _MOST_WINDOW = 64, 1 << 20


class Part(NamedTuple):
    """A part of a file: its name, and the offset and length of its content in bytes."""

    name: bytes
    start: int
    length: int


def png_chunks(buffer: Buffer) -> Iterator[Part]:
    """Yield each chunk of a PNG up to its end, at most one more than ``MOST_PNG_CHUNKS``."""
    at = _FIRST_PNG_CHUNK
    for _ in range(MOST_PNG_CHUNKS + 1):
        head = buffer[at : at + 8]
        if not head[4:].isalpha() or head[4:] == b"IEND":
            return
        part = Part(head[4:], at + 8, int.from_bytes(head[:4], "big"))
        yield part
        at = part.start + part.length + 4


def webp_chunks(buffer: Buffer) -> Iterator[Part]:
    """Yield each chunk of a WebP, at most one more than ``MOST_WEBP_CHUNKS``."""
    at = _FIRST_WEBP_CHUNK
    for _ in range(MOST_WEBP_CHUNKS + 1):
        head = buffer[at : at + 8]
        if len(head) < 8:
            return
        part = Part(head[:4], at + 8, int.from_bytes(head[4:], "little"))
        yield part
        at = part.start + part.length + part.length % 2


def jpeg_segments(buffer: Buffer, start: int = 0) -> Iterator[Part]:
    """Yield each segment of the JPEG that begins at ``start``, up to its end.

    They are at most one more than ``MOST_JPEG_SEGMENTS``. The name is the marker's second byte.
    Stray bytes before a marker are skipped, as decoders do.
    """
    at: int | None = start + _FIRST_JPEG_MARKER
    for _ in range(MOST_JPEG_SEGMENTS + 1):
        at = None if at is None else _after_marker(buffer, at)
        if at is None:
            return
        name = bytes(buffer[at - 1 : at])
        length = int.from_bytes(buffer[at : at + 2], "big")
        if name == _END_OF_IMAGE or length < 2 or at + length > len(buffer):
            return
        yield Part(name, at + 2, length - 2)
        at += length


def segments_before_scan(buffer: Buffer, start: int = 0) -> Iterator[Part]:
    """Yield each segment of the JPEG that begins at ``start``, up to its first scan."""
    return takewhile(lambda part: part.name != START_OF_SCAN, jpeg_segments(buffer, start))


def _after_marker(buffer: Buffer, at: int) -> int | None:
    """The offset after the next marker, or None without one."""
    size = _LEAST_WINDOW
    while len(window := buffer[at : at + size]) > 1:
        if found := _MARKER.search(window):
            return at + found.end()
        at += len(window) - 1
        size = min(4 * size, _MOST_WINDOW)
    return None
