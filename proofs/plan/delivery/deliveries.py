"""A delivery to a lab as values: what each file is and was made to be, and what it was made by."""

import datetime
from dataclasses import dataclass, replace
from decimal import Decimal

from proofs.findings import Finding
from proofs.lengths import Length, PixelSize, Size
from proofs.pixel_areas import Area
from proofs.plan.checks.limits import Seen, visible_findings
from proofs.plan.checks.outcomes import seen_through, size_on_paper
from proofs.records.labs import FileFormat, Lab
from proofs.records.rules import CatalogueRule, VisibleRule

BASELINE = "baseline, 4:4:4"
"""How the JPEG files of this program are encoded."""

TITLE_ALONE = "a title"
"""What a file carries whose XMP holds its title and nothing else, as catalogue copies may."""


@dataclass(frozen=True, slots=True)
class FileFacts:
    """What a picture file says of itself.

    ``encoding`` is told of a JPEG alone, ``title`` is the one in its XMP. ``extras`` names what
    it carries beside the picture, its profile and a copyright line. ``is_turned`` says that a tag
    asks whoever shows it to turn it.
    """

    format: FileFormat
    pixels: PixelSize
    ppi: float | None
    bits: int
    channels: int
    icc: str
    icc_sha256: str
    size_bytes: int
    encoding: str = ""
    copyright: str = ""
    title: str = ""
    extras: tuple[str, ...] = ()
    is_turned: bool = False


@dataclass(frozen=True, slots=True)
class DeliveredFile:
    """One file of a delivery.

    ``image`` and ``beside`` are where the picture and all else that is printed lie, in pixels.
    ``hidden``, ``opening`` and ``slack`` say what the mat shows of it: how much it covers on each
    side, its limiting edge, and by how much the visible size may come out off. ``limits`` are the
    rules' limits on that size, as far as this file alone decides; ``verdicts`` are those of all
    rules.
    """

    file: str
    entry: str
    title: str
    copies: int
    paper: str
    finish: str
    sheet: Size
    image: Area
    margin_marks: tuple[Area, ...]
    facts: FileFacts
    sha256: str
    hidden: Length
    opening: Size | None
    slack: Length
    limits: VisibleRule
    verdicts: tuple[Finding, ...]
    missing: tuple[str, ...] = ()
    price: Decimal | None = None

    def image_size(self) -> Size:
        """Return how large the image comes out at the resolution that the file states."""
        return size_on_paper(self.image.size, self.facts.ppi or 1.0)


@dataclass(frozen=True, slots=True)
class ScreenCopy:
    """The catalogue copy of one picture of an entry: for a screen, never for the lab."""

    file: str
    entry: str
    title: str
    category: str
    facts: FileFacts
    sha256: str


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The catalogue copies of a delivery, and the rule that they were made by."""

    rule: CatalogueRule
    copies: tuple[ScreenCopy, ...]


@dataclass(frozen=True, slots=True)
class Companion:
    """A file that lies beside those for the lab."""

    file: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Delivery:
    """All that is handed over, and what it was made by; ``white`` holds the codes of bare paper.

    ``catalogue`` and ``soft_proof`` are not for the lab; None where they were not asked for.
    """

    lab: Lab
    icc_sha256: str
    white: tuple[int, ...]
    rules: str
    files: tuple[DeliveredFile, ...]
    copyright: str = ""
    keeps_metadata: bool = False
    needed_by: datetime.date | None = None
    ticket_sha256: str = ""
    catalogue: Catalogue | None = None
    soft_proof: Companion | None = None

    @property
    def companions(self) -> tuple[str, ...]:
        """The names of the files that are not for the lab."""
        copies = self.catalogue.copies if self.catalogue else ()
        proof = (self.soft_proof.file,) if self.soft_proof else ()
        return (*(copy.file for copy in copies), *proof)

    @property
    def prints(self) -> int:
        """How many prints are ordered."""
        return sum(file.copies for file in self.files)

    @property
    def cost(self) -> Decimal | None:
        """What all prints cost together, as far as prices are known; None where none is."""
        known = [file.price * file.copies for file in self.files if file.price is not None]
        return sum(known, Decimal(0)) if known else None

    @property
    def unpriced(self) -> int:
        """How many prints have no known price."""
        return sum(file.copies for file in self.files if file.price is None)


def for_the_lab(delivery: Delivery) -> Delivery:
    """Return what of a delivery the lab is told of: nothing that lies beside its files."""
    return replace(delivery, catalogue=None, soft_proof=None)


def sight_size(file: DeliveredFile, ppi: float) -> Size:
    """Return what is visible of a file in its window, at this resolution."""
    return seen_through(file.opening, file.hidden, size_on_paper(file.image.size, ppi))


def sight_findings(file: DeliveredFile, ppi: float) -> tuple[Finding, ...]:
    """Return what the rules say to the visible size of a file at this resolution."""
    return visible_findings(file.limits, [Seen(sight_size(file, ppi))], file.slack)
