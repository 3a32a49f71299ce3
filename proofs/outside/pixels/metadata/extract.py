"""What a picture file carries beside the picture, kept for those who ask for it.

Kept are EXIF, XMP and IPTC; left out are what holds no longer for a print file (turning,
sizes, resolution, colour space), what cannot be moved (maker notes) and pictures in miniature.
Layouts: CIPA DC-008 (EXIF), XMP part 3, IIM 4; from memory.
"""

import re
import struct
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import pyvips

from proofs.outside.pixels.metadata.iptc import bare_datasets
from proofs.outside.pixels.source.tiff_directories import TagEntry, read_entries

_POINTERS = {0x8769: "exif", 0x8825: "gps"}
_STALE = {0x0100, 0x0101, 0x0102, 0x0103, 0x0106, 0x0111, 0x0112, 0x0115, 0x0116, 0x0117}
_STALE |= {0x011A, 0x011B, 0x011C, 0x0128, 0x013D, 0x0142, 0x0143, 0x0144, 0x0145, 0x014A}
_STALE |= {0x0152, 0x0153, 0x0201, 0x0202, 0x0212, 0x0213, 0x02BC, 0x83BB, 0x8649, 0x8773}
_STALE |= {0x927C, 0xA001, 0xA002, 0xA003, 0xA005, 0xC4A5}
COPYRIGHT, _ASCII = 0x8298, 2
TEXT_TAGS = (0x010E, 0x013B, COPYRIGHT)  # description, artist, copyright
_XMP_STALE = re.compile(
    rb"<(tiff:Orientation|xmp:Thumbnails|xapGImg:image|xmpGImg:image)\b[^>]*>.*?</\1>"
    rb"|\s(?:tiff:Orientation|xmpGImg:image)=(?:\"[^\"]*\"|'[^']*')",
    re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Metadata:
    """The EXIF tables, XMP packet and bare IPTC datasets of a file; empty where it has none."""

    exif: Mapping[str, tuple[TagEntry, ...]] = field(default_factory=dict)
    xmp: bytes = b""
    iptc: bytes = b""


def metadata_of(image: pyvips.Image, content: bytes) -> Metadata:
    """Return what can go along of an opened picture whose file holds ``content``."""
    block = _blob(image, "exif-data").removeprefix(b"Exif\0\0")
    own = block or (content if content[:2] in (b"II", b"MM") else b"")
    return Metadata(
        exif=_tables(own, whole=bool(block)),
        xmp=_XMP_STALE.sub(b"", _blob(image, "xmp-data")),
        iptc=bare_datasets(_blob(image, "iptc-data")),
    )


def exif_tags_of(image: pyvips.Image) -> tuple[tuple[str, int], ...]:
    """Return every tag of a picture's EXIF block with its table, also what never goes along."""
    block = _blob(image, "exif-data").removeprefix(b"Exif\0\0")
    main = read_entries(block)
    found = [("main", entry.tag) for entry in main if entry.tag not in _POINTERS]
    for entry in main:
        if entry.tag in _POINTERS and entry.number is not None:
            inner = read_entries(block, entry.number)
            found += [(_POINTERS[entry.tag], within.tag) for within in inner]
    return tuple(found)


def with_copyright(metadata: Metadata, words: str) -> Metadata:
    """Return what goes along with a copyright line put in, or in place of the one there."""
    value = words.encode() + b"\0"
    line = TagEntry(COPYRIGHT, _ASCII, len(value), value)
    others = tuple(e for e in metadata.exif.get("main", ()) if e.tag != COPYRIGHT)
    return replace(metadata, exif={**metadata.exif, "main": (*others, line)})


def _blob(image: pyvips.Image, name: str) -> bytes:
    return bytes(image.get(name)) if image.get_typeof(name) else b""


def _tables(block: bytes, *, whole: bool) -> dict[str, tuple[TagEntry, ...]]:
    """The tables of an EXIF block, or of a TIFF file the texts of its own table only."""
    main = read_entries(block)
    kept = {"main": tuple(e for e in main if _is_kept(e) and (whole or e.tag in TEXT_TAGS))}
    for entry in main:
        if entry.tag in _POINTERS and entry.number is not None:
            inner = read_entries(block, entry.number)
            kept[_POINTERS[entry.tag]] = tuple(e for e in inner if _is_kept(e))
    return {name: entries for name, entries in kept.items() if entries}


def _is_kept(entry: TagEntry) -> bool:
    return entry.tag not in _STALE and entry.tag not in _POINTERS


def exif_block(metadata: Metadata) -> bytes:
    """Return an EXIF block, without its signature, of what is kept; empty where nothing is."""
    if not metadata.exif:
        return b""
    head = struct.pack("<2sHI", b"II", 42, 8)
    return head + tables_at(metadata, 8)


def tables_at(metadata: Metadata, place: int, others: tuple[TagEntry, ...] = ()) -> bytes:
    """Return the tables as they stand from ``place`` on, with ``others`` in the main one."""
    main = {e.tag: e for e in (*metadata.exif.get("main", ()), *others)}
    inner = {tag: name for tag, name in _POINTERS.items() if name in metadata.exif}
    start = place + _length((*main.values(), *(_pointer(tag, 0) for tag in inner)))
    body = b""
    for tag, name in inner.items():
        main[tag] = _pointer(tag, start + len(body))
        body += _table(metadata.exif[name], start + len(body))
    return _table(tuple(main.values()), place) + body


def _pointer(tag: int, place: int) -> TagEntry:
    return TagEntry(tag, 4, 1, struct.pack("<I", place))


def _length(entries: tuple[TagEntry, ...]) -> int:
    outside = sum(len(e.value) + len(e.value) % 2 for e in entries if len(e.value) > 4)
    return 2 + 12 * len(entries) + 4 + outside


def _table(entries: tuple[TagEntry, ...], place: int) -> bytes:
    table = struct.pack("<H", len(entries))
    beyond, at = b"", place + 2 + 12 * len(entries) + 4
    for entry in sorted(entries, key=lambda e: e.tag):
        table += struct.pack("<HHI", entry.tag, entry.kind, entry.count)
        if len(entry.value) > 4:
            table += struct.pack("<I", at + len(beyond))
            beyond += entry.value + b"\0" * (len(entry.value) % 2)
        else:
            table += entry.value.ljust(4, b"\0")
    return table + struct.pack("<I", 0) + beyond
