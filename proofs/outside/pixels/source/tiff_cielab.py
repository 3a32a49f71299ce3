"""CIELAB as TIFF files hold it: two ways of writing it, 8, 16 or 32 bits.

TIFF 6.0 section 23 (CIELab: a* and b* signed) and the ICCLab of Adobe's TIFF technical note
of 1997 (a* and b* from -128 up, L* of 16 bits as in version 2 profiles); from memory. The
library reads 16 bits of the first as they stand and refuses 8; told that the numbers are RGB
it hands all of them over untouched.
"""

import pyvips

from proofs.outside.pixels.source.file_header import FileHeader
from proofs.outside.pixels.source.main_image import BITS_PER_SAMPLE, CIELAB, ICCLAB, PHOTOMETRIC
from proofs.outside.pixels.source.pixel_format import PixelFormat
from proofs.outside.pixels.source.tiff_directories import first_number, with_short_values

_RGB = 2


def holds_integer_cielab(box: FileHeader) -> bool:
    """Return whether a file holds CIELAB in whole numbers."""
    return any(
        first_number(table, PHOTOMETRIC, -1) in (CIELAB, ICCLAB)
        and first_number(table, BITS_PER_SAMPLE, 8) <= 16
        for table in box.pages
    )


def relabelled_as_rgb(content: bytes) -> bytes:
    """Return the same TIFF file with its CIELAB called RGB, so that nothing interprets it."""
    return with_short_values(content, PHOTOMETRIC, {CIELAB: _RGB, ICCLAB: _RGB})


def samples_to_cielab(numbers: pyvips.Image, kind: PixelFormat) -> pyvips.Image:
    """Return CIELAB in float of the three colour channels of a file that holds it."""
    numbers = numbers.copy(interpretation="multiband")
    if numbers.format in ("float", "double"):
        return numbers.cast("float")
    lightness, colours = numbers[0], numbers.extract_band(1, n=2)
    whole, unit = (255, 1) if numbers.format == "uchar" else (65535, 256)
    if kind.is_icclab:
        whole = whole if unit == 1 else 65280
        colours = colours.linear(1 / unit, -128)
    else:
        colours = colours.copy(format="char" if unit == 1 else "short")
        colours = colours.linear(1 / unit, 0)
    return lightness.linear(100 / whole, 0).bandjoin(colours).cast("float")
