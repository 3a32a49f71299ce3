"""CIELAB as TIFF files hold it: two ways of writing it, 8, 16 or 32 bits.

TIFF 6.0 section 23 (CIELab: a* and b* signed) and the ICCLab of Adobe's TIFF technical note
of 1997 (a* and b* from -128 up, L* of 16 bits as in version 2 profiles); from memory. The
library reads 16 bits of the first as they stand and refuses 8; told that the numbers are RGB
it hands all of them over untouched.
"""

import pyvips

from proofs.outside.pixels.source.file_header import Container
from proofs.outside.pixels.source.main_image import BITS, ICC_LAB, LAB, PHOTOMETRIC
from proofs.outside.pixels.source.pixel_format import Kind
from proofs.outside.pixels.source.tiff_directories import first, with_short

_RGB = 2


def hides_lab(box: Container) -> bool:
    """Return whether a file holds CIELAB in whole numbers."""
    return any(
        first(table, PHOTOMETRIC, -1) in (LAB, ICC_LAB) and first(table, BITS, 8) <= 16
        for table in box.pages
    )


def as_plain_numbers(content: bytes) -> bytes:
    """Return the same TIFF file with its CIELAB called RGB, so that nothing interprets it."""
    return with_short(content, PHOTOMETRIC, {LAB: _RGB, ICC_LAB: _RGB})


def lab_of_numbers(numbers: pyvips.Image, kind: Kind) -> pyvips.Image:
    """Return CIELAB in float of the three colour channels of a file that holds it."""
    numbers = numbers.copy(interpretation="multiband")
    if numbers.format in ("float", "double"):
        return numbers.cast("float")
    lightness, colours = numbers[0], numbers.extract_band(1, n=2)
    whole, unit = (255, 1) if numbers.format == "uchar" else (65535, 256)
    if kind.from_below:
        whole = whole if unit == 1 else 65280
        colours = colours.linear(1 / unit, -128)
    else:
        colours = colours.copy(format="char" if unit == 1 else "short")
        colours = colours.linear(1 / unit, 0)
    return lightness.linear(100 / whole, 0).bandjoin(colours).cast("float")
