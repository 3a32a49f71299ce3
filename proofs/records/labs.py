"""What a print lab, or a printer at home, wants of a file and does to a print."""

import enum
import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from proofs.lengths import ZERO, Length, Size
from proofs.measures import read_size
from proofs.records.tables import Table

SPACES = ("srgb", "a98-rgb", "display-p3")  # the names that CSS Color 4 gives them
USUAL_LOSS, USUAL_LOST_SHARE = 4.0, 0.02  # seen at once side by side; common practice, no source

PLACEHOLDERS = ("number", "title", "category", "sheet", "copies", "paper", "finish")
"""What may stand in braces in a lab's pattern for file names."""

USUAL_PATTERN = "{number}_{title}"
_LITERAL = re.compile(r"[A-Za-z0-9_-]*")
_SHORTEST_NAME = 8  # a number, a count that parts two of one name, and the ending
_BRACED = re.compile(r"\{([a-z]*)\}")
_PRICE = re.compile(r"(.+?)\s*[:=]\s*(\d{1,6}(?:[.,]\d{1,2})?)")


class FileFormat(enum.StrEnum):
    """The format of a picture file."""

    JPEG = "jpeg"
    TIFF = "tiff"
    PNG = "png"
    WEBP = "webp"
    OTHER = ""


class Compression(enum.StrEnum):
    """How the pixels of a TIFF are compressed, without loss."""

    LZW = "lzw"
    DEFLATE = "deflate"
    NONE = "none"


class RenderingIntent(enum.StrEnum):
    """What becomes of colours that a print cannot show; the perceptual tables, where there are."""

    RELATIVE = "relative"
    PERCEPTUAL = "perceptual"
    ABSOLUTE = "absolute"


_SUFFIXES = {FileFormat.JPEG: ".jpg", FileFormat.TIFF: ".tif", FileFormat.PNG: ".png"}


@dataclass(frozen=True, slots=True)
class Lab:
    """One line of a lab: the file it takes, the sheets it sells, how true it prints.

    ``colour_profile`` is one of ``SPACES`` or the path of an ICC file; ``scale_error`` is
    the share by which a print may come out larger or smaller; ``margin`` is the white the lab
    needs round the image, and ``edge_loss`` what it trims off a print without one. ``bleed``
    is the paper that a file must show beyond the edges of its sheet, to be trimmed off.

    ``pattern`` and ``name_most`` are for file names, the ending counted. ``most_px`` is for
    the longer side of a file; it, ``most_bytes`` and ``upload_most_bytes`` are None where the
    lab sets no limit. ``papers`` and ``finishes`` are the lab's own names, the usual one first;
    ``prices`` are those of a sheet, in ``currency``.

    ``loss`` in CIEDE2000 on more than ``lost_share`` of an image is worth a warning in a soft
    proof.
    """

    name: str
    title: str
    source: str
    ppi: int
    format: FileFormat
    bits: int
    quality: int
    compression: Compression
    colour_profile: str
    intent: RenderingIntent
    black_point_compensation: bool
    sharpens: bool
    sheets: tuple[Size, ...]
    margin: Length
    edge_loss: Length
    scale_error: float
    loss: float = USUAL_LOSS
    lost_share: float = USUAL_LOST_SHARE
    bleed: Length = ZERO
    pattern: str = USUAL_PATTERN
    name_most: int = 60
    most_px: int | None = None
    most_bytes: int | None = None
    upload_most_bytes: int | None = None
    papers: tuple[str, ...] = ()
    finishes: tuple[str, ...] = ()
    prices: tuple[tuple[Size, Decimal], ...] = ()
    currency: str = ""

    def price(self, sheet: Size) -> Decimal | None:
        """Return the price of a stock sheet, however it lies; None where it is not known."""
        return next((p for s, p in self.prices if sheet in (s, s.turned)), None)

    @property
    def suffix(self) -> str:
        """The ending of its file names."""
        return _SUFFIXES[self.format]


