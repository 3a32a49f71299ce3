"""What lies in a delivery beside the files for the lab: catalogue copies, a soft proof."""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.commands.delivery.catalogue import (
    CatalogueTask,
    CompanionResult,
    catalogue_tasks,
    copied,
)
from proofs.commands.soft_proof.run import SoftProofOrder, soft_proofed
from proofs.lengths import PixelSize
from proofs.outside.files import picture_path, write_whole
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.catalogue import FOLDER, catalogue_pixels
from proofs.plan.delivery.deliveries import Companion
from proofs.plan.delivery.gamut import SOFT_PROOF
from proofs.plan.delivery.lab_sheets import LabSheet
from proofs.plan.delivery.refusals import Refusal
from proofs.records.job import Job
from proofs.run.inputs import Inputs


@dataclass(frozen=True, slots=True)
class CompanionOptions:
    """What is wanted beside the lab's files; ``paper_size`` and ``font`` are as for the ticket."""

    catalogue: bool = False
    soft_proof: bool = False
    paper_size: str = "a4"
    font: Path | None = None


@dataclass(frozen=True, slots=True)
class CompanionOrder:
    """What to make beside the lab's files, decided."""

    copies: tuple[CatalogueTask, ...] = ()
    soft: SoftProofOrder | None = None

    @property
    def count(self) -> int:
        """How many pictures are copied and entries shown."""
        return len(self.copies) + (self.soft.count if self.soft else 0)

    @property
    def about_bytes(self) -> int:
        """About the bytes of the copies, a little too many."""
        return sum(_about_bytes(task) for task in self.copies)


def _about_bytes(task: CatalogueTask) -> int:
    pixels = catalogue_pixels(PixelSize(task.crop.width, task.crop.height), task.rule)
    at_most = pixels.width * pixels.height
    return min(at_most, task.rule.most_bytes or at_most)


def companion_order(
    job: Job,
    gathered: Inputs,
    outcomes: Sequence[Outcome],
    sheets: Sequence[LabSheet],
    wishes: CompanionOptions,
) -> CompanionOrder:
    """Return what to make beside these sheets; an entry without a sheet has no part in it.

    Raises ``UsageError`` where copies are wanted and the rules say nothing of them.
    """
    handed = {sheet.entry.number for sheet in sheets}
    its = tuple(outcome for outcome in outcomes if outcome.entry.number in handed)
    copies = catalogue_tasks(job, its, gathered.folder) if wishes.catalogue else ()
    return CompanionOrder(
        copies=tuple(replace(task, name=f"{FOLDER}/{task.name}") for task in copies),
        soft=_soft_order(job, gathered, its, sheets, wishes) if wishes.soft_proof else None,
    )


def _soft_order(
    job: Job,
    gathered: Inputs,
    outcomes: tuple[Outcome, ...],
    sheets: Sequence[LabSheet],
    wishes: CompanionOptions,
) -> SoftProofOrder:
    """The soft proof of what is handed over, each entry at the density of its sheets."""
    return SoftProofOrder(
        job=job,
        outcomes=outcomes,
        sources={
            o.entry.number: tuple(picture_path(gathered.folder, p.file) for p in o.entry.pictures)
            for o in outcomes
        },
        paper_size=wishes.paper_size,
        font=wishes.font,
        handed_over={s.entry.number: s.density for s in sheets if not s.is_chosen},
    )


def make_companions(
    order: CompanionOrder,
    folder: Path,
    *,
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[], None],
) -> CompanionResult:
    """Write what is wanted into a folder and return what it is.

    ``done`` is called after each copy and each entry shown.
    """
    made = copied(order.copies, folder, jobs=jobs, stopped=stopped, done=done)
    if order.soft is None or made.refusals or not made.is_whole:
        return made
    soft = soft_proofed(order.soft, jobs=jobs, stopped=stopped, done=done)
    write_whole(folder / SOFT_PROOF, soft.pdf)
    entries = [(one.entry.outcome.entry, one) for one in soft.made]
    return replace(
        made,
        soft_proof=Companion(SOFT_PROOF, hashlib.sha256(soft.pdf).hexdigest()),
        refusals=tuple(
            Refusal(entry.number, entry.title, f"no soft proof: {one.problem}", one.exit_code)
            for entry, one in entries
            if one.problem
        ),
        notes=(*made.notes, *((e.number, f) for e, one in entries for f in one.entry.findings)),
        faults=(*made.faults, *soft.faults),
        is_whole=len(soft.made) == order.soft.count,
    )
