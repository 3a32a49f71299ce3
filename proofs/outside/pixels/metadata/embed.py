"""Metadata embedded in finished files, as each format stores it.

JPEG: CIPA DC-008 4.5 (EXIF) and XMP part 3, 1.1. PNG: the PNG specification, third edition
(eXIf, iTXt). TIFF: TIFF 6.0, with 700 for XMP and 33723 for IPTC. All from memory.
"""

import struct
import zlib

from proofs.outside.pixels.metadata.extract import POINTERS, Metadata
from proofs.outside.pixels.metadata.iptc import RESOURCES_SIGNATURE
from proofs.outside.pixels.source.tiff_directories import TagEntry, read_entries

_XMP_SIGNATURE = b"http://ns.adobe.com/xap/1.0/\0"
_XMP_TAG, _IPTC_TAG = 700, 33723
_BYTE, _LONG, _UNDEFINED = 1, 4, 7
_LARGEST_SEGMENT = 65_533


def jpeg_segments(metadata: Metadata) -> bytes:
    """Return the segments that carry the metadata; a block too large for one is left out."""
    exif = _exif_block(metadata)
    blocks = [
        (0xE1, b"Exif\0\0" + exif if exif else b""),
        (0xE1, _XMP_SIGNATURE + metadata.xmp if metadata.xmp else b""),
        (0xED, _image_resource(metadata.iptc)),
    ]
    return b"".join(
        struct.pack(">BBH", 0xFF, marker, len(block) + 2) + block
        for marker, block in blocks
        if 0 < len(block) <= _LARGEST_SEGMENT
    )


def _image_resource(iptc: bytes) -> bytes:
    """Bare IPTC as the image resource 0x0404, where readers of a JPEG look for it."""
    if not iptc:
        return b""
    resource = b"8BIM\x04\x04\0\0" + struct.pack(">I", len(iptc)) + iptc
    return RESOURCES_SIGNATURE + resource + b"\0" * (len(iptc) % 2)


def png_chunks(metadata: Metadata) -> bytes:
    """Return the chunks that carry the metadata; PNG has none for IPTC."""
    exif = _exif_block(metadata)
    chunks = _chunk(b"eXIf", exif) if exif else b""
    if metadata.xmp:
        chunks += _chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + metadata.xmp)
    return chunks


def _chunk(name: bytes, content: bytes) -> bytes:
    crc = zlib.crc32(name + content)
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", crc)


def with_tiff_tags(file: bytes, metadata: Metadata) -> bytes:
    """Return a little-endian TIFF file with the metadata among its tags.

    A new directory follows the pixels, because the old one has no room for more entries.
    """
    own = read_entries(file)
    extra = []
    if metadata.xmp:
        extra.append(TagEntry(_XMP_TAG, _BYTE, len(metadata.xmp), metadata.xmp))
    if metadata.iptc:
        extra.append(TagEntry(_IPTC_TAG, _UNDEFINED, len(metadata.iptc), metadata.iptc))
    if not own or not (extra or metadata.exif):
        return file
    start = len(file) + len(file) % 2
    directories = _directories_at(start, metadata, (*own, *extra))
    return file[:4] + struct.pack("<I", start) + file[8:].ljust(start - 8, b"\0") + directories


def _exif_block(metadata: Metadata) -> bytes:
    """An EXIF block, without its signature; empty without EXIF metadata."""
    if not metadata.exif:
        return b""
    head = struct.pack("<2sHI", b"II", 42, 8)
    return head + _directories_at(8, metadata)


def _directories_at(start: int, metadata: Metadata, others: tuple[TagEntry, ...] = ()) -> bytes:
    """The EXIF directories, to be stored at ``start``, with ``others`` in the main one."""
    main = {e.tag: e for e in (*metadata.exif.get("main", ()), *others)}
    pointed_to = {tag: name for tag, name in POINTERS.items() if name in metadata.exif}
    main |= {tag: _pointer(tag, 0) for tag in pointed_to}
    at = start + len(_directory(tuple(main.values()), start))
    body = b""
    for tag, name in pointed_to.items():
        main[tag] = _pointer(tag, at + len(body))
        body += _directory(metadata.exif[name], at + len(body))
    return _directory(tuple(main.values()), start) + body


def _pointer(tag: int, offset: int) -> TagEntry:
    return TagEntry(tag, _LONG, 1, struct.pack("<I", offset))


def _directory(entries: tuple[TagEntry, ...], start: int) -> bytes:
    table = struct.pack("<H", len(entries))
    values, at = b"", start + 2 + 12 * len(entries) + 4
    for entry in sorted(entries, key=lambda e: e.tag):
        table += struct.pack("<HHI", entry.tag, entry.field_type, entry.count)
        if len(entry.value) > 4:
            table += struct.pack("<I", at + len(values))
            values += entry.value + b"\0" * (len(entry.value) % 2)
        else:
            table += entry.value.ljust(4, b"\0")
    return table + struct.pack("<I", 0) + values
