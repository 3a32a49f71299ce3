"""What a picture file's header says, where the image library does not pass it on.

PNG chunks: the PNG specification, third edition, and H.273 for the numbers of cICP. JFIF:
ITU-T T.871. JPEG frames: ITU-T T.81, B.2.2. EXIF: CIPA DC-008. TIFF: TIFF 6.0. All from memory.
"""

import struct
import zlib
from dataclasses import dataclass

from proofs.outside.pixels.source.tiff_directories import (
    Buffer,
    Directory,
    first_number,
    read_directories,
    read_directory,
    tag_text,
)
from proofs.outside.pixels.source.tiff_tags import Tag
from proofs.records.labs import FileFormat

MM_PER_INCH = 25.4
_NOT_FRAMES = (0xC4, 0xC8, 0xCC)  # DHT, a reserved marker, DAC
_LARGEST_PROFILE = 64_000_000
_PNG = b"\x89PNG\r\n\x1a\n"
_SIGNATURES = (
    (b"\xff\xd8\xff", FileFormat.JPEG),
    (_PNG, FileFormat.PNG),
    (b"II*\0", FileFormat.TIFF),
    (b"MM\0*", FileFormat.TIFF),
    (b"II+\0", FileFormat.TIFF),
    (b"MM\0+", FileFormat.TIFF),
)


@dataclass(frozen=True, slots=True)
class JpegFrame:
    """A JPEG's frame header: its marker, bits per channel, and each component's sampling."""

    marker: int
    bits: int
    sampling_factors: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class FileHeader:
    """A picture file's header, as far as colour, size and pages need it.

    ``pages`` are the directories of a TIFF, ``chunks`` those of a PNG before its pixels,
    ``exif`` the directories of the EXIF block.
    """

    format: FileFormat
    chunks: dict[str, bytes]
    pages: tuple[Directory, ...]
    exif: tuple[Directory, ...]
    exif_block: bytes
    content: Buffer
    ppi: float | None

    @property
    def subifds(self) -> tuple[Directory, ...]:
        """The directories of the images inside the first page of a TIFF."""
        offsets = self.pages[0].get(Tag.SUB_IFDS, ()) if self.pages else ()
        return tuple(read_directory(self.content, int(offset)) for offset in offsets)

    @property
    def jpeg_bits(self) -> int:
        """The bits per channel of a JPEG; 0 for other files."""
        frame = jpeg_frame(self.content) if self.format == FileFormat.JPEG else None
        return frame.bits if frame else 0

    @property
    def png_profile(self) -> bytes:
        """The colour profile of a PNG as stored; the library drops any that it distrusts."""
        packed = self.chunks.get("iCCP", b"").partition(b"\0")[2][1:]
        try:
            return zlib.decompressobj().decompress(packed, _LARGEST_PROFILE)
        except zlib.error:
            return packed  # not a profile, as reading it will show

    @property
    def exif_colour(self) -> tuple[int, str]:
        """The colour space number of EXIF (0 without one) and the interoperability index."""
        # A TIFF file keeps the directories of EXIF among its own.
        tables, block = (self.exif, self.exif_block) if self.exif else (self.pages, self.content)
        offset = int(first_number(tables[0], Tag.EXIF_IFD)) if tables else 0
        own = read_directory(block, offset) if offset else {}
        offset = int(first_number(own, Tag.INTEROPERABILITY_IFD))
        index = tag_text(read_directory(block, offset), 1) if offset else ""
        return int(first_number(own, Tag.COLOUR_SPACE)), index


def format_of(buffer: Buffer) -> FileFormat:
    """Return the format of a file by its first bytes."""
    start = bytes(buffer[:16])
    if start[:4] == b"RIFF" and start[8:12] == b"WEBP":
        return FileFormat.WEBP
    found = (name for signature, name in _SIGNATURES if start.startswith(signature))
    return next(found, FileFormat.OTHER)


def jpeg_frame(buffer: Buffer) -> JpegFrame | None:
    """Return the frame header of a JPEG, or None where it is not found."""
    at = 2
    while at + 10 <= len(buffer) and buffer[at] == 0xFF:
        marker, length, bits = struct.unpack_from(">xBHB", buffer, at)
        if 0xC0 <= marker <= 0xCF and marker not in _NOT_FRAMES:
            components = range(at + 11, min(at + 11 + 3 * buffer[at + 9], len(buffer)), 3)
            return JpegFrame(marker, bits, tuple(buffer[place] for place in components))
        # Fill bytes are allowed before a marker.
        at += 1 if marker == 0xFF else 2 + length
    return None


def read_file_header(buffer: Buffer, exif_block: bytes = b"") -> FileHeader:
    """Return a file's header; damaged parts count as absent."""
    name = format_of(buffer)
    block = exif_block.removeprefix(b"Exif\0\0")
    exif = tuple(read_directories(block))
    chunks = _png_chunks(buffer) if name == FileFormat.PNG else {}
    pages = tuple(read_directories(buffer)) if name == FileFormat.TIFF else ()
    own = None
    if name == FileFormat.PNG:
        own = _png_ppi(chunks)
    elif name == FileFormat.JPEG:
        own = _jfif_ppi(buffer)
    if own is None and (pages or exif):
        own = _tag_ppi((pages or exif)[0])
    return FileHeader(name, chunks, pages, exif, block, buffer, _plausible(own))


def _plausible(ppi: float | None) -> float | None:
    return round(ppi, 2) if ppi is not None and 1 <= ppi <= 100_000 else None


def _png_chunks(buffer: Buffer) -> dict[str, bytes]:
    found: dict[str, bytes] = {}
    at = len(_PNG)
    while at + 8 <= len(buffer):
        length, name = struct.unpack_from(">I4s", buffer, at)
        if name in (b"IDAT", b"IEND"):
            break
        found.setdefault(name.decode("latin-1"), bytes(buffer[at + 8 : at + 8 + length]))
        at += 12 + length
    return found


def _png_ppi(chunks: dict[str, bytes]) -> float | None:
    physical = chunks.get("pHYs", b"")
    if len(physical) != 9 or physical[8] != 1:
        return None
    # Whole pixels per metre cannot express 300 ppi: 11811 is written for it.
    per_metre = int.from_bytes(physical[:4], "big")
    ppi = round(per_metre * MM_PER_INCH / 1000)
    if round(ppi / MM_PER_INCH * 1000) == per_metre:
        return float(ppi)
    return per_metre * MM_PER_INCH / 1000


def _jfif_ppi(buffer: Buffer) -> float | None:
    at = bytes(buffer[:4096]).find(b"JFIF\0")
    if at < 0:
        return None
    unit, density = struct.unpack_from(">BH", buffer, at + 7)
    if unit not in (1, 2) or density <= 1:
        return None
    return density * MM_PER_INCH / 10 if unit == 2 else float(density)


def _tag_ppi(directory: Directory) -> float | None:
    unit = int(first_number(directory, Tag.RESOLUTION_UNIT, 2))
    resolution = float(first_number(directory, Tag.X_RESOLUTION))
    if not resolution or unit not in (2, 3):
        return None
    ppi = resolution * MM_PER_INCH / 10 if unit == 3 else resolution
    # Programs that count in centimetres, or in 16 bits, write 299.999 for 300.
    return float(round(ppi)) if abs(ppi - round(ppi)) < 0.002 else ppi
