"""The documents of a run as PDFs."""

import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import BinaryIO, Protocol

from proofs.inspection.inspected import InspectedEntry
from proofs.inspection.wedge_reading import WedgeReading
from proofs.outside.pdf import Document, LayOut, PictureBytes, draw_pages, no_pictures, pages_pdf
from proofs.outside.temporary_folders import temporary_folder_in
from proofs.pages.delivery.ticket import ticket_pages
from proofs.pages.inspection.pages import inspection_pages
from proofs.pages.proof_sheet.sheet import proof_sheet
from proofs.pages.soft_proof.entry import PaperShown, ProofedEntry
from proofs.pages.soft_proof.pages import soft_proof_pages
from proofs.pages.strip.key import Preview, StripSteps, strip_pages
from proofs.pages.strip.reading_plot import reading_page
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.deliveries import Delivery
from proofs.records.job import Job


class PageOptions(Protocol):
    """The options of a command that concern its pages."""

    @property
    def paper_size(self) -> str:
        """The size of a page: ``a4`` or ``letter``."""

    @property
    def font(self) -> Path | None:
        """A font file for characters that our typeface lacks, or None."""


def draw_proof_sheet(
    stream: BinaryIO,
    job: Job,
    outcomes: Sequence[Outcome],
    folder: Path,
    options: PageOptions,
    *,
    compact: bool = False,
) -> None:
    """Write the proof sheet into a stream; the small pictures of its outcomes are in ``folder``.

    ``compact`` puts two entries on a page.
    """
    draw_pages(
        stream,
        partial(proof_sheet, job, outcomes, compact=compact),
        Document("Proof sheet", job.author, job.unit),
        paper_size=options.paper_size,
        font=options.font,
        pictures=folder,
    )


def soft_proof_pdf(
    job: Job,
    paper: PaperShown,
    entries: Sequence[ProofedEntry],
    folder: Path,
    options: PageOptions,
) -> bytes:
    """Return the soft proof; the mock-ups that its entries name are in ``folder``."""
    lay_out = partial(soft_proof_pages, job, paper, entries)
    return document_pdf(
        lay_out, Document("Soft proof", job.author, job.unit), options, pictures=folder
    )


def inspection_pdf(
    job: Job, entries: Sequence[InspectedEntry], folder: Path, options: PageOptions
) -> bytes:
    """Return the pages of an inspection; the pictures that they show are in ``folder``."""
    lay_out = partial(inspection_pages, job, entries)
    return document_pdf(
        lay_out, Document("Inspection", job.author, job.unit), options, pictures=folder
    )


@contextmanager
def room_for_mockups() -> Iterator[Path]:
    """Yield a temporary folder for mock-ups that only the PDF needs."""
    with temporary_folder_in(Path(tempfile.gettempdir()), "proofs-soft-") as folder:
        yield folder


def strip_pdf(
    job: Job,
    entries: Sequence[StripSteps],
    previews: Sequence[Preview],
    pictures: Mapping[str, bytes],
    options: PageOptions,
) -> bytes:
    """Return the key to the test strips; ``pictures`` are JPEGs of the sheets, by name."""
    lay_out = partial(strip_pages, job, entries, previews)
    shown = pictures.__getitem__
    return document_pdf(
        lay_out, Document("Test strips", job.author, job.unit), options, pictures=shown
    )


def ticket_pdf(
    delivery: Delivery, previews: Mapping[str, bytes], options: PageOptions, *, author: str = ""
) -> bytes:
    """Return the order ticket; ``previews`` are JPEGs of the lab's files, by name.

    ``author`` is who enters the prints, blank if unknown.
    """
    lay_out = partial(ticket_pages, delivery)
    return document_pdf(
        lay_out, Document("Print order", author), options, pictures=previews.__getitem__
    )


def reading_pdf(reading: WedgeReading, *, name: str, sentences: Sequence[str]) -> bytes:
    """Return the plot of a wedge read back; ``name`` is the scan's."""
    return pages_pdf(
        lambda layout: [
            reading_page(reading, name=name, sentences=sentences, measure=layout.measure)
        ],
        Document("The wedge read back"),
    )


def document_pdf(
    lay_out: LayOut,
    document: Document,
    options: PageOptions,
    *,
    pictures: PictureBytes | Path = no_pictures,
) -> bytes:
    """Return the pages of a document as its options want them; the rest is as in ``pages_pdf``."""
    return pages_pdf(
        lay_out,
        document,
        paper_size=options.paper_size,
        font=options.font,
        pictures=pictures,
    )
