"""The documents of a run as PDFs."""

import tempfile
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

from proofs.inspection.wedge_reading import WedgeReading
from proofs.outside.passing import passing_folder_in
from proofs.outside.pdf import pages_pdf
from proofs.outside.qr import qr_modules
from proofs.pages.delivery.ticket import ticket_pages
from proofs.pages.drawing import Page
from proofs.pages.labels.pages import label_pages
from proofs.pages.proof_sheet.sheet import proof_sheet
from proofs.pages.soft_proof.pages import PaperShown, ProofedEntry, soft_proof_pages
from proofs.pages.strip.key import Preview, StripSteps, strip_pages
from proofs.pages.strip.reading_plot import reading_page
from proofs.pages.templates.pages import template_pages
from proofs.pages.typography import Measure
from proofs.plan.bench.labels import LabelOrder, code_text, labels_of
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.cutting.templates import templates_of
from proofs.plan.delivery.deliveries import Delivery
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job


def proof_sheet_pdf(
    job: Job,
    outcomes: Sequence[Outcome],
    folder: Path,
    *,
    paper_size: str,
    font: Path | None,
    version: str,
) -> bytes:
    """Return the proof sheet; the mock-ups that its outcomes name are in ``folder``."""

    def lay_out(measure: Measure) -> Sequence[Page]:
        return proof_sheet(job, outcomes, paper_size=paper_size, version=version, measure=measure)

    return pages_pdf(lay_out, title="Proof sheet", font=font, mockups=folder)


def soft_proof_pdf(
    job: Job,
    paper: PaperShown,
    entries: Sequence[ProofedEntry],
    folder: Path,
    *,
    paper_size: str,
    font: Path | None,
) -> bytes:
    """Return the soft proof; the mock-ups that its entries name are in ``folder``."""

    def lay_out(measure: Measure) -> Sequence[Page]:
        return soft_proof_pages(job, paper, entries, paper_size=paper_size, measure=measure)

    return pages_pdf(lay_out, title="Soft proof", font=font, mockups=folder)


@contextmanager
def room_for_mockups() -> Iterator[Path]:
    """Give a folder for mock-ups that only the PDF needs, and remove it afterwards."""
    with passing_folder_in(Path(tempfile.gettempdir()), "proofs-soft-") as folder:
        yield folder


def templates_pdf(
    plans: Sequence[Plan],
    *,
    measured: Collection[str] = (),
    paper_size: str,
    font: Path | None,
    version: str,
) -> bytes:
    """Return the full-size templates; mounts that are alike share one.

    ``measured`` holds the numbers of the entries whose prints were measured: the pages of all
    others are stamped. Raises ``ValueError`` where there is no plan.
    """
    if not plans:
        raise ValueError("no plan, so there is no template to draw")
    templates = templates_of(plans, measured)

    def lay_out(measure: Measure) -> Sequence[Page]:
        return template_pages(templates, paper_size=paper_size, version=version, measure=measure)

    return pages_pdf(lay_out, title="Templates", font=font)


def labels_pdf(
    job: Job,
    outcomes: Sequence[Outcome],
    order: LabelOrder,
    *,
    paper_size: str,
    font: Path | None,
    version: str,
) -> bytes:
    """Return the labels, one for each entry, and where each of them goes.

    ``paper_size`` is that of plain paper; a label sheet has its own.
    """
    labelled = labels_of(outcomes, job.rules, order.exhibitor)
    labels = [each.label for each in labelled] if order.qr else []
    codes = {label.number: qr_modules(code_text(label)) for label in labels}

    def lay_out(measure: Measure) -> Sequence[Page]:
        return label_pages(
            labelled, codes, order, paper_size=paper_size, version=version, measure=measure
        )

    return pages_pdf(lay_out, title="Labels", font=font)


def strip_pdf(
    job: Job,
    entries: Sequence[StripSteps],
    previews: Sequence[Preview],
    pictures: Mapping[str, bytes],
    *,
    paper_size: str,
    font: Path | None,
) -> bytes:
    """Return the key to the test strips; ``pictures`` are JPEGs of the sheets, by name."""

    def lay_out(measure: Measure) -> Sequence[Page]:
        return strip_pages(job, entries, previews, paper_size=paper_size, measure=measure)

    return pages_pdf(lay_out, title="Test strips", font=font, picture_bytes=pictures.__getitem__)


def ticket_pdf(
    delivery: Delivery, previews: Mapping[str, bytes], *, paper_size: str, font: Path | None
) -> bytes:
    """Return the order ticket; ``previews`` are JPEGs of the lab's files, by name."""

    def lay_out(measure: Measure) -> Sequence[Page]:
        return ticket_pages(delivery, paper_size=paper_size, measure=measure)

    return pages_pdf(lay_out, title="Print order", font=font, picture_bytes=previews.__getitem__)


def reading_pdf(reading: WedgeReading, *, name: str, said: Sequence[str]) -> bytes:
    """Return the plot of a wedge read back; ``name`` is the scan's, ``said`` goes above it."""

    def lay_out(measure: Measure) -> Sequence[Page]:
        return [reading_page(reading, name=name, said=said, measure=measure)]

    return pages_pdf(lay_out, title="The wedge read back")
