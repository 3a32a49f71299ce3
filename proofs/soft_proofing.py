"""The soft proof of a run: every print through the lab's profile, measured and shown."""

import traceback
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.crew import work
from proofs.errors import PhotographError
from proofs.findings import Finding
from proofs.inspection.colour_loss import beyond_reach, colour_loss
from proofs.making import FAULT_CODE
from proofs.outside.files import write_whole
from proofs.outside.loss_picture import loss_picture
from proofs.outside.mockups import empty_mount, front_png
from proofs.outside.pixels.opening import decode
from proofs.outside.pixels.soft_proof import ProofPixels, medium_of, paper_colour, proof_pixels
from proofs.outside.pixels.vips import prepare
from proofs.outside.soft_proof_pdf import room_for_mockups, soft_proof_pdf
from proofs.pages.soft_proof_pages import PaperShown, Proofed
from proofs.plan.checking import gravest_first
from proofs.plan.gamut import Medium, loss_findings
from proofs.plan.mockup import picture_pixels
from proofs.plan.outcomes import Outcome
from proofs.plan.planning import Plan
from proofs.printing import picture_base
from proofs.records.job import Job

SOFT_PROOF = "soft-proof.pdf"
_NOT_SHOWN = ("not-understood", "unreadable", "failed", "not-done")


@dataclass(frozen=True, slots=True)
class SoftOrder:
    """What to proof: outcomes, and their photographs by entry number; each at its printed step.

    The photographs of an entry are in the order of its plan's pictures.
    ``paper_size`` is ``a4`` or ``letter``; ``font`` is a font file or None.
    """

    job: Job
    outcomes: Sequence[Outcome]
    sources: Mapping[str, tuple[Path, ...]]
    paper_size: str = "a4"
    font: Path | None = None


@dataclass(frozen=True, slots=True)
class SoftTask:
    """All that a worker needs for one entry; its mock-ups go into ``folder``."""

    job: Job
    medium: Medium
    outcome: Outcome
    plan: Plan
    sources: tuple[Path, ...]
    folder: Path
    number: int


@dataclass(frozen=True, slots=True)
class SoftMade:
    """What became of a task; ``exit_code`` and ``fault`` are as in ``Made``."""

    number: int
    entry: Proofed
    exit_code: int = 0
    fault: str = ""


@dataclass(frozen=True, slots=True)
class SoftRun:
    """The soft proof of a run: the outcomes with what it found, its PDF, its exit code."""

    outcomes: tuple[Outcome, ...]
    pdf: bytes
    exit_code: int = 0
    faults: tuple[str, ...] = ()


def soft_proofed(
    order: SoftOrder,
    *,
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[], None] = lambda: None,
) -> SoftRun:
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
    return SoftRun(
        tuple(_with(outcome, found.get(n, ())) for n, outcome in enumerate(order.outcomes)),
        pdf,
        max((one.exit_code for one in made), default=0),
        tuple(one.fault for one in made if one.fault),
    )


def _tasks(order: SoftOrder, medium: Medium, folder: Path) -> list[SoftTask]:
    return [
        SoftTask(order.job, medium, o, o.plan, order.sources[o.entry.number], folder, number)
        for number, o in enumerate(order.outcomes)
        if o.plan and o.status not in _NOT_SHOWN
    ]


def soft_proof_entry(task: SoftTask) -> SoftMade:
    """Measure one entry and make its mock-ups; nothing is ever raised."""
    try:
        prepare(threads=1)
        return SoftMade(task.number, _made(task))
    except PhotographError as error:
        reason = str(error)
        for source, part in zip(task.sources, task.plan.parts, strict=True):
            reason = reason.replace(str(source), part.file)
        return SoftMade(task.number, _not_shown(task, reason), error.exit_code)
    except Exception:  # a fault of the program: told with its trace, the other entries go on
        trace = traceback.format_exc()
        reason = f"a fault of the program: {trace.strip().splitlines()[-1]}"
        return SoftMade(task.number, _not_shown(task, reason), FAULT_CODE, trace)


def lost_soft_proof(task: SoftTask) -> SoftMade:
    """Return what became of an entry whose worker process died, twice."""
    reason = "the worker process died; is there enough memory? Try --jobs 1"
    return SoftMade(task.number, _not_shown(task, reason), FAULT_CODE)


def _not_shown(task: SoftTask, reason: str) -> Proofed:
    return Proofed(task.outcome, task.plan, (), problem=f"This picture is not shown: {reason}")


def _made(task: SoftTask) -> Proofed:
    plan, lab = task.plan, task.job.lab
    pictures = [
        proof_pixels(
            picture_base(task.job, part, decode(source), picture_pixels(plan, n)),
            lab,
            plan.printed.density,
        )
        for n, (part, source) in enumerate(zip(plan.parts, task.sources, strict=True))
    ]
    losses = tuple(colour_loss(picture.loss, picture.beyond, lab.loss) for picture in pictures)
    findings = loss_findings(lab, task.medium, plan.printed.step, losses)
    return Proofed(task.outcome, plan, losses, findings, _mockups(task, pictures))


def _mockups(task: SoftTask, pictures: Sequence[ProofPixels]) -> tuple[str, str, str]:
    limit = task.job.lab.loss
    shown = (
        [picture.as_it_is for picture in pictures],
        [picture.on_paper for picture in pictures],
        [loss_picture(p.as_it_is, beyond_reach(p.beyond), p.loss > limit) for p in pictures],
    )
    first, second, third = (f"{task.number}-{n}.png" for n in range(len(shown)))
    mount = empty_mount(task.plan)
    for name, codes in zip((first, second, third), shown, strict=True):
        write_whole(task.folder / name, front_png(mount, task.plan, codes))
    return first, second, third


def _with(outcome: Outcome, findings: tuple[Finding, ...]) -> Outcome:
    if not findings:
        return outcome
    return replace(outcome, findings=gravest_first((*outcome.findings, *findings)))
