"""What a finished picture file states about itself, read from its bytes alone."""

import struct
from collections.abc import Iterator

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.files import sha256_of_bytes
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc
from proofs.outside.pixels.colour.output_space import SCREEN
from proofs.outside.pixels.metadata.credit import credit_of, title_xmp, xmp_title
from proofs.outside.pixels.metadata.extract import (
    ARTIST,
    COPYRIGHT,
    DESCRIPTION,
    Metadata,
    exif_tags_of,
    metadata_of,
)
from proofs.outside.pixels.metadata.other_blocks import other_blocks
from proofs.outside.pixels.photograph_errors import CodedPhotographError
from proofs.outside.pixels.source.file_header import (
    FileHeader,
    format_of,
    jpeg_frame,
    read_file_header,
)
from proofs.outside.pixels.source.file_limits import MOST_MEGAPIXELS, excess
from proofs.outside.pixels.source.pixel_format import orientation_of
from proofs.outside.pixels.vips import field_bytes
from proofs.plan.delivery.deliveries import (
    BASELINE,
    CREDIT_IPTC,
    CREDIT_XMP,
    DESCRIBED,
    TITLE_ALONE,
    FileFacts,
)
from proofs.records.labs import FileFormat

Codes = NDArray[np.uint8] | NDArray[np.uint16]

_BITS = {"uchar": 8, "ushort": 16}
_KINDS = (FileFormat.JPEG, FileFormat.TIFF, FileFormat.PNG)
_BAND_BYTES = 16_000_000
_MOST_CHANNELS = 4
_JPEG_PROCESSES = {0xC0: "baseline", 0xC1: "extended", 0xC2: "progressive"}

SRGB_SHA256 = sha256_of_bytes(SCREEN.profile)
"""The SHA-256 of the profile in copies for the screen."""


def file_facts(content: bytes) -> FileFacts:
    """Return what a file states about itself. Raises ``PhotographError`` if it is no picture."""
    image = _opened(content)
    header = read_file_header(content, field_bytes(image, "exif-data"))
    profile = field_bytes(image, "icc-profile-data")
    metadata = metadata_of(image, header)
    return FileFacts(
        format=header.format,
        pixels=PixelSize(image.width, image.height),
        ppi=header.ppi,
        bits=_BITS.get(image.format, 0),
        channels=image.bands,
        icc=icc.description(profile),
        icc_sha256=sha256_of_bytes(profile) if profile else "",
        size_bytes=len(content),
        encoding=_jpeg_encoding(content) if header.format == FileFormat.JPEG else "",
        copyright=_line(metadata, COPYRIGHT),
        creator=_line(metadata, ARTIST),
        title=xmp_title(metadata.xmp),
        extras=(
            *_extras(header, metadata, has_xmp=bool(field_bytes(image, "xmp-data"))),
            *other_blocks(content, header.format),
        ),
        is_turned=orientation_of(image, header) != 1,
    )


def pixel_bands(content: bytes) -> Iterator[tuple[int, Codes]]:
    """Yield the pixels of a file in bands from the top: each band's first row, and its codes.

    The axes of the codes are rows, columns and channels. Raises ``PhotographError`` if the pixels
    cannot all be read, or if no file of a delivery has that many, or stores them that way.
    """
    image = _opened(content, access="sequential")
    _refuse_pixels(image, format_of(content))
    region = pyvips.Region.new(image)
    bits = _BITS[image.format]
    rows = max(1, _BAND_BYTES // (image.width * image.bands * bits // 8))
    for top in range(0, image.height, rows):
        height = min(rows, image.height - top)
        try:
            band = region.fetch(0, top, image.width, height)
        except pyvips.Error as error:
            raise CodedPhotographError(
                "its pixels cannot be read to the end", "unreadable"
            ) from error
        codes: Codes = (
            np.frombuffer(band, np.uint8) if bits == 8 else np.frombuffer(band, np.uint16)
        )
        yield top, codes.reshape(height, image.width, image.bands)


def _refuse_pixels(image: pyvips.Image, kind: FileFormat) -> None:
    """Refuse pixels that are too many, or that can be read only all at once."""
    megapixels = image.width * image.height / 1e6
    if megapixels > MOST_MEGAPIXELS:
        words = f"holds {megapixels:.0f} megapixels, more than {MOST_MEGAPIXELS}"
    elif image.get_typeof("interlaced") and image.get("interlaced"):
        words = "its pixels are interlaced"
    elif kind not in _KINDS or image.format not in _BITS or image.bands > _MOST_CHANNELS:
        words = "no file of a delivery stores pixels this way"
    else:
        return
    raise CodedPhotographError(f"{words}; they were not read", "unreadable")


def _opened(content: bytes, *, access: str = "random") -> pyvips.Image:
    vips.ready()
    refuse_unbounded(content)
    try:
        return pyvips.Image.new_from_buffer(content, "", access=access, fail_on="warning")
    except pyvips.Error as error:
        raise CodedPhotographError("is not a picture that can be read", "unreadable") from error


def refuse_unbounded(content: bytes) -> None:
    """Raise ``PhotographError`` if a file holds more than any file of a delivery needs.

    A TIFF of several pages is refused too.
    """
    try:
        header = read_file_header(content)
        reason = excess(header)
    except (struct.error, ValueError, OverflowError, IndexError):
        raise CodedPhotographError("is cut short", "unreadable") from None
    if header.format == FileFormat.TIFF and not header.pages:
        reason = "is cut short"
    elif len(header.pages) > 1:
        reason = reason or "holds more than one picture"
    if reason:
        raise CodedPhotographError(reason, "unreadable")


def _jpeg_encoding(content: bytes) -> str:
    """How a JPEG is encoded, by its frame header."""
    frame = jpeg_frame(content)
    if frame is None:
        return "unknown"
    process = _JPEG_PROCESSES.get(frame.marker, "other")
    full_colour = BASELINE.partition(", ")[2]
    is_full = len(set(frame.sampling_factors)) == 1
    return f"{process}, {full_colour if is_full else 'colour at lower resolution'}"


def _line(metadata: Metadata, tag: int) -> str:
    lines = [e.value for e in metadata.exif.get("main", ()) if e.tag == tag]
    return lines[0].rstrip(b"\0").decode("utf-8", "replace") if lines else ""


def _extras(header: FileHeader, metadata: Metadata, *, has_xmp: bool) -> Iterator[str]:
    """The names of everything else that the file carries."""
    kept = {(table, entry.tag) for table, entries in metadata.exif.items() for entry in entries}
    lines = {("main", COPYRIGHT), ("main", ARTIST)}
    tags = sorted({*kept, *exif_tags_of(header.exif_block)} - lines)
    yield from sorted({table for table, _ in tags} - {"main"})
    for tag in tags:
        yield DESCRIBED if tag == ("main", DESCRIPTION) else f"tag {tag[1]}"
    credit = credit_of(metadata)
    if has_xmp:
        is_title_alone = metadata.xmp == title_xmp(xmp_title(metadata.xmp))
        is_credit = bool(metadata.xmp) and metadata.xmp == credit.xmp
        yield TITLE_ALONE if is_title_alone else CREDIT_XMP if is_credit else "XMP"
    if metadata.iptc:
        yield CREDIT_IPTC if metadata.iptc == credit.iptc else "IPTC"
