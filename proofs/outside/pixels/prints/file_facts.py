"""What a finished picture file says of itself, from its bytes alone."""

import hashlib
from collections.abc import Iterator

import numpy as np
import pyvips
from numpy.typing import NDArray

from proofs.lengths import PixelSize
from proofs.outside.pixels import vips
from proofs.outside.pixels.colour import icc
from proofs.outside.pixels.colour.output_space import SCREEN
from proofs.outside.pixels.metadata.credit import xmp_title
from proofs.outside.pixels.metadata.extract import COPYRIGHT, Metadata, exif_tags_of, metadata_of
from proofs.outside.pixels.photograph_errors import CodedPhotographError
from proofs.outside.pixels.prints.catalogue_copies import title_xmp
from proofs.outside.pixels.source.file_header import format_of, read_file_header
from proofs.plan.delivery.deliveries import BASELINE, TITLE_ALONE, FileFacts
from proofs.records.labs import FileFormat

Codes = NDArray[np.uint8] | NDArray[np.uint16]

_BITS = {"uchar": 8, "ushort": 16}
_PROFILE = "icc-profile-data"

SRGB_SHA256 = hashlib.sha256(SCREEN.profile).hexdigest()
"""The check sum of the profile in copies for the screen."""


def file_facts(content: bytes) -> FileFacts:
    """Return what a file says of itself. Raises ``PhotographError`` where it is no picture."""
    image = _opened(content)
    profile = bytes(image.get(_PROFILE)) if image.get_typeof(_PROFILE) else b""
    carried = metadata_of(image, content)
    return FileFacts(
        format=format_of(content),
        pixels=PixelSize(image.width, image.height),
        ppi=read_file_header(content).ppi,
        bits=_BITS.get(image.format, 0),
        channels=image.bands,
        icc=icc.description(profile) if profile else "",
        icc_sha256=hashlib.sha256(profile).hexdigest() if profile else "",
        size_bytes=len(content),
        encoding=_encoding(content) if format_of(content) == FileFormat.JPEG else "",
        copyright=_copyright(carried),
        title=xmp_title(carried.xmp),
        extras=tuple(_extras(image, carried)),
        is_turned=bool(image.get_typeof("orientation")) and image.get("orientation") != 1,
    )


def file_codes(content: bytes) -> Codes:
    """Return the pixels of a file, height, width and channels.

    Raises ``PhotographError`` where they cannot all be read.
    """
    image = _opened(content)
    try:
        codes: Codes = np.asarray(image.numpy())
    except pyvips.Error as error:
        raise CodedPhotographError("its pixels cannot be read to the end", "unreadable") from error
    # The library drops the channel of a grey picture, and of a single pixel every side.
    return codes.reshape(image.height, image.width, image.bands)


def _opened(content: bytes) -> pyvips.Image:
    vips.ready()
    try:
        return pyvips.Image.new_from_buffer(content, "", fail_on="warning")
    except pyvips.Error as error:
        raise CodedPhotographError("is no picture that can be read", "unreadable") from error


def _encoding(content: bytes) -> str:
    """How a JPEG is encoded, by its frame header (ITU-T T.81, B.2.2, from memory)."""
    at = 2
    while at + 10 <= len(content) and content[at] == 0xFF:
        marker, length = content[at + 1], int.from_bytes(content[at + 2 : at + 4], "big")
        if 0xC0 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            factors = {content[at + 11 + 3 * n] for n in range(content[at + 9])}
            way = {0xC0: "baseline", 0xC1: "extended", 0xC2: "progressive"}.get(marker, "other")
            whole = BASELINE.partition(", ")[2]
            return f"{way}, {whole if len(factors) == 1 else 'colour at lower resolution'}"
        at += 2 + length
    return "unknown"


def _copyright(carried: Metadata) -> str:
    lines = [e.value for e in carried.exif.get("main", ()) if e.tag == COPYRIGHT]
    return lines[0].rstrip(b"\0").decode("utf-8", "replace") if lines else ""


def _extras(image: pyvips.Image, carried: Metadata) -> Iterator[str]:
    kept = {(table, entry.tag) for table, entries in carried.exif.items() for entry in entries}
    tags = sorted({*kept, *exif_tags_of(image)} - {("main", COPYRIGHT)})
    yield from sorted({table for table, _ in tags} - {"main"})
    yield from (f"tag {tag}" for _, tag in tags)
    if carried.xmp:
        yield TITLE_ALONE if carried.xmp == title_xmp(xmp_title(carried.xmp)) else "XMP"
    if carried.iptc:
        yield "IPTC"
