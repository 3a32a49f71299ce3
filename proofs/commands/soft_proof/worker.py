"""The work of one worker: one entry of a soft proof, from its photographs to its mock-ups."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from proofs.inspection.colour_difference import colour_loss, out_of_gamut
from proofs.outside.files import write_whole
from proofs.outside.loss_picture import loss_picture
from proofs.outside.mockups import empty_mount, front_png
from proofs.outside.pixels.measure.soft_proof import ProofPixels, proof_pixels
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.pages.soft_proof.entry import NO_MOCKUPS, ProofedEntry
from proofs.plan.delivery.soft_proofs import (
    Medium,
    PrintedStep,
    loses_something,
    loss_findings,
)
from proofs.plan.entry.mockup import picture_pixels
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.run.print_files import picture_base


@dataclass(frozen=True, slots=True)
class SoftProofTask:
    """All that a worker needs for one entry; its mock-ups go into ``folder``.

    ``place`` is the entry's place among all entries.
    """

    job: Job
    medium: Medium
    plan: Plan
    printed: PrintedStep
    sources: tuple[Path, ...]
    folder: Path
    place: int

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The pictures as the entries file names them."""
        files = (part.file for part in self.plan.parts)
        return (*zip(self.sources, files, strict=True), (self.folder, ""))


def soft_proof_entry(task: SoftProofTask) -> ProofedEntry:
    """Measure one entry, make its mock-ups and return the result."""
    prepare(threads=1)
    plan, lab, printed = task.plan, task.job.lab, task.printed
    pictures = [
        proof_pixels(
            picture_base(
                task.job, part, decode(source, expected=part.facts), picture_pixels(plan, n)
            ),
            lab,
            printed.density,
        )
        for n, (part, source) in enumerate(zip(plan.parts, task.sources, strict=True))
    ]
    losses = tuple(colour_loss(picture.loss, picture.excess, lab.loss) for picture in pictures)
    return ProofedEntry(
        plan,
        printed,
        losses,
        findings=loss_findings(lab, task.medium, printed.name, losses),
        mockups=_mockups(task, pictures) if loses_something(losses) else NO_MOCKUPS,
    )


def _mockups(task: SoftProofTask, pictures: Sequence[ProofPixels]) -> tuple[str, str, str]:
    limit = task.job.lab.loss
    shown = (
        [picture.on_screen for picture in pictures],
        [picture.on_paper for picture in pictures],
        [loss_picture(p.on_screen, out_of_gamut(p.excess), p.loss > limit) for p in pictures],
    )
    first, second, third = (f"{task.place}-{n}.png" for n in range(len(shown)))
    mount = empty_mount(task.plan)
    for name, codes in zip((first, second, third), shown, strict=True):
        write_whole(task.folder / name, front_png(mount, task.plan, codes))
    return first, second, third
