"""Print labs, or a printer at home: the files they take and the prints they make."""

import difflib
import enum
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from proofs.lengths import ZERO, Length, Size
from proofs.measures import read_size
from proofs.records.lab_charges import NO_CHARGES, Charges, read_charges
from proofs.records.prices import read_price
from proofs.records.tables import Profile, Table

COLOUR_SPACES = ("srgb", "a98-rgb", "display-p3")  # named as in CSS Color 4
_LOSS, _LOST_SHARE = 4.0, 0.02  # visible side by side; common practice, no source

PLACEHOLDERS = ("number", "title", "category", "sheet", "copies", "paper", "finish")
"""The words that a lab's pattern for file names may have in braces."""

_PATTERN = "{number}_{title}"
_LITERAL = re.compile(r"[A-Za-z0-9_-]*")
_SHORTEST_NAME = 8  # room for a number, a count to separate equal names, and the ending
_BRACED = re.compile(r"\{([a-z]*)\}")
_PRICES_EXPECTED = (
    'a list of prices such as ["8x10 in: 4.50"], or with a name of print.papers:'
    ' ["Cotton 8x10 in: 6.20"]'
)


class FileFormat(enum.StrEnum):
    """The format of a picture file."""

    JPEG = "jpeg"
    TIFF = "tiff"
    PNG = "png"
    WEBP = "webp"
    OTHER = ""


class Compression(enum.StrEnum):
    """The lossless compression of a TIFF."""

    LZW = "lzw"
    DEFLATE = "deflate"
    NONE = "none"


class RenderingIntent(enum.StrEnum):
    """How colours are brought into the lab's colour space, by the terms of the ICC."""

    RELATIVE = "relative"
    PERCEPTUAL = "perceptual"
    ABSOLUTE = "absolute"


_SUFFIXES = {FileFormat.JPEG: ".jpg", FileFormat.TIFF: ".tif", FileFormat.PNG: ".png"}


@dataclass(frozen=True, slots=True)
class Lab(Profile):
    """One product line of a lab: the files it takes, the sheets it sells, its accuracy.

    ``colour_profile`` is one of ``COLOUR_SPACES`` or the path of an ICC file. ``scale_error`` is
    the share by which a print may come out larger or smaller. ``margin`` is the white that the
    lab needs around the image, ``edge_loss`` the width it trims off a print without one.
    ``bleed`` is the paper that a file must have beyond each edge of the sheet, to be trimmed off.
    ``edge_to_edge`` are those of its ``sheets`` that it also prints to the edge.

    ``pattern`` and ``name_most`` are for file names, including the ending. ``most_px`` limits the
    longer side of a file. It, ``most_bytes`` and ``upload_most_bytes`` are None for no limit.
    ``papers`` and ``finishes`` are the lab's own names, the default first. ``paper_profiles`` are
    pairs of such a name and the name of our profile for that paper. ``prices`` are those of a sheet
    of any paper, and ``paper_prices`` those of a sheet of one paper, in ``currency``; ``charges``
    are what an order costs besides.

    A soft proof warns if more than ``lost_share`` of an image is off by ``loss`` in CIEDE2000.
    """

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
    loss: float = _LOSS
    lost_share: float = _LOST_SHARE
    bleed: Length = ZERO
    pattern: str = _PATTERN
    name_most: int = 60
    most_px: int | None = None
    most_bytes: int | None = None
    upload_most_bytes: int | None = None
    papers: tuple[str, ...] = ()
    finishes: tuple[str, ...] = ()
    prices: tuple[tuple[Size, Decimal], ...] = ()
    currency: str = ""
    paper_profiles: tuple[tuple[str, str], ...] = ()
    paper_prices: tuple[tuple[str, Size, Decimal], ...] = ()
    edge_to_edge: tuple[Size, ...] = ()
    charges: Charges = NO_CHARGES

    @property
    def white(self) -> Length:
        """The white round the image on a sheet that is not printed to the edge."""
        return max(self.margin, self.edge_loss)

    @property
    def has_prices(self) -> bool:
        """Whether it lists any price."""
        return bool(self.prices or self.paper_prices)

    def price(self, sheet: Size, paper: str = "") -> Decimal | None:
        """Return the price of a paper sheet, either way round, or None if it is not known.

        ``paper`` is the lab's name; a paper without a price of its own has that of the sheet.
        """
        own = [(s, price) for name, s, price in self.paper_prices if name == paper]
        return next((price for s, price in (*own, *self.prices) if sheet in (s, s.turned)), None)

    def paper_named(self, cell: str) -> str:
        """Return the lab's own name of the paper that a cell names.

        A blank cell means the first paper, and stays blank if the lab lists none. A paper that is
        not on the list is returned as written, unless the lab states profiles for its papers: then
        raises ``ValueError`` with the nearest name.
        """
        try:
            return own_name("paper", cell, self.papers)
        except ValueError:
            if self.paper_profiles:
                raise
            return cell

    def finish_named(self, cell: str, *, of_paper: str = "") -> str:
        """Return the lab's own name of the finish that a cell names.

        A blank cell means the finish ``of_paper``, or the first if the lab does not list that, and
        stays blank if it lists none. Raises ``ValueError`` with the nearest name for a finish that
        is not on its list.
        """
        usual = [name for name in self.finishes if name.casefold() == of_paper.casefold()]
        return own_name("finish", cell, (*usual, *self.finishes))

    def sheets_like(self, size: Size) -> tuple[Size, ...]:
        """Return the paper sheets the same way up as this size, the smallest first."""
        turned = (s if s.is_portrait == size.is_portrait else s.turned for s in self.sheets)
        return tuple(sorted(turned, key=lambda sheet: sheet.square_nm))

    @property
    def suffix(self) -> str:
        """The ending of its file names, with the dot."""
        return _SUFFIXES[self.format]


