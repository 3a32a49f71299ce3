"""The tables of tags inside TIFF files and EXIF blocks, read from bytes.

Layouts: TIFF 6.0 section 2, the BigTIFF extension (8-byte places), EXIF 2.32 (from memory).
"""

import mmap
import struct
from collections.abc import Iterator
from dataclasses import dataclass

_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8}
_SIZES |= {13: 4, 16: 8, 17: 8, 18: 8}
_LETTERS = {1: "B", 3: "H", 4: "I", 6: "b", 8: "h", 9: "i", 11: "f", 12: "d", 13: "I"}
_LETTERS |= {16: "Q", 17: "q", 18: "Q"}
_MOST_VALUES = 4096  # a longer list is pixels' business, not a description
_MOST_DIRECTORIES = 4000

Buffer = bytes | mmap.mmap
Value = int | float
Directory = dict[int, tuple[Value, ...] | bytes]


@dataclass(frozen=True, slots=True)
class _Layout:
    """How the numbers of this file are written."""

    order: str
    big: bool

    def number(self, letter: str, buffer: Buffer, at: int) -> int:
        return int(struct.unpack_from(self.order + letter, buffer, at)[0])


def read_directories(buffer: Buffer) -> list[Directory]:
    """Return the tables of a TIFF file or EXIF block in the order of the file.

    A table that leads outside the file ends the list; the list is empty for other bytes.
    """
    return [table for _, table in _chained(buffer)]


def with_short_values(buffer: Buffer, tag: int, values: dict[int, int]) -> bytes:
    """Return a TIFF file in which a 16-bit tag is changed wherever it holds one of ``values``."""
    changed = bytearray(buffer)
    layout = _layout(buffer)
    for start, _ in _chained(buffer) if layout else ():
        assert layout is not None
        at = start + (8 if layout.big else 2)
        for _ in range(layout.number("Q" if layout.big else "H", buffer, start)):
            place = at + (12 if layout.big else 8)
            if layout.number("H", buffer, at) == tag:
                own = layout.number("H", buffer, place)
                struct.pack_into(layout.order + "H", changed, place, values.get(own, own))
            at += 20 if layout.big else 12
    return bytes(changed)


def read_directory(buffer: Buffer, at: int) -> Directory:
    """Return the table that begins ``at`` bytes into the buffer; empty where none does."""
    layout = _layout(buffer)
    if layout is None:
        return {}
    try:
        return _entries(buffer, at, layout)[0]
    except (struct.error, IndexError):
        return {}


def first_number(table: Directory, tag: int, default: Value = 0) -> Value:
    """Return the first number of a tag, or ``default`` without the tag."""
    values = table.get(tag, ())
    return values[0] if values and not isinstance(values, bytes) else default


def tag_text(table: Directory, tag: int) -> str:
    """Return the text of a tag, or an empty one."""
    raw = table.get(tag, b"")
    return raw.split(b"\0")[0].decode("latin-1").strip() if isinstance(raw, bytes) else ""


def _layout(buffer: Buffer) -> _Layout | None:
    order = {b"II": "<", b"MM": ">"}.get(bytes(buffer[:2]), "")
    if not order or len(buffer) < 8:
        return None
    version = struct.unpack_from(order + "H", buffer, 2)[0]
    return _Layout(order, version == 43) if version in (42, 43) else None


def _chained(buffer: Buffer) -> Iterator[tuple[int, Directory]]:
    """Where each table begins, and the table."""
    layout = _layout(buffer)
    if layout is None:
        return
    if layout.big and len(buffer) < 16:
        return
    at = layout.number("Q", buffer, 8) if layout.big else layout.number("I", buffer, 4)
    seen: set[int] = set()
    while at and at not in seen and at < len(buffer) and len(seen) < _MOST_DIRECTORIES:
        seen.add(at)
        start = at
        try:
            table, at = _entries(buffer, at, layout)
        except struct.error:
            return
        yield start, table


