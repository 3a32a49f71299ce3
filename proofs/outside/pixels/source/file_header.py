"""What a picture file says of itself beside its pixels, where the library keeps silent.

PNG chunks: the PNG specification, third edition, and H.273 for the numbers of cICP. JFIF:
ITU-T T.871. EXIF: CIPA DC-008. TIFF: TIFF 6.0. All from memory.
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
from proofs.records.labs import FileFormat

MM_PER_INCH = 25.4
_NO_FRAMES = (0xC4, 0xC8, 0xCC)  # tables, and a number kept back
_LARGEST_PROFILE = 64_000_000
_PNG = b"\x89PNG\r\n\x1a\n"
_FORMATS = (
    (b"\xff\xd8\xff", FileFormat.JPEG),
    (_PNG, FileFormat.PNG),
    (b"II*\0", FileFormat.TIFF),
    (b"MM\0*", FileFormat.TIFF),
    (b"II+\0", FileFormat.TIFF),
    (b"MM\0+", FileFormat.TIFF),
)

NEW_SUBFILE_TYPE, X_RESOLUTION, RESOLUTION_UNIT = 254, 282, 296
IMAGE_WIDTH, IMAGE_LENGTH = 256, 257
_INNER = 330
EXIF_TABLE, INTEROPERABILITY_TABLE, COLOUR_SPACE = 0x8769, 0xA005, 0xA001


@dataclass(frozen=True, slots=True)
class FileHeader:
    """A picture file taken apart as far as colour, size and pages need it.

    ``pages`` are the tables of a TIFF, ``chunks`` those of a PNG before its pixels, ``exif``
    the tables of its EXIF block.
    """

    format: FileFormat
    chunks: dict[str, bytes]
    pages: tuple[Directory, ...]
    exif: tuple[Directory, ...]
    exif_block: bytes
    content: Buffer
    ppi: float | None

    @property
    def inner_pages(self) -> tuple[Directory, ...]:
        """The tables of the pictures inside the first page of a TIFF."""
        places = self.pages[0].get(_INNER, ()) if self.pages else ()
        return tuple(read_directory(self.content, int(place)) for place in places)

    @property
    def jpeg_bits(self) -> int:
        """The bits a channel of a JPEG, by its frame (ITU-T T.81, B.2); 0 for other files."""
        at = 2 if self.format == FileFormat.JPEG else len(self.content)
        while at + 9 <= len(self.content) and self.content[at] == 0xFF:
            marker, length, bits = struct.unpack_from(">xBHB", self.content, at)
            if 0xC0 <= marker <= 0xCF and marker not in _NO_FRAMES:
                return int(bits)
            # Bytes of filling may stand before a marker.
            at += 1 if marker == 0xFF else 2 + length
        return 0

    @property
    def png_profile(self) -> bytes:
        """The colour profile of a PNG as it stands there; the library leaves out any it doubts."""
        packed = self.chunks.get("iCCP", b"").partition(b"\0")[2][1:]
        try:
            return zlib.decompressobj().decompress(packed, _LARGEST_PROFILE)
        except zlib.error:
            return packed  # no profile, as whoever reads it will say

    @property
    def exif_colour(self) -> tuple[int, str]:
        """The colour space number of EXIF (0 without one) and the interoperability index."""
        # A TIFF file keeps the tables of EXIF among its own.
        tables, block = (self.exif, self.exif_block) if self.exif else (self.pages, self.content)
        place = int(first_number(tables[0], EXIF_TABLE)) if tables else 0
        own = read_directory(block, place) if place else {}
        across = int(first_number(own, INTEROPERABILITY_TABLE))
        index = tag_text(read_directory(block, across), 1) if across else ""
        return int(first_number(own, COLOUR_SPACE)), index


def format_of(buffer: Buffer) -> FileFormat:
    """Return the format of a file by its first bytes."""
    start = bytes(buffer[:16])
    if start[:4] == b"RIFF" and start[8:12] == b"WEBP":
        return FileFormat.WEBP
    return next((name for mark, name in _FORMATS if start.startswith(mark)), FileFormat.OTHER)


def read_file_header(buffer: Buffer, exif_block: bytes = b"") -> FileHeader:
    """Return what a file says; damaged parts count as not said."""
    name = format_of(buffer)
    block = exif_block.removeprefix(b"Exif\0\0")
    exif = tuple(read_directories(block))
    chunks = _png_chunks(buffer) if name == "png" else {}
    pages = tuple(read_directories(buffer)) if name == "tiff" else ()
    ppi = {"png": lambda: _png_ppi(chunks), "jpeg": lambda: _jfif_ppi(buffer)}
    own = ppi[name]() if name in ppi else None
    if own is None and (pages or exif):
        own = _tag_ppi((pages or exif)[0])
    return FileHeader(name, chunks, pages, exif, block, buffer, _sensible(own))


def _sensible(ppi: float | None) -> float | None:
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
    # Whole pixels a metre cannot say 300 ppi: 11811 stands for it and means it.
    a_metre = int.from_bytes(physical[:4], "big")
    near = round(a_metre * MM_PER_INCH / 1000)
    if round(near / MM_PER_INCH * 1000) == a_metre:
        return float(near)
    return a_metre * MM_PER_INCH / 1000


def _jfif_ppi(buffer: Buffer) -> float | None:
    at = bytes(buffer[:4096]).find(b"JFIF\0")
    if at < 0:
        return None
    unit, across = struct.unpack_from(">BH", buffer, at + 7)
    if unit not in (1, 2) or across <= 1:
        return None
    return across * MM_PER_INCH / 10 if unit == 2 else float(across)


def _tag_ppi(table: Directory) -> float | None:
    unit = int(first_number(table, RESOLUTION_UNIT, 2))
    across = float(first_number(table, X_RESOLUTION))
    if not across or unit not in (2, 3):
        return None
    ppi = across * MM_PER_INCH / 10 if unit == 3 else across
    # Programs that count in centimetres, or in 16 bits, write 299.999 and mean 300.
    return float(round(ppi)) if abs(ppi - round(ppi)) < 0.002 else ppi