def own_name(column: str, cell: str, names: Sequence[str]) -> str:
    """Return the lab's own name of what a cell names; a blank cell means the first name.

    A lab that lists no names takes any. Raises ``ValueError`` with the nearest name for one that is
    not on its list. Upper and lower case are the same.

    >>> own_name("paper", "matt", ["Lustre", "Matt"]), own_name("paper", "", ["Lustre", "Matt"])
    ('Matt', 'Lustre')
    """
    if not cell or not names:
        return cell or next(iter(names), "")
    folded = {name.casefold(): name for name in reversed(names)}
    if found := folded.get(cell.casefold()):
        return found
    near = difflib.get_close_matches(cell.casefold(), folded, n=1)
    offered = ", ".join(dict.fromkeys(names))
    remedy = f"did you mean {folded[near[0]]!r}?" if near else f"write one of {offered}"
    raise ValueError(f"{column}: the lab has no {cell!r}; {remedy}")


def read_lab(table: Table, name: str) -> Lab:
    """Return the lab that a profile describes."""
    file, colour, paper = table.table("file"), table.table("colour"), table.table("print")
    soft_proof = table.table("soft_proof")
    lab = Lab(
        *table.heading(name),
        ppi=file.count("ppi", least=72, most=2880),
        format=file.choice("format", _SUFFIXES),
        bits=file.count("bits", least=8, default=8),
        quality=file.count("quality", most=100, default=95),
        compression=file.choice("compression", Compression, default=Compression.LZW),
        colour_profile=colour.text("profile"),
        intent=colour.choice("intent", RenderingIntent, default=RenderingIntent.RELATIVE),
        black_point_compensation=colour.boolean("black_point_compensation", default=True),
        sharpens=paper.boolean("sharpens", default=False),
        sheets=paper.sizes("sheets"),
        margin=paper.length("margin", default=ZERO),
        edge_loss=paper.length("edge_loss", default=ZERO),
        scale_error=paper.number("scale_error", least=0, most=0.05, default=0.0),
        loss=soft_proof.number("loss", least=1, most=100, default=_LOSS),
        lost_share=soft_proof.number("share", least=0, most=1, default=_LOST_SHARE),
        bleed=paper.length("bleed", default=ZERO),
    )
    lab = _with_ordering(lab, table)
    _check_file(file, lab)
    table.refuse_unknown()
    return lab


