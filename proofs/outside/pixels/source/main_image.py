"""Which of the images in a file is the picture: its first page, or its largest level.

Also, why the library cannot read that image, or would misread it.
JPEG processes: ITU-T T.81, table B.1 (from memory).
"""

from dataclasses import dataclass, field

from proofs.findings import Finding, Severity
from proofs.outside.pixels.source.file_header import FileHeader, JpegFrame, jpeg_frame
from proofs.outside.pixels.source.source_profile import ColourModel
from proofs.outside.pixels.source.tiff_directories import Directory, first_number
from proofs.outside.pixels.source.tiff_tags import (
    JPEG_COMPRESSION,
    SEPARATE_PLANES,
    Photometric,
    Tag,
)
from proofs.records.labs import FileFormat

_COMPRESSIONS = {1, 2, 3, 4, 5, 7, 8, 32773, 32946}
_COMPRESSION_NAMES = {6: "old-style JPEG", 34712: "JPEG 2000", 34925: "LZMA", 50000: "Zstandard"}
_COMPRESSION_NAMES |= {34887: "LERC", 50001: "WebP", 50002: "JPEG XL", 52546: "JPEG XL"}
COLOUR_MODELS: dict[int, ColourModel] = {
    Photometric.WHITE_IS_ZERO: "grey",
    Photometric.BLACK_IS_ZERO: "grey",
    Photometric.RGB: "rgb",
    Photometric.PALETTE: "rgb",
    Photometric.CMYK: "cmyk",
    Photometric.YCBCR: "rgb",
    Photometric.CIELAB: "cielab",
    Photometric.ICCLAB: "cielab",
}
_DEPTHS = {1, 2, 4, 8, 16, 32}
_JPEG_PROCESSES = {0xC0, 0xC1, 0xC2, 0xC9, 0xCA}
_ARITHMETIC_PROCESSES = {0xC9, 0xCA}
_LOSSLESS_PROCESSES = {0xC3, 0xC7, 0xCB, 0xCF}
_MULTI_CHANNEL_DEPTHS = {8, 16, 32}


@dataclass(frozen=True, slots=True)
class MainImage:
    """The image of a file that is the picture: its page, its directory, and findings.

    ``subifd`` is the index of an image inside the page; -1 is the page itself.
    """

    page: int = 0
    subifd: int = -1
    directory: Directory = field(default_factory=dict)
    notes: tuple[Finding, ...] = ()

    @property
    def size(self) -> tuple[int, int]:
        """The width and height that the directory of a TIFF states."""
        return _size(self.directory)

    @property
    def load_options(self) -> dict[str, int]:
        """The options with which the library opens this image."""
        if not self.directory:
            return {}
        # The library's own limit on memory would refuse pixels in one large strip, and layers.
        options = {"unlimited": True, "page": self.page}
        return options | ({"subifd": self.subifd} if self.subifd >= 0 else {})


def main_image_of(header: FileHeader) -> MainImage:
    """Return the image that is the picture: the first, or the largest if all are its levels."""
    directories = header.pages
    if not directories:
        return MainImage(notes=_jpeg_notes(header))
    full = [n for n, directory in enumerate(directories) if not _is_reduced(directory)]
    if not full:
        return _largest_subifd(header)
    sizes = [_size(directories[n]) for n in full]
    largest = max(sizes, key=lambda size: size[0] * size[1])
    if len(set(sizes)) == len(sizes) and all(_is_level(size, largest) for size in sizes):
        page = full[sizes.index(largest)]
        return MainImage(page, directory=directories[page])
    return MainImage(full[0], directory=directories[full[0]], notes=(several_images(len(full)),))


def _largest_subifd(header: FileHeader) -> MainImage:
    """The largest of the images inside a reduced first page, and of that page itself."""
    inner = header.subifds
    sizes = [_size(directory) for directory in (header.pages[0], *inner)]
    largest = max(range(len(sizes)), key=lambda n: (sizes[n][0] * sizes[n][1], -n))
    directory = inner[largest - 1] if largest else header.pages[0]
    return MainImage(0, largest - 1, directory)


def _jpeg_notes(header: FileHeader) -> tuple[Finding, ...]:
    frame = jpeg_frame(header.content) if header.format == FileFormat.JPEG else None
    if frame is None or frame.marker not in _ARITHMETIC_PROCESSES:
        return ()
    # Its decoder makes pixels of any bytes at all, without a word (measured).
    text = (
        "is a JPEG with arithmetic coding, in which damage stays unnoticed; look closely at the"
        " print file before sending it, or save it again as an ordinary JPEG"
    )
    return (Finding("read-with-warnings", Severity.WARNING, text),)


def several_images(count: int) -> Finding:
    """Return the finding for a file with more pictures than the one that is used."""
    text = f"contains {count} pictures: the first is used"
    return Finding("several-pages", Severity.NOTE, text)


def unreadable_reason(header: FileHeader, image: MainImage) -> str:
    """Return why the library cannot read the main image of a file, or an empty text.

    The check is made before opening it: the library reads an unknown compression as black.
    """
    directory = image.directory
    if not directory:
        is_jpeg = header.format == FileFormat.JPEG
        return _jpeg_reason(jpeg_frame(header.content)) if is_jpeg else ""
    compression = int(first_number(directory, Tag.COMPRESSION, 1))
    if compression not in _COMPRESSIONS:
        name = _COMPRESSION_NAMES.get(compression, f"number {compression}")
        return f"its compression, {name}, is not supported"
    photometric = int(first_number(directory, Tag.PHOTOMETRIC_INTERPRETATION, -1))
    if photometric not in (-1, *COLOUR_MODELS):
        return f"its photometric interpretation, {photometric}, is not supported"
    depth = int(first_number(directory, Tag.BITS_PER_SAMPLE, 1))
    has_several = int(first_number(directory, Tag.SAMPLES_PER_PIXEL, 1)) > 1
    if depth not in (_MULTI_CHANNEL_DEPTHS if has_several else _DEPTHS):
        return f"it has {depth} bits per channel"
    is_planar = first_number(directory, Tag.PLANAR_CONFIGURATION) == SEPARATE_PLANES
    if has_several and is_planar and Tag.TILE_WIDTH in directory:
        return "it has tiles of separate planes"
    if compression == JPEG_COMPRESSION:
        offsets = (first_number(directory, tag) for tag in (Tag.STRIP_OFFSETS, Tag.TILE_OFFSETS))
        return _jpeg_reason(jpeg_frame(header.content, int(max(offsets))))
    return ""


def _jpeg_reason(frame: JpegFrame | None) -> str:
    if frame is None:
        return ""
    if frame.marker in _LOSSLESS_PROCESSES:
        return "it is a lossless JPEG"
    if frame.marker not in _JPEG_PROCESSES:
        return f"its kind of JPEG, SOF{frame.marker - 0xC0}, is not supported"
    return "" if frame.bits == 8 else f"it has {frame.bits} bits per channel"


def _size(directory: Directory) -> tuple[int, int]:
    width = first_number(directory, Tag.IMAGE_WIDTH)
    return int(width), int(first_number(directory, Tag.IMAGE_LENGTH))


def _is_reduced(directory: Directory) -> bool:
    return bool(int(first_number(directory, Tag.NEW_SUBFILE_TYPE)) & 1)


def _is_level(size: tuple[int, int], largest: tuple[int, int]) -> bool:
    """Whether both sides of a size are those of the largest one, divided by the same factor."""
    width, height = size
    return abs(width * largest[1] - height * largest[0]) <= max(largest)
