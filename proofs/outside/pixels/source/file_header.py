"""What a picture file's header states and the image library does not pass on.

PNG chunks: the PNG specification, third edition, and H.273 for the numbers of cICP. JPEG frames:
ITU-T T.81, B.2.2. WebP: RFC 9649, 2. EXIF: CIPA DC-008 (EXIF 3.0). TIFF: TIFF 6.0. All from memory.
"""

import binascii
import zlib
from collections.abc import Iterator
from dataclasses import dataclass

from proofs.outside.pixels.source.file_parts import (
    Buffer,
    Part,
    png_chunks,
    segments_before_scan,
    webp_chunks,
)
from proofs.outside.pixels.source.resolutions import (
    first_stated,
    jfif_resolution,
    png_resolution,
    tag_resolution,
)
from proofs.outside.pixels.source.tiff_directories import (
    Directory,
    first_number,
    read_directories,
    read_directory,
    tag_text,
    unpacked,
)
from proofs.outside.pixels.source.tiff_tags import Tag
from proofs.records.labs import FileFormat

_NOT_FRAMES = (0xC4, 0xC8, 0xCC)  # DHT, a reserved marker, DAC
_PROGRESSIVE = (0xC2, 0xC6, 0xCA, 0xCE)
_LARGEST_PART = 64_000_000  # bytes that are read of a chunk, or unpacked from it
_CHUNKS = {b"IHDR", b"acTL", b"cHRM", b"cICP", b"gAMA", b"iCCP", b"pHYs", b"sRGB"}
_EXIF = b"Exif\0\0"
_EXIF_TEXTS = (b"Raw profile type exif", b"Raw profile type APP1")
"""The keywords of text chunks in which some writers put EXIF (a convention without a standard)."""
_SIGNATURES = (
    (b"\xff\xd8\xff", FileFormat.JPEG),
    (b"\x89PNG\r\n\x1a\n", FileFormat.PNG),
    (b"II*\0", FileFormat.TIFF),
    (b"MM\0*", FileFormat.TIFF),
    (b"II+\0", FileFormat.TIFF),
    (b"MM\0+", FileFormat.TIFF),
)


@dataclass(frozen=True, slots=True)
class JpegFrame:
    """A JPEG's frame header: its marker, bits per channel, size, and each component's sampling."""

    marker: int
    bits: int
    size: tuple[int, int]
    sampling_factors: tuple[int, ...]

    @property
    def is_progressive(self) -> bool:
        """Whether each scan adds to pixels that earlier scans have begun."""
        return self.marker in _PROGRESSIVE


@dataclass(frozen=True, slots=True)
class FileHeader:
    """A picture file's header, as far as colour, size and pages need it.

    ``pages`` are the directories of a TIFF, ``chunks`` the small chunks of a PNG before its
    pixels, ``exif`` the directories of the EXIF block. ``ppi`` is the resolution across;
    ``ratio`` is that divided by the resolution down, 1 if none is stated.
    """

    format: FileFormat
    chunks: dict[str, bytes]
    pages: tuple[Directory, ...]
    exif: tuple[Directory, ...]
    exif_block: bytes
    content: Buffer
    ppi: float | None
    ratio: float

    @property
    def subifd_offsets(self) -> tuple[int, ...]:
        """Where the directories of the images inside the first page of a TIFF begin."""
        offsets = self.pages[0].get(Tag.SUB_IFDS, ()) if self.pages else ()
        return tuple(int(offset) for offset in offsets)

    @property
    def subifds(self) -> tuple[Directory, ...]:
        """The directories of the images inside the first page of a TIFF."""
        return tuple(read_directory(self.content, offset) for offset in self.subifd_offsets)

    @property
    def size(self) -> tuple[int, int]:
        """The width and height of the picture in a JPEG, PNG or WebP; 0 and 0 if unknown."""
        if self.format == FileFormat.JPEG:
            frame = jpeg_frame(self.content)
            return frame.size if frame else (0, 0)
        if self.format == FileFormat.PNG:
            head = self.chunks.get("IHDR", b"").ljust(8, b"\0")
            return int.from_bytes(head[:4], "big"), int.from_bytes(head[4:8], "big")
        return _webp_size(self.content) if self.format == FileFormat.WEBP else (0, 0)

    @property
    def is_interlaced(self) -> bool:
        """Whether a PNG comes in passes, each of which covers the whole picture."""
        return self.chunks.get("IHDR", b"")[12:13] == b"\1"

    @property
    def png_profile(self) -> bytes:
        """The colour profile of a PNG as stored; the library drops any that it distrusts."""
        packed, _ = png_text(b"iCCP", self.chunks.get("iCCP", b""))
        return _unpacked(packed) or packed  # what cannot be unpacked is refused as a profile

    @property
    def exif_colour(self) -> tuple[int, str]:
        """The colour space number of EXIF (0 without one) and the interoperability index."""
        # A TIFF file keeps the directories of EXIF among its own.
        tables, block = (self.exif, self.exif_block) if self.exif else (self.pages, self.content)
        offset = int(first_number(tables[0], Tag.EXIF_IFD)) if tables else 0
        own = read_directory(block, offset) if offset else {}
        offset = int(first_number(own, Tag.INTEROPERABILITY_IFD))
        across = read_directory(block, offset) if offset else {}
        number = int(first_number(own, Tag.COLOUR_SPACE))
        return number, tag_text(across, Tag.INTEROPERABILITY_INDEX)


