"""Pictures that a stranger made to unpack to gigabytes, refused before the library opens them.

Layouts: the PNG specification, third edition, 5.3 and 11.3.3; TIFF 6.0, section 2, and the
BigTIFF extension; ITU-T T.81, B.1. From memory.
"""

import struct
from collections.abc import Iterator

from proofs.lengths import PixelSize
from proofs.outside.pixels.photograph_errors import CodedPhotographError
from proofs.outside.pixels.source.decode import MOST_MEGAPIXELS
from proofs.outside.pixels.source.file_header import format_of
from proofs.records.labs import FileFormat

MOST_METADATA = 64_000_000
"""The most bytes that a picture file may carry besides its pixels."""

_DEFLATE_MOST = 1032  # times as long as the packed bytes, at most (from memory)
_MOST_PARTS = 1000  # chunks of a PNG that are not pixels; tags of a TIFF
_MOST_SEGMENTS = 10_000  # of a JPEG before its pixels
_START_OF_SCAN = 0xDA
_TYPE_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8}
_TYPE_SIZES |= {13: 4, 16: 8, 17: 8, 18: 8}


def largest_file(pixels: PixelSize, channels: int) -> int:
    """Return the most bytes that a picture file of this size can need, at 16 bits a channel."""
    count = min(pixels.width * pixels.height, MOST_MEGAPIXELS * 1_000_000)
    bare = count * min(channels, 4) * 2
    return bare + bare // 2 + MOST_METADATA  # pixels that do not compress grow a little


def refuse_unbounded(content: bytes) -> None:
    """Raise ``PhotographError`` where the metadata of a file unpack to more than a file needs.

    A TIFF of several pages is refused too.
    """
    kind = format_of(content)
    try:
        if kind == FileFormat.PNG:
            _refuse_chunks(content)
        elif kind == FileFormat.TIFF:
            _refuse_tags(content)
        elif kind == FileFormat.JPEG:
            _refuse_segments(content)
    except struct.error:
        raise CodedPhotographError("is cut short", "unreadable") from None


def _refuse_chunks(content: bytes) -> None:
    unpacked, count = 0, 0
    for name, start, length in _chunks(content):
        if name == b"IDAT":
            continue
        count += 1
        unpacked += length * (_DEFLATE_MOST if _is_packed(content, name, start, length) else 1)
        if unpacked > MOST_METADATA or count > _MOST_PARTS:
            raise _too_much()


def _chunks(content: bytes) -> Iterator[tuple[bytes, int, int]]:
    """The name of each chunk, where its content starts, and the length of that."""
    at = 8
    while at + 8 <= len(content):
        length, name = struct.unpack_from(">I4s", content, at)
        yield name, at + 8, length
        at += 12 + length


def _is_packed(content: bytes, name: bytes, start: int, length: int) -> bool:
    """Whether a chunk of text is compressed."""
    if name != b"iTXt":
        return name == b"zTXt"
    flag = content.find(b"\0", start, start + min(length, 80)) + 1
    return content[flag : flag + 1] != b"\0"


def _refuse_segments(content: bytes) -> None:
    at, count = 2, 0
    while at + 4 <= len(content) and content[at] == 0xFF and content[at + 1] != _START_OF_SCAN:
        # Bytes of filling may come before a marker.
        at += 1 if content[at + 1] == 0xFF else 2 + struct.unpack_from(">H", content, at + 2)[0]
        count += 1
        if count > _MOST_SEGMENTS:
            raise _too_much()


def _refuse_tags(content: bytes) -> None:
    order, is_big = ("<" if content[:1] == b"I" else ">"), content[2:4] in (b"+\0", b"\0+")
    number, counted, width = ("Q", "Q", 20) if is_big else ("I", "H", 12)
    room = struct.calcsize(order + number)
    at = struct.unpack_from(order + number, content, 8 if is_big else 4)[0]
    count = struct.unpack_from(order + counted, content, at)[0]
    at += struct.calcsize(order + counted)
    if count > _MOST_PARTS:
        raise _too_much()
    apart = 0
    for n in range(count):
        kind, length = struct.unpack_from(f"{order}xxH{number}", content, at + n * width)
        size = _TYPE_SIZES.get(kind, 1) * length
        apart += size if size > room else 0
    if apart > len(content):
        raise _too_much()
    if struct.unpack_from(order + number, content, at + count * width)[0]:
        raise CodedPhotographError("holds more than one picture", "unreadable")


def _too_much() -> CodedPhotographError:
    return CodedPhotographError("carries more beside its picture than a file needs", "unreadable")
