"""What a finished picture file says about itself, from its bytes alone."""

import hashlib
from collections.abc import Iterator

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc
from proofs.outside.pixels.colour.output_space import SCREEN
from proofs.outside.pixels.metadata.credit import title_xmp, xmp_title
from proofs.outside.pixels.metadata.extract import COPYRIGHT, Metadata, exif_tags_of, metadata_of
from proofs.outside.pixels.photograph_errors import CodedPhotographError
from proofs.outside.pixels.source.file_header import format_of, jpeg_frame, read_file_header
from proofs.plan.delivery.deliveries import BASELINE, TITLE_ALONE, FileFacts
from proofs.records.labs import FileFormat

Codes = NDArray[np.uint8] | NDArray[np.uint16]

_BITS = {"uchar": 8, "ushort": 16}
_PROFILE = "icc-profile-data"
_JPEG_PROCESSES = {0xC0: "baseline", 0xC1: "extended", 0xC2: "progressive"}

SRGB_SHA256 = hashlib.sha256(SCREEN.profile).hexdigest()
"""The checksum of the profile in copies for the screen."""


def file_facts(content: bytes) -> FileFacts:
    """Return what a file says about itself. Raises ``PhotographError`` if it is not a picture."""
    image = _opened(content)
    profile = bytes(image.get(_PROFILE)) if image.get_typeof(_PROFILE) else b""
    metadata = metadata_of(image, content)
    return FileFacts(
        format=format_of(content),
        pixels=PixelSize(image.width, image.height),
        ppi=read_file_header(content).ppi,
        bits=_BITS.get(image.format, 0),
        channels=image.bands,
        icc=icc.description(profile) if profile else "",
        icc_sha256=hashlib.sha256(profile).hexdigest() if profile else "",
        size_bytes=len(content),
        encoding=_jpeg_encoding(content) if format_of(content) == FileFormat.JPEG else "",
        copyright=_copyright(metadata),
        title=xmp_title(metadata.xmp),
        extras=tuple(_extras(image, metadata)),
        is_turned=bool(image.get_typeof("orientation")) and image.get("orientation") != 1,
    )


def file_codes(content: bytes) -> Codes:
    """Return the pixels of a file: height, width and channels.

    Raises ``PhotographError`` where they cannot all be read.
    """
    image = _opened(content)
    try:
        codes: Codes = np.asarray(image.numpy())
    except pyvips.Error as error:
        raise CodedPhotographError("its pixels cannot be read to the end", "unreadable") from error
    # The library drops the channel axis of a grey image, and all axes of a single pixel.
    return codes.reshape(image.height, image.width, image.bands)


def _opened(content: bytes) -> pyvips.Image:
    vips.ready()
    try:
        return pyvips.Image.new_from_buffer(content, "", fail_on="warning")
    except pyvips.Error as error:
        raise CodedPhotographError("is not a picture that can be read", "unreadable") from error


def _jpeg_encoding(content: bytes) -> str:
    """How a JPEG is encoded, by its frame header."""
    frame = jpeg_frame(content)
    if frame is None:
        return "unknown"
    process = _JPEG_PROCESSES.get(frame.marker, "other")
    full_colour = BASELINE.partition(", ")[2]
    is_full = len(set(frame.sampling_factors)) == 1
    return f"{process}, {full_colour if is_full else 'colour at lower resolution'}"


def _copyright(metadata: Metadata) -> str:
    lines = [e.value for e in metadata.exif.get("main", ()) if e.tag == COPYRIGHT]
    return lines[0].rstrip(b"\0").decode("utf-8", "replace") if lines else ""


def _extras(image: pyvips.Image, metadata: Metadata) -> Iterator[str]:
    """What else the file carries, by name."""
    kept = {(table, entry.tag) for table, entries in metadata.exif.items() for entry in entries}
    tags = sorted({*kept, *exif_tags_of(image)} - {("main", COPYRIGHT)})
    yield from sorted({table for table, _ in tags} - {"main"})
    yield from (f"tag {tag}" for _, tag in tags)
    if metadata.xmp:
        is_title_alone = metadata.xmp == title_xmp(xmp_title(metadata.xmp))
        yield TITLE_ALONE if is_title_alone else "XMP"
    if metadata.iptc:
        yield "IPTC"
