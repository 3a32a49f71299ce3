"""The work of one worker: one entry of a soft proof, from its photographs to its mock-ups."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from proofs.errors import ExitCode
from proofs.inspection.colour_difference import colour_loss, out_of_gamut
from proofs.outside.files import write_whole
from proofs.outside.loss_picture import loss_picture
from proofs.outside.mockups import empty_mount, front_png
from proofs.outside.pixels.measure.soft_proof import ProofPixels, proof_pixels
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.pages.soft_proof.pages import ProofedEntry
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.soft_proofs import Medium, loss_findings, printed_step
from proofs.plan.entry.mockup import picture_pixels
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.run.print_files import picture_base
from proofs.run.workers import Trouble


@dataclass(frozen=True, slots=True)
class SoftProofTask:
    """All that a worker needs for one entry; its mock-ups go into ``folder``.

    ``number`` counts the entries; ``handed_over`` is the density at which an entry without a
    chosen step is delivered.
    """

    job: Job
    medium: Medium
    outcome: Outcome
    plan: Plan
    sources: tuple[Path, ...]
    folder: Path
    number: int
    handed_over: float | None

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The pictures as the entries file names them."""
        files = (part.file for part in self.plan.parts)
        return (*zip(self.sources, files, strict=True), (self.folder, ""))


@dataclass(frozen=True, slots=True)
class SoftProofResult:
    """The result of a task: its entry, or the ``problem`` that stopped it.

    ``exit_code`` is that of the problem; ``fault`` is the traceback of a fault of the program.
    """

    number: int
    entry: ProofedEntry
    problem: str = ""
    exit_code: ExitCode = ExitCode.DONE
    fault: str = ""


def soft_proof_entry(task: SoftProofTask) -> SoftProofResult:
    """Measure one entry and make its mock-ups; ``spoilt_soft_proof`` handles what is raised."""
    prepare(threads=1)
    return SoftProofResult(task.number, _proof(task))


def spoilt_soft_proof(task: SoftProofTask, trouble: Trouble) -> SoftProofResult:
    """Return the result of a task that failed."""
    text = f"This picture is not shown: {trouble.reason}"
    entry = ProofedEntry(task.outcome, task.plan, (), problem=text, handed_over=task.handed_over)
    return SoftProofResult(task.number, entry, trouble.reason, trouble.exit_code, trouble.trace)


def _proof(task: SoftProofTask) -> ProofedEntry:
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
    losses = tuple(colour_loss(picture.loss, picture.excess, lab.loss) for picture in pictures)
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
        [loss_picture(p.on_screen, out_of_gamut(p.excess), p.loss > limit) for p in pictures],
    )
    first, second, third = (f"{task.number}-{n}.png" for n in range(len(shown)))
    mount = empty_mount(task.plan)
    for name, codes in zip((first, second, third), shown, strict=True):
        write_whole(task.folder / name, front_png(mount, task.plan, codes))
    return first, second, third
