"""The proof sheet of a run of test strips, as pictures for a lab that prints pictures only.

It is the same sheet that ``make`` writes, but without print files.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from proofs.commands.make.order import MakeOptions, MakeOrder, MakeResult, MakeTask
from proofs.commands.make.run import (
    announced,
    in_order,
    made_entries,
    sheet_of,
    tasks_of,
    write_proof_prints,
)
from proofs.commands.strip.layout import StripOrder
from proofs.commands.strip.record import StripOutcome
from proofs.errors import ExitCode, largest
from proofs.outside.run_folder import RunFolder
from proofs.plan.checks.outcomes import Outcome, exit_code_of
from proofs.run.workers import Workers


@dataclass(frozen=True, slots=True)
class ProofPrintsOrder:
    """The mock-ups that a run of test strips needs for its proof sheet; none unless asked for."""

    order: MakeOrder
    tasks: tuple[MakeTask, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the files, relative to the output folder."""
        return tuple(name for task in self.tasks for name in task.file_names)

    @property
    def about_bytes(self) -> int:
        """An upper estimate of the files' bytes."""
        return announced(self.tasks).about_bytes


@dataclass(frozen=True, slots=True)
class ProofPrintsResult:
    """The exit code of the proof prints, and the tracebacks of faults."""

    exit_code: ExitCode = ExitCode.DONE
    faults: tuple[str, ...] = ()


def plan_proofs(order: StripOrder, outcomes: Sequence[Outcome], workers: int) -> ProofPrintsOrder:
    """Return the mock-ups to make, shared among this many workers."""
    options = MakeOptions(font=order.options.font, prints=False)
    make_order = MakeOrder(order.job, order.inputs, order.folder, options, order.paper_size)
    tasks = tasks_of(make_order, outcomes, workers) if order.proof_prints else ()
    return ProofPrintsOrder(make_order, tasks)


def make_proofs(
    proofs: ProofPrintsOrder,
    entries: Sequence[StripOutcome],
    folder: RunFolder,
    workers: Workers,
) -> ProofPrintsResult:
    """Make mock-ups and proof prints.

    The sheet shows the tones measured for the strips; an interrupted run writes no sheet.
    """
    if not proofs.tasks:
        return ProofPrintsResult()
    made = made_entries(folder, proofs.tasks, workers)
    finished = in_order([entry.outcome for entry in entries], made)
    code = largest([exit_code_of(finished), *(result.exit_code for result in made.values())])
    if len(made) == len(proofs.tasks):
        sheet = sheet_of(proofs.order, [_with_mockups(entry, made) for entry in entries])
        write_proof_prints(proofs.order, sheet, folder)
    return ProofPrintsResult(code, tuple(result.fault for result in made.values() if result.fault))


def _with_mockups(entry: StripOutcome, made: Mapping[str, MakeResult]) -> Outcome:
    """The outcome of an entry's strips, with its mock-ups."""
    mockups = made.get(entry.outcome.entry.number)
    if mockups is None:
        return entry.outcome
    if not mockups.outcome.status.is_judged:
        return mockups.outcome
    steps = mockups.outcome.steps
    if entry.tones:
        pairs = zip(steps, entry.tones, strict=True)
        steps = tuple(replace(step, tones=tones) for step, tones in pairs)
    return replace(entry.outcome, steps=steps, mockup_back=mockups.outcome.mockup_back)
