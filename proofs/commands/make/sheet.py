"""The proof sheet of a run, and its pages as pictures for the lab."""

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from proofs.commands.make.order import MakeOptions
from proofs.outside.page_pdfs import draw_proof_sheet
from proofs.outside.page_prints import page_prints
from proofs.outside.run_folder import RunFolder
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.making.recipes import MadeWith
from proofs.records.job import Job
from proofs.records.labs import Lab

SHEET = "proof-sheet.pdf"
PROOF_PRINTS = "proof-prints"


@dataclass(frozen=True, slots=True)
class ProofSheet:
    """The proof sheet of a run: the key of its recipe, and what writes it as a PDF.

    ``is_printed`` is whether the lab gets its pages as pictures.
    """

    key: str
    lab: Lab
    is_printed: bool
    draw: Callable[[BinaryIO], None]

    def pdf(self) -> bytes:
        """Return the sheet as a PDF."""
        stream = io.BytesIO()
        self.draw(stream)
        return stream.getvalue()


def proof_sheet_of(
    options: MakeOptions,
    job: Job,
    outcomes: Sequence[Outcome],
    *,
    folder: RunFolder,
    made_with: MadeWith,
) -> ProofSheet:
    """Return the proof sheet of these outcomes, once their mock-ups are in the folder."""
    steps = [step for outcome in outcomes for step in outcome.steps]
    shown = [name for step in steps for name in (*step.small_pictures, step.life_size) if name]
    shown += [outcome.hung for outcome in outcomes if outcome.hung]
    digests = [folder.sha256(name) for name in shown]
    page = options.paper_size, options.compact, made_with.font_sha256
    key = made_with.key("proof sheet", made_with.job(job), outcomes, digests, page)

    def draw(stream: BinaryIO) -> None:
        compact = options.compact
        draw_proof_sheet(stream, job, outcomes, options.out, options, compact=compact)

    return ProofSheet(key, job.lab, options.proof_prints, draw)


def write_sheet(sheet: ProofSheet, folder: RunFolder, made_with: MadeWith) -> None:
    """Write the proof sheet, unless it is kept, and its pages if they are asked for."""
    if not folder.keeps(SHEET, sheet.key):
        folder.write_by(SHEET, sheet.draw, sheet.key)
    if sheet.is_printed:
        write_proof_prints(sheet, folder, made_with, lambda: folder.path / SHEET)


def write_proof_prints(
    sheet: ProofSheet, folder: RunFolder, made_with: MadeWith, pdf: Callable[[], bytes | Path]
) -> None:
    """Write the pages of a proof sheet as pictures for the lab, unless they are kept.

    ``pdf`` returns the sheet, or its file.
    """
    lab = sheet.lab
    key = made_with.key("pages of a sheet", sheet.key, made_with.lab(lab))
    count = folder.result(key)
    if isinstance(count, int) and folder.keeps_all(_page_keys(key, lab, count)):
        return
    pages = list(page_prints(pdf(), lab))
    keys = _page_keys(key, lab, len(pages))
    for content, (name, page_key) in zip(pages, keys.items(), strict=True):
        folder.write(name, content, page_key)
    folder.place({}, results={key: len(pages)})


def _page_keys(key: str, lab: Lab, count: int) -> dict[str, str]:
    """The recipe key of each page by its name."""
    names = (f"{PROOF_PRINTS}/proof-sheet-{n}{lab.suffix}" for n in range(1, count + 1))
    return {name: f"{key} {n}" for n, name in enumerate(names, 1)}
