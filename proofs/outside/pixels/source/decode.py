"""A picture file, read in two ways: only its header, quickly, or as upright pixels in memory."""

import os
import struct
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO

import pyvips

from proofs.errors import ProofsError, system_error_of
from proofs.findings import Finding, Severity
from proofs.lengths import PixelSize
from proofs.outside.pixels import photograph_errors, vips
from proofs.outside.pixels.metadata.credit import within_limits
from proofs.outside.pixels.metadata.extract import Metadata, metadata_of
from proofs.outside.pixels.source.file_bytes import FileBytes, file_bytes, sha256_of_content
from proofs.outside.pixels.source.file_header import FileHeader, format_of, read_file_header
from proofs.outside.pixels.source.file_limits import MOST_MEGAPIXELS, excess, largest_source
from proofs.outside.pixels.source.jpeg_quality import jpeg_quality
from proofs.outside.pixels.source.loading import all_pixels, loaded
from proofs.outside.pixels.source.main_image import (
    MainImage,
    main_image_of,
    several_images,
    unreadable_reason,
)
from proofs.outside.pixels.source.normalise import upright
from proofs.outside.pixels.source.pixel_format import (
    TURNED,
    PixelFormat,
    orientation_of,
    pixel_format_of,
)
from proofs.outside.pixels.source.tiff_cielab import holds_integer_cielab, relabelled_as_rgb
from proofs.plan.entry.facts import PhotoFacts
from proofs.records.labs import FileFormat

_MOST_IN_MEMORY = 160_000_000  # bytes of a file besides its pixels; 26 megapixels of 16 bits
_LEAST_RATIO = 1.01  # of pixels that are not square: resolutions are rounded to whole numbers


@dataclass(frozen=True, slots=True)
class Photograph:
    """A picture in memory: upright, without alpha, grey or RGB, 8 or 16 bits per channel.

    ``profile`` defines its colours; ``black`` is the L* of the darkest tone that a CMYK source
    can hold, else 0; ``sha256`` is that of the file's bytes.
    """

    facts: PhotoFacts
    image: pyvips.Image
    profile: bytes
    black: float
    sha256: str
    metadata: Metadata


def read_facts(path: Path) -> PhotoFacts:
    """Return what the header of a picture file states, without reading its pixels.

    Raises ``PhotographError`` for a file that is not a readable picture.
    """
    vips.ready()
    with _open_picture(path) as (file, buffer), _sense(path):
        state = file_state(file)
        return replace(_facts_from_header(path, file.fileno(), buffer), file_state=state)


@contextmanager
def _open_picture(path: Path) -> Iterator[tuple[BinaryIO, FileBytes]]:
    """An open picture file, and its bytes."""
    try:
        if path.exists() and not path.is_file():
            raise photograph_errors.unsupported(path, "not a file; ")
        with path.open("rb") as file:
            buffer = file_bytes(file)
            if not buffer:
                raise photograph_errors.empty(path)
            yield file, buffer
    except (OSError, ValueError) as error:
        if getattr(error, "filename", None) not in (None, str(path)):
            raise  # it is about another file, such as one for a profile
        reason = getattr(error, "strerror", None) or str(error)
        raise photograph_errors.missing(path, reason) from error


def file_state(file: BinaryIO) -> tuple[int, int]:
    """Return the length of an open file in bytes, and the time of its last change in ns."""
    status = os.fstat(file.fileno())
    return status.st_size, status.st_mtime_ns


def _facts_from_header(path: Path, descriptor: int, buffer: FileBytes) -> PhotoFacts:
    # By descriptor, never by name: the library takes text in brackets for options.
    header = read_file_header(buffer)
    main_image = _readable_image(path, header)
    try:
        if holds_integer_cielab(header):
            image = loaded(relabelled_as_rgb(buffer), **main_image.load_options)
        elif header.format == FileFormat.WEBP:  # its reader would map the file
            image = loaded(bytes(buffer), **main_image.load_options)
        else:
            source = pyvips.Source.new_from_descriptor(descriptor)
            image = pyvips.Image.new_from_source(source, "", **main_image.load_options)
        return _opened(path, image, buffer, main_image).facts
    except pyvips.Error as error:
        raise _unreadable(path, bytes(buffer[:64]), error) from error


def _readable_image(path: Path, header: FileHeader) -> MainImage:
    """The main image of a file that the library can open safely."""
    main_image = main_image_of(header)
    reason = unreadable_reason(header, main_image)
    if reason:
        raise photograph_errors.unsupported(path, f"{reason}; ")
    width, height = main_image.size if main_image.directory else header.size
    _refuse_too_large(path, width * height, len(header.content))
    if too_much := excess(header):
        raise photograph_errors.excessive(path, too_much)
    return main_image


def _refuse_too_large(path: Path, pixels: int, file_size: int) -> None:
    if pixels > MOST_MEGAPIXELS * 1_000_000:
        raise photograph_errors.too_large(path, pixels / 1e6, MOST_MEGAPIXELS)
    if file_size > largest_source(pixels):
        found = f"holds {file_size / 1e9:.1f} GB, more than its {pixels / 1e6:.0f} megapixels need"
        raise photograph_errors.excessive(path, found)


