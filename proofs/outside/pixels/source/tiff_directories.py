"""The tag directories (IFDs) of TIFF files and EXIF blocks, read from bytes.

Layouts: TIFF 6.0 section 2, the BigTIFF extension (8-byte offsets), EXIF 3.0 (from memory).
"""

import struct
from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from proofs.outside.pixels.source.file_parts import Buffer
from proofs.outside.pixels.source.tiff_tags import Tag

# Field types by number: their size in bytes, and their letter in ``struct``.
_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8}
_SIZES |= {13: 4, 16: 8, 17: 8, 18: 8}
_LETTERS = {1: "B", 3: "H", 4: "I", 6: "b", 8: "h", 9: "i", 11: "f", 12: "d", 13: "I"}
_LETTERS |= {16: "Q", 17: "q", 18: "Q"}
_ASCII, _RATIONAL, _UNDEFINED, _SRATIONAL = 2, 5, 7, 10
_OFFSET_TYPES = (4, 13)  # LONG and IFD
_MOST_VALUES = 64  # a longer list describes pixel data, not the image
_MOST_TEXT = 4096  # bytes
_MOST_ENTRIES = 2000
MOST_DIRECTORIES = 200  # the library reads each several times over
MOST_TAGS = 10_000  # of all directories together
ALL_TAGS = range(0x10000)
_KNOWN = frozenset(Tag)

Value = int | float
Directory = dict[int, tuple[Value, ...] | bytes]


@dataclass(frozen=True, slots=True)
class _Layout:
    """How the numbers of a file are stored: its byte order, and the ``struct`` letters of two.

    ``count`` is the letter of the number of entries in a directory, ``offset`` that of offsets and
    lengths. Both numbers are longer in a BigTIFF.
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
        return int(unpacked(self.order + letter, buffer, at)[0])


class _Field(NamedTuple):
    """An entry of a directory, with the offset of its values in the file."""

    tag: int
    field_type: int
    length: int
    place: int


def unpacked(layout: str, buffer: Buffer, at: int) -> tuple[Any, ...]:
    """Return the values at an offset. Raises ``struct.error`` if they are cut short."""
    return struct.unpack(layout, buffer[at : at + struct.calcsize(layout)])


def read_directories(buffer: Buffer) -> list[Directory]:
    """Return the directories of a TIFF file or EXIF block in the order of the file.

    They hold the tags of ``Tag``; long lists and texts are cut off. The list ends at a directory
    outside the file, after one more than ``MOST_DIRECTORIES``, and once ``MOST_TAGS`` are
    exceeded. It is empty for other bytes.
    """
    return [directory for _, directory in _chain(buffer)]


def short_value_changes(buffer: Buffer, tag: int, values: Mapping[int, int]) -> dict[int, bytes]:
    """Return the bytes that replace the 16-bit values of a tag, old by new, by their offsets."""
    layout = _layout(buffer)
    changes = {}
    for start, _ in _chain(buffer) if layout else ():
        assert layout is not None
        for field in _fields(buffer, start, layout):
            if field.tag == tag:
                own = layout.number("H", buffer, field.place)
                changes[field.place] = struct.pack(layout.order + "H", values.get(own, own))
    return changes


def read_directory(buffer: Buffer, at: int) -> Directory:
    """Return the directory that begins ``at`` bytes into the buffer; empty if there is none."""
    layout = _layout(buffer)
    if layout is None:
        return {}
    try:
        return _directory(buffer, at, layout)[0]
    except (struct.error, IndexError):
        return {}


def value_sizes(buffer: Buffer, more: Iterable[int]) -> Iterator[list[tuple[int, int]]]:
    """Yield, for each directory, its tags with the number of bytes that their values claim.

    The directories are those of the file's main chain, then those at the offsets ``more``.
    Values inside the directory itself count as 0.
    """
    layout = _layout(buffer)
    if layout is None:
        return
    for start in (*(start for start, _ in _chain(buffer)), *more):
        try:
            fields = tuple(_all_fields(buffer, start, layout))
        except struct.error:  # it is cut short
            continue
        yield [(field.tag, size if size > layout.offset_size else 0) for field, size in fields]


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
    version = unpacked(order + "H", buffer, 2)[0]
    letters = {42: ("H", "I"), 43: ("Q", "Q")}.get(version)
    return _Layout(order, *letters) if letters else None


def _chain(buffer: Buffer) -> Iterator[tuple[int, Directory]]:
    """Each directory of the file's main chain, with the offset at which it begins."""
    layout = _layout(buffer)
    if layout is None or len(buffer) < 2 * layout.offset_size:
        return
    at = layout.number(layout.offset, buffer, layout.offset_size)
    seen: set[int] = set()
    tags = 0
    while at and at not in seen and at < len(buffer) and len(seen) <= MOST_DIRECTORIES:
        seen.add(at)
        start = at
        try:
            directory, at = _directory(buffer, at, layout)
        except struct.error:
            return
        yield start, directory
        tags += _count(buffer, start, layout)
        if tags > MOST_TAGS:
            return


