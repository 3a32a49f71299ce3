"""The proof sheet of a run as a PDF, from its outcomes and its ready mock-ups."""

from collections.abc import Sequence
from pathlib import Path

from proofs.errors import WriteError
from proofs.outside.files import read_bytes
from proofs.outside.fonts import load_fonts
from proofs.outside.pdf import write_pdf
from proofs.outside.sheet_pictures import sheet_pictures
from proofs.pages.sheet import proof_sheet
from proofs.plan.outcomes import Outcome
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

    def measure(text: str, weight: str, size: float) -> float:
        return fonts.width(text, weight, size)

    def read(name: str) -> bytes:
        return read_bytes(folder / name, error=WriteError)

    pages = proof_sheet(job, outcomes, paper=paper_size, version=version, measure=measure)
    with sheet_pictures(pages, read) as picture:
        return write_pdf(pages, fonts=fonts, picture_bytes=picture, title="Proof sheet")
