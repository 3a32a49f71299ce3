"""The resolution that a picture file states, in its own format or in tags.

PNG: the PNG specification, third edition, 11.3.4.3. JFIF: ITU-T T.871. Tags: TIFF 6.0, section 8.
All from memory.
"""

from collections.abc import Iterable

from proofs.outside.pixels.source.file_parts import Buffer, segments_before_scan
from proofs.outside.pixels.source.tiff_directories import Directory, first_number, unpacked
from proofs.outside.pixels.source.tiff_tags import Tag

MM_PER_INCH = 25.4

Resolution = tuple[float | None, float]
"""The pixels per inch across (None if unknown), and their ratio to those down."""


def first_stated(found: Iterable[Resolution | None]) -> Resolution:
    """Return the first pixels per inch and the first ratio that are stated, else None and 1.

    Pixels per inch below 1 or above 100 000 count as None.
    """
    stated = [resolution for resolution in found if resolution]
    ppi = next((own for own, _ in stated if own), 0)
    return round(ppi, 2) if 1 <= ppi <= 100_000 else None, stated[0][1] if stated else 1.0


def png_resolution(physical: bytes) -> Resolution | None:
    """Return the resolution in the content of a PNG's pHYs chunk."""
    if len(physical) != 9:
        return None
    across, down = unpacked(">II", physical, 0)
    ratio = across / down if across and down else 1.0
    if physical[8] != 1:
        return None, ratio
    # Whole pixels per metre cannot express 300 ppi, so 11811 stands for it.
    ppi = round(across * MM_PER_INCH / 1000)
    if round(ppi / MM_PER_INCH * 1000) == across:
        return float(ppi), ratio
    return across * MM_PER_INCH / 1000, ratio


def jfif_resolution(buffer: Buffer) -> Resolution | None:
    """Return the resolution in the JFIF segment of a JPEG; 1 per inch or cm states nothing."""
    segments = (part.start for part in segments_before_scan(buffer) if part.name == b"\xe0")
    at = next((at for at in segments if buffer[at : at + 5] == b"JFIF\0"), None)
    if at is None:
        return None
    unit, across, down = unpacked(">BHH", buffer, at + 7)
    if not across or not down or (across == down and (unit not in (1, 2) or across <= 1)):
        return None
    if unit not in (1, 2):
        return None, across / down
    return across * MM_PER_INCH / 10 if unit == 2 else float(across), across / down


def tag_resolution(directory: Directory) -> Resolution | None:
    """Return the resolution in the directory of a TIFF or of EXIF."""
    unit = int(first_number(directory, Tag.RESOLUTION_UNIT, 2))
    across = float(first_number(directory, Tag.X_RESOLUTION))
    down = float(first_number(directory, Tag.Y_RESOLUTION, across))
    if not across or not down:
        return None
    if unit not in (2, 3):
        return None, across / down
    ppi = across * MM_PER_INCH / 10 if unit == 3 else across
    # Programs that work in centimetres, or in 16 bits, write 299.999 for 300.
    return float(round(ppi)) if abs(ppi - round(ppi)) < 0.002 else ppi, across / down
