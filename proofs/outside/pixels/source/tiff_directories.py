"""The tag directories (IFDs) of TIFF files and EXIF blocks, read from bytes.

Layouts: TIFF 6.0 section 2, the BigTIFF extension (8-byte offsets), EXIF 2.32 (from memory).
"""

import mmap
import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

# Field types by number: their size in bytes, and their letter in ``struct``.
_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8}
_SIZES |= {13: 4, 16: 8, 17: 8, 18: 8}
_LETTERS = {1: "B", 3: "H", 4: "I", 6: "b", 8: "h", 9: "i", 11: "f", 12: "d", 13: "I"}
_LETTERS |= {16: "Q", 17: "q", 18: "Q"}
_ASCII, _RATIONAL, _UNDEFINED, _SRATIONAL = 2, 5, 7, 10
_OFFSET_TYPES = (4, 13)  # LONG and IFD
_MOST_VALUES = 4096  # a longer list describes pixel data, not the image
_MOST_ENTRIES = 2000
_MOST_DIRECTORIES = 4000

Buffer = bytes | mmap.mmap
Value = int | float
Directory = dict[int, tuple[Value, ...] | bytes]


@dataclass(frozen=True, slots=True)
class _Layout:
    """How the numbers of a file are stored: its byte order, and the letters of two of them.

    ``count`` is that of a directory's number of entries, ``offset`` that of offsets and lengths;
    both are longer in a BigTIFF.
    """

    order: str
    count: str
    offset: str

    @property
    def count_size(self) -> int:
        return struct.calcsize(self.order + self.count)

    @property
    def offset_size(self) -> int:
        return struct.calcsize(self.order + self.offset)

    @property
    def entry_size(self) -> int:
        return 4 + 2 * self.offset_size

    def number(self, letter: str, buffer: Buffer, at: int) -> int:
        return int(struct.unpack_from(self.order + letter, buffer, at)[0])


class _Field(NamedTuple):
    """An entry of a directory, with the place of its values in the file."""

    tag: int
    field_type: int
    length: int
    place: int


def read_directories(buffer: Buffer) -> list[Directory]:
    """Return the directories of a TIFF file or EXIF block in the order of the file.

    A directory outside the file ends the list; the list is empty for other bytes.
    """
    return [directory for _, directory in _chain(buffer)]


def with_short_values(buffer: Buffer, tag: int, values: Mapping[int, int]) -> bytes:
    """Return a TIFF file with each 16-bit value of a tag replaced as ``values`` says."""
    changed = bytearray(buffer)
    layout = _layout(buffer)
    for start, _ in _chain(buffer) if layout else ():
        assert layout is not None
        for field in _fields(buffer, start, layout):
            if field.tag == tag:
                own = layout.number("H", buffer, field.place)
                struct.pack_into(layout.order + "H", changed, field.place, values.get(own, own))
    return bytes(changed)


def read_directory(buffer: Buffer, at: int) -> Directory:
    """Return the directory that begins ``at`` bytes into the buffer; empty where none does."""
    layout = _layout(buffer)
    if layout is None:
        return {}
    try:
        return _directory(buffer, at, layout)[0]
    except (struct.error, IndexError):
        return {}


def first_number(directory: Directory, tag: int, default: Value = 0) -> Value:
    """Return the first number of a tag, or ``default`` without the tag."""
    values = directory.get(tag, ())
    return values[0] if values and not isinstance(values, bytes) else default


def tag_text(directory: Directory, tag: int) -> str:
    """Return the text of a tag, or an empty one."""
    raw = directory.get(tag, b"")
    return raw.split(b"\0")[0].decode("latin-1").strip() if isinstance(raw, bytes) else ""


def _layout(buffer: Buffer) -> _Layout | None:
    order = {b"II": "<", b"MM": ">"}.get(bytes(buffer[:2]), "")
    if not order or len(buffer) < 8:
        return None
    version = struct.unpack_from(order + "H", buffer, 2)[0]
    letters = {42: ("H", "I"), 43: ("Q", "Q")}.get(version)
    return _Layout(order, *letters) if letters else None


