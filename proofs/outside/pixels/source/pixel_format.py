"""Which kind of picture a file holds: its colour, its depth, its alpha, its pages."""

from dataclasses import dataclass

import pyvips

from proofs.findings import Finding
from proofs.lengths import PixelSize
from proofs.outside.pixels.source.file_header import FileHeader
from proofs.outside.pixels.source.main_image import (
    CIELAB,
    COMPRESSION,
    ICCLAB,
    JPEG_COMPRESSION,
    PHOTOMETRIC,
    PHOTOMETRIC_COLOURS,
    SAMPLES_PER_PIXEL,
    YCBCR,
)
from proofs.outside.pixels.source.source_profile import (
    CHANNELS,
    ColourModel,
    SourceProfile,
    source_finding,
    source_profile_of,
)
from proofs.outside.pixels.source.tiff_directories import Directory, first_number
from proofs.outside.pixels.source.ycbcr import YCbCrEncoding, ycbcr_encoding

_EXTRA_SAMPLES = 338  # TIFF 6.0
_PREMULTIPLIED, _STRAIGHT = 1, 2  # ExtraSamples of TIFF 6.0
_INTERPRETATIONS: dict[str, ColourModel] = {
    "b-w": "grey",
    "grey16": "grey",
    "srgb": "rgb",
    "rgb": "rgb",
    "rgb16": "rgb",
    "scrgb": "rgb",
    "cmyk": "cmyk",
    "lab": "lab",
    "labs": "lab",
}
_SIGNED = ("char", "short", "int")


@dataclass(frozen=True, slots=True)
class PixelFormat:
    """What a file holds, as far as making one upright RGB or grey picture needs it.

    ``alpha`` is the place of the opacity among the channels, 0 without one (the library divides
    colours that have been multiplied by it already). ``is_icclab`` is for CIELAB whose a* and
    b* are counted from -128.
    ``differences`` is for RGB that still lies there as luminance and colour differences.
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
        """How many channels the colour itself has."""
        return CHANNELS[self.colour]


def pixel_format_of(
    image: pyvips.Image, container: FileHeader, page: Directory, name: str
) -> PixelFormat:
    """Return the kind of an opened picture, from header and container alone.

    ``page`` is the table of the TIFF page that it is; ``name`` is the file's name.
    Raises ``ValueError`` for a picture whose channels make no colour the program knows.
    """
    colour = _colour(image, page)
    channels = CHANNELS[colour]
    if image.bands < channels:
        raise ValueError(f"{image.bands} channels make no {colour.upper()} picture")
    is_float = image.format in ("float", "double") and colour != "lab"
    known = _has(image, "icc-profile-data")
    embedded = bytes(image.get("icc-profile-data")) if known else container.png_profile
    source = source_profile_of(container, embedded, colour, is_float=is_float, name=name)
    own = image.bands - _made_up(image, page)
    alpha, notes = _alpha(own - channels, channels, page)
    return PixelFormat(
        colour=colour,
        bits=_bits(image),
        is_float=is_float,
        alpha=alpha,
        is_icclab=_photometric(page) == ICCLAB,
        ycbcr=_ycbcr(image, page),
        source=source,
        notes=source.notes + notes,
    )


def _has(image: pyvips.Image, field: str) -> bool:
    return bool(image.get_typeof(field))


def _photometric(page: Directory) -> int:
    return int(first_number(page, PHOTOMETRIC, -1))


def _colour(image: pyvips.Image, page: Directory) -> ColourModel:
    number = _photometric(page)
    if number in (CIELAB, ICCLAB):
        return "lab"
    if image.format in _SIGNED:
        raise ValueError("numbers below zero make no picture")
    if image.interpretation in _INTERPRETATIONS:
        return _INTERPRETATIONS[image.interpretation]
    if number in PHOTOMETRIC_COLOURS:
        return PHOTOMETRIC_COLOURS[number]
    return "grey" if image.bands < 3 else "rgb"


def _made_up(image: pyvips.Image, page: Directory) -> int:
    """How many channels the library has added: it reads some kinds with an opacity of its own."""
    return int(first_number(page, SAMPLES_PER_PIXEL, image.bands) == 3 and image.bands == 4)


def _ycbcr(image: pyvips.Image, page: Directory) -> YCbCrEncoding | None:
    inside_jpeg = first_number(page, COMPRESSION) == JPEG_COMPRESSION
    if _photometric(page) != YCBCR or inside_jpeg or _made_up(image, page):
        return None
    if image.format not in ("uchar", "ushort"):
        raise ValueError("luminance and colour differences of such a depth are unknown here")
    return ycbcr_encoding(page, _bits(image))


def _bits(image: pyvips.Image) -> int:
    own = {"uchar": 8, "char": 8, "ushort": 16, "short": 16, "double": 64}.get(image.format, 32)
    return min(int(image.get("bits-per-sample")), own) if _has(image, "bits-per-sample") else own


def _alpha(extra: int, channels: int, page: Directory) -> tuple[int, tuple[Finding, ...]]:
    if extra == 0:
        return 0, ()
    if not page:  # PNG and WebP: what is more than colour is opacity
        return channels, ()
    said = page.get(_EXTRA_SAMPLES, ())
    for place, kind in enumerate(said[:extra]):
        if kind in (_PREMULTIPLIED, _STRAIGHT):
            return channels + place, _dropped(extra - 1)
    return 0, _dropped(extra)


def _dropped(count: int) -> tuple[Finding, ...]:
    if not count:
        return ()
    channels = "channel that is" if count == 1 else "channels that are"
    return (source_finding("extra-channels", f"{count} {channels} no colour left out"),)


def upright_size(image: pyvips.Image) -> PixelSize:
    """Return the size of a picture as seen once it has been turned as its tag asks."""
    size = PixelSize(image.width, image.height)
    return size.turned if is_turned(image) else size


def is_turned(image: pyvips.Image) -> bool:
    """Return whether a picture lies on its side until it is turned as its tag asks."""
    return bool(_has(image, "orientation") and image.get("orientation") in (5, 6, 7, 8))
