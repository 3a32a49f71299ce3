"""The work of one worker: one sheet of a delivery, from its photographs to its file."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from proofs.commands.delivery.order import DeliveryOptions
from proofs.findings import Finding
from proofs.inspection.uniform_edges import uniform_edge_findings
from proofs.outside.files import sha256_of_bytes, write_whole
from proofs.outside.fonts import load_fonts
from proofs.outside.margin_line_drawing import margin_greys
from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.measure.edge_lines import edge_lines
from proofs.outside.pixels.metadata.extract import Metadata
from proofs.outside.pixels.metadata.stated import finished_metadata
from proofs.outside.pixels.prints.composition import on_lab_sheet, on_surround
from proofs.outside.pixels.prints.encoding import encoded, preview_jpeg
from proofs.outside.pixels.prints.file_facts import file_facts
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.deliveries import FileFacts
from proofs.plan.delivery.lab_sheets import LabSheet
from proofs.plan.entry.mockup import PAPER, board_colour, front_colour
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.metadata_wish import MetadataWish
from proofs.records.mounts import WindowKind
from proofs.run.print_files import image_base, print_base

_PREVIEW_PX = 500


@dataclass(frozen=True, slots=True)
class DeliveryTask:
    """All that a worker needs for one sheet; ``sources`` are the files of its pictures.

    Its file gets the ``metadata``. The sheet is written to ``folder``/``name``.
    """

    job: Job
    outcome: Outcome
    plan: Plan
    sheet: LabSheet
    sources: tuple[Path, ...]
    folder: Path
    name: str
    options: DeliveryOptions
    metadata: MetadataWish

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The pictures as the entries file names them; the temporary folder is not named."""
        files = (self.plan.parts[n].file for n in self.sheet.piece.pictures)
        return ((self.folder, ""), *zip(self.sources, files, strict=True))


@dataclass(frozen=True, slots=True)
class DeliveryResult:
    """The result of a sheet: the facts read back from its file.

    ``preview`` is a small JPEG, or None for a file taken over from an earlier delivery.
    ``digests`` are those of its pictures' files.
    """

    facts: FileFacts
    sha256: str
    preview: bytes | None
    findings: tuple[Finding, ...]
    digests: tuple[str, ...]


def make_lab_sheet(task: DeliveryTask) -> DeliveryResult:
    """Make the file of one sheet and return the result."""
    prepare(threads=1)
    job, sheet = task.job, task.sheet
    found: list[Finding] = []
    images, kept, digests = [], Metadata(), []
    for n, source in zip(sheet.piece.pictures, task.sources, strict=True):
        photograph = decode(source, expected=task.plan.parts[n].facts)
        base = print_base(job, task.plan.parts[n], photograph, sharpen=task.options.sharpen)
        images.append(variant_image(base, job.lab, sheet.density))
        digests.append(photograph.sha256)
        found += photograph.facts.notes
        lines = edge_lines(image_base(base, task.plan.parts[n]))
        found += uniform_edge_findings(lines, task.plan, n, job.lab.ppi)
        kept = kept if images[1:] else finished_metadata(photograph.metadata, task.metadata)
    extras = margin_greys(
        sheet.margin_marks,
        job.lab.ppi,
        load_fonts(task.options.font),
        number=sheet.number,
        image=sheet.piece.lying.image.size,
    )
    laid_out = on_lab_sheet(_print(task, images), job.lab, sheet.placing, extras)
    content = encoded(laid_out, job.lab, kept=kept)
    write_whole(task.folder / task.name, content)
    return DeliveryResult(
        file_facts(content),
        sha256_of_bytes(content),
        sheet_preview(content, sheet),
        tuple(found),
        tuple(digests),
    )


def sheet_preview(content: bytes, sheet: LabSheet) -> bytes:
    """Return the file of a sheet as a small JPEG."""
    return preview_jpeg(content, min(_PREVIEW_PX, sheet.placing.file.width))


def _print(task: DeliveryTask, images: Sequence[Any]) -> Any:
    """The picture, or several with their surround, or with white, between them."""
    together, plan = task.sheet.piece.areas, task.plan
    if together is None:
        return images[0]
    colours = (PAPER, PAPER)
    if plan.mount.window == WindowKind.SURROUND:
        colours = (front_colour(plan.mount), board_colour(plan.mount.keyline_colour))
    return on_surround(together, images, task.job.lab, colours)