def _chain(buffer: Buffer) -> Iterator[tuple[int, Directory]]:
    """Each directory of the file's main chain, with the offset at which it begins."""
    layout = _layout(buffer)
    if layout is None or len(buffer) < 2 * layout.offset_size:
        return
    at = layout.number(layout.offset, buffer, layout.offset_size)
    seen: set[int] = set()
    while at and at not in seen and at < len(buffer) and len(seen) < _MOST_DIRECTORIES:
        seen.add(at)
        start = at
        try:
            directory, at = _directory(buffer, at, layout)
        except struct.error:
            return
        yield start, directory


def _directory(buffer: Buffer, start: int, layout: _Layout) -> tuple[Directory, int]:
    """The directory at an offset, and the offset of the next one."""
    fields = _fields(buffer, start, layout)
    directory = {field.tag: _value(buffer, field, layout) for field in fields}
    count = min(layout.number(layout.count, buffer, start), _MOST_ENTRIES)
    end = start + layout.count_size + count * layout.entry_size
    return directory, layout.number(layout.offset, buffer, end)


def _fields(buffer: Buffer, start: int, layout: _Layout) -> Iterator[_Field]:
    """The entries whose values are inside the buffer."""
    count = min(layout.number(layout.count, buffer, start), _MOST_ENTRIES)
    for n in range(count):
        at = start + layout.count_size + n * layout.entry_size
        tag, field_type = struct.unpack_from(layout.order + "HH", buffer, at)
        length = layout.number(layout.offset, buffer, at + 4)
        place = at + 4 + layout.offset_size
        size = _SIZES.get(field_type, 0) * length
        if size > layout.offset_size:
            place = layout.number(layout.offset, buffer, place)
        if size and place + size <= len(buffer):
            yield _Field(tag, field_type, length, place)


def _value(buffer: Buffer, field: _Field, layout: _Layout) -> tuple[Value, ...] | bytes:
    _, field_type, count, place = field
    if field_type in (_ASCII, _UNDEFINED):
        return bytes(buffer[place : place + count])
    count = min(count, _MOST_VALUES)
    if field_type in (_RATIONAL, _SRATIONAL):
        letter = "I" if field_type == _RATIONAL else "i"
        parts = struct.unpack_from(f"{layout.order}{2 * count}{letter}", buffer, place)
        return tuple(a / b if b else 0.0 for a, b in zip(parts[::2], parts[1::2], strict=True))
    return struct.unpack_from(f"{layout.order}{count}{_LETTERS[field_type]}", buffer, place)


@dataclass(frozen=True, slots=True)
class TagEntry:
    """One tag of a directory with its value as bytes, whose numbers are little-endian."""

    tag: int
    field_type: int
    count: int
    value: bytes

    @property
    def offset(self) -> int | None:
        """The value where the tag's type is one that can be an offset, a 32-bit whole number."""
        is_offset = self.field_type in _OFFSET_TYPES
        return int.from_bytes(self.value, "little") if is_offset else None

    @property
    def first_number(self) -> float | None:
        """The first number, or None for text and for a fraction with denominator 0."""
        if self.field_type in (_RATIONAL, _SRATIONAL):
            letters = "<2I" if self.field_type == _RATIONAL else "<2i"
            numerator, denominator = struct.unpack_from(letters, self.value)
            return numerator / denominator if denominator else None
        letter = _LETTERS.get(self.field_type)
        return float(struct.unpack_from(f"<{letter}", self.value)[0]) if letter else None


def read_entries(buffer: Buffer, at: int | None = None) -> tuple[TagEntry, ...]:
    """Return the tags of the directory that begins ``at`` bytes in, or of the first directory.

    Tags whose values are outside the buffer are left out; the result is empty where there is
    no directory.
    """
    layout = _layout(buffer)
    if layout is None or layout.offset_size != 4:
        return ()
    try:
        start = layout.number("I", buffer, 4) if at is None else at
        return tuple(_entry(buffer, field, layout) for field in _fields(buffer, start, layout))
    except struct.error:
        return ()


def _entry(buffer: Buffer, field: _Field, layout: _Layout) -> TagEntry:
    tag, field_type, count, place = field
    size = _SIZES[field_type] * count
    value = bytes(buffer[place : place + size])
    number_size = 4 if field_type in (_RATIONAL, _SRATIONAL) else _SIZES[field_type]
    if layout.order == ">" and number_size > 1:
        value = b"".join(value[n : n + number_size][::-1] for n in range(0, size, number_size))
    return TagEntry(tag, field_type, count, value)
