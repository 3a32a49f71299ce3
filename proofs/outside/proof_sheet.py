"""The proof sheet of a run as a PDF, from its outcomes and its ready mock-ups."""

from collections.abc import Sequence
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.files import read_bytes
from proofs.outside.fonts import Fonts, load_fonts
from proofs.outside.pdf import write_pdf
from proofs.outside.sheet_pictures import sheet_pictures
from proofs.pages.drawing import Page
from proofs.pages.proof_sheet.sheet import proof_sheet
from proofs.plan.checks.outcomes import Outcome
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
    """Return the PDF; the mock-ups that its outcomes name lie in ``folder``.

    ``paper_size`` is ``a4`` or ``letter``; ``font`` adds characters that ours lacks.
    """
    fonts = load_fonts(font)
    pages = proof_sheet(job, outcomes, paper=paper_size, version=version, measure=fonts.width)
    return pdf_with_mockups(pages, folder, fonts=fonts, title="Proof sheet")


def pdf_with_mockups(pages: Sequence[Page], folder: Path, *, fonts: Fonts, title: str) -> bytes:
    """Return the pages as a PDF; the mock-ups that they show lie in ``folder``."""

    def read(name: str) -> bytes:
        return read_bytes(folder / name, error=WriteError)

    with sheet_pictures(pages, read) as picture:
        return write_pdf(pages, fonts=fonts, picture_bytes=picture, title=title)
