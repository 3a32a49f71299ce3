"""A whole run of ``make``: print files, mock-ups, the proof sheet and the report."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from proofs.commands.make.order import MakeOptions, MakeTask
from proofs.commands.make.worker import make_entry
from proofs.commands.soft_proof.run import SoftProofOrder, SoftProofRun, make_soft_proof
from proofs.errors import ExitCode
from proofs.findings import Finding, Severity, Status
from proofs.outside.page_pdfs import proof_sheet_pdf
from proofs.outside.page_prints import page_prints
from proofs.outside.run_folder import RunFolder, run_folder
from proofs.plan.checks.checking import by_severity
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.soft_proofs import SOFT_PROOF
from proofs.plan.entry.naming import stems
from proofs.records.job import Job
from proofs.run.json_report import json_file, report
from proofs.run.preflight import Preflight
from proofs.run.print_files import print_bytes
from proofs.run.workers import Trouble, Workers, traces, usual_count

SHEET, REPORT = "proof-sheet.pdf", "report.json"
PROOF_PRINTS = "proof-prints"
_PX_PER_INCH_OF_MOCKUP = 100
_PAGE_PICTURE_BYTES = 400_000  # once as a file and once in the proof sheet, of fine gravel


@dataclass(frozen=True, slots=True)
class MadeEntries:
    """The entries that were made, by number; the names of their files, and what stopped others."""

    outcomes: Mapping[str, Outcome]
    files: tuple[str, ...]
    troubles: tuple[Trouble, ...]


@dataclass(frozen=True, slots=True)
class MakeRun:
    """The result of a run: the outcomes in the order of the entries, exit code and faults.

    ``prints`` is the number of files in ``prints/``.
    """

    outcomes: tuple[Outcome, ...]
    exit_code: ExitCode
    prints: int
    faults: tuple[str, ...] = ()


def counted_files(names: Iterable[str]) -> Counter[str]:
    """Return the number of files in each folder: ``prints``, ``variants`` and ``mockups``."""
    return Counter(name.partition("/")[0] for name in names)


def make_run(
    options: MakeOptions, ready: Preflight, tasks: Sequence[MakeTask], workers: Workers
) -> MakeRun:
    """Make all files of a run in its folder and return the outcome of each entry.

    ``tasks`` are those that ``tasks_of`` returns. Raises ``WriteError``, before anything is
    written, if the folder cannot be used.
    """
    names = [SHEET, REPORT, *([SOFT_PROOF] if options.soft_proof else [])]
    names += [name for task in tasks for name in task.file_names]
    with run_folder(
        options.out,
        own=SHEET,
        names=names,
        pages=PROOF_PRINTS,
        sources=[source for task in tasks for source in task.sources],
        about_bytes=about_bytes(tasks),
    ) as folder:
        made = made_entries(folder, tasks, workers)
        outcomes, troubles = in_order(ready.outcomes, made), made.troubles
        if options.soft_proof:
            soft = _make_soft_proof(options, ready.job, outcomes, tasks, workers)
            folder.write(SOFT_PROOF, soft.pdf)
            outcomes, troubles = soft.outcomes, (*troubles, *soft.troubles)
        _write_sheet_and_report(options, ready.job, outcomes, folder)
    code, prints = workers.exit_code(outcomes, troubles), counted_files(made.files)["prints"]
    return MakeRun(outcomes, code, prints, traces(troubles))


def tasks_of(
    options: MakeOptions, ready: Preflight, workers: int, *, with_prints: bool = True
) -> tuple[MakeTask, ...]:
    """Return one task for each planned entry, shared among this many workers.

    Without prints only mock-ups are made.
    """
    stem_of = stems(outcome.entry for outcome in ready.outcomes)
    planned = [(outcome, outcome.plan) for outcome in ready.outcomes if outcome.plan]
    at_once = min(workers, len(planned)) or 1
    return tuple(
        MakeTask(
            job=ready.job.with_paper(plan.paper),
            outcome=outcome,
            plan=plan,
            sources=ready.inputs.pictures_of(outcome.entry),
            folder=options.out / RunFolder.PARTS,
            stem=stem_of[outcome.entry.number],
            options=options,
            threads=max(1, usual_count() // at_once),
            is_printed=with_prints and (outcome.status != Status.BROKEN or options.anyway),
        )
        for outcome, plan in planned
    )


def about_bytes(tasks: Iterable[MakeTask]) -> int:
    """Return an upper estimate of the bytes of all files that these tasks make."""
    size = 0
    for task in tasks:
        steps, board = len(task.plan.variants), task.plan.layout.board
        pixels = board.width.inches * board.height.inches * _PX_PER_INCH_OF_MOCKUP**2
        size += (steps + 1) * int(pixels * 1.5)
        size += steps * (len(task.plan.parts) + task.has_life_size) * _PAGE_PICTURE_BYTES
        if task.is_printed:
            each = sum(print_bytes(part.pixels, task.job.lab) for part in task.plan.parts)
            size += (1 + steps * task.options.variants) * each
    return size


def made_entries(folder: RunFolder, tasks: Sequence[MakeTask], workers: Workers) -> MadeEntries:
    """Run the tasks and put their files into the folder."""
    outcomes: dict[str, Outcome] = {}
    files: list[str] = []
    troubles: list[Trouble] = []
    for task, result in workers.results(make_entry, tasks):
        if isinstance(result, Trouble):
            troubles.append(result)
            outcome = result.stopping(task.outcome)
        else:
            folder.place(result.files)
            files += result.files
            outcome = result.outcome
        outcomes[outcome.entry.number] = outcome
    return MadeEntries(outcomes, tuple(files), tuple(troubles))


def in_order(outcomes: Iterable[Outcome], made: MadeEntries) -> tuple[Outcome, ...]:
    """Return all outcomes in the order of their entries; an entry not started is *not done*."""
    return tuple(
        made.outcomes.get(outcome.entry.number) or (_not_done(outcome) if outcome.plan else outcome)
        for outcome in outcomes
    )


def _not_done(outcome: Outcome) -> Outcome:
    reason = Finding(Status.NOT_DONE, Severity.NOTE, "the run was stopped before this entry")
    findings = by_severity((*outcome.findings, reason))
    return replace(outcome, status=Status.NOT_DONE, findings=findings)


def sheet_of(options: MakeOptions, job: Job, outcomes: Sequence[Outcome]) -> bytes:
    """Return the proof sheet as a PDF, once the mock-ups of a run are in its folder."""
    return proof_sheet_pdf(job, outcomes, options.out, options, compact=options.compact)


def write_proof_prints(job: Job, sheet: bytes, folder: RunFolder) -> None:
    """Write the pages of a proof sheet as pictures for the lab."""
    for number, page in enumerate(page_prints(sheet, job.lab), 1):
        folder.write(f"{PROOF_PRINTS}/proof-sheet-{number}{job.lab.suffix}", page)


def _make_soft_proof(
    options: MakeOptions,
    job: Job,
    outcomes: tuple[Outcome, ...],
    tasks: Sequence[MakeTask],
    workers: Workers,
) -> SoftProofRun:
    sources = {task.outcome.entry.number: task.sources for task in tasks}
    order = SoftProofOrder(job, outcomes, sources, options.paper_size, options.font)
    return make_soft_proof(order, replace(workers, after_each=lambda: None))


def _write_sheet_and_report(
    options: MakeOptions, job: Job, outcomes: tuple[Outcome, ...], folder: RunFolder
) -> None:
    """Write the files that describe the whole run."""
    sheet = sheet_of(options, job, outcomes)
    folder.write(SHEET, sheet)
    content = report(job, outcomes, with_variants=True, sharpen=options.sharpen)
    folder.write(REPORT, json_file(content))
    if options.proof_prints:
        write_proof_prints(job, sheet, folder)
