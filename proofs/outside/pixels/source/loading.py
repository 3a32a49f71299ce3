"""The pixels of a picture file, as the image library reads them: no more than fit in memory.

A 16-bit picture of 96 megapixels takes 580 MB, so there is no room for its file besides, nor for
wider pixels: those become 16-bit codes while they are read.
"""

import pyvips

from proofs.findings import Finding, Severity
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.source.file_bytes import FileBytes
from proofs.outside.pixels.source.normalise import normalised
from proofs.outside.pixels.source.pixel_format import PixelFormat

_NO_LACK_OF_MEMORY = 16_000_000  # bytes: so many are always there
_WIDE = 6  # bytes of a pixel: three channels of 16 bits
_BYTES = {"uchar": 1, "char": 1, "ushort": 2, "short": 2, "double": 8}  # else 4


def loaded(content: bytes | FileBytes, **options: str | int) -> pyvips.Image:
    """Return the picture in a file's bytes; its pixels are read when they are needed.

    A file is read piece by piece, and must stay open until then.
    """
    return pyvips.Image.new_from_source(_source(content), "", **options)


def _source(content: bytes | FileBytes) -> pyvips.Source:
    # The library would copy a buffer, but does not copy a source.
    if isinstance(content, bytes):
        return pyvips.Source.new_from_memory(content)
    source, file, at = pyvips.SourceCustom(), content, 0

    def read(most: int) -> bytes:
        nonlocal at
        piece = file[at : at + most]
        at += len(piece)
        return piece

    def seek(offset: int, whence: int) -> int:
        nonlocal at
        at = (0, at, len(file))[whence] + offset
        return at

    source.on_read(read)
    source.on_seek(seek)
    return source


def all_pixels(
    content: bytes | FileBytes,
    options: dict[str, int],
    pixel_format: PixelFormat,
    *,
    is_interlaced: bool = False,
) -> tuple[ProfiledImage, tuple[Finding, ...]]:
    """Return all pixels, and a finding if the library could read them only with a warning.

    They are as stored, not yet upright.
    """
    read = _all_at_once if is_interlaced else _from_top_to_bottom
    try:
        return read(loaded(content, **_strictly("warning", options)), pixel_format), ()
    except pyvips.Error:
        pixels = read(loaded(content, **_strictly("error", options)), pixel_format)
    text = "the file was read with warnings; look closely at the print file before sending it"
    return pixels, (Finding("read-with-warnings", Severity.WARNING, text),)


def _strictly(fail_on: str, options: dict[str, int]) -> dict[str, str | int]:
    return {"access": "sequential", "fail_on": fail_on, **options}


def _from_top_to_bottom(image: pyvips.Image, pixel_format: PixelFormat) -> ProfiledImage:
    if image.bands * _BYTES.get(image.format, 4) <= _WIDE:
        return normalised(_in_memory(image), pixel_format)
    normal = normalised(image, pixel_format)
    return ProfiledImage(_in_memory(normal.image), normal.profile, normal.black)


def _all_at_once(image: pyvips.Image, pixel_format: PixelFormat) -> ProfiledImage:
    """The pixels of an interlaced picture, which the library itself keeps in memory."""
    image.getpoint(0, 0)  # it reads them all now, or raises its error
    bare = image.copy()
    for field in bare.get_fields():  # what else the file carries
        bare.remove(field)
    return normalised(bare, pixel_format)


def _in_memory(image: pyvips.Image) -> pyvips.Image:
    """The pixels alone, without anything else that the file carries."""
    shape = image.width, image.height, image.bands, image.format
    try:
        pixels = image.write_to_memory()
    except pyvips.Error as error:
        # The library names no reason for some damage, as it does where memory is lacking.
        size = image.width * image.height * image.bands * _BYTES.get(image.format, 4)
        if error.detail.strip() or size > _NO_LACK_OF_MEMORY:
            raise
        raise pyvips.Error("its pixels cannot be decoded", "") from error
    return pyvips.Image.new_from_memory(pixels, *shape).copy(interpretation=image.interpretation)
