"""The labels of a run as a PDF."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from proofs.outside.fonts import load_fonts
from proofs.outside.pdf import no_pictures, write_pdf
from proofs.outside.qr import qr_modules
from proofs.pages.labels.pages import plain_pages, sheet_pages
from proofs.plan.bench.labels import LabelOrder, code_text, labels_of
from proofs.plan.checks.outcomes import Outcome
from proofs.records.job import Job


def labels_pdf(
    job: Job,
    outcomes: Sequence[Outcome],
    order: LabelOrder,
    *,
    paper_size: str,
    font: Path | None,
    version: str,
) -> bytes:
    """Return the PDF: a label an entry, and where each of them goes.

    ``paper_size``, ``a4`` or ``letter``, is that of plain paper; a label sheet has its own.
    ``font`` adds characters that ours lacks.
    """
    fonts = load_fonts(font)
    labelled = labels_of(outcomes, job.rules, order.exhibitor)
    labels = [each.label for each in labelled] if order.qr else []
    codes = {label.number: qr_modules(code_text(label)) for label in labels}
    told: dict[str, Any] = {
        "version": version,
        "measure": fonts.width,
        "unmeasured": order.unmeasured,
    }
    if order.sheet is None:
        pages = plain_pages(labelled, codes, page=paper_size, **told)
    else:
        pages = sheet_pages(labelled, codes, sheet=order.sheet, **told)
    return write_pdf(pages, fonts=fonts, picture_bytes=no_pictures, title="Labels")
