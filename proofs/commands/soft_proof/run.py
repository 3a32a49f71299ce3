"""A whole soft proof: its order, its tasks and its PDF."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from proofs.commands.soft_proof.worker import (
    SoftProofResult,
    SoftProofTask,
    soft_proof_entry,
    spoilt_soft_proof,
)
from proofs.errors import ExitCode, largest
from proofs.findings import Finding
from proofs.outside.page_pdfs import room_for_mockups, soft_proof_pdf
from proofs.outside.pixels.measure.soft_proof import paper_colour, print_medium_of
from proofs.pages.soft_proof.pages import PaperShown
from proofs.plan.checks.checking import by_severity
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.soft_proofs import Medium
from proofs.records.job import Job
from proofs.run.workers import Workers


@dataclass(frozen=True, slots=True)
class SoftProofOrder:
    """What to proof: each entry at its printed step.

    ``sources`` are the photographs by entry number, in the order of the plan's pictures;
    ``handed_over`` are the densities, by entry number, at which entries without a chosen step
    are delivered. ``paper_size`` is ``a4`` or ``letter``; ``font`` is a font file or None.
    """

    job: Job
    outcomes: Sequence[Outcome]
    sources: Mapping[str, tuple[Path, ...]]
    paper_size: str = "a4"
    font: Path | None = None
    handed_over: Mapping[str, float] = field(default_factory=dict)

    @property
    def count(self) -> int:
        """The number of entries that have a picture to show."""
        return sum(_is_shown(outcome) for outcome in self.outcomes)


@dataclass(frozen=True, slots=True)
class SoftProofRun:
    """The result of a soft proof: the outcomes with its findings, its PDF, and its entries."""

    outcomes: tuple[Outcome, ...]
    pdf: bytes
    made: tuple[SoftProofResult, ...]

    @property
    def exit_code(self) -> ExitCode:
        """The largest exit code of its entries."""
        return largest(one.exit_code for one in self.made)

    @property
    def faults(self) -> tuple[str, ...]:
        """The tracebacks of faults of the program."""
        return tuple(one.fault for one in self.made if one.fault)


def make_soft_proof(order: SoftProofOrder, workers: Workers) -> SoftProofRun:
    """Return the soft proof of all entries that have a picture to show, in order.

    Raises ``ProfileError`` if the lab's profile cannot be used.
    """
    medium = print_medium_of(order.job.lab)
    with room_for_mockups() as folder:
        tasks = _tasks(order, medium, folder)
        made = sorted(
            workers.results(soft_proof_entry, tasks, spoilt=spoilt_soft_proof),
            key=lambda result: result.number,
        )
        pdf = soft_proof_pdf(
            order.job,
            PaperShown(medium, paper_colour(medium)),
            [one.entry for one in made],
            folder,
            paper_size=order.paper_size,
            font=order.font,
        )
    found = {one.number: one.entry.findings for one in made}
    return SoftProofRun(
        tuple(
            _with_findings(outcome, found.get(n, ())) for n, outcome in enumerate(order.outcomes)
        ),
        pdf,
        tuple(made),
    )


def _tasks(order: SoftProofOrder, medium: Medium, folder: Path) -> list[SoftProofTask]:
    return [
        SoftProofTask(
            job=order.job,
            medium=medium,
            outcome=outcome,
            plan=outcome.plan,
            sources=order.sources[outcome.entry.number],
            folder=folder,
            number=number,
            handed_over=order.handed_over.get(outcome.entry.number),
        )
        for number, outcome in enumerate(order.outcomes)
        if outcome.plan and _is_shown(outcome)
    ]


def _is_shown(outcome: Outcome) -> bool:
    return outcome.plan is not None and outcome.status.is_judged


def _with_findings(outcome: Outcome, findings: tuple[Finding, ...]) -> Outcome:
    if not findings:
        return outcome
    return replace(outcome, findings=by_severity((*outcome.findings, *findings)))
