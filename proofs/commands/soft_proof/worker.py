"""One entry of a soft proof, from its photographs to its mock-ups: what a worker process does."""

import traceback
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from proofs.errors import FAULT_CODE, PhotographError
from proofs.inspection.colour_difference import colour_loss, out_of_gamut
from proofs.outside.files import write_whole
from proofs.outside.loss_picture import loss_picture
from proofs.outside.mockups import empty_mount, front_png
from proofs.outside.pixels.measure.soft_proof import ProofPixels, proof_pixels
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.pages.soft_proof.pages import ProofedEntry
from proofs.plan.gamut import Medium, loss_findings
from proofs.plan.mockup import picture_pixels
from proofs.plan.outcomes import Outcome
from proofs.plan.planning import Plan
from proofs.plan.printed_steps import printed_step
from proofs.records.job import Job
from proofs.run.print_files import picture_base


@dataclass(frozen=True, slots=True)
class SoftProofTask:
    """All that a worker needs for one entry; its mock-ups go into ``folder``."""

    job: Job
    medium: Medium
    outcome: Outcome
    plan: Plan
    sources: tuple[Path, ...]
    folder: Path
    number: int
    handed_over: float | None


@dataclass(frozen=True, slots=True)
class SoftProofResult:
    """What became of a task, or the ``problem``; ``exit_code`` and ``fault`` are as in ``Made``."""

    number: int
    entry: ProofedEntry
    problem: str = ""
    exit_code: int = 0
    fault: str = ""


def soft_proof_entry(task: SoftProofTask) -> SoftProofResult:
    """Measure one entry and make its mock-ups; nothing is ever raised."""
    try:
        prepare(threads=1)
        return SoftProofResult(task.number, _made(task))
    except PhotographError as error:
        reason = str(error)
        for source, part in zip(task.sources, task.plan.parts, strict=True):
            reason = reason.replace(str(source), part.file)
        return _not_shown(task, reason, error.exit_code)
    except Exception:  # a fault of the program: told with its trace, the other entries go on
        trace = traceback.format_exc()
        reason = f"a fault of the program: {trace.strip().splitlines()[-1]}"
        return _not_shown(task, reason, FAULT_CODE, trace)


def lost_soft_proof(task: SoftProofTask) -> SoftProofResult:
    """Return what became of an entry whose worker process died, twice."""
    reason = "the worker process died; is there enough memory? Try --jobs 1"
    return _not_shown(task, reason, FAULT_CODE)


def _not_shown(task: SoftProofTask, reason: str, code: int, fault: str = "") -> SoftProofResult:
    said = f"This picture is not shown: {reason}"
    entry = ProofedEntry(task.outcome, task.plan, (), problem=said, handed_over=task.handed_over)
    return SoftProofResult(task.number, entry, reason, code, fault)


def _made(task: SoftProofTask) -> ProofedEntry:
    plan, lab = task.plan, task.job.lab
    printed = printed_step(plan, task.handed_over)
    pictures = [
        proof_pixels(
            picture_base(task.job, part, decode(source), picture_pixels(plan, n)),
            lab,
            printed.density,
        )
        for n, (part, source) in enumerate(zip(plan.parts, task.sources, strict=True))
    ]
    losses = tuple(
        colour_loss(picture.loss, picture.gamut_distance, lab.loss) for picture in pictures
    )
    return ProofedEntry(
        task.outcome,
        plan,
        losses,
        findings=loss_findings(lab, task.medium, printed.name, losses),
        mockups=_mockups(task, pictures),
        handed_over=task.handed_over,
    )


def _mockups(task: SoftProofTask, pictures: Sequence[ProofPixels]) -> tuple[str, str, str]:
    limit = task.job.lab.loss
    shown = (
        [picture.on_screen for picture in pictures],
        [picture.on_paper for picture in pictures],
        [
            loss_picture(p.on_screen, out_of_gamut(p.gamut_distance), p.loss > limit)
            for p in pictures
        ],
    )
    first, second, third = (f"{task.number}-{n}.png" for n in range(len(shown)))
    mount = empty_mount(task.plan)
    for name, codes in zip((first, second, third), shown, strict=True):
        write_whole(task.folder / name, front_png(mount, task.plan, codes))
    return first, second, third