def _with_ordering(lab: Lab, table: Table) -> Lab:
    """The lab with what it asks of an order: file names, limits, papers and prices."""
    file, paper, naming = table.table("file"), table.table("print"), table.table("naming")
    papers = paper.texts("papers")
    prices = _prices(paper, lab.sheets, papers)
    return replace(
        lab,
        pattern=_pattern(naming),
        name_most=naming.count("length_most", least=_SHORTEST_NAME, default=60),
        most_px=file.count_or_none("most_px"),
        most_bytes=file.bytes_or_none("most_bytes"),
        upload_most_bytes=table.table("upload").bytes_or_none("most_bytes"),
        edge_to_edge=_edge_to_edge(paper, lab.sheets),
        charges=read_charges(table.table("order")),
        papers=papers,
        finishes=paper.texts("finishes"),
        prices=tuple((size, price) for name, size, price in prices if not name),
        currency=paper.text("currency", default=""),
        paper_profiles=_paper_profiles(table, papers),
        paper_prices=tuple(price for price in prices if price[0]),
    )


def _edge_to_edge(paper: Table, sheets: Sequence[Size]) -> tuple[Size, ...]:
    """The sheets printed to the edge, each one of those that the lab sells."""
    found = paper.sizes("edge_to_edge")
    for size in found:
        if size not in sheets and size.turned not in sheets:
            expected = f"sizes from the list of sheets, which does not have {size}"
            paper.refuse("edge_to_edge", expected, rests_on=["print.sheets"])
    return found


def _check_file(file: Table, lab: Lab) -> None:
    if lab.bits not in (8, 16):
        file.refuse("bits", "8 or 16")
    if lab.bits == 16 and lab.format == FileFormat.JPEG:
        file.refuse(
            "bits",
            "8, because a JPEG cannot hold 16 bits; or use format = 'tiff'",
            rests_on=["file.format"],
        )


def _pattern(naming: Table) -> str:
    pattern = naming.text("pattern", default=_PATTERN)
    used = _BRACED.findall(pattern)
    known = ", ".join(f"{{{word}}}" for word in PLACEHOLDERS)
    if not used or set(used) - set(PLACEHOLDERS):
        naming.refuse("pattern", f"text with at least one of {known}")
    elif not _LITERAL.fullmatch(_BRACED.sub("", pattern)):
        naming.refuse("pattern", f"letters, digits, '-', '_' and {known}, without an ending")
    return pattern


def _paper_profiles(table: Table, papers: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """The name of our profile for each of the lab's papers in ``[papers]``."""
    profiles, named = [], table.table("papers")
    for key, profile in named.every_text().items():
        try:
            profiles.append((own_name("papers", key, papers), profile))
        except ValueError as error:
            remedy = str(error).partition("; ")[2]
            words = f"is not in the list print.papers; {remedy}"
            named.refuse_saying(key, words, rests_on=["print.papers"])
    if profiles and not papers:
        words = "the lab lists no papers; list their names in print.papers too"
        table.refuse_saying("papers", words, rests_on=["print.papers"])
    return tuple(profiles)


def _prices(
    paper: Table, sheets: Sequence[Size], papers: Sequence[str]
) -> list[tuple[str, Size, Decimal]]:
    """The prices, each with the name of its paper, which is blank for any paper."""
    prices = []
    for text in paper.texts("prices"):
        found = read_price(text)
        name, size = _paper_and_size(found[0], papers) if found else ("", None)
        if not found or size is None:
            paper.refuse("prices", _PRICES_EXPECTED, rests_on=["print.papers"])
            continue
        if size not in sheets and size.turned not in sheets:
            written = found[0][len(name) :].strip()
            expected = f"sizes from the list of sheets, which does not have {written}"
            paper.refuse("prices", expected, rests_on=["print.sheets"])
        prices.append((name, size, found[1]))
    return prices


def _paper_and_size(text: str, papers: Sequence[str]) -> tuple[str, Size | None]:
    """The paper that a text starts with, blank if it names none, and the size that follows."""
    for name in (*sorted(papers, key=len, reverse=True), ""):  # one may start with another
        if not text.casefold().startswith(name.casefold()):
            continue
        try:
            return name, read_size(text[len(name) :])
        except ValueError:
            continue
    return "", None
