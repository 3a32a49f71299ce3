"""The soft proof as a PDF, from its entries and their mock-ups."""

import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from proofs.outside.fonts import load_fonts
from proofs.outside.proof_sheet import pdf_with_mockups
from proofs.pages.soft_proof.pages import PaperShown, ProofedEntry, soft_proof_pages
from proofs.records.job import Job


def soft_proof_pdf(
    job: Job,
    paper: PaperShown,
    entries: Sequence[ProofedEntry],
    folder: Path,
    *,
    paper_size: str,
    font: Path | None,
) -> bytes:
    """Return the PDF; the mock-ups that the entries name lie in ``folder``.

    ``paper_size`` is ``a4`` or ``letter``; ``font`` adds characters that ours lacks.
    """
    fonts = load_fonts(font)
    pages = soft_proof_pages(job, paper, entries, paper_size=paper_size, measure=fonts.width)
    return pdf_with_mockups(pages, folder, fonts=fonts, title="Soft proof")


@contextmanager
def room_for_mockups() -> Iterator[Path]:
    """Give a folder for mock-ups that only the PDF needs; it goes away afterwards."""
    with tempfile.TemporaryDirectory(prefix="proofs-soft-") as folder:
        yield Path(folder)
