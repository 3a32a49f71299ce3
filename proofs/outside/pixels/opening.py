"""A picture file opened: by its header in no time, or whole, as upright pixels with a meaning."""

import hashlib
import mmap
import os
from dataclasses import dataclass, replace
from pathlib import Path

import pyvips

from proofs.findings import Finding, Severity
from proofs.outside.pixels import faults, vips
from proofs.outside.pixels.cielab_numbers import as_plain_numbers, hides_lab
from proofs.outside.pixels.containers import Container, container, format_of
from proofs.outside.pixels.kinds import Kind, is_turned, kind_of, upright_size
from proofs.outside.pixels.meaning import note
from proofs.outside.pixels.metadata import Metadata, metadata_of
from proofs.outside.pixels.stored_pages import StoredPage, beyond_reading, page_of, several_pages
from proofs.outside.pixels.working import worked
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


def look(path: Path) -> PhotoFacts:
    """Return what the header of a picture file says, without reading its pixels.

    Raises ``PhotographError`` in plain words for a file that is no picture to be read.
    """
    vips.ready()
    try:
        with path.open("rb") as file:
            if not os.fstat(file.fileno()).st_size:
                raise faults.empty(path)
            with mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as buffer:
                return _facts_by_header(path, file.fileno(), buffer)
    except (OSError, ValueError) as error:
        raise faults.missing(path, getattr(error, "strerror", None) or str(error)) from error


def _facts_by_header(path: Path, descriptor: int, buffer: mmap.mmap) -> PhotoFacts:
    # By descriptor, never by name: the library takes what stands in brackets for options.
    box = container(buffer)
    page = _page(path, box)
    try:
        if hides_lab(box):
            content = as_plain_numbers(bytes(buffer))
            image = pyvips.Image.new_from_buffer(content, "", **page.options)
        else:
            source = pyvips.Source.new_from_descriptor(descriptor)
            image = pyvips.Image.new_from_source(source, "", **page.options)
    except pyvips.Error as error:
        raise _unreadable(path, bytes(buffer[:64]), error) from error
    return _opened(path, image, buffer, page)[1]


def _page(path: Path, box: Container) -> StoredPage:
    page = page_of(box)
    reason = beyond_reading(box, page)
    if reason:
        raise faults.unsupported(path, f"{reason}; ")
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
        raise faults.missing(path, getattr(error, "strerror", None) or str(error)) from error
    if not content:
        raise faults.empty(path)
    return _decoded(path, content)


def _decoded(path: Path, content: bytes) -> Photograph:
    box = container(content)
    page = _page(path, box)
    readable = as_plain_numbers(content) if hides_lab(box) else content
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
    return pixels, (note("read-with-warnings", text, Severity.WARNING),)


def _in_memory(content: bytes, options: dict[str, int], fail_on: str) -> pyvips.Image:
    image = pyvips.Image.new_from_buffer(
        content, "", access="sequential", fail_on=fail_on, **options
    )
    return image.copy_memory()


def _opened(
    path: Path, image: pyvips.Image, buffer: bytes | mmap.mmap, page: StoredPage
) -> tuple[Kind, PhotoFacts]:
    megapixels = image.width * image.height / 1e6
    if megapixels > MOST_MEGAPIXELS:
        raise faults.too_large(path, megapixels, MOST_MEGAPIXELS)
    has_exif = image.get_typeof("exif-data")
    box = container(buffer, bytes(image.get("exif-data")) if has_exif else b"")
    try:
        kind = kind_of(image, box, page.table, path.name)
    except ValueError as error:
        raise faults.unsupported(path, f"{error}; ") from error
    notes = kind.notes + page.notes
    moving = _moving(image, box)
    if moving > 1:
        notes = (*notes, several_pages(f"holds {moving} pictures: the first is used"))
    facts = PhotoFacts(
        pixels=upright_size(image),
        bits=kind.bits,
        channels=kind.channels,
        profile=kind.meaning.name,
        own_ppi=box.ppi,
        notes=notes,
        kind=box.format,
        is_turned=is_turned(image),
    )
    return kind, facts


def _moving(image: pyvips.Image, box: Container) -> int:
    """How many pictures a moving picture consists of: WebP, or PNG by its own chunk."""
    if box.format == FileFormat.WEBP and image.get_typeof("n-pages"):
        return int(image.get("n-pages"))
    return int.from_bytes(box.chunks.get("acTL", b"")[:4], "big")


def _unreadable(path: Path, start: bytes, error: pyvips.Error) -> faults.PixelsError:
    if start[4:8] == b"ftyp":
        return faults.unsupported(path, "HEIC or AVIF? ")
    if "Unsupported" in str(error):  # what JPEG knows, and the library does not
        return faults.unsupported(path, f"{_first_words(error)}; ")
    if format_of(start):
        return faults.damaged(path, _first_words(error))
    return faults.unsupported(path, "")


def _first_words(error: pyvips.Error) -> str:
    """The library's own reason, without its repetitions."""
    lines = [line.strip() for line in str(error).splitlines() if line.strip()]
    reasons = [line for line in lines if not line.startswith("unable to")] or lines
    return reasons[0].split(": ", 1)[-1] if reasons else "no reason given"
