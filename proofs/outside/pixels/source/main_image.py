"""Which of the pictures in a file is the picture: its first page, or its largest level."""

from dataclasses import dataclass, field

from proofs.findings import Finding, Severity
from proofs.outside.pixels.source.file_header import (
    IMAGE_LENGTH,
    IMAGE_WIDTH,
    NEW_SUBFILE_TYPE,
    FileHeader,
)
from proofs.outside.pixels.source.source_profile import ColourModel, source_finding
from proofs.outside.pixels.source.tiff_directories import Directory, first_number

BITS_PER_SAMPLE, COMPRESSION, PHOTOMETRIC, SAMPLES_PER_PIXEL = 258, 259, 262, 277  # TIFF 6.0
JPEG_COMPRESSION = 7
_COMPRESSIONS = {1, 2, 3, 4, 5, 7, 8, 32773, 32946}
_COMPRESSION_NAMES = {6: "old-style JPEG", 34712: "JPEG 2000", 34925: "LZMA", 50000: "Zstandard"}
_COMPRESSION_NAMES |= {34887: "LERC", 50001: "WebP", 50002: "JPEG XL", 52546: "JPEG XL"}
YCBCR, CIELAB, ICCLAB = 6, 8, 9
PHOTOMETRIC_COLOURS: dict[int, ColourModel] = {0: "grey", 1: "grey", 2: "rgb", 3: "rgb", 5: "cmyk"}
PHOTOMETRIC_COLOURS |= {YCBCR: "rgb", CIELAB: "lab", ICCLAB: "lab"}
_DEPTHS = {1, 2, 4, 8, 16, 32}
_DEPTHS_OF_SEVERAL = {8, 16, 32}


@dataclass(frozen=True, slots=True)
class MainImage:
    """The page of a file that is the picture, its table, and what to say about the others.

    ``inner`` counts the pictures inside the page; -1 is the page itself.
    """

    number: int = 0
    inner: int = -1
    table: Directory = field(default_factory=dict)
    notes: tuple[Finding, ...] = ()

    @property
    def options(self) -> dict[str, int]:
        """What to tell the library so that it opens this page."""
        chosen = {"page": self.number} if self.number else {}
        return chosen | ({"subifd": self.inner} if self.inner >= 0 else {})


def main_image_of(container: FileHeader) -> MainImage:
    """Return the page that is the picture: the first, or the largest of one picture's levels."""
    tables = container.pages
    if not tables:
        return MainImage()
    whole = [n for n, table in enumerate(tables) if not _is_reduced(table)]
    if not whole:
        return _inside(container)
    sizes = [_size(tables[n]) for n in whole]
    largest = max(sizes, key=lambda size: size[0] * size[1])
    if len(set(sizes)) == len(sizes) and all(_is_level(size, largest) for size in sizes):
        number = whole[sizes.index(largest)]
        return MainImage(number, table=tables[number])
    text = f"holds {len(whole)} pictures: the first is used"
    return MainImage(whole[0], table=tables[whole[0]], notes=(several_images(text),))


def _inside(container: FileHeader) -> MainImage:
    """The largest of a first page that is small itself and of the pictures inside it."""
    inner = container.inner_pages
    sizes = [_size(table) for table in (container.pages[0], *inner)]
    largest = max(range(len(sizes)), key=lambda n: (sizes[n][0] * sizes[n][1], -n))
    table = inner[largest - 1] if largest else container.pages[0]
    return MainImage(0, largest - 1, table)


def several_images(text: str) -> Finding:
    """Return the finding for a file with more pictures than the one that is used."""
    return source_finding("several-pages", text, Severity.NOTE)


def unreadable_reason(container: FileHeader, page: MainImage) -> str:
    """Return why the library cannot read the page of a file that is the picture, or an empty text.

    Asked before it is opened: of an unknown compression the library makes a black picture.
    """
    if container.jpeg_bits not in (0, 8):
        return f"it holds numbers of {container.jpeg_bits} bits"
    if not page.table:
        return ""
    compression, depth = (
        int(first_number(page.table, COMPRESSION, 1)),
        int(first_number(page.table, BITS_PER_SAMPLE, 1)),
    )
    if compression not in _COMPRESSIONS:
        name = _COMPRESSION_NAMES.get(compression, f"number {compression}")
        return f"its compression, {name}, is unknown here"
    colour = int(first_number(page.table, PHOTOMETRIC, -1))
    if colour not in (-1, *PHOTOMETRIC_COLOURS):
        return f"its colour, of kind {colour}, is unknown here"
    several = int(first_number(page.table, SAMPLES_PER_PIXEL, 1)) > 1
    readable = depth in (_DEPTHS_OF_SEVERAL if several else _DEPTHS)
    return "" if readable else f"it holds numbers of {depth} bits"


def _size(table: Directory) -> tuple[int, int]:
    return int(first_number(table, IMAGE_WIDTH)), int(first_number(table, IMAGE_LENGTH))


def _is_reduced(table: Directory) -> bool:
    return bool(int(first_number(table, NEW_SUBFILE_TYPE)) & 1)


def _is_level(size: tuple[int, int], largest: tuple[int, int]) -> bool:
    """Whether a size is the largest one made smaller on both sides alike."""
    width, height = size
    return abs(width * largest[1] - height * largest[0]) <= max(largest)
