"""CIELAB as TIFF files store it: two encodings, in 8, 16 or 32 bits.

TIFF 6.0 section 23 (CIELab: a* and b* signed) and the ICCLab of Adobe's TIFF technical note
of 1997 (a* and b* offset by 128, 16-bit L* as in version 2 profiles); from memory. Of the first
encoding, the library reads 16 bits unconverted and refuses 8. If the file claims to hold RGB, it
returns all samples unchanged.
"""

from dataclasses import replace

import pyvips

from proofs.outside.pixels.source.file_bytes import FileBytes
from proofs.outside.pixels.source.file_header import FileHeader
from proofs.outside.pixels.source.pixel_format import PixelFormat
from proofs.outside.pixels.source.tiff_directories import first_number, short_value_changes
from proofs.outside.pixels.source.tiff_tags import Photometric, Tag

_CIELAB_ENCODINGS: tuple[int, ...] = (Photometric.CIELAB, Photometric.ICCLAB)


def holds_integer_cielab(header: FileHeader) -> bool:
    """Return whether a file holds CIELAB in whole numbers."""
    return any(
        first_number(page, Tag.PHOTOMETRIC_INTERPRETATION, -1) in _CIELAB_ENCODINGS
        and first_number(page, Tag.BITS_PER_SAMPLE, 8) <= 16
        for page in header.pages
    )


def relabelled_as_rgb(content: FileBytes) -> FileBytes:
    """Return a TIFF file with its CIELAB labelled as RGB, so that the library converts nothing."""
    rgb = dict.fromkeys(_CIELAB_ENCODINGS, Photometric.RGB)
    changes = short_value_changes(content, Tag.PHOTOMETRIC_INTERPRETATION, rgb)
    return replace(content, changes=changes)


def samples_to_cielab(samples: pyvips.Image, pixel_format: PixelFormat) -> pyvips.Image:
    """Return CIELAB in float, from the three colour channels of a file that holds it."""
    samples = samples.copy(interpretation="multiband")
    if samples.format in ("float", "double"):
        return samples.cast("float")
    lightness, colours = samples[0], samples.extract_band(1, n=2)
    white, unit = (255, 1) if samples.format == "uchar" else (65535, 256)
    if pixel_format.is_icclab:
        white = white if unit == 1 else 65280
        colours = colours.linear(1 / unit, -128)
    else:
        colours = colours.copy(format="char" if unit == 1 else "short")
        colours = colours.linear(1 / unit, 0)
    return lightness.linear(100 / white, 0).bandjoin(colours).cast("float")
