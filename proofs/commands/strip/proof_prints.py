"""The proof sheet beside test strips, as pictures: for a lab that takes nothing else.

It is what ``make`` makes, but for the print files, which belong to a run of their own.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from proofs.commands.make.order import MakeOptions, MakeResult, MakeTask, file_names
from proofs.commands.make.run import (
    MakeOrder,
    announced,
    exit_code_of,
    in_order,
    sheet_of,
    tasks_of,
    work_through,
    write_proof_prints,
)
from proofs.commands.strip.layout import StripOrder
from proofs.commands.strip.record import StripOutcome
from proofs.errors import FAULT_CODE
from proofs.outside.output import OutputFolder
from proofs.plan.checks.outcomes import Outcome


@dataclass(frozen=True, slots=True)
class ProofPrintsOrder:
    """The mock-ups that a run of test strips is to make for its proof sheet; none unless asked."""

    order: MakeOrder
    tasks: tuple[MakeTask, ...]
    jobs: int
    about_bytes: int = 0

    @property
    def names(self) -> tuple[str, ...]:
        """The names of their files, relative to the output folder."""
        return tuple(
            name
            for task in self.tasks
            for name in file_names(task.outcome, task.stem, "", task.wishes)
        )


@dataclass(frozen=True, slots=True)
class ProofPrintsResult:
    """The exit code that the proof prints give a run, and the traces of faults of the program."""

    exit_code: int = 0
    faults: tuple[str, ...] = ()


def plan_proofs(order: StripOrder, outcomes: Sequence[Outcome], jobs: int) -> ProofPrintsOrder:
    """Return the mock-ups that are to be made, for so many workers."""
    wishes = MakeOptions(font=order.wishes.font, prints=False)
    own = MakeOrder(order.job, order.gathered, order.folder, wishes, order.paper_size)
    if not order.proof_prints:
        return ProofPrintsOrder(own, (), jobs)
    tasks = tuple(tasks_of(own, outcomes, jobs))
    return ProofPrintsOrder(own, tasks, jobs, announced(own, outcomes).about_bytes)


def make_proofs(
    proofs: ProofPrintsOrder,
    entries: Sequence[StripOutcome],
    folder: OutputFolder,
    record: dict[str, str],
    *,
    stopped: Callable[[], bool],
    done: Callable[[], None],
) -> ProofPrintsResult:
    """Make mock-ups and proof prints, and note them in ``record``.

    The sheet tells the tones that the strips measured; a run that was stopped leaves none.
    """
    if not proofs.tasks:
        return ProofPrintsResult()
    made = work_through(
        folder,
        record,
        proofs.tasks,
        jobs=proofs.jobs,
        stopped=stopped,
        done=lambda outcome: done(),
    )
    code = max([exit_code_of(in_order([e.outcome for e in entries], made)), *_codes(made)])
    if len(made) == len(proofs.tasks):
        sheet = sheet_of(proofs.order, [_on_the_sheet(entry, made) for entry in entries])
        record |= write_proof_prints(proofs.order, sheet)
    return ProofPrintsResult(code, tuple(result.fault for result in made.values() if result.fault))


def _codes(made: Mapping[str, MakeResult]) -> list[int]:
    return [result.exit_code for result in made.values()]


def _on_the_sheet(entry: StripOutcome, made: Mapping[str, MakeResult]) -> Outcome:
    """The entry as its strips left it, with its mock-ups."""
    mocked = made.get(entry.outcome.entry.number)
    if mocked is None:
        return entry.outcome
    if mocked.exit_code == FAULT_CODE:
        return mocked.outcome
    steps = mocked.outcome.steps
    if entry.tones:
        pairs = zip(steps, entry.tones, strict=True)
        steps = tuple(replace(step, tones=tones) for step, tones in pairs)
    return replace(entry.outcome, steps=steps, mockup_back=mocked.outcome.mockup_back)