def read_lab(table: Table, name: str) -> Lab:
    """Return the lab that a profile describes.

    Raises ``ProfileError`` with the key, what was found and what is expected.
    """
    file, colour, paper = table.table("file"), table.table("colour"), table.table("print")
    soft = table.table("soft_proof")
    naming, upload = table.table("naming"), table.table("upload")
    sheets = paper.sizes("sheets")
    lab = Lab(
        name=name,
        title=table.text("title"),
        source=table.text("source"),
        ppi=file.count("ppi", least=72),
        format=file.choice("format", _SUFFIXES),
        bits=file.count("bits", least=8, default=8),
        quality=file.count("quality", default=95),
        compression=file.choice("compression", Compression, default=Compression.LZW),
        colour_profile=colour.text("profile"),
        intent=colour.choice("intent", RenderingIntent, default=RenderingIntent.RELATIVE),
        black_point_compensation=colour.truth("black_point_compensation", default=True),
        sharpens=paper.truth("sharpens", default=False),
        sheets=sheets,
        margin=paper.length("margin", default=ZERO),
        edge_loss=paper.length("edge_loss", default=ZERO),
        scale_error=paper.number("scale_error", least=0, most=0.05, default=0.0),
        loss=soft.number("loss", least=1, most=100, default=USUAL_LOSS),
        lost_share=soft.number("share", least=0, most=1, default=USUAL_LOST_SHARE),
        bleed=paper.length("bleed", default=ZERO),
        pattern=_pattern(naming),
        name_most=naming.count("length_most", least=_SHORTEST_NAME, default=60),
        most_px=file.count_or_none("most_px"),
        most_bytes=file.bytes_or_none("most_bytes"),
        upload_most_bytes=upload.bytes_or_none("most_bytes"),
        papers=paper.texts("papers"),
        finishes=paper.texts("finishes"),
        prices=_prices(paper, sheets),
        currency=paper.text("currency", default=""),
    )
    _check_file(file, lab)
    for part in (file, colour, paper, naming, upload, soft, table):
        part.done()
    return lab


def _check_file(file: Table, lab: Lab) -> None:
    if lab.bits not in (8, 16):
        raise file.wrong("bits", "8 or 16")
    if lab.bits == 16 and lab.format == FileFormat.JPEG:
        raise file.wrong("bits", "8: a JPEG holds no 16-bit picture; use format = 'tiff'")
    if lab.quality > 100:
        raise file.wrong("quality", "a whole number from 1 to 100")
    if lab.ppi > 2880:
        raise file.wrong("ppi", "a whole number from 72 to 2880")


def _pattern(naming: Table) -> str:
    pattern = naming.text("pattern", default=USUAL_PATTERN)
    used = _BRACED.findall(pattern)
    known = ", ".join(f"{{{word}}}" for word in PLACEHOLDERS)
    if not used or set(used) - set(PLACEHOLDERS):
        raise naming.wrong("pattern", f"text with at least one of {known}")
    if not _LITERAL.fullmatch(_BRACED.sub("", pattern)):
        raise naming.wrong("pattern", f"letters, digits, '-' and '_' beside {known}, no ending")
    return pattern


def _prices(paper: Table, sheets: Sequence[Size]) -> tuple[tuple[Size, Decimal], ...]:
    """The price of a sheet, each written as ``"8x10 in: 4.50"``."""
    prices = []
    for text in paper.texts("prices"):
        found = _PRICE.fullmatch(text.strip())
        try:
            size = read_size(found[1]) if found else None
        except ValueError:
            size = None
        if not found or size is None:
            raise paper.wrong("prices", 'a list of prices such as ["8x10 in: 4.50"]')
        if size not in sheets and size.turned not in sheets:
            raise paper.wrong("prices", f"sizes that stand in sheets; {found[1]} does not")
        prices.append((size, Decimal(found[2].replace(",", "."))))
    return tuple(prices)
