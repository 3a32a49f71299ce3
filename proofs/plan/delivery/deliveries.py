"""A delivery to a lab as values: its files, what they were made from, and what they must be."""

import datetime
from dataclasses import dataclass, replace
from decimal import Decimal

from proofs.findings import Finding
from proofs.lengths import ZERO, Borders, PixelSize, Size
from proofs.pixel_areas import Area
from proofs.plan.checks.limits import Seen, visible_findings
from proofs.plan.checks.outcomes import possible_sizes, seen_through, size_on_paper
from proofs.plan.checks.size_checks import badness
from proofs.records.job import NO_CUSTOMER, Customer
from proofs.records.labs import FileFormat, Lab
from proofs.records.metadata_wish import NO_METADATA, MetadataWish
from proofs.records.rules import CatalogueRule, VisibleRule

BASELINE = "baseline, 4:4:4"
"""How the JPEG files of this program are encoded."""

TITLE_ALONE = "a title"
"""The name, among ``extras``, of an XMP that holds only a title, as in a catalogue copy."""

DESCRIBED, CREDIT_XMP, CREDIT_IPTC = "a description", "a credit in XMP", "a credit in IPTC"
"""The names of what holds nothing but a creator, a copyright and a title: in EXIF the description,
and XMP or IPTC with nothing else in it."""


@dataclass(frozen=True, slots=True)
class FileFacts:
    """What is read from a picture file.

    ``encoding`` is blank unless it is a JPEG. ``copyright`` and ``creator`` are those in its EXIF,
    ``title`` is the one in its XMP. ``extras`` names what it contains besides the picture, its
    profile and those two lines. ``is_turned`` states whether a tag asks viewers to turn the
    picture.
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
    creator: str = ""
    title: str = ""
    extras: tuple[str, ...] = ()
    is_turned: bool = False


@dataclass(frozen=True, slots=True)
class DeliveredFile:
    """One file of a delivery.

    ``image`` and ``margin_marks`` are the areas of the picture and of everything else printed, in
    pixels. The mat hides ``hidden`` of the image on each side; ``opening`` is the limiting edge.
    Each visible side may be off by ``slack``. ``limits`` are the rules' limits on the visible
    size, as far as this file alone decides them; ``verdicts`` are the findings on all rules. With
    ``is_to_edge`` the picture fills the file, and ``image`` is what the lab leaves of it at least.
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
    hidden: Borders
    opening: Size | None
    slack: Size
    limits: VisibleRule
    verdicts: tuple[Finding, ...]
    missing: tuple[str, ...] = ()
    price: Decimal | None = None
    is_to_edge: bool = False

    @property
    def picture(self) -> Area:
        """The area of the file that the picture covers, in pixels."""
        return Area.of(self.facts.pixels) if self.is_to_edge else self.image

    @property
    def made_of(self) -> tuple[str, ...]:
        """The paper and the finish, as far as they are known and not the same word."""
        words = {word.casefold(): word for word in (self.finish, self.paper) if word}
        return tuple(reversed(words.values()))

    def image_size(self) -> Size:
        """Return the size of the printed image at the resolution that the file states."""
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
    """The catalogue copies of a delivery, and the rule that they follow."""

    rule: CatalogueRule
    copies: tuple[ScreenCopy, ...]


@dataclass(frozen=True, slots=True)
class Companion:
    """A file of a delivery that is not for the lab."""

    file: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Delivery:
    """Everything in a delivery, and what it was made from; ``white`` is the code of bare paper.

    ``metadata`` is what its files and its catalogue copies were to keep and to state.
    ``catalogue`` and ``soft_proof`` are not for the lab; they are None if not asked for.
    ``customer`` is whom the lab delivers to.
    """

    lab: Lab
    icc_sha256: str
    white: tuple[int, ...]
    rules: str
    files: tuple[DeliveredFile, ...]
    metadata: MetadataWish = NO_METADATA
    needed_by: datetime.date | None = None
    ticket_sha256: str = ""
    catalogue: Catalogue | None = None
    soft_proof: Companion | None = None
    customer: Customer = NO_CUSTOMER

    @property
    def companions(self) -> tuple[str, ...]:
        """The names of the files that are not for the lab."""
        copies = self.catalogue.copies if self.catalogue else ()
        proof = (self.soft_proof.file,) if self.soft_proof else ()
        return (*(copy.file for copy in copies), *proof)

    @property
    def prints(self) -> int:
        """The number of prints ordered."""
        return sum(file.copies for file in self.files)

    @property
    def cost(self) -> Decimal | None:
        """The cost of all prints with a known price; None if no price is known."""
        known = [file.price * file.copies for file in self.files if file.price is not None]
        return sum(known, Decimal(0)) if known else None

    @property
    def unpriced(self) -> int:
        """The number of prints without a known price."""
        return sum(file.copies for file in self.files if file.price is None)


def for_the_lab(delivery: Delivery) -> Delivery:
    """Return the delivery as the lab sees it: without the files that are not for the lab."""
    return replace(delivery, catalogue=None, soft_proof=None)


def sight_findings(lab: Lab, file: DeliveredFile, ppi: float) -> tuple[Finding, ...]:
    """Return the findings of the rules on the visible size of a file at this resolution.

    Its sides come from whole pixels, so they are judged with half a pixel to spare.
    """
    found = []
    untrimmed = lab.edge_loss if file.is_to_edge and file.opening is None else ZERO
    for image in possible_sizes(file.image.size, ppi):
        sight = seen_through(file.opening, file.hidden, image)
        seen = Seen(sight, file.slack, untrimmed=untrimmed)
        found.append(visible_findings(file.limits, [seen]))
    return min(found, key=badness)
