"""The quality at which a JPEG was saved, from the quantisation tables in its header."""

from collections.abc import Sequence
from functools import cache

from proofs.outside.pixels.source.file_parts import Buffer, segments_before_scan

_TABLES = b"\xdb"  # DQT: ITU-T T.81, table B.1
_CELLS = 64
# Luminance at quality 50, row by row: ITU-T T.81, table K.1 (from memory, checked against Pillow).
_LUMINANCE = (
    *(16, 11, 10, 16, 24, 40, 51, 61, 12, 12, 14, 19, 26, 58, 60, 55),
    *(14, 13, 16, 24, 40, 57, 69, 56, 14, 17, 22, 29, 51, 87, 80, 62),
    *(18, 22, 37, 56, 68, 109, 103, 77, 24, 35, 55, 64, 81, 104, 113, 92),
    *(49, 64, 78, 87, 103, 121, 120, 101, 72, 92, 95, 98, 112, 100, 103, 99),
)


def jpeg_quality(buffer: Buffer) -> int | None:
    """Return the quality of a JPEG, 1 to 100, as the usual encoders count it.

    An encoder with tables of its own gets the quality whose table is as coarse on average. Returns
    None for other files, and for a JPEG whose tables cannot be read.
    """
    table = _first_table(buffer) if bytes(buffer[:2]) == b"\xff\xd8" else ()
    if len(table) != _CELLS or not all(table):
        return None
    total = sum(table)
    return min(range(1, 101), key=lambda quality: (abs(_total(quality) - total), -quality))


@cache  # a check of many pictures asks for all of them each time
def _total(quality: int) -> int:
    """The sum of the luminance table at a quality, scaled as the usual encoders do."""
    scale = 5000 // quality if quality < 50 else 200 - 2 * quality
    return sum(min(max((cell * scale + 50) // 100, 1), 255) for cell in _LUMINANCE)


def _first_table(buffer: Buffer) -> Sequence[int]:
    """The quantisation table of the luminance: the one of number 0 (T.81, B.2.4.1)."""
    for part in segments_before_scan(buffer):
        content = bytes(buffer[part.start : part.start + part.length])
        while part.name == _TABLES and content:
            is_wide, number = content[0] >> 4, content[0] & 15
            size = _CELLS * (2 if is_wide else 1)
            cells, content = content[1 : 1 + size], content[1 + size :]
            if number == 0:
                return _wide(cells) if is_wide else cells
    return ()


def _wide(cells: bytes) -> list[int]:
    return [int.from_bytes(cells[n : n + 2], "big") for n in range(0, len(cells), 2)]