def _entries(buffer: Buffer, at: int, layout: _Layout) -> tuple[Directory, int]:
    big = layout.big
    count = layout.number("Q" if big else "H", buffer, at)
    at += 8 if big else 2
    table: Directory = {}
    for _ in range(min(count, 2000)):
        tag, kind = struct.unpack_from(layout.order + "HH", buffer, at)
        length = layout.number("Q" if big else "I", buffer, at + 4)
        value = _value(buffer, at + (12 if big else 8), (kind, length), layout)
        if value is not None:
            table[tag] = value
        at += 20 if big else 12
    return table, layout.number("Q" if big else "I", buffer, at)


def _value(
    buffer: Buffer, at: int, kind_and_length: tuple[int, int], layout: _Layout
) -> tuple[Value, ...] | bytes | None:
    kind, length = kind_and_length
    size = _SIZES.get(kind, 0) * length
    if size > (8 if layout.big else 4):
        at = layout.number("Q" if layout.big else "I", buffer, at)
    if not size or at + size > len(buffer):
        return None
    if kind in (2, 7):
        return bytes(buffer[at : at + size])
    length = min(length, _MOST_VALUES)
    if kind in (5, 10):
        letter = "I" if kind == 5 else "i"
        parts = struct.unpack_from(f"{layout.order}{2 * length}{letter}", buffer, at)
        return tuple(a / b if b else 0.0 for a, b in zip(parts[::2], parts[1::2], strict=True))
    return tuple(struct.unpack_from(f"{layout.order}{length}{_LETTERS[kind]}", buffer, at))


@dataclass(frozen=True, slots=True)
class TagEntry:
    """One tag of a table as bytes, its numbers in the order of little-endian machines."""

    tag: int
    kind: int
    count: int
    value: bytes

    @property
    def number(self) -> int | None:
        """The value where it is one whole number of 32 bits."""
        return int.from_bytes(self.value, "little") if self.kind in (4, 13) else None

    @property
    def first_number(self) -> float | None:
        """The first number, or None for text and for a fraction of nothing."""
        if self.kind in (5, 10):
            above, below = struct.unpack_from("<2I" if self.kind == 5 else "<2i", self.value)
            return above / below if below else None
        letter = _LETTERS.get(self.kind)
        return float(struct.unpack_from(f"<{letter}", self.value)[0]) if letter else None


def read_entries(buffer: Buffer, at: int | None = None) -> tuple[TagEntry, ...]:
    """Return the tags of the table that begins ``at`` bytes in, or of the first table.

    Tags that lead outside are left out, and those that together hold more than the whole buffer;
    the result is empty where no table is.
    """
    layout = _layout(buffer)
    if layout is None or layout.big:
        return ()
    found, left = [], len(buffer)
    try:
        start = layout.number("I", buffer, 4) if at is None else at
        for n in range(min(layout.number("H", buffer, start), 2000)):
            entry = _raw(buffer, start + 2 + 12 * n, layout, most=left)
            if entry is not None:
                found.append(entry)
                left -= len(entry.value)
    except struct.error:
        return ()
    return tuple(found)


def _raw(buffer: Buffer, at: int, layout: _Layout, *, most: int) -> TagEntry | None:
    tag, kind = struct.unpack_from(layout.order + "HH", buffer, at)
    count = layout.number("I", buffer, at + 4)
    width = _SIZES.get(kind, 0)
    size, place = width * count, at + 8
    if size > 4:
        place = layout.number("I", buffer, place)
    if not size or size > most or place + size > len(buffer):
        return None
    value = bytes(buffer[place : place + size])
    unit = {5: 4, 10: 4}.get(kind, width)
    if layout.order == ">" and unit > 1:
        turned = bytearray(size)
        for n in range(unit):
            turned[n::unit] = value[unit - 1 - n :: unit]
        value = bytes(turned)
    return TagEntry(tag, kind, count, value)
