"""The metadata of a picture file that can go into its print files: EXIF, XMP and IPTC.

Values that no longer hold for a print file (orientation, sizes, resolution, colour space) are
left out, and so are thumbnails, and maker notes, which cannot be moved.
Layouts: CIPA DC-008 (EXIF), XMP part 3, IIM 4; from memory.
"""

from collections.abc import Container, Mapping
from dataclasses import dataclass, field

import pyvips

from proofs.outside.pixels.metadata.iptc import bare_datasets
from proofs.outside.pixels.source.file_header import FileHeader
from proofs.outside.pixels.source.file_parts import Buffer
from proofs.outside.pixels.source.tiff_directories import ALL_TAGS, TagEntry, read_entries
from proofs.outside.pixels.vips import field_bytes
from proofs.records.labs import FileFormat

POINTERS = {0x8769: "exif", 0x8825: "gps"}
"""The tags of the main directory that point to another one, each with the name of that one."""

_STALE = {0x0100, 0x0101, 0x0102, 0x0103, 0x0106, 0x0111, 0x0112, 0x0115, 0x0116, 0x0117}
_STALE |= {0x011A, 0x011B, 0x011C, 0x0128, 0x013D, 0x0142, 0x0143, 0x0144, 0x0145, 0x014A}
_STALE |= {0x0152, 0x0153, 0x0201, 0x0202, 0x0212, 0x0213, 0x02BC, 0x83BB, 0x8649, 0x8773}
_STALE |= {0x927C, 0xA001, 0xA002, 0xA003, 0xA005, 0xC4A5}
ARTIST, COPYRIGHT, ASCII = 0x013B, 0x8298, 2
DESCRIPTION = 0x010E
TEXT_TAGS = (DESCRIPTION, ARTIST, COPYRIGHT)
_STALE_ELEMENTS = (b"tiff:Orientation", b"xmp:Thumbnails", b"xapGImg:image", b"xmpGImg:image")
_STALE_ATTRIBUTES = (b"tiff:Orientation", b"xmpGImg:image")


@dataclass(frozen=True, slots=True)
class Metadata:
    """The EXIF directories, XMP packet and bare IPTC datasets of a file; empty if it has none."""

    exif: Mapping[str, tuple[TagEntry, ...]] = field(default_factory=dict)
    xmp: bytes = b""
    iptc: bytes = b""


def metadata_of(image: pyvips.Image, header: FileHeader) -> Metadata:
    """Return the metadata of an opened picture that may go into a print file."""
    if header.format == FileFormat.TIFF and not header.exif_block:
        # The first directory of a TIFF is that of its picture: only its texts are kept.
        exif = _directories(header.content, tags={*TEXT_TAGS, *POINTERS})
    else:
        exif = _directories(header.exif_block)
    return Metadata(
        exif={name: kept for name, tags in exif.items() if (kept := tuple(filter(_is_kept, tags)))},
        xmp=_without_stale(field_bytes(image, "xmp-data")),
        iptc=bare_datasets(field_bytes(image, "iptc-data")),
    )


def _without_stale(packet: bytes) -> bytes:
    """An XMP packet without what no longer holds: the orientation, and thumbnails.

    Nobody knows what the packet holds, so it is searched once for each name, never by a pattern:
    some packets would make a pattern take hours.
    """
    for name in _STALE_ELEMENTS:
        packet = _without_elements(packet, name)
    for name in _STALE_ATTRIBUTES:
        packet = _without_attributes(packet, name)
    return packet


def _without_elements(packet: bytes, name: bytes) -> bytes:
    opening, closing = b"<" + name, b"</" + name + b">"
    kept, at = [], 0
    while (start := packet.find(opening, at)) >= 0:
        after = start + len(opening)
        end = after
        if packet[after : after + 1] in (b">", b"/") or packet[after : after + 1].isspace():
            tag_end = packet.find(b">", after)
            is_empty = tag_end >= 0 and packet[tag_end - 1 : tag_end] == b"/"
            closed = packet.find(closing, after)
            if not is_empty and closed < 0:  # then no later one is closed either
                break
            end = tag_end + 1 if is_empty else closed + len(closing)
            kept.append(packet[at:start])
        else:  # a longer name with the same beginning
            kept.append(packet[at:after])
        at = end
    return b"".join(kept) + packet[at:]


def _without_attributes(packet: bytes, name: bytes) -> bytes:
    kept, at = [], 0
    while (start := packet.find(name + b"=", at)) >= 0:
        value = start + len(name) + 1
        quote = packet[value : value + 1]
        end = packet.find(quote, value + 1) + 1 if quote in (b'"', b"'") else 0
        if end and packet[start - 1 : start].isspace():
            kept.append(packet[at : start - 1])
            at = end
        else:
            kept.append(packet[at:value])
            at = value
    return b"".join(kept) + packet[at:]


def exif_tags_of(block: bytes) -> tuple[tuple[str, int], ...]:
    """Return every tag of an EXIF block with the name of its directory, also those never kept."""
    found = [(name, e.tag) for name, entries in _directories(block).items() for e in entries]
    return tuple((name, tag) for name, tag in found if name != "main" or tag not in POINTERS)


def _directories(block: Buffer, tags: Container[int] = ALL_TAGS) -> dict[str, tuple[TagEntry, ...]]:
    """The main directory, of which only ``tags`` are read, and those that it points to, by name."""
    main = read_entries(block, tags=tags)
    pointers = [e for e in main if e.tag in POINTERS and e.offset is not None]
    return {"main": main, **{POINTERS[e.tag]: read_entries(block, e.offset) for e in pointers}}


def _is_kept(entry: TagEntry) -> bool:
    return entry.tag not in _STALE and entry.tag not in POINTERS
