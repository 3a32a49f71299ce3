"""How much a picture file may hold, checked in its bytes before the library opens it.

A small file can unpack to gigabytes, or take the library hours. Layouts: the PNG specification,
third edition, 11.3.3; TIFF 6.0, section 2; ITU-T T.81, B.2. From memory.
"""

import zlib

from proofs.lengths import PixelSize
from proofs.outside.pixels.source.file_header import FileHeader, jpeg_frame, png_text
from proofs.outside.pixels.source.file_parts import (
    MOST_JPEG_SEGMENTS,
    MOST_PNG_CHUNKS,
    MOST_WEBP_CHUNKS,
    START_OF_SCAN,
    Buffer,
    Part,
    jpeg_segments,
    png_chunks,
    webp_chunks,
)
from proofs.outside.pixels.source.tiff_directories import MOST_DIRECTORIES, MOST_TAGS, value_sizes
from proofs.outside.pixels.source.tiff_tags import Tag
from proofs.records.labs import FileFormat

MOST_MEGAPIXELS = 400  # a print of 60 x 60 in at 300 ppi has 324
MOST_METADATA = 64_000_000
"""The most bytes that a picture file may carry besides its pixels; real files carry a few MB."""
MOST_LAYERS = 400_000_000  # bytes of an editor's layers in a TIFF; the library keeps two copies
MOST_SCANS = 100  # of a JPEG: encoders make about 10, and each takes a pass through all pixels

_MOST_PARTS = 1000  # chunks of a PNG that are not pixels; tags of a TIFF
_MOST_SAMPLE_BYTES = 16  # of a pixel: four channels of 32 bits
_TOO_MUCH = f"carries more than {MOST_METADATA // 1_000_000} MB besides its pixels"
_TOO_MANY = "carries more parts than any picture needs"
_MAY_BE_PACKED = (b"zTXt", b"iTXt", b"iCCP")  # PNG chunks whose content may be packed


def largest_file(pixels: PixelSize, channels: int) -> int:
    """Return the most bytes that a print file of this size can need, at 16 bits per channel."""
    count = min(pixels.width * pixels.height, MOST_MEGAPIXELS * 1_000_000)
    return _with_overhead(count * min(channels, 4) * 2)


def largest_source(pixels: int) -> int:
    """Return the most bytes that a source file of this many pixels may have."""
    return _with_overhead(pixels * _MOST_SAMPLE_BYTES) + MOST_LAYERS


def _with_overhead(bare: int) -> int:
    return bare + bare // 2 + MOST_METADATA  # pixels that do not compress grow a little


def excess(header: FileHeader) -> str:
    """Return in words what a file holds too much of, or an empty text."""
    buffer = header.content
    if header.format == FileFormat.PNG:
        return _png_excess(buffer)
    if header.format == FileFormat.JPEG:
        return _jpeg_excess(buffer)
    if header.format == FileFormat.TIFF:
        return _tiff_excess(header)
    if header.format == FileFormat.WEBP:
        return _webp_excess(buffer)
    return ""


def _png_excess(buffer: Buffer) -> str:
    unpacked, count, pixel_chunks = 0, 0, 0
    for part in png_chunks(buffer):
        if part.name == b"IDAT":
            pixel_chunks += 1
        else:
            count += 1
            unpacked += _unpacked_length(buffer, part, MOST_METADATA - unpacked)
        if unpacked > MOST_METADATA:
            return _TOO_MUCH
        if count > _MOST_PARTS or count + pixel_chunks > MOST_PNG_CHUNKS:
            return _TOO_MANY
    return ""


def _unpacked_length(buffer: Buffer, part: Part, most: int) -> int:
    """The length of a chunk and of its content unpacked, which stops soon after ``most``."""
    if part.length > most or part.name not in _MAY_BE_PACKED:
        return part.length
    text, is_packed = png_text(part.name, buffer[part.start : part.start + part.length])
    try:
        unpacked = zlib.decompressobj().decompress(text, most + 1) if is_packed else b""
    except zlib.error:
        return part.length
    return part.length + len(unpacked)


def _jpeg_excess(buffer: Buffer) -> str:
    together, scans = 0, 0
    for count, part in enumerate(jpeg_segments(buffer), 1):
        if part.name == START_OF_SCAN:
            scans += 1
            if scans == 1 and _is_only_scan(buffer, part):
                break  # the rest is pixels
        else:
            together += part.length
        if scans > MOST_SCANS:
            return f"comes in more than {MOST_SCANS} scans"
        if together > MOST_METADATA:
            return _TOO_MUCH
        if count > MOST_JPEG_SEGMENTS:
            return _TOO_MANY
    return ""


def _is_only_scan(buffer: Buffer, scan: Part) -> bool:
    """Whether the first scan is the only one: it has all components and is not progressive."""
    frame = jpeg_frame(buffer)
    if frame is None or frame.is_progressive:
        return False
    return buffer[scan.start : scan.start + 1] == bytes([len(frame.sampling_factors)])


def _tiff_excess(header: FileHeader) -> str:
    tags = 0
    for sizes in value_sizes(header.content, header.subifd_offsets):
        layers = sum(size for tag, size in sizes if tag == Tag.IMAGE_SOURCE_DATA)
        if layers > MOST_LAYERS:
            return f"carries more than {MOST_LAYERS // 1_000_000} MB of layers"
        if sum(size for _, size in sizes) - layers > MOST_METADATA:
            return _TOO_MUCH
        tags += len(sizes)
        if len(sizes) > _MOST_PARTS or tags > MOST_TAGS:
            return _TOO_MANY
    return _TOO_MANY if len(header.pages) > MOST_DIRECTORIES else ""


def _webp_excess(buffer: Buffer) -> str:
    together = 0
    for count, part in enumerate(webp_chunks(buffer), 1):
        if part.name in (b"ICCP", b"EXIF", b"XMP "):
            together += part.length
        if together > MOST_METADATA:
            return _TOO_MUCH
        if count > MOST_WEBP_CHUNKS:
            return _TOO_MANY
    return ""
