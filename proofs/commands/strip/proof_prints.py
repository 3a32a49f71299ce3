"""The proof sheet of a run of test strips, as pictures for a lab that prints pictures only.

It is the same sheet that ``make`` writes, but without print files.
"""

from collections.abc import Sequence
from dataclasses import replace

from proofs.commands.make.entries import EntryWork, made_entries, tasks_of
from proofs.commands.make.order import MakeOptions, MakeTask
from proofs.commands.make.sheet import proof_sheet_of, write_proof_prints
from proofs.commands.strip.record import StripOutcome
from proofs.commands.strip.worker import StripOptions
from proofs.outside.run_folder import RunFolder
from proofs.plan.checks.outcomes import Outcome
from proofs.records.job import Job
from proofs.run.preflight import Preflight
from proofs.run.workers import Trouble, Workers


def mockup_tasks(options: StripOptions, ready: Preflight, workers: int) -> tuple[MakeTask, ...]:
    """Return the mock-ups that the proof sheet needs; none unless it is asked for."""
    if not options.proof_prints:
        return ()
    make_options = MakeOptions(
        out=options.out, font=options.font, paper_size=options.paper_size, proof_prints=True
    )
    return tasks_of(make_options, ready, workers, with_prints=False)


def make_proof_prints(
    job: Job,
    work: EntryWork,
    entries: Sequence[StripOutcome],
    folder: RunFolder,
    workers: Workers,
) -> tuple[Trouble, ...]:
    """Make mock-ups and proof prints, and return what stopped any of them.

    The sheet shows the tones measured for the strips; an interrupted run writes no sheet.
    """
    if not work.tasks:
        return ()
    made = made_entries(folder, work, workers)
    if len(made.outcomes) == len(work.tasks):
        outcomes = [_with_mockups(e, made.outcomes.get(e.outcome.entry.number)) for e in entries]
        own = work.made_with
        options = work.tasks[0].options
        sheet = proof_sheet_of(options, job, outcomes, folder=folder, made_with=own)
        write_proof_prints(sheet, folder, own, sheet.pdf)
    return made.troubles


def _with_mockups(entry: StripOutcome, mockups: Outcome | None) -> Outcome:
    """The outcome of an entry's strips, with its mock-ups."""
    if mockups is None:
        return entry.outcome
    if not mockups.status.is_judged:
        return mockups
    steps = mockups.steps
    if entry.tones:
        pairs = zip(steps, entry.tones, strict=True)
        steps = tuple(replace(step, tones=tones) for step, tones in pairs)
    return replace(entry.outcome, steps=steps, mockup_back=mockups.mockup_back)