def decode(path: Path, *, expected: PhotoFacts | None = None) -> Photograph:
    """Return the whole picture in memory; its facts include what decoding it has shown.

    ``expected`` are the facts that a plan was made from: a file that has changed since then, or
    changes while it is read, is refused. Raises ``PhotographError`` for a file that is not a
    readable picture, or is incomplete. If the library only warned about a file, the facts have
    the finding ``read-with-warnings``.
    """
    vips.ready()
    with _open_picture(path) as (file, buffer):
        known = expected.file_state if expected and expected.file_state else file_state(file)
        with _sense(path):
            header = read_file_header(buffer)
            main_image = _readable_image(path, header)
        is_large = len(buffer) > _MOST_IN_MEMORY and header.format != FileFormat.WEBP
        if is_large or holds_integer_cielab(header):
            return _decoded_by_pieces(path, buffer, main_image, known)
        file.seek(0)
        content = file.read()  # once, so that the file cannot change while it is decoded
        after = file_state(file)
    if known != after or len(content) != after[0]:
        raise photograph_errors.changed(path)
    return _decoded(path, content, main_image, sha256_of_content(content))


def _decoded_by_pieces(
    path: Path, buffer: FileBytes, main_image: MainImage, known: tuple[int, int]
) -> Photograph:
    """The picture in a file that is not kept in memory; its digest shows whether it has changed."""
    digest = sha256_of_content(buffer)
    try:
        return _decoded(path, buffer, main_image, digest)
    finally:
        if file_state(buffer.file) != known or sha256_of_content(buffer) != digest:
            raise photograph_errors.changed(path)


@contextmanager
def _sense(path: Path) -> Iterator[None]:
    """Refuse a file whose header makes no sense to whatever reads it here."""
    try:
        yield
    except (struct.error, OverflowError, ValueError, IndexError, RecursionError) as error:
        raise photograph_errors.damaged(path, "its header makes no sense") from error


def _decoded(
    path: Path, content: bytes | FileBytes, main_image: MainImage, sha256: str
) -> Photograph:
    with _sense(path):
        header = read_file_header(content)
        loadable = content
        if isinstance(content, FileBytes) and holds_integer_cielab(header):
            loadable = relabelled_as_rgb(content)
        try:
            image = loaded(loadable, **main_image.load_options)
            opened = _opened(path, image, content, main_image)
            pixels, warnings = all_pixels(
                loadable,
                main_image.load_options,
                opened.pixel_format,
                is_interlaced=header.is_interlaced,
            )
            image = upright(pixels.image, opened.orientation)
        except pyvips.Error as error:
            raise _unreadable(path, content[:64], error) from error
    return Photograph(
        facts=replace(opened.facts, notes=opened.facts.notes + warnings),
        image=image,
        profile=pixels.profile,
        black=pixels.black,
        sha256=sha256,
        metadata=opened.metadata,
    )


@dataclass(frozen=True, slots=True)
class _Opened:
    """What is known of a picture before its pixels are read; ``orientation`` is that of EXIF."""

    pixel_format: PixelFormat
    facts: PhotoFacts
    metadata: Metadata
    orientation: int


def _opened(
    path: Path, image: pyvips.Image, buffer: bytes | FileBytes, main_image: MainImage
) -> _Opened:
    _refuse_too_large(path, image.width * image.height, len(buffer))
    header = read_file_header(buffer, vips.field_bytes(image, "exif-data"))
    try:
        pixel_format = pixel_format_of(image, header, main_image.directory, path.name)
    except ValueError as error:
        raise photograph_errors.unsupported(path, f"{error}; ") from error
    metadata, left_out = within_limits(metadata_of(image, header))
    orientation = orientation_of(image, header)
    size = PixelSize(image.width, image.height)
    is_turned = orientation in TURNED
    facts = PhotoFacts(
        pixels=size.turned if is_turned else size,
        bits=pixel_format.bits,
        channels=pixel_format.channels,
        profile=pixel_format.source.name,
        own_ppi=header.ppi,
        notes=(*pixel_format.notes, *main_image.notes, *_notes(image, header), *left_out),
        kind=header.format,
        orientation=orientation,
        jpeg_quality=jpeg_quality(buffer),
    )
    return _Opened(pixel_format, facts, metadata, orientation)


def _notes(image: pyvips.Image, header: FileHeader) -> Iterator[Finding]:
    frames = _frames(image, header)
    if frames > 1:
        yield several_images(frames)
    if not 1 / _LEAST_RATIO <= header.ratio <= _LEAST_RATIO:
        text = (
            f"its pixels are not square: {header.ratio:.2f} times as many per inch across as"
            " down; they would print as squares, so resample it first"
        )
        yield Finding("non-square-pixels", Severity.WARNING, text)


def _frames(image: pyvips.Image, header: FileHeader) -> int:
    """The number of frames in a WebP, or in a PNG by its acTL chunk."""
    if header.format == FileFormat.WEBP and image.get_typeof("n-pages"):
        return int(image.get("n-pages"))
    return int.from_bytes(header.chunks.get("acTL", b"")[:4], "big")


def _unreadable(path: Path, start: bytes, error: pyvips.Error) -> ProofsError:
    if lacking := system_error_of(error):  # then nothing is wrong with the picture
        return lacking
    if start[4:8] == b"ftyp":
        return photograph_errors.unsupported(path, "HEIC or AVIF? ")
    if "Unsupported" in str(error):  # a kind of JPEG that the library does not support
        return photograph_errors.unsupported(path, f"{_reason(error)}; ")
    if format_of(start):
        return photograph_errors.damaged(path, _reason(error))
    return photograph_errors.unsupported(path, "")


def _reason(error: pyvips.Error) -> str:
    """The library's own reason, without its repetitions."""
    lines = [line.strip() for line in str(error).splitlines() if line.strip()]
    reasons = [line for line in lines if not line.startswith("unable to")] or lines
    return reasons[0].split(": ", 1)[-1] if reasons else "no reason given"
