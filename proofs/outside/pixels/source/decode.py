"""A picture file opened: by its header in no time, or whole, as upright pixels with a meaning."""

import hashlib
import mmap
import os
from dataclasses import dataclass, replace
from pathlib import Path

import pyvips

from proofs.findings import Finding, Severity
from proofs.outside.pixels import photograph_errors, vips
from proofs.outside.pixels.metadata.extract import Metadata, metadata_of
from proofs.outside.pixels.source.file_header import FileHeader, format_of, read_file_header
from proofs.outside.pixels.source.main_image import (
    MainImage,
    main_image_of,
    several_images,
    unreadable_reason,
)
from proofs.outside.pixels.source.normalise import worked
from proofs.outside.pixels.source.pixel_format import (
    PixelFormat,
    is_turned,
    pixel_format_of,
    upright_size,
)
from proofs.outside.pixels.source.source_profile import source_finding
from proofs.outside.pixels.source.tiff_cielab import holds_integer_cielab, relabelled_as_rgb
from proofs.plan.entry.facts import PhotoFacts
from proofs.records.labs import FileFormat

MOST_MEGAPIXELS = 400  # a 900-megapixel PNG of 2.6 MB unpacks to gigabytes


@dataclass(frozen=True, slots=True)
class Photograph:
    """A picture in memory: upright, without alpha, grey or RGB, 8 or 16 bits a channel.

    ``profile`` says what its numbers mean; ``black`` is the L* of the darkest tone that a
    source in inks can hold, else 0; ``sha256`` is that of the file's bytes.
    """

    facts: PhotoFacts
    image: pyvips.Image
    profile: bytes
    black: float
    sha256: str
    metadata: Metadata


def read_facts(path: Path) -> PhotoFacts:
    """Return what the header of a picture file says, without reading its pixels.

    Raises ``PhotographError`` in plain words for a file that is no picture to be read.
    """
    vips.ready()
    try:
        with path.open("rb") as file:
            if not os.fstat(file.fileno()).st_size:
                raise photograph_errors.empty(path)
            with mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as buffer:
                return _facts_by_header(path, file.fileno(), buffer)
    except (OSError, ValueError) as error:
        raise photograph_errors.missing(
            path, getattr(error, "strerror", None) or str(error)
        ) from error


def _facts_by_header(path: Path, descriptor: int, buffer: mmap.mmap) -> PhotoFacts:
    # By descriptor, never by name: the library takes what stands in brackets for options.
    box = read_file_header(buffer)
    page = _page(path, box)
    try:
        if holds_integer_cielab(box):
            content = relabelled_as_rgb(bytes(buffer))
            image = pyvips.Image.new_from_buffer(content, "", **page.options)
        else:
            source = pyvips.Source.new_from_descriptor(descriptor)
            image = pyvips.Image.new_from_source(source, "", **page.options)
    except pyvips.Error as error:
        raise _unreadable(path, bytes(buffer[:64]), error) from error
    return _opened(path, image, buffer, page)[1]


def _page(path: Path, box: FileHeader) -> MainImage:
    page = main_image_of(box)
    reason = unreadable_reason(box, page)
    if reason:
        raise photograph_errors.unsupported(path, f"{reason}; ")
    return page


def decode(path: Path) -> Photograph:
    """Return the whole picture in memory, with everything found on the way among its facts.

    Raises ``PhotographError`` in plain words for a file that is no picture to be read, or not
    all there. A file that was read with a complaint has the finding ``read-with-warnings``.
    """
    vips.ready()
    try:
        content = path.read_bytes()  # once: nobody can change it under the library's hands
    except (OSError, ValueError) as error:
        raise photograph_errors.missing(
            path, getattr(error, "strerror", None) or str(error)
        ) from error
    if not content:
        raise photograph_errors.empty(path)
    return _decoded(path, content)


