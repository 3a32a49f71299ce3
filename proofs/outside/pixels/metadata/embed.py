"""Kept metadata put into finished files, each format in its own way.

JPEG: CIPA DC-008 4.5 (EXIF) and XMP part 3, 1.1. PNG: the PNG specification, third edition
(eXIf, iTXt). TIFF: TIFF 6.0, with 700 for XMP and 33723 for IPTC. All from memory.
"""

import struct
import zlib

from proofs.outside.pixels.metadata.extract import Metadata, exif_block, tables_at
from proofs.outside.pixels.metadata.iptc import RESOURCES_SIGNATURE
from proofs.outside.pixels.source.tiff_directories import TagEntry, read_entries

_XMP_MARK = b"http://ns.adobe.com/xap/1.0/\0"
_XMP_TAG, _IPTC_TAG = 700, 33723
_BYTE, _UNDEFINED = 1, 7
_LARGEST_SEGMENT = 65_533


def jpeg_segments(kept: Metadata) -> bytes:
    """Return the segments that carry what is kept; a block too large for one is left out."""
    exif = exif_block(kept)
    blocks = [
        (0xE1, b"Exif\0\0" + exif if exif else b""),
        (0xE1, _XMP_MARK + kept.xmp if kept.xmp else b""),
        (0xED, _wrapped(kept.iptc)),
    ]
    return b"".join(
        struct.pack(">BBH", 0xFF, marker, len(block) + 2) + block
        for marker, block in blocks
        if 0 < len(block) <= _LARGEST_SEGMENT
    )


def _wrapped(iptc: bytes) -> bytes:
    """Bare IPTC as the resource 0x0404 that readers look for in a JPEG."""
    if not iptc:
        return b""
    resource = b"8BIM\x04\x04\0\0" + struct.pack(">I", len(iptc)) + iptc
    return RESOURCES_SIGNATURE + resource + b"\0" * (len(iptc) % 2)


def png_chunks(kept: Metadata) -> bytes:
    """Return the chunks that carry what is kept; PNG has none for IPTC."""
    exif = exif_block(kept)
    chunks = _chunk(b"eXIf", exif) if exif else b""
    if kept.xmp:
        chunks += _chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + kept.xmp)
    return chunks


def _chunk(name: bytes, content: bytes) -> bytes:
    check = zlib.crc32(name + content)
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", check)


def with_tiff_tags(file: bytes, kept: Metadata) -> bytes:
    """Return a little-endian TIFF file with what is kept among its tags.

    The table of tags is written anew behind the pixels, where all that is new finds room.
    """
    own = read_entries(file)
    extra = []
    if kept.xmp:
        extra.append(TagEntry(_XMP_TAG, _BYTE, len(kept.xmp), kept.xmp))
    if kept.iptc:
        extra.append(TagEntry(_IPTC_TAG, _UNDEFINED, len(kept.iptc), kept.iptc))
    if not own or not (extra or kept.exif):
        return file
    place = len(file) + len(file) % 2
    tables = tables_at(kept, place, (*own, *extra))
    return file[:4] + struct.pack("<I", place) + file[8:].ljust(place - 8, b"\0") + tables
