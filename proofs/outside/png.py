"""PNG files of 8-bit RGB pixels, for mock-ups: quick to write and to read.

Every row is stored as its difference from the row above. That packs flat board and soft
pictures about as well as choosing among all filters row by row, and takes half the time both
ways: a proof sheet of many entries spends most of its time reading mock-ups.

Whole pictures are packed by zlib-ng. At its second level mock-ups take 0.6 of zlib's time and are
5 % smaller (measured). libdeflate takes 0.8 of the time; zlib-ng's first level takes 0.4, but a
third more bytes. Strips are packed one by one, which only zlib does here.

Chunks and filters: PNG specification, third edition, sections 9 and 11 (from memory).
"""

import struct
import threading
import zlib
from collections.abc import Iterable
from dataclasses import dataclass, field

import imagecodecs
import numpy as np
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.pixels.colour.spaces import built_in_profile

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_UP = 2
_WHOLE_LEVEL, _STRIPS_LEVEL = 2, 1  # of the two packers
_METRE_IN_INCHES = 1 / 0.0254

_Rows = NDArray[np.uint8]


def rgb_png(codes: NDArray[np.uint8], ppi: float) -> bytes:
    """Return sRGB codes, (rows, columns, 3), as a PNG that states its colour space and size."""
    height, width, _ = codes.shape
    return _png(PixelSize(width, height), ppi, _packed(_filtered_picture(codes)))


@dataclass(frozen=True, slots=True)
class PngFrame:
    """What many PNGs share, made ready once: all rows but ``own``, which each has for itself.

    To find room for all rows of a mock-up and filter them takes longer than to pack them.
    """

    filtered: bytearray
    own: slice
    lock: threading.Lock = field(default_factory=threading.Lock)

    def png(self, codes: NDArray[np.uint8], ppi: float) -> bytes:
        """Return what ``rgb_png`` does; of the codes only ``read_rows`` are looked at."""
        height, width, _ = codes.shape
        rows = codes.reshape(height, width * 3)
        first, last = self.own.start, min(self.own.stop + 1, height)
        above = rows[first - 1] if first else np.zeros(width * 3, np.uint8)
        with self.lock:
            whole = np.frombuffer(self.filtered, np.uint8).reshape(height, width * 3 + 1)
            _filter(rows[first:last], above, whole[first:last])
            packed = _packed(self.filtered)
        return _png(PixelSize(width, height), ppi, packed)

    @property
    def read_rows(self) -> slice:
        """The rows that have to be there: its own, and one at each side to compare them with."""
        return slice(max(0, self.own.start - 1), self.own.stop + 1)


def png_frame(codes: NDArray[np.uint8], own: slice) -> PngFrame:
    """Return what PNGs share with these codes: all rows but their ``own``."""
    return PngFrame(_filtered_picture(codes), own)


def png_of_strips(strips: Iterable[NDArray[np.uint8]], size: PixelSize, ppi: float) -> bytes:
    """Return strips of sRGB codes, one below the other, as one PNG of this size.

    Only one strip is needed at a time.
    """
    packer = zlib.compressobj(_STRIPS_LEVEL)
    packed = []
    above = np.zeros(size.width * 3, np.uint8)
    for strip in strips:
        rows = strip.reshape(len(strip), size.width * 3)
        packed.append(packer.compress(_filtered(rows, above)))
        above = rows[-1].copy()
    return _png(size, ppi, b"".join((*packed, packer.flush())))


def _filtered_picture(codes: NDArray[np.uint8]) -> bytearray:
    height, width, _ = codes.shape
    return _filtered(codes.reshape(height, width * 3), above=np.zeros(width * 3, np.uint8))


def _filtered(rows: _Rows, above: _Rows) -> bytearray:
    """The rows, each as its difference from the one above and with the number of this filter."""
    height, width = rows.shape
    content = bytearray(height * (width + 1))
    _filter(rows, above, np.frombuffer(content, np.uint8).reshape(height, width + 1))
    return content


def _filter(rows: _Rows, above: _Rows, filtered: _Rows) -> None:
    """Fill ``filtered`` with the filtered rows, which have a byte more."""
    filtered[:, 0] = _UP
    np.subtract(rows[0], above, out=filtered[0, 1:])
    np.subtract(rows[1:], rows[:-1], out=filtered[1:, 1:])


def _packed(filtered: bytearray) -> bytes:
    return bytes(imagecodecs.zlibng_encode(filtered, level=_WHOLE_LEVEL))


def _png(size: PixelSize, ppi: float, packed: bytes) -> bytes:
    per_metre = round(ppi * _METRE_IN_INCHES)
    name = b"sRGB\0\0"  # the profile's name, then how it is packed
    return b"".join(
        (
            _SIGNATURE,
            _chunk(b"IHDR", struct.pack(">IIBBBBB", size.width, size.height, 8, 2, 0, 0, 0)),
            _chunk(b"iCCP", name + zlib.compress(built_in_profile("srgb"), 9)),
            _chunk(b"pHYs", struct.pack(">IIB", per_metre, per_metre, 1)),
            _chunk(b"IDAT", packed),
            _chunk(b"IEND", b""),
        )
    )


def _chunk(kind: bytes, content: bytes) -> bytes:
    check = zlib.crc32(kind + content)
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", check)
