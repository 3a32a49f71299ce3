"""The documents of a run as PDFs."""

import tempfile
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Protocol

from proofs.inspection.inspected import InspectedEntry
from proofs.inspection.wedge_reading import WedgeReading
from proofs.outside.pdf import Document, LayOut, PictureBytes, no_pictures, pages_pdf
from proofs.outside.qr import qr_modules
from proofs.outside.temporary_folders import temporary_folder_in
from proofs.pages.bench.pages import Supplies, bench_pages
from proofs.pages.delivery.ticket import ticket_pages
from proofs.pages.inspection.pages import inspection_pages
from proofs.pages.labels.pages import label_pages
from proofs.pages.proof_sheet.sheet import proof_sheet
from proofs.pages.soft_proof.entry import PaperShown, ProofedEntry
from proofs.pages.soft_proof.pages import soft_proof_pages
from proofs.pages.strip.key import Preview, StripSteps, strip_pages
from proofs.pages.strip.reading_plot import reading_page
from proofs.pages.templates.pages import template_pages
from proofs.plan.bench.labels import BothSides, LabelOrder, code_text, labels_of
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.mount_kinds import BenchEntry
from proofs.plan.cutting.templates import templates_of
from proofs.plan.delivery.deliveries import Delivery
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job

_NO_THUMBNAILS: Mapping[str, Sequence[BothSides[bytes]]] = {}


class PageOptions(Protocol):
    """The options of a command that concern its pages."""

    @property
    def paper_size(self) -> str:
        """The size of a page: ``a4`` or ``letter``."""

    @property
    def font(self) -> Path | None:
        """A font file for characters that our typeface lacks, or None."""


def proof_sheet_pdf(
    job: Job,
    outcomes: Sequence[Outcome],
    folder: Path,
    options: PageOptions,
    *,
    compact: bool = False,
) -> bytes:
    """Return the proof sheet; the small pictures that its outcomes name are in ``folder``.

    ``compact`` puts two entries on a page.
    """
    lay_out = partial(proof_sheet, job, outcomes, compact=compact)
    return _pdf(lay_out, Document("Proof sheet", job.author, job.unit), options, pictures=folder)


def soft_proof_pdf(
    job: Job,
    paper: PaperShown,
    entries: Sequence[ProofedEntry],
    folder: Path,
    options: PageOptions,
) -> bytes:
    """Return the soft proof; the mock-ups that its entries name are in ``folder``."""
    lay_out = partial(soft_proof_pages, job, paper, entries)
    return _pdf(lay_out, Document("Soft proof", job.author, job.unit), options, pictures=folder)


def inspection_pdf(
    job: Job, entries: Sequence[InspectedEntry], folder: Path, options: PageOptions
) -> bytes:
    """Return the pages of an inspection; the pictures that they show are in ``folder``."""
    lay_out = partial(inspection_pages, job, entries)
    return _pdf(lay_out, Document("Inspection", job.author, job.unit), options, pictures=folder)


@contextmanager
def room_for_mockups() -> Iterator[Path]:
    """Yield a temporary folder for mock-ups that only the PDF needs."""
    with temporary_folder_in(Path(tempfile.gettempdir()), "proofs-soft-") as folder:
        yield folder


def mounting_pdf(
    job: Job,
    benches: Sequence[BenchEntry],
    supplies: Supplies,
    options: PageOptions,
    *,
    left_out: str = "",
) -> bytes:
    """Return the pages for the bench, in the order of the work.

    ``left_out`` says which entries are not on them, here and below.
    """
    lay_out = partial(bench_pages, job, benches, supplies)
    return _pdf(
        _leaving_out(left_out, lay_out), Document("Mounting", job.author, job.unit), options
    )


def templates_pdf(
    job: Job,
    plans: Sequence[Plan],
    options: PageOptions,
    *,
    measured: Collection[str] = (),
    left_out: str = "",
    is_whole: bool = False,
) -> bytes:
    """Return the full-size templates; mounts that are alike share one.

    ``measured`` holds the numbers of the entries whose prints were measured: the pages of all
    others are stamped. They show the corners of each mount, or all of it if ``is_whole``. Raises
    ``ValueError`` if there is no plan.
    """
    if not plans:
        raise ValueError("no plan, so there is no template to draw")
    templates = templates_of(plans, measured)
    lay_out = partial(template_pages, templates, marks_of(job), is_whole=is_whole)
    document = Document("Templates", job.author, job.unit)
    return _pdf(_leaving_out(left_out, lay_out), document, options)


def labels_pdf(
    job: Job,
    outcomes: Sequence[Outcome],
    order: LabelOrder,
    options: PageOptions,
    *,
    left_out: str = "",
    thumbnails: Mapping[str, Sequence[BothSides[bytes]]] = _NO_THUMBNAILS,
) -> bytes:
    """Return the pages of labels, one label for each entry, and of where each label goes.

    The page size is that of plain paper; a label sheet has its own. ``thumbnails`` are JPEGs of
    what is seen of the pictures of each entry, by its number.
    """
    files: dict[str, bytes] = {}
    labelled = []
    for each in labels_of(outcomes, job.rules, order.exhibitor):
        names = []
        for n, sides in enumerate(thumbnails.get(each.label.number, ())):
            named = BothSides(f"{each.label.number} {n} front", f"{each.label.number} {n} back")
            files |= {named.front: sides.front, named.back: sides.back}
            names.append(named)
        labelled.append(replace(each, pictures=tuple(names)))
    labels = [each.label for each in labelled] if order.qr else []
    codes = {label.number: qr_modules(code_text(label)) for label in labels}
    lay_out = partial(label_pages, labelled, codes, order)
    document = Document("Labels", job.author, job.unit)
    shown = files.__getitem__
    return _pdf(_leaving_out(left_out, lay_out), document, options, pictures=shown)


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
    return _pdf(lay_out, Document("Test strips", job.author, job.unit), options, pictures=shown)


def ticket_pdf(
    delivery: Delivery, previews: Mapping[str, bytes], options: PageOptions, *, author: str = ""
) -> bytes:
    """Return the order ticket; ``previews`` are JPEGs of the lab's files, by name.

    ``author`` is who enters the prints, blank if unknown.
    """
    lay_out = partial(ticket_pages, delivery)
    return _pdf(lay_out, Document("Print order", author), options, pictures=previews.__getitem__)


def reading_pdf(reading: WedgeReading, *, name: str, sentences: Sequence[str]) -> bytes:
    """Return the plot of a wedge read back; ``name`` is the scan's."""
    return pages_pdf(
        lambda layout: [
            reading_page(reading, name=name, sentences=sentences, measure=layout.measure)
        ],
        Document("The wedge read back"),
    )


def _leaving_out(left_out: str, lay_out: LayOut) -> LayOut:
    """The same pages, with a line at the foot of each that says which entries they leave out."""
    return lambda layout: lay_out(replace(layout, left_out=left_out))


def _pdf(
    lay_out: LayOut,
    document: Document,
    options: PageOptions,
    *,
    pictures: PictureBytes | Path = no_pictures,
) -> bytes:
    return pages_pdf(
        lay_out,
        document,
        paper_size=options.paper_size,
        font=options.font,
        pictures=pictures,
    )
