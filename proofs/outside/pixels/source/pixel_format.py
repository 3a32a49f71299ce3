"""The pixel format of an opened picture: its colour model, bit depth, alpha and profile."""

from dataclasses import dataclass

import pyvips

from proofs.findings import Finding, Severity
from proofs.outside.pixels.source.file_header import FileHeader
from proofs.outside.pixels.source.main_image import COLOUR_MODELS
from proofs.outside.pixels.source.source_profile import (
    CHANNELS,
    ColourModel,
    SourceProfile,
    source_profile_of,
)
from proofs.outside.pixels.source.tiff_directories import Directory, first_number
from proofs.outside.pixels.source.tiff_tags import JPEG_COMPRESSION, Photometric, Tag
from proofs.outside.pixels.source.ycbcr import YCbCrEncoding, ycbcr_encoding
from proofs.outside.pixels.vips import field_bytes
from proofs.records.labs import FileFormat

_ASSOCIATED, _UNASSOCIATED = 1, 2  # alpha among the ExtraSamples of TIFF 6.0
_INTERPRETATIONS: dict[str, ColourModel] = {
    "b-w": "grey",
    "grey16": "grey",
    "srgb": "rgb",
    "rgb": "rgb",
    "rgb16": "rgb",
    "scrgb": "rgb",
    "cmyk": "cmyk",
    "lab": "cielab",
    "labs": "cielab",
}
TURNED = (5, 6, 7, 8)
"""The orientations in which width and height are exchanged."""
_SIGNED = ("char", "short", "int")


@dataclass(frozen=True, slots=True)
class PixelFormat:
    """How a picture's pixels are stored, as far as turning them into RGB or grey needs it.

    ``alpha`` is the index of the alpha channel, 0 without one (the library divides premultiplied
    colours by their alpha). ``is_icclab`` marks CIELAB whose a* and b* are offset by 128.
    ``ycbcr`` is the encoding of RGB that is still stored as YCbCr, else None.
    """

    colour: ColourModel
    bits: int
    is_float: bool
    alpha: int
    is_icclab: bool
    ycbcr: YCbCrEncoding | None
    source: SourceProfile
    notes: tuple[Finding, ...]

    @property
    def channels(self) -> int:
        """The number of colour channels."""
        return CHANNELS[self.colour]


def pixel_format_of(
    image: pyvips.Image, header: FileHeader, page: Directory, name: str
) -> PixelFormat:
    """Return the pixel format of an opened picture, from headers alone.

    ``page`` is the directory of its TIFF page; ``name`` is the file's name.
    Raises ``ValueError`` if its channels form no colour model that the program knows.
    """
    colour = _colour(image, page)
    channels = CHANNELS[colour]
    if image.bands < channels:
        raise ValueError(f"{image.bands} channels are too few for {colour.upper()}")
    is_float = image.format in ("float", "double") and colour != "cielab"
    embedded = field_bytes(image, "icc-profile-data") or header.png_profile
    source = source_profile_of(header, embedded, colour, is_float=is_float, name=name)
    own = image.bands - _channels_added(image, page)
    alpha, notes = _alpha(own - channels, channels, page)
    return PixelFormat(
        colour=colour,
        bits=_bits(image),
        is_float=is_float,
        alpha=alpha,
        is_icclab=_photometric(page) == Photometric.ICCLAB,
        ycbcr=_ycbcr(image, page),
        source=source,
        notes=source.notes + notes,
    )


def _has(image: pyvips.Image, field: str) -> bool:
    return bool(image.get_typeof(field))


def _photometric(page: Directory) -> int:
    return int(first_number(page, Tag.PHOTOMETRIC_INTERPRETATION, -1))


def _colour(image: pyvips.Image, page: Directory) -> ColourModel:
    number = _photometric(page)
    if number in (Photometric.CIELAB, Photometric.ICCLAB):
        return "cielab"
    if image.format in _SIGNED:
        raise ValueError("its samples are signed numbers")
    if image.interpretation in _INTERPRETATIONS:
        return _INTERPRETATIONS[image.interpretation]
    if number in COLOUR_MODELS:
        return COLOUR_MODELS[number]
    return "grey" if image.bands < 3 else "rgb"


def _channels_added(image: pyvips.Image, page: Directory) -> int:
    """How many channels the library has added: it adds an alpha channel to some formats."""
    return int(first_number(page, Tag.SAMPLES_PER_PIXEL, image.bands) == 3 and image.bands == 4)


def _ycbcr(image: pyvips.Image, page: Directory) -> YCbCrEncoding | None:
    is_jpeg = first_number(page, Tag.COMPRESSION) == JPEG_COMPRESSION
    if _photometric(page) != Photometric.YCBCR or is_jpeg or _channels_added(image, page):
        return None
    if image.format not in ("uchar", "ushort"):
        raise ValueError("luma and colour differences of this depth are not supported")
    return ycbcr_encoding(page, _bits(image))


def _bits(image: pyvips.Image) -> int:
    own = {"uchar": 8, "char": 8, "ushort": 16, "short": 16, "double": 64}.get(image.format, 32)
    return min(int(image.get("bits-per-sample")), own) if _has(image, "bits-per-sample") else own


def _alpha(extra: int, channels: int, page: Directory) -> tuple[int, tuple[Finding, ...]]:
    if extra == 0:
        return 0, ()
    if not page:  # PNG and WebP: the channel beyond the colour is alpha
        return channels, ()
    types = page.get(Tag.EXTRA_SAMPLES, ())
    for n, extra_sample in enumerate(types[:extra]):
        if extra_sample in (_ASSOCIATED, _UNASSOCIATED):
            return channels + n, _dropped(extra - 1)
    return 0, _dropped(extra)


def _dropped(count: int) -> tuple[Finding, ...]:
    if not count:
        return ()
    channels = "channel" if count == 1 else "channels"
    return (Finding("extra-channels", Severity.NOTE, f"{count} extra {channels} ignored"),)


def orientation_of(image: pyvips.Image, header: FileHeader) -> int:
    """Return the orientation of an opened picture, 1 to 8 as in EXIF; 1 if none is stated."""
    tables = header.exif[:1] if header.format == FileFormat.PNG else ()
    own = [int(first_number(table, Tag.ORIENTATION, 1)) for table in tables]
    if _has(image, "orientation"):
        own = [image.get("orientation")]
    return own[0] if own and own[0] in range(1, 9) else 1