def format_of(buffer: Buffer) -> FileFormat:
    """Return the format of a file by its first bytes."""
    start = bytes(buffer[:16])
    if start[:4] == b"RIFF" and start[8:12] == b"WEBP":
        return FileFormat.WEBP
    found = (name for signature, name in _SIGNATURES if start.startswith(signature))
    return next(found, FileFormat.OTHER)


def jpeg_frame(buffer: Buffer, start: int = 0) -> JpegFrame | None:
    """Return the frame header of the JPEG that begins at ``start``, or None without one."""
    for segment in segments_before_scan(buffer, start):
        marker, at = segment.name[0], segment.start
        if 0xC0 <= marker <= 0xCF and marker not in _NOT_FRAMES:
            bits, height, width, count = unpacked(">BHHB", buffer, at)
            factors = buffer[at + 7 : at + 6 + 3 * count : 3]
            return JpegFrame(marker, bits, (width, height), tuple(factors))
    return None


def _webp_size(buffer: Buffer) -> tuple[int, int]:
    """The size of the canvas, or of the only frame if there is no canvas."""
    part = next(webp_chunks(buffer), Part(b"", 0, 0))
    head = buffer[part.start : part.start + 10].ljust(10, b"\0")
    if part.name == b"VP8X":
        return int.from_bytes(head[4:7], "little") + 1, int.from_bytes(head[7:10], "little") + 1
    if part.name == b"VP8L":
        both = int.from_bytes(head[1:5], "little")
        return (both & 0x3FFF) + 1, (both >> 14 & 0x3FFF) + 1
    if part.name == b"VP8 ":
        width, height = unpacked("<HH", head, 6)
        return width & 0x3FFF, height & 0x3FFF
    return 0, 0


def read_file_header(buffer: Buffer, exif_block: bytes = b"") -> FileHeader:
    """Return a file's header; damaged parts count as absent.

    ``exif_block`` is the EXIF that the library has found, if any.
    """
    name = format_of(buffer)
    chunks = _chunks_before_pixels(buffer) if name == FileFormat.PNG else {}
    block = exif_block or (_png_exif(buffer) if name == FileFormat.PNG else b"")
    block = block.removeprefix(_EXIF)
    exif = tuple(read_directories(block))
    pages = tuple(read_directories(buffer)) if name == FileFormat.TIFF else ()
    found = [tag_resolution(directory) for directory in (pages or exif)[:1]]
    if name == FileFormat.PNG:
        found.insert(0, png_resolution(chunks.get("pHYs", b"")))
    elif name == FileFormat.JPEG:
        found.insert(0, jfif_resolution(buffer))
    return FileHeader(name, chunks, pages, exif, block, buffer, *first_stated(found))


def _chunks_before_pixels(buffer: Buffer) -> dict[str, bytes]:
    found: dict[str, bytes] = {}
    for part in png_chunks(buffer):
        if part.name == b"IDAT":
            break
        if part.name in _CHUNKS:
            found.setdefault(part.name.decode("latin-1"), _content(buffer, part))
    return found


def _content(buffer: Buffer, part: Part) -> bytes:
    is_small = part.length <= _LARGEST_PART  # a larger file is refused later
    return bytes(buffer[part.start : part.start + part.length]) if is_small else b""


def _png_exif(buffer: Buffer) -> bytes:
    """The EXIF block of a PNG, before or after its pixels: in its own chunk, or in a text."""
    parts = [p for p in png_chunks(buffer) if p.name in (b"eXIf", b"tEXt", b"zTXt", b"iTXt")]
    blocks = [_content(buffer, part) for part in parts if part.name == b"eXIf"]
    blocks += [block for part in parts for block in _exif_in_text(buffer, part)]
    return next((block for block in blocks if block), b"")


def _exif_in_text(buffer: Buffer, part: Part) -> Iterator[bytes]:
    """The EXIF block in a text chunk: a name, a length, and then all bytes in hexadecimal."""
    if bytes(buffer[part.start : part.start + 21]) not in _EXIF_TEXTS:
        return
    text, is_packed = png_text(part.name, _content(buffer, part))
    text = _unpacked(text) if is_packed else text
    try:
        block = binascii.unhexlify(b"".join(text.split()[2:]))
    except binascii.Error:
        return
    if block.startswith((_EXIF, b"II*\0", b"MM\0*")):
        yield block


def png_text(name: bytes, content: bytes) -> tuple[bytes, bool]:
    """Return what a PNG chunk holds after its keyword, and whether that is packed (zlib).

    It is the text of tEXt, zTXt or iTXt, or the profile of iCCP.
    """
    held = content.partition(b"\0")[2]
    if name == b"iTXt":  # a language and a translated keyword come first
        return held[2:].partition(b"\0")[2].partition(b"\0")[2], held[:1] == b"\1"
    return (held[1:], True) if name in (b"zTXt", b"iCCP") else (held, False)


def _unpacked(packed: bytes) -> bytes:
    try:
        return zlib.decompressobj().decompress(packed, _LARGEST_PART)
    except zlib.error:
        return b""
