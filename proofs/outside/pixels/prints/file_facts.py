"""What a finished picture file says about itself, from its bytes alone, whoever made it."""

import hashlib
from collections.abc import Iterator
from dataclasses import replace

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
from proofs.outside.pixels.prints.file_limits import refuse_unbounded
from proofs.outside.pixels.source.decode import MOST_MEGAPIXELS
from proofs.outside.pixels.source.file_header import format_of, jpeg_frame, read_file_header
from proofs.plan.delivery.deliveries import BASELINE, TITLE_ALONE, FileFacts
from proofs.records.labs import FileFormat

Codes = NDArray[np.uint8] | NDArray[np.uint16]

_BITS = {"uchar": 8, "ushort": 16}
_KINDS = (FileFormat.JPEG, FileFormat.TIFF, FileFormat.PNG)
_PROFILE, _XMP = "icc-profile-data", "xmp-data"
_LONGEST_TITLE_XMP = 64_000  # what a title of 2000 characters needs, several times over
_BAND_BYTES = 16_000_000
_MOST_CHANNELS = 4
_JPEG_PROCESSES = {0xC0: "baseline", 0xC1: "extended", 0xC2: "progressive"}

SRGB_SHA256 = hashlib.sha256(SCREEN.profile).hexdigest()
"""The checksum of the profile in copies for the screen."""


def file_facts(content: bytes) -> FileFacts:
    """Return what a file says about itself. Raises ``PhotographError`` if it is not a picture."""
    image = _opened(content)
    profile = bytes(image.get(_PROFILE)) if image.get_typeof(_PROFILE) else b""
    xmp = bytes(image.get(_XMP)) if image.get_typeof(_XMP) else b""
    if len(xmp) > _LONGEST_TITLE_XMP:
        image = image.copy()
        image.remove(_XMP)
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
        title=_title(metadata.xmp),
        extras=tuple(_extras(image, replace(metadata, xmp=metadata.xmp or xmp))),
        is_turned=bool(image.get_typeof("orientation")) and image.get("orientation") != 1,
    )


def pixel_bands(content: bytes) -> Iterator[tuple[int, Codes]]:
    """Yield the pixels of a file from top to bottom: the first row, and height, width, channels.

    Raises ``PhotographError`` where they cannot all be read, or are more, or stored otherwise,
    than in any file of a delivery.
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
    """Refuse pixels that could only be read all at once, or that are too many."""
    megapixels = image.width * image.height / 1e6
    if megapixels > MOST_MEGAPIXELS:
        words = f"holds {megapixels:.0f} megapixels, more than {MOST_MEGAPIXELS}"
    elif image.get_typeof("interlaced") and image.get("interlaced"):
        words = "its pixels are interlaced"
    elif kind not in _KINDS or image.format not in _BITS or image.bands > _MOST_CHANNELS:
        words = "its pixels are stored as in no file of a delivery"
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


def _jpeg_encoding(content: bytes) -> str:
    """How a JPEG is encoded, by its frame header."""
    frame = jpeg_frame(content)
    if frame is None:
        return "unknown"
    process = _JPEG_PROCESSES.get(frame.marker, "other")
    full_colour = BASELINE.partition(", ")[2]
    is_full = len(set(frame.sampling_factors)) == 1
    return f"{process}, {full_colour if is_full else 'colour at lower resolution'}"


def _title(xmp: bytes) -> str:
    """The title in a packet; blank where it is too long, or written so that nobody can read it."""
    if len(xmp) > _LONGEST_TITLE_XMP or b"<!" in xmp:  # entities could unpack to gigabytes
        return ""
    try:
        return xmp_title(xmp)
    except (ValueError, LookupError):  # an encoding that does not exist, or not here
        return ""


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
        is_title_alone = metadata.xmp == title_xmp(_title(metadata.xmp))
        yield TITLE_ALONE if is_title_alone else "XMP"
    if metadata.iptc:
        yield "IPTC"