def _directory(buffer: Buffer, start: int, layout: _Layout) -> tuple[Directory, int]:
    """The directory at an offset, and the offset of the next one."""
    fields = _fields(buffer, start, layout)
    directory = {f.tag: _value(buffer, f, layout) for f in fields if f.tag in _KNOWN}
    count = _count(buffer, start, layout)
    end = start + layout.count_size + count * layout.entry_size
    return directory, layout.number(layout.offset, buffer, end)


def _fields(buffer: Buffer, start: int, layout: _Layout) -> Iterator[_Field]:
    """The entries whose values are inside the buffer, until together they exceed its length."""
    left = len(buffer)
    for field, size in _all_fields(buffer, start, layout):
        if 0 < size <= left and field.place + size <= len(buffer):
            left -= size
            yield field


def _count(buffer: Buffer, start: int, layout: _Layout) -> int:
    return min(layout.number(layout.count, buffer, start), _MOST_ENTRIES)


def _all_fields(buffer: Buffer, start: int, layout: _Layout) -> Iterator[tuple[_Field, int]]:
    """All entries, each with the number of bytes that its values claim."""
    first = start + layout.count_size
    size = _count(buffer, start, layout) * layout.entry_size
    table = buffer[first : first + size]
    if len(table) < size:
        raise struct.error("a directory is cut short")
    entries = struct.iter_unpack(f"{layout.order}HH{2 * layout.offset}", table)
    for n, (tag, field_type, length, offset) in enumerate(entries, 1):
        size = _SIZES.get(field_type, 0) * length
        is_inside = size <= layout.offset_size
        place = first + n * layout.entry_size - layout.offset_size if is_inside else offset
        yield _Field(tag, field_type, length, place), size


def _value(buffer: Buffer, field: _Field, layout: _Layout) -> tuple[Value, ...] | bytes:
    _, field_type, count, place = field
    if field_type in (_ASCII, _UNDEFINED):
        return bytes(buffer[place : place + min(count, _MOST_TEXT)])
    count = min(count, _MOST_VALUES)
    if field_type in (_RATIONAL, _SRATIONAL):
        letter = "I" if field_type == _RATIONAL else "i"
        parts = unpacked(f"{layout.order}{2 * count}{letter}", buffer, place)
        return tuple(a / b if b else 0.0 for a, b in zip(parts[::2], parts[1::2], strict=True))
    return unpacked(f"{layout.order}{count}{_LETTERS[field_type]}", buffer, place)


@dataclass(frozen=True, slots=True)
class TagEntry:
    """One tag of a directory with its value as bytes, whose numbers are little-endian."""

    tag: int
    field_type: int
    count: int
    value: bytes

    @property
    def offset(self) -> int | None:
        """The value as an offset; None if the tag's type cannot be one."""
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


def read_entries(
    buffer: Buffer, at: int | None = None, *, tags: Container[int] = ALL_TAGS
) -> tuple[TagEntry, ...]:
    """Return the tags of the directory that begins ``at`` bytes in, or of the first directory.

    Only ``tags`` are read. Tags whose values are outside the buffer are left out. The result is
    empty if there is no directory.
    """
    layout = _layout(buffer)
    if layout is None or layout.offset_size != 4:
        return ()
    try:
        start = layout.number("I", buffer, 4) if at is None else at
        fields = _fields(buffer, start, layout)
        return tuple(_entry(buffer, field, layout) for field in fields if field.tag in tags)
    except struct.error:
        return ()


def _entry(buffer: Buffer, field: _Field, layout: _Layout) -> TagEntry:
    tag, field_type, count, place = field
    size = _SIZES[field_type] * count
    value = bytes(buffer[place : place + size])
    number_size = 4 if field_type in (_RATIONAL, _SRATIONAL) else _SIZES[field_type]
    if layout.order == ">" and number_size > 1:
        turned = bytearray(size)
        for n in range(number_size):
            turned[n::number_size] = value[number_size - 1 - n :: number_size]
        value = bytes(turned)
    return TagEntry(tag, field_type, count, value)
