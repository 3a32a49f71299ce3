"""A whole soft proof: its order, its tasks and its PDF."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from proofs.commands.soft_proof.worker import SoftProofTask, soft_proof_entry
from proofs.findings import Finding
from proofs.outside.page_pdfs import room_for_mockups, soft_proof_pdf
from proofs.outside.pixels.measure.soft_proof import paper_colour, print_medium_of
from proofs.pages.soft_proof.entry import PaperShown, ProofedEntry
from proofs.plan.checks.checking import by_severity
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.soft_proofs import Medium, printed_step
from proofs.plan.making.recipes import MadeWith
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.run.workers import Trouble, Workers


@dataclass(frozen=True, slots=True)
class SoftProofOrder:
    """What to proof: each entry at its printed step.

    ``sources`` are the photographs by entry number, in the order of the plan's pictures;
    ``densities`` are those, by entry number, at which entries without a chosen step are
    delivered. ``paper_size`` is ``a4`` or ``letter``; ``font`` is a font file or None.
    """

    job: Job
    outcomes: Sequence[Outcome]
    sources: Mapping[str, tuple[Path, ...]]
    paper_size: str = "a4"
    font: Path | None = None
    densities: Mapping[str, float] = field(default_factory=dict)

    @property
    def count(self) -> int:
        """The number of entries that have a picture to show."""
        return sum(_is_shown(outcome) for outcome in self.outcomes)


@dataclass(frozen=True, slots=True)
class SoftProofRun:
    """The result of a soft proof: its findings by entry number, in order, and its PDF.

    ``stopped`` are the entries that failed, each with what stopped it. ``is_whole`` is False if
    any entry is missing.
    """

    findings: Mapping[str, tuple[Finding, ...]]
    pdf: bytes
    stopped: tuple[tuple[Entry, Trouble], ...]
    is_whole: bool

    @property
    def troubles(self) -> tuple[Trouble, ...]:
        """What stopped entries."""
        return tuple(trouble for _, trouble in self.stopped)


def soft_proof_key(
    order: SoftProofOrder, digests: Mapping[str, tuple[str, ...]], made_with: MadeWith
) -> str:
    """Return the key of a soft proof; ``digests`` are those of the photographs, by entry."""
    shown = [outcome for outcome in order.outcomes if _is_shown(outcome)]
    pictures = [(outcome.plan, digests[outcome.entry.number]) for outcome in shown]
    page = order.paper_size, made_with.font_sha256
    job = made_with.job(order.job)
    return made_with.key("soft proof", job, pictures, order.densities, page)


def make_soft_proof(order: SoftProofOrder, workers: Workers) -> SoftProofRun:
    """Return the soft proof of all entries that have a picture to show, in order.

    Raises ``ProfileError`` if the lab's profile cannot be used.
    """
    medium = print_medium_of(order.job.lab)
    with room_for_mockups() as folder:
        tasks = _tasks(order, medium, folder)
        results = workers.ordered_results(soft_proof_entry, tasks)
        made = [r if isinstance(r, ProofedEntry) else _not_shown(t, r) for t, r in results]
        pdf = soft_proof_pdf(
            order.job,
            PaperShown(medium, paper_colour(medium)),
            made,
            folder,
            order,
        )
    findings = {entry.plan.entry.number: entry.findings for entry in made}
    stopped = [(task.plan.entry, r) for task, r in results if isinstance(r, Trouble)]
    is_whole = not stopped and len(made) == order.count
    return SoftProofRun(findings, pdf, tuple(stopped), is_whole)


def with_soft_proof(
    outcomes: Sequence[Outcome], findings: Mapping[str, tuple[Finding, ...]]
) -> tuple[Outcome, ...]:
    """Return outcomes with the findings of their soft proof, which are by entry number."""
    return tuple(
        replace(o, findings=by_severity((*o.findings, *findings.get(o.entry.number, ()))))
        for o in outcomes
    )


def _not_shown(task: SoftProofTask, trouble: Trouble) -> ProofedEntry:
    problem = f"This picture is not shown: {trouble.reason}"
    return ProofedEntry(task.plan, task.printed, problem=problem)


def _tasks(order: SoftProofOrder, medium: Medium, folder: Path) -> list[SoftProofTask]:
    return [
        SoftProofTask(
            job=order.job,
            medium=medium,
            plan=outcome.plan,
            printed=printed_step(outcome.plan, order.densities.get(outcome.entry.number)),
            sources=order.sources[outcome.entry.number],
            folder=folder,
            place=place,
        )
        for place, outcome in enumerate(order.outcomes)
        if outcome.plan and _is_shown(outcome)
    ]


def _is_shown(outcome: Outcome) -> bool:
    return outcome.plan is not None and outcome.status.is_judged
