"""The companions of a delivery, which are not for the lab: catalogue copies and a soft proof."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.commands.delivery.catalogue import CatalogueTask, catalogue_copies, catalogue_tasks
from proofs.commands.delivery.order import DeliveryOrder
from proofs.commands.soft_proof.run import SoftProofOrder, SoftProofRun, make_soft_proof
from proofs.findings import Finding
from proofs.outside.files import sha256_of_bytes, write_whole
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.deliveries import Catalogue, Companion, Delivery
from proofs.plan.delivery.lab_sheets import LabSheet
from proofs.plan.delivery.refusals import Refusal
from proofs.plan.delivery.soft_proofs import SOFT_PROOF
from proofs.run.workers import Workers


@dataclass(frozen=True, slots=True)
class CompanionOrder:
    """The companions to make."""

    copies: tuple[CatalogueTask, ...] = ()
    soft: SoftProofOrder | None = None

    @property
    def count(self) -> int:
        """The number of pictures to copy and of entries to proof."""
        return len(self.copies) + (self.soft.count if self.soft else 0)

    @property
    def about_bytes(self) -> int:
        """An upper estimate of the bytes of the copies."""
        return sum(task.about_bytes for task in self.copies)


@dataclass(frozen=True, slots=True)
class CompanionResult:
    """The companions that were made; unless all were, nothing is delivered.

    ``notes`` are findings by entry number; ``is_whole`` is False if the run was interrupted.
    """

    catalogue: Catalogue | None = None
    soft_proof: Companion | None = None
    refusals: tuple[Refusal, ...] = ()
    notes: tuple[tuple[str, Finding], ...] = ()
    faults: tuple[str, ...] = ()
    is_whole: bool = True

    def joined_to(self, delivery: Delivery) -> Delivery:
        """Return a delivery with these companions."""
        return replace(delivery, catalogue=self.catalogue, soft_proof=self.soft_proof)


def companion_order(
    order: DeliveryOrder, outcomes: Sequence[Outcome], sheets: Sequence[LabSheet]
) -> CompanionOrder:
    """Return the companions to make for these sheets; an entry without a sheet has none.

    Raises ``UsageError`` if copies are asked for and the rules do not describe them.
    """
    numbers = {sheet.entry.number for sheet in sheets}
    delivered = tuple(outcome for outcome in outcomes if outcome.entry.number in numbers)
    options, folder = order.options, order.inputs.folder
    return CompanionOrder(
        copies=catalogue_tasks(order.job, delivered, folder) if options.catalogue else (),
        soft=_soft_proof_order(order, delivered, sheets) if options.soft_proof else None,
    )


def make_companions(order: CompanionOrder, folder: Path, workers: Workers) -> CompanionResult:
    """Write the companions into a folder and return what they are."""
    copies = catalogue_copies(order.copies, folder, workers)
    made = CompanionResult(
        catalogue=copies.catalogue,
        refusals=copies.refusals,
        notes=copies.notes,
        faults=copies.faults,
        is_whole=copies.is_whole,
    )
    if order.soft is None or made.refusals or not made.is_whole:
        return made
    return _with_soft_proof(made, order.soft, make_soft_proof(order.soft, workers), folder)


def _soft_proof_order(
    order: DeliveryOrder, outcomes: tuple[Outcome, ...], sheets: Sequence[LabSheet]
) -> SoftProofOrder:
    """The order for a soft proof of each delivered entry, at the density of its sheets."""
    return SoftProofOrder(
        job=order.job,
        outcomes=outcomes,
        sources={o.entry.number: order.inputs.pictures_of(o.entry) for o in outcomes},
        paper_size=order.options.paper_size,
        font=order.options.font,
        handed_over={s.entry.number: s.density for s in sheets if not s.is_chosen},
    )


def _with_soft_proof(
    made: CompanionResult, order: SoftProofOrder, soft: SoftProofRun, folder: Path
) -> CompanionResult:
    write_whole(folder / SOFT_PROOF, soft.pdf)
    entries = [(one.entry.outcome.entry, one) for one in soft.made]
    return replace(
        made,
        soft_proof=Companion(SOFT_PROOF, sha256_of_bytes(soft.pdf)),
        refusals=tuple(
            Refusal(entry.number, entry.title, f"no soft proof: {one.problem}", one.exit_code)
            for entry, one in entries
            if one.problem
        ),
        notes=(*made.notes, *((e.number, f) for e, one in entries for f in one.entry.findings)),
        faults=(*made.faults, *soft.faults),
        is_whole=len(soft.made) == order.count,
    )
