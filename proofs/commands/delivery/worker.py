"""One sheet of a delivery from its photograph to its file: what a worker process does."""

import hashlib
import os
import traceback
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from proofs.errors import FAULT_CODE, ProofsError
from proofs.findings import Finding
from proofs.inspection.uniform_edges import uniform_edge_findings
from proofs.outside.files import write_whole
from proofs.outside.fonts import load_fonts
from proofs.outside.margin_line_drawing import margin_greys
from proofs.outside.pixels.conversion.convert import variant_image
from proofs.outside.pixels.measure.edge_lines import edge_lines
from proofs.outside.pixels.metadata.extract import Metadata, with_copyright
from proofs.outside.pixels.prints.composition import on_lab_sheet, on_surround
from proofs.outside.pixels.prints.encoding import encoded, preview_jpeg
from proofs.outside.pixels.prints.file_facts import file_facts
from proofs.outside.pixels.source.decode import Photograph, decode
from proofs.outside.pixels.vips import prepare
from proofs.plan.deliveries import FileFacts
from proofs.plan.lab_sheets import LabSheet
from proofs.plan.mockup import PAPER, board_colour, front_colour
from proofs.plan.planning import Plan
from proofs.records.job import Job
from proofs.run.print_files import print_base

_PREVIEW_PX = 500


@dataclass(frozen=True, slots=True)
class DeliveryFileOptions:
    """What goes into the files of a delivery beside their pixels, and how they are sharpened.

    ``copyright`` is a line to put in, or blank; ``sharpen`` and ``font`` are as for ``make``.
    """

    keep_metadata: bool = False
    copyright: str = ""
    sharpen: str | None = None
    font: Path | None = None


@dataclass(frozen=True, slots=True)
class DeliveryTask:
    """All that a worker needs for one sheet; ``sources`` are the files of its pictures.

    The sheet's own file goes to ``folder``/``name``.
    """

    job: Job
    plan: Plan
    sheet: LabSheet
    sources: tuple[Path, ...]
    folder: Path
    name: str
    wishes: DeliveryFileOptions


@dataclass(frozen=True, slots=True)
class DeliveryResult:
    """What became of a sheet: what its file says of itself, or the problem that there was.

    ``preview`` is the sheet as a small JPEG.
    """

    name: str
    facts: FileFacts | None = None
    sha256: str = ""
    preview: bytes = b""
    findings: tuple[Finding, ...] = ()
    problem: str = ""
    exit_code: int = 0
    fault: str = ""


def make_lab_sheet(task: DeliveryTask) -> DeliveryResult:
    """Make the file of one sheet and return what became of it; nothing is ever raised."""
    try:
        prepare(threads=1)
        return _made(task)
    except ProofsError as error:
        # The folder is a passing one: nobody could find it.
        problem = str(error).replace(f"{task.folder}{os.sep}", "")
        for n, source in zip(task.sheet.piece.pictures, task.sources, strict=True):
            problem = problem.replace(str(source), task.plan.parts[n].file)
        return DeliveryResult(task.name, problem=problem, exit_code=error.exit_code)
    except Exception:  # a fault of the program: told with its trace, the other sheets go on
        trace = traceback.format_exc()
        problem = f"a fault of the program: {trace.strip().splitlines()[-1]}"
        return DeliveryResult(task.name, problem=problem, exit_code=FAULT_CODE, fault=trace)


def lost_lab_sheet(task: DeliveryTask) -> DeliveryResult:
    """Return what became of a sheet whose worker process died, twice."""
    reason = "the worker process died; is there enough memory? Try --jobs 1"
    return DeliveryResult(task.name, problem=reason, exit_code=FAULT_CODE)


def _made(task: DeliveryTask) -> DeliveryResult:
    job, sheet = task.job, task.sheet
    found: list[Finding] = []
    images, kept = [], Metadata()
    for n, source in zip(sheet.piece.pictures, task.sources, strict=True):
        photograph = decode(source)
        base = print_base(job, task.plan.parts[n], photograph, sharpen=task.wishes.sharpen)
        images.append(variant_image(base, job.lab, sheet.density))
        found += photograph.facts.notes
        found += uniform_edge_findings(edge_lines(base), task.plan, n, job.lab.ppi)
        kept = kept if images[1:] else _kept(task.wishes, photograph)
    extras = margin_greys(
        sheet.margin_marks,
        job.lab.ppi,
        load_fonts(task.wishes.font),
        number=sheet.number,
        image=sheet.piece.lying.image.size,
    )
    laid_out = on_lab_sheet(_print(task, images), job.lab, sheet.placing, extras)
    content = encoded(laid_out, job.lab, kept=kept)
    write_whole(task.folder / task.name, content)
    return DeliveryResult(
        task.name,
        file_facts(content),
        hashlib.sha256(content).hexdigest(),
        preview_jpeg(content, min(_PREVIEW_PX, sheet.placing.file.width)),
        tuple(found),
    )


def _print(task: DeliveryTask, images: Sequence[Any]) -> Any:
    """The picture, or several with what lies between them: their surround, or white."""
    together, plan = task.sheet.piece.together, task.plan
    if together is None:
        return images[0]
    colours = (PAPER, PAPER)
    if plan.mount.window == "surround":
        colours = (front_colour(plan), board_colour(plan.mount.keyline_colour))
    return on_surround(together, images, task.job.lab, colours)


def _kept(wishes: DeliveryFileOptions, photograph: Photograph) -> Metadata:
    kept = photograph.metadata if wishes.keep_metadata else Metadata()
    return with_copyright(kept, wishes.copyright) if wishes.copyright else kept