def _decoded(path: Path, content: bytes) -> Photograph:
    box = read_file_header(content)
    page = _page(path, box)
    readable = relabelled_as_rgb(content) if holds_integer_cielab(box) else content
    try:
        image = pyvips.Image.new_from_buffer(readable, "", **page.options)
    except pyvips.Error as error:
        raise _unreadable(path, content[:64], error) from error
    kind, facts = _opened(path, image, content, page)
    try:
        pixels, odd = _complete(readable, page.options)
        working = worked(pixels, kind)
    except pyvips.Error as error:
        raise _unreadable(path, content[:64], error) from error
    return Photograph(
        facts=replace(facts, notes=facts.notes + odd),
        image=working.image,
        profile=working.profile,
        black=working.black,
        sha256=hashlib.sha256(content).hexdigest(),
        metadata=metadata_of(pixels, content),
    )


def _complete(content: bytes, options: dict[str, int]) -> tuple[pyvips.Image, tuple[Finding, ...]]:
    """All pixels, and the finding if the library complained and yet read them all."""
    try:
        return _in_memory(content, options, "warning"), ()
    except pyvips.Error:
        pixels = _in_memory(content, options, "error")
    text = "the file has an oddity; look closely at the print file before sending it"
    return pixels, (source_finding("read-with-warnings", text, Severity.WARNING),)


def _in_memory(content: bytes, options: dict[str, int], fail_on: str) -> pyvips.Image:
    image = pyvips.Image.new_from_buffer(
        content, "", access="sequential", fail_on=fail_on, **options
    )
    return image.copy_memory()


def _opened(
    path: Path, image: pyvips.Image, buffer: bytes | mmap.mmap, page: MainImage
) -> tuple[PixelFormat, PhotoFacts]:
    megapixels = image.width * image.height / 1e6
    if megapixels > MOST_MEGAPIXELS:
        raise photograph_errors.too_large(path, megapixels, MOST_MEGAPIXELS)
    has_exif = image.get_typeof("exif-data")
    box = read_file_header(buffer, bytes(image.get("exif-data")) if has_exif else b"")
    try:
        kind = pixel_format_of(image, box, page.table, path.name)
    except ValueError as error:
        raise photograph_errors.unsupported(path, f"{error}; ") from error
    notes = kind.notes + page.notes
    moving = _moving(image, box)
    if moving > 1:
        notes = (*notes, several_images(f"holds {moving} pictures: the first is used"))
    facts = PhotoFacts(
        pixels=upright_size(image),
        bits=kind.bits,
        channels=kind.channels,
        profile=kind.source.name,
        own_ppi=box.ppi,
        notes=notes,
        kind=box.format,
        is_turned=is_turned(image),
    )
    return kind, facts


def _moving(image: pyvips.Image, box: FileHeader) -> int:
    """How many pictures a moving picture consists of: WebP, or PNG by its own chunk."""
    if box.format == FileFormat.WEBP and image.get_typeof("n-pages"):
        return int(image.get("n-pages"))
    return int.from_bytes(box.chunks.get("acTL", b"")[:4], "big")


def _unreadable(
    path: Path, start: bytes, error: pyvips.Error
) -> photograph_errors.CodedPhotographError:
    if start[4:8] == b"ftyp":
        return photograph_errors.unsupported(path, "HEIC or AVIF? ")
    if "Unsupported" in str(error):  # what JPEG knows, and the library does not
        return photograph_errors.unsupported(path, f"{_first_words(error)}; ")
    if format_of(start):
        return photograph_errors.damaged(path, _first_words(error))
    return photograph_errors.unsupported(path, "")


def _first_words(error: pyvips.Error) -> str:
    """The library's own reason, without its repetitions."""
    lines = [line.strip() for line in str(error).splitlines() if line.strip()]
    reasons = [line for line in lines if not line.startswith("unable to")] or lines
    return reasons[0].split(": ", 1)[-1] if reasons else "no reason given"
