"""The finished file, in memory: exact resolution, a profile, and nothing private."""

import struct
from dataclasses import dataclass

import pyvips

from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc
from proofs.outside.pixels.colour.output_space import lab_icc_profile
from proofs.outside.pixels.metadata.embed import jpeg_segments, png_chunks, with_tiff_tags
from proofs.outside.pixels.metadata.extract import Metadata
from proofs.outside.pixels.photograph_errors import CodedPhotographError
from proofs.outside.pixels.source.file_header import read_file_header
from proofs.records.labs import Compression, FileFormat, Lab

MM_PER_INCH = 25.4
_LONGEST_SIDE = {
    FileFormat.JPEG: 65_500,
    FileFormat.TIFF: 1_000_000,
    FileFormat.PNG: 1_000_000,
}  # what the codecs take
_PNG_HEAD = 33  # signature and first chunk
_LARGEST_TIFF = 4_000_000_000  # its places are 32-bit numbers


@dataclass(frozen=True, slots=True)
class EncodedFacts:
    """What the bytes of a finished file say of it."""

    width_px: int
    height_px: int
    ppi: float | None
    icc: str | None


def encoded(image: pyvips.Image, lab: Lab, *, kept: Metadata | None = None) -> bytes:
    """Return the file that a lab wants of a picture already in the lab's space and depth.

    The profile is embedded; ``kept`` goes along, everything else of the source stays behind.
    Raises ``PhotographError`` (``output-too-large-for-format``) before any work.
    """
    vips.ready()
    check_format_limits(image.width, image.height, lab, channels=image.bands)
    dense = image.copy(xres=lab.ppi / MM_PER_INCH, yres=lab.ppi / MM_PER_INCH)
    profile = vips.profile_file(lab_icc_profile(lab))
    return _WRITERS[lab.format](dense, lab, profile, kept or Metadata())


def check_format_limits(width: int, height: int, lab: Lab, *, channels: int = 3) -> None:
    """Check that a format can hold a picture of this size.

    Raises ``PhotographError`` (``output-too-large-for-format``) that names a remedy.
    """
    most = _LONGEST_SIDE[lab.format]
    longest = max(width, height)
    if longest > most:
        raise CodedPhotographError(
            f"{longest} pixels are more than the {most} of a {lab.format.upper()} side;"
            " print smaller, at fewer ppi, or to another format",
            "output-too-large-for-format",
        )
    if lab.format == "tiff" and width * height * channels * lab.bits // 8 > _LARGEST_TIFF:
        raise CodedPhotographError(
            f"{width} x {height} pixels are more than a TIFF file holds; print smaller",
            "output-too-large-for-format",
        )


def _tiff(image: pyvips.Image, lab: Lab, profile: str, kept: Metadata) -> bytes:
    options: dict[str, object] = {"compression": lab.compression}
    if lab.compression != Compression.NONE:
        options["predictor"] = "horizontal"  # without it LZW makes photographs larger than raw
    if lab.compression == Compression.DEFLATE:
        options["level"] = 3  # measured: 6 saves half a per cent more
    file = image.tiffsave_buffer(resunit="inch", keep="icc", profile=profile, **options)
    return with_tiff_tags(bytes(file), kept)


def _jpeg(image: pyvips.Image, lab: Lab, profile: str, kept: Metadata) -> bytes:
    return jpeg_file(image, quality=lab.quality, ppi=lab.ppi, profile=profile, kept=kept)


def jpeg_file(
    image: pyvips.Image, *, quality: int, ppi: int, profile: str, kept: Metadata
) -> bytes:
    """Return a baseline JPEG without subsampling; ``profile`` names the file of an ICC profile."""
    file = image.jpegsave_buffer(
        Q=quality, subsample_mode="off", keep="icc", profile=profile, interlace=False
    )
    return bytes(file[:2]) + _jfif(ppi) + jpeg_segments(kept) + bytes(file[2:])


def _jfif(ppi: int) -> bytes:
    """The segment that tells a JPEG's resolution; the library writes none (ITU-T T.871, 10.1)."""
    return b"\xff\xe0\x00\x10JFIF\0\x01\x02\x01" + struct.pack(">HH", ppi, ppi) + b"\0\0"


def _png(image: pyvips.Image, lab: Lab, profile: str, kept: Metadata) -> bytes:
    file = bytes(image.pngsave_buffer(compression=6, keep="icc", profile=profile))
    return file[:_PNG_HEAD] + png_chunks(kept) + file[_PNG_HEAD:]


_WRITERS = {FileFormat.TIFF: _tiff, FileFormat.JPEG: _jpeg, FileFormat.PNG: _png}


def read_back(data: bytes) -> EncodedFacts:
    """Return size, resolution and profile of a finished file, from its own bytes."""
    vips.ready()
    image = pyvips.Image.new_from_buffer(data, "")
    embedded = image.get_typeof("icc-profile-data")
    profile = icc.description(bytes(image.get("icc-profile-data"))) if embedded else ""
    return EncodedFacts(image.width, image.height, read_file_header(data).ppi, profile or None)
