"""The soft proof of a run: every print through the lab's profile, measured and shown."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from proofs.commands.soft_proof.worker import (
    SoftProofResult,
    SoftProofTask,
    lost_soft_proof,
    soft_proof_entry,
)
from proofs.findings import Finding
from proofs.outside.pixels.soft_proof import medium_of, paper_colour
from proofs.outside.soft_proof_pdf import room_for_mockups, soft_proof_pdf
from proofs.pages.soft_proof.pages import PaperShown
from proofs.plan.checks.checking import gravest_first
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.gamut import Medium
from proofs.records.job import Job
from proofs.run.workers import work

_NOT_SHOWN = ("not-understood", "unreadable", "failed", "not-done")


@dataclass(frozen=True, slots=True)
class SoftProofOrder:
    """What to proof: outcomes, and their photographs by entry number; each at its printed step.

    The photographs of an entry are in the order of its plan's pictures.
    ``paper_size`` is ``a4`` or ``letter``; ``font`` is a font file or None. ``handed_over`` holds,
    by entry number, the density at which a delivery takes those that chose none.
    """

    job: Job
    outcomes: Sequence[Outcome]
    sources: Mapping[str, tuple[Path, ...]]
    paper_size: str = "a4"
    font: Path | None = None
    handed_over: Mapping[str, float] = field(default_factory=dict)

    @property
    def count(self) -> int:
        """How many entries have a picture to show."""
        return sum(_is_shown(outcome) for outcome in self.outcomes)


@dataclass(frozen=True, slots=True)
class SoftProofRun:
    """The soft proof of a run: the outcomes with what it found, its PDF, and its entries."""

    outcomes: tuple[Outcome, ...]
    pdf: bytes
    made: tuple[SoftProofResult, ...]

    @property
    def exit_code(self) -> int:
        """The largest of its entries'."""
        return max((one.exit_code for one in self.made), default=0)

    @property
    def faults(self) -> tuple[str, ...]:
        """The traces of faults of the program."""
        return tuple(one.fault for one in self.made if one.fault)


def soft_proofed(
    order: SoftProofOrder,
    *,
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[], None] = lambda: None,
) -> SoftProofRun:
    """Return the soft proof of all entries that have a picture to show, in their order.

    ``done`` is called after each entry.
    Raises ``ProfileError`` where the lab's profile cannot be used.
    """
    medium = medium_of(order.job.lab)
    with room_for_mockups() as folder:
        tasks = _tasks(order, medium, folder)
        made = []
        for one in work(soft_proof_entry, tasks, jobs=jobs, lost=lost_soft_proof, stopped=stopped):
            made.append(one)
            done()
        made.sort(key=lambda one: one.number)
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
        tuple(_with(outcome, found.get(n, ())) for n, outcome in enumerate(order.outcomes)),
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
    return outcome.plan is not None and outcome.status not in _NOT_SHOWN


def _with(outcome: Outcome, findings: tuple[Finding, ...]) -> Outcome:
    if not findings:
        return outcome
    return replace(outcome, findings=gravest_first((*outcome.findings, *findings)))
