"""Picture files made byte by byte: odd ones, and some that somebody made to do harm."""

import io
import struct
import zlib
from collections.abc import Iterable
from typing import Any

import imagecodecs
import numpy as np
import tifffile
from PIL import Image

from tests.outside.pixels.pictures import Array

_SCAN, _END = b"\xff\xda", b"\xff\xd9"  # SOS and EOI of ITU-T T.81, table B.1


def grain(width: int = 60, height: int = 40) -> Array:
    """Return a picture of 8-bit RGB without an even edge."""
    return np.random.default_rng(3).integers(20, 235, (height, width, 3)).astype("u1")


def saved(kind: str, pixels: Array | None = None, **options: Any) -> bytes:
    """Return a picture as Pillow saves it in a format."""
    file = io.BytesIO()
    Image.fromarray(grain() if pixels is None else pixels).save(file, kind, **options)
    return file.getvalue()


def chunk(name: bytes, content: bytes) -> bytes:
    """Return a PNG chunk (PNG specification, third edition, 5.3)."""
    check = zlib.crc32(name + content)
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", check)


def png_with(before: bytes = b"", after: bytes = b"") -> bytes:
    """Return a PNG with more chunks before its pixels, and after them."""
    whole = saved("PNG")
    return whole[:33] + before + whole[33:-12] + after + whole[-12:]


def segment(marker: int, content: bytes) -> bytes:
    """Return a JPEG segment (ITU-T T.81, B.1.1.4)."""
    return struct.pack(">BBH", 0xFF, marker, len(content) + 2) + content


def jpeg_with(*segments: bytes) -> bytes:
    """Return a JPEG with more segments after its first marker."""
    whole = saved("JPEG")
    return whole[:2] + b"".join(segments) + whole[2:]


def jpeg_of_process(marker: int) -> bytes:
    """Return a JPEG whose frame header claims another process (T.81, table B.1)."""
    whole = saved("JPEG")
    return whole.replace(b"\xff\xc0", bytes([0xFF, marker]), 1)


def progressive_jpeg(scans: int) -> bytes:
    """Return a progressive JPEG that repeats its last scan up to this many."""
    whole = saved("JPEG", progressive=True)
    assert whole.endswith(_END)
    own, last = whole.count(_SCAN), whole[whole.rindex(_SCAN) : -2]
    return whole[:-2] + last * (scans - own) + _END


def lossless_jpeg() -> bytes:
    """Return a lossless JPEG, process SOF3."""
    return bytes(imagecodecs.jpeg8_encode(grain(), lossless=True))


def twelve_bit_jpeg() -> bytes:
    """Return an extended JPEG of 12 bits per channel."""
    return bytes(imagecodecs.jpeg8_encode(grain().astype("u2") * 16, bitspersample=12))


def tiff_of(pixels: Array | None = None, **options: Any) -> bytes:
    """Return a TIFF as tifffile writes it."""
    file = io.BytesIO()
    image = grain() if pixels is None else pixels
    tifffile.imwrite(file, image, photometric="rgb", metadata=None, **options)
    return file.getvalue()


def tiff_of_pages(pages: int, tags: int) -> bytes:
    """Return a TIFF of many grey pages, each with this many tags (TIFF 6.0, section 2)."""
    own = [(256, 20), (257, 20), (258, 8), (259, 1), (262, 1), (273, 8), (277, 1), (278, 20)]
    fields = [*own, (279, 400), *((40_000 + n, 0) for n in range(tags - 9))]
    table = struct.pack("<H", tags) + b"".join(
        struct.pack("<HHII", tag, 4, 1, value) for tag, value in fields
    )
    ends = (8 + (n + 1) * (len(table) + 4) for n in range(pages - 1))
    return b"II*\0\x08\0\0\0" + b"".join(table + struct.pack("<I", end) for end in (*ends, 0))


def planes(tile: tuple[int, int] | None) -> bytes:
    """Return a TIFF of separate planes, in tiles or in strips (TIFF 6.0, sections 8 and 15)."""
    channels = np.ascontiguousarray(grain().transpose(2, 0, 1))
    return tiff_of(channels, planarconfig="separate", **({"tile": tile} if tile else {}))


def exif_of(orientation: int) -> bytes:
    """Return an EXIF block with an orientation (EXIF 3.0, 4.6.5.1.6), without its signature."""
    entry = struct.pack(">HHIHH", 0x0112, 3, 1, orientation, 0)
    return b"MM\0*\0\0\0\x08" + struct.pack(">H", 1) + entry + bytes(4)


def exif_as_text(block: bytes) -> bytes:
    """Return an EXIF block as text chunks carry it: by convention, there is no standard."""
    digits = (b"Exif\0\0" + block).hex()
    lines = [digits[at : at + 72] for at in range(0, len(digits), 72)]
    return f"\nexif\n{len(digits) // 2:8}\n".encode() + "\n".join(lines).encode() + b"\n"


def xmp_of(words: str, encoding: str = "utf-8", filling: int = 0) -> bytes:
    """Return an XMP packet with a title and a private property (XMP part 1, 7 and 8.3)."""
    text = (
        f'<?xml version="1.0" encoding="{encoding}"?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF'
        ' xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description'
        ' xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:own="urn:own">'
        f"<own:history>{'x' * filling}</own:history><dc:title><rdf:Alt>"
        f'<rdf:li xml:lang="x-default">{words}</rdf:li></rdf:Alt></dc:title></rdf:Description>'
        "</rdf:RDF></x:xmpmeta>"
    )
    return text.encode(encoding)


def words_in(packets: Iterable[bytes]) -> bytes:
    """Return the chunks of a PNG that carry XMP (PNG specification, third edition, 11.3.3.4)."""
    head = b"XML:com.adobe.xmp\0\0\0\0\0"
    return b"".join(chunk(b"iTXt", head + packet) for packet in packets)
