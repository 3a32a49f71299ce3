"""The companions of a delivery, which are not for the lab: catalogue copies and a soft proof."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.commands.delivery.catalogue import CatalogueTask, catalogue_copies, catalogue_tasks
from proofs.commands.delivery.kept import DeliveryNotes
from proofs.commands.delivery.order import Companions, DeliveryOptions
from proofs.commands.soft_proof.run import SoftProofOrder, make_soft_proof, soft_proof_key
from proofs.findings import Finding
from proofs.outside.files import sha256_of_bytes, write_whole
from proofs.plan.delivery.deliveries import Companion
from proofs.plan.delivery.lab_sheets import LabSheet
from proofs.plan.delivery.refusals import Refusal
from proofs.plan.delivery.soft_proofs import SOFT_PROOF
from proofs.run.preflight import Preflight
from proofs.run.workers import Workers

_Noted = tuple[tuple[str, tuple[Finding, ...]], ...]


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


def companion_order(
    options: DeliveryOptions, ready: Preflight, sheets: Sequence[LabSheet]
) -> CompanionOrder:
    """Return the companions to make for these sheets; an entry without a sheet has none.

    Raises ``UsageError`` if copies are asked for and the rules do not describe them.
    """
    numbers = {sheet.entry.number for sheet in sheets}
    delivered = [outcome for outcome in ready.outcomes if outcome.entry.number in numbers]
    copies, soft = tuple[CatalogueTask, ...](), None
    if options.catalogue:
        metadata = options.metadata_wish(ready.inputs.source.job_file)
        copies = catalogue_tasks(ready.job, delivered, ready.inputs.path_of, metadata)
    if options.soft_proof:
        soft = SoftProofOrder(
            job=ready.job,
            outcomes=delivered,
            sources={o.entry.number: ready.inputs.pictures_of(o.entry) for o in delivered},
            paper_size=options.paper_size,
            font=options.font,
            densities={s.entry.number: s.density for s in sheets if not s.is_chosen},
        )
    return CompanionOrder(copies, soft)


def make_companions(
    order: CompanionOrder, folder: Path, workers: Workers, notes: DeliveryNotes
) -> Companions:
    """Write the companions into a folder and return what they are."""
    made = catalogue_copies(order.copies, folder, workers, notes)
    if order.soft is None or made.refusals or not made.is_whole:
        return made
    every = [notes.digests_of(pictures) for pictures in order.soft.sources.values()]
    known = dict(zip(order.soft.sources, every, strict=True)) if all(every) else None
    key = soft_proof_key(order.soft, known, notes.made_with) if known else ""
    if kept := notes.taken_over(key, folder / SOFT_PROOF, _Noted):
        sha256, found = kept
        for _ in range(order.soft.count):
            workers.after_each("")
        return replace(
            made,
            soft_proof=Companion(SOFT_PROOF, sha256),
            notes=(*made.notes, *_one_by_one(dict(found))),
        )
    soft = make_soft_proof(order.soft, workers)
    write_whole(folder / SOFT_PROOF, soft.pdf)
    sha256 = sha256_of_bytes(soft.pdf)
    if soft.is_whole and key:
        notes.note(key, sha256, tuple(soft.findings.items()))
    return replace(
        made,
        soft_proof=Companion(SOFT_PROOF, sha256),
        refusals=tuple(
            Refusal(e.number, e.title, f"no soft proof: {trouble.reason}", trouble.exit_code)
            for e, trouble in soft.stopped
        ),
        notes=(*made.notes, *_one_by_one(soft.findings)),
        troubles=(*made.troubles, *soft.troubles),
        is_whole=len(soft.findings) == order.soft.count,
    )


def _one_by_one(
    findings: Mapping[str, tuple[Finding, ...]],
) -> Iterator[tuple[str, Finding]]:
    return ((number, finding) for number, found in findings.items() for finding in found)
