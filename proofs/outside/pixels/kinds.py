"""Which kind of picture a file holds: its colour, its depth, its alpha, its pages."""

from dataclasses import dataclass

import pyvips

from proofs.findings import Finding, Severity
from proofs.lengths import PixelSize
from proofs.outside.pixels.containers import HEIGHT, REDUCED, WIDTH, Container
from proofs.outside.pixels.directories import Directory, first
from proofs.outside.pixels.meaning import CHANNELS, Meaning, meaning, note

BITS, COMPRESSION, PHOTOMETRIC, _EXTRA_SAMPLES = 258, 259, 262, 338  # TIFF 6.0
LAB, ICC_LAB = 8, 9
_PREMULTIPLIED, _STRAIGHT = 1, 2  # ExtraSamples of TIFF 6.0
_COLOURS = {
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
_TIFF_COLOURS = {0: "grey", 1: "grey", 2: "rgb", 3: "rgb", 5: "cmyk", 6: "rgb", 8: "lab", 9: "lab"}


@dataclass(frozen=True, slots=True)
class Kind:
    """What a file holds, as far as making one upright RGB or grey picture needs it.

    ``alpha`` is the place of the opacity among the channels, 0 without one (the library divides
    colours that have been multiplied by it already). ``from_below`` is for CIELAB whose a* and
    b* are counted from -128.
    """

    colour: str
    bits: int
    is_float: bool
    alpha: int
    from_below: bool
    meaning: Meaning
    notes: tuple[Finding, ...]

    @property
    def channels(self) -> int:
        """How many channels the colour itself has."""
        return CHANNELS[self.colour]


def kind_of(image: pyvips.Image, container: Container, name: str) -> Kind:
    """Return the kind of an opened picture, from header and container alone.

    Raises ``ValueError`` for a picture whose channels make no colour the program knows.
    """
    colour = _colour(image, container)
    channels = CHANNELS[colour]
    if image.bands < channels:
        raise ValueError(f"{image.bands} channels make no {colour.upper()} picture")
    is_float = image.format in ("float", "double") and colour != "lab"
    embedded = bytes(image.get("icc-profile-data")) if _has(image, "icc-profile-data") else b""
    means = meaning(container, embedded, colour, is_float=is_float, name=name)
    alpha, notes = _alpha(image.bands - channels, channels, container)
    return Kind(
        colour=colour,
        bits=_bits(image),
        is_float=is_float,
        alpha=alpha,
        from_below=_photometric(container) == ICC_LAB,
        meaning=means,
        notes=means.notes + notes,
    )


def _has(image: pyvips.Image, field: str) -> bool:
    return bool(image.get_typeof(field))


def _photometric(container: Container) -> int:
    return int(first(container.pages[0], PHOTOMETRIC, -1)) if container.pages else -1


def _colour(image: pyvips.Image, container: Container) -> str:
    number = _photometric(container)
    if number in (LAB, ICC_LAB):
        return "lab"
    if number not in (-1, *_TIFF_COLOURS):
        raise ValueError(f"colour of kind {number} is unknown here")
    if image.format in _SIGNED:
        raise ValueError("numbers below zero make no picture")
    if image.interpretation in _COLOURS:
        return _COLOURS[image.interpretation]
    if number in _TIFF_COLOURS:
        return _TIFF_COLOURS[number]
    return "grey" if image.bands < 3 else "rgb"


def _bits(image: pyvips.Image) -> int:
    own = {"uchar": 8, "char": 8, "ushort": 16, "short": 16, "double": 64}.get(image.format, 32)
    return min(int(image.get("bits-per-sample")), own) if _has(image, "bits-per-sample") else own


def _alpha(extra: int, channels: int, container: Container) -> tuple[int, tuple[Finding, ...]]:
    if extra == 0:
        return 0, ()
    if container.format != "tiff":
        return channels, ()
    said = container.pages[0].get(_EXTRA_SAMPLES, ()) if container.pages else ()
    for place, kind in enumerate(said[:extra]):
        if kind in (_PREMULTIPLIED, _STRAIGHT):
            return channels + place, _dropped(extra - 1)
    return 0, _dropped(extra)


def _dropped(count: int) -> tuple[Finding, ...]:
    if not count:
        return ()
    channels = "channel that is" if count == 1 else "channels that are"
    return (note("extra-channels", f"{count} {channels} no colour left out"),)


_COMPRESSIONS = {1, 2, 3, 4, 5, 7, 8, 32773, 32946}
_COMPRESSION_NAMES = {6: "old-style JPEG", 34712: "JPEG 2000", 34925: "LZMA", 50000: "Zstandard"}
_COMPRESSION_NAMES |= {34887: "LERC", 50001: "WebP", 50002: "JPEG XL", 52546: "JPEG XL"}
_DEPTHS = {1, 2, 4, 8, 16, 32}


def beyond_reading(container: Container, page: int) -> str:
    """Return why the library cannot read a page of a TIFF file, or an empty text.

    Asked before it is opened: of an unknown compression the library makes a black picture.
    """
    if page >= len(container.pages):
        return ""
    table = container.pages[page]
    compression, depth = int(first(table, COMPRESSION, 1)), int(first(table, BITS, 1))
    if compression not in _COMPRESSIONS:
        return (
            f"its compression, {_COMPRESSION_NAMES.get(compression, compression)}, is unknown here"
        )
    return "" if depth in _DEPTHS else f"it holds numbers of {depth} bits"


@dataclass(frozen=True, slots=True)
class Page:
    """The page of a file that is the picture, and what to say about the others."""

    number: int
    notes: tuple[Finding, ...] = ()


def page_of(container: Container) -> Page:
    """Return the page that is the picture: the first, or the largest of one picture's levels."""
    sizes = [_size(table) for table in container.pages]
    if len(sizes) < 2:
        return Page(0)
    whole = [n for n, table in enumerate(container.pages) if not _is_reduced(table)] or [0]
    largest = max(range(len(sizes)), key=lambda n: (sizes[n][0] * sizes[n][1], -n))
    if all(_is_level(sizes[n], sizes[largest]) for n in whole):
        return Page(largest)
    if len(whole) == 1:
        return Page(whole[0])
    text = f"holds {len(whole)} pictures: the first is used"
    return Page(whole[0], (several_pages(text),))


def several_pages(text: str) -> Finding:
    """Return the finding for a file with more pictures than the one that is used."""
    return note("several-pages", text, Severity.NOTE)


def _size(table: Directory) -> tuple[int, int]:
    return int(first(table, WIDTH)), int(first(table, HEIGHT))


def _is_reduced(table: Directory) -> bool:
    return bool(int(first(table, REDUCED)) & 1)


def _is_level(size: tuple[int, int], largest: tuple[int, int]) -> bool:
    """Whether a size is the largest one halved so many times, as in a pyramid of levels."""
    if size == largest:
        return True
    halvings = max(
        round(b / a).bit_length() - 1 if a else 0 for a, b in zip(size, largest, strict=True)
    )
    return halvings > 0 and all(
        abs(a - b / 2**halvings) <= 1 for a, b in zip(size, largest, strict=True)
    )


def upright_size(image: pyvips.Image) -> PixelSize:
    """Return the size of a picture as seen once it has been turned as its tag asks."""
    size = PixelSize(image.width, image.height)
    turned = _has(image, "orientation") and image.get("orientation") in (5, 6, 7, 8)
    return size.turned if turned else size
