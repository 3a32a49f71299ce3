"""Finished files in memory: with exact resolution and a profile, and without private metadata."""

import io
import struct
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import imagecodecs
import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc, spaces
from proofs.outside.pixels.colour.output_space import lab_icc_profile
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.metadata.embed import jpeg_segments, png_chunks, with_tiff_tags
from proofs.outside.pixels.metadata.extract import Metadata
from proofs.outside.pixels.prints.format_limits import check_format_limits
from proofs.outside.pixels.source.file_header import read_file_header
from proofs.outside.pixels.source.resolutions import MM_PER_INCH
from proofs.records.labs import Compression, FileFormat, Lab, RenderingIntent

_PNG_HEAD = 33  # bytes of the signature and the IHDR chunk
_PREVIEW_QUALITY = 88
_PHOTOMETRIC = {1: "minisblack", 3: "rgb", 4: "separated"}
_ROWS_PER_STRIP = 64
_TIFF_NAMES = {
    Compression.NONE: None,
    Compression.LZW: "lzw",
    Compression.DEFLATE: "adobe_deflate",
}
_UPRIGHT = (274, "H", 1, 1, True)  # Orientation, one SHORT: TIFF 6.0, page 36


@dataclass(frozen=True, slots=True)
class EncodedFacts:
    """The size, resolution and profile that a finished file states."""

    width_px: int
    height_px: int
    ppi: float | None
    icc: str | None


def encoded(image: pyvips.Image, lab: Lab, *, kept: Metadata | None = None) -> bytes:
    """Return the lab's file of an image that is already in the lab's space and bit depth.

    It embeds the profile and the metadata ``kept``, and nothing else of the source.
    Raises ``PhotographError`` (``output-too-large-for-format``) before any work.
    """
    vips.ready()
    check_format_limits(image.width, image.height, lab)
    with_resolution = image.copy(xres=lab.ppi / MM_PER_INCH, yres=lab.ppi / MM_PER_INCH)
    profile = vips.profile_file(lab_icc_profile(lab))
    return _ENCODERS[lab.format](with_resolution, lab, profile, kept or Metadata())


def _tiff(image: pyvips.Image, lab: Lab, profile: str, kept: Metadata) -> bytes:
    """A TIFF file packed strip by strip on all threads.

    Measured on a photograph: LZW takes three quarters of the image library's time, deflate half.
    """
    import tifffile  # here, because only TIFF files need it, and it takes 16 ms to load

    stream = io.BytesIO()
    with ThreadPoolExecutor(pyvips.concurrency_get()) as threads:
        tops = range(0, image.height, _ROWS_PER_STRIP)
        tifffile.imwrite(
            stream,
            threads.map(partial(_tiff_strip, image, lab.compression), tops),
            shape=(image.height, image.width, image.bands)[: 3 if image.bands > 1 else 2],
            dtype=np.uint16 if lab.bits == 16 else np.uint8,
            byteorder="<",
            photometric=_PHOTOMETRIC[image.bands],
            planarconfig="contig" if image.bands > 1 else None,
            compression=_TIFF_NAMES[lab.compression],
            predictor=lab.compression != Compression.NONE,
            rowsperstrip=_ROWS_PER_STRIP,
            resolution=(lab.ppi, lab.ppi),
            resolutionunit="INCH",
            iccprofile=Path(profile).read_bytes(),
            extratags=[_UPRIGHT],
            metadata=None,
            software=False,
        )
    return with_tiff_tags(stream.getvalue(), kept)


def _tiff_strip(image: pyvips.Image, compression: Compression, top: int) -> bytes:
    rows = image.crop(0, top, image.width, min(_ROWS_PER_STRIP, image.height - top)).numpy()
    if compression == Compression.NONE:
        return bytes(rows.tobytes())
    # Without differences along the rows, LZW makes photographs larger than they were.
    codes = imagecodecs.delta_encode(rows, axis=1).tobytes()
    if compression == Compression.LZW:
        return bytes(imagecodecs.lzw_encode(codes))
    return bytes(imagecodecs.deflate_encode(codes, level=1))  # 3 saves 4 % and takes twice as long


def _jpeg(image: pyvips.Image, lab: Lab, profile: str, kept: Metadata) -> bytes:
    return jpeg_file(image, quality=lab.quality, ppi=lab.ppi, profile=profile, kept=kept)


def jpeg_file(
    image: pyvips.Image, *, quality: int, ppi: int, profile: str, kept: Metadata
) -> bytes:
    """Return a baseline JPEG without chroma subsampling; ``profile`` is an ICC file's name."""
    file = image.jpegsave_buffer(
        Q=quality, subsample_mode="off", keep="icc", profile=profile, interlace=False
    )
    return bytes(file[:2]) + _jfif(ppi) + jpeg_segments(kept) + bytes(file[2:])


def _jfif(ppi: int) -> bytes:
    """The segment with a JPEG's resolution; the library writes none (ITU-T T.871, 10.1)."""
    return b"\xff\xe0\x00\x10JFIF\0\x01\x02\x01" + struct.pack(">HH", ppi, ppi) + b"\0\0"


def _png(image: pyvips.Image, lab: Lab, profile: str, kept: Metadata) -> bytes:
    file = bytes(image.pngsave_buffer(compression=6, keep="icc", profile=profile))
    return file[:_PNG_HEAD] + png_chunks(kept) + file[_PNG_HEAD:]


_ENCODERS = {FileFormat.TIFF: _tiff, FileFormat.JPEG: _jpeg, FileFormat.PNG: _png}


def sheet_file(codes: NDArray[Any], lab: Lab) -> bytes:
    """Return the lab's file of a whole sheet, an array in its space and bit depth."""
    vips.ready()
    return encoded(vips.image_of_codes(codes), lab)


def page_file(page: NDArray[np.uint8], lab: Lab) -> bytes:
    """Return the lab's file of a drawn page, an array of 8-bit sRGB, for labs that take no PDF.

    Raises ``PhotographError`` for a page too large for the lab's format.
    """
    vips.ready()
    height, width = page.shape[:2]
    check_format_limits(width, height, lab)
    image = vips.image_of_codes(page.astype(np.uint16) * 257)
    base = ProfiledImage(image, spaces.built_in_profile("srgb"))
    return encoded(variant_image(base, lab, 0.0), lab)


def preview_jpeg(file: bytes, width: int) -> bytes:
    """Return a finished file as a small JPEG in sRGB, ``width`` pixels wide."""
    vips.ready()
    srgb = vips.profile_file(spaces.built_in_profile("srgb"))
    intent = RenderingIntent.RELATIVE
    small = pyvips.Image.thumbnail_buffer(file, width, export_profile=srgb, intent=intent)
    if small.bands == 1:
        small = small.bandjoin([small, small])
    return bytes(small.jpegsave_buffer(Q=_PREVIEW_QUALITY, keep="none", subsample_mode="off"))


def read_back(file: bytes) -> EncodedFacts:
    """Return the size, resolution and profile that a finished file states."""
    vips.ready()
    image = pyvips.Image.new_from_buffer(file, "")
    profile = icc.description(vips.field_bytes(image, "icc-profile-data"))
    return EncodedFacts(image.width, image.height, read_file_header(file).ppi, profile or None)
