"""A whole run of ``make``: print files, mock-ups, the proof sheet and the report."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from proofs import __version__
from proofs.commands.make.order import MakeOrder, MakeResult, MakeTask
from proofs.commands.make.worker import make_entry, spoilt_entry
from proofs.commands.soft_proof.run import SoftProofOrder, SoftProofRun, make_soft_proof
from proofs.errors import ExitCode, largest
from proofs.findings import Finding, Severity, Status
from proofs.outside.page_pdfs import proof_sheet_pdf
from proofs.outside.page_prints import page_prints
from proofs.outside.run_folder import RunFolder, run_folder
from proofs.plan.checks.checking import by_severity
from proofs.plan.checks.outcomes import Outcome, exit_code_of
from proofs.plan.delivery.soft_proofs import SOFT_PROOF
from proofs.plan.entry.naming import stems
from proofs.plan.entry.planning import Plan
from proofs.run.json_report import json_file, report
from proofs.run.print_files import about_bytes
from proofs.run.workers import Workers, usual_count

SHEET, REPORT = "proof-sheet.pdf", "report.json"
_PX_PER_INCH_OF_MOCKUP = 100


@dataclass(frozen=True, slots=True)
class Announcement:
    """What a run is about to make, known before any pixel is read."""

    prints: int
    variants: int
    mockups: int
    about_bytes: int


@dataclass(frozen=True, slots=True)
class MakeRun:
    """The result of a run: the outcomes in the order of the entries, exit code and faults."""

    outcomes: tuple[Outcome, ...]
    exit_code: ExitCode
    faults: tuple[str, ...] = ()


def announced(tasks: Sequence[MakeTask]) -> Announcement:
    """Return the number of files that a run will make, and an upper estimate of their bytes."""
    planned = [(task, task.outcome.plan) for task in tasks if task.outcome.plan]
    size, prints, variants, mockups = 0, 0, 0, 0
    for task, plan in planned:
        steps = len(plan.variants)
        mockups += steps + 1
        size += (steps + 1) * _mockup_bytes(plan)
        if task.is_printed:
            copies = steps if task.options.variants else 0
            prints, variants = prints + 1, variants + copies
            each = sum(about_bytes(part.pixels, task.job.lab) for part in plan.parts)
            size += (1 + copies) * each
    return Announcement(prints, variants, mockups, size)


def make_run(
    order: MakeOrder, outcomes: Sequence[Outcome], tasks: Sequence[MakeTask], workers: Workers
) -> MakeRun:
    """Make all files of a run in its folder and return the outcome of each entry.

    ``outcomes`` are those of the preflight, and ``tasks`` those that ``tasks_of`` returns for
    them. Raises ``WriteError``, before anything is written, if the folder cannot be used.
    """
    names = [SHEET, REPORT, *([SOFT_PROOF] if order.soft_proof else [])]
    names += [name for task in tasks for name in task.file_names]
    with run_folder(
        order.folder,
        own=SHEET,
        names=names,
        sources=[source for task in tasks for source in task.sources],
        about_bytes=announced(tasks).about_bytes,
    ) as folder:
        results = made_entries(folder, tasks, workers)
        finished = in_order(outcomes, results)
        code = largest([exit_code_of(finished), *(made.exit_code for made in results.values())])
        faults = tuple(made.fault for made in results.values() if made.fault)
        if order.soft_proof:
            soft = _make_soft_proof(order, finished, tasks, workers)
            folder.write(SOFT_PROOF, soft.pdf)
            finished, code = soft.outcomes, largest([code, soft.exit_code])
            faults += soft.faults
        _write_sheet_and_report(order, finished, folder)
    return MakeRun(finished, largest([code, workers.exit_code]), faults)


def tasks_of(order: MakeOrder, outcomes: Sequence[Outcome], workers: int) -> tuple[MakeTask, ...]:
    """Return one task for each planned entry, shared among this many workers."""
    stem_of = stems(outcome.entry for outcome in outcomes)
    planned = [outcome for outcome in outcomes if outcome.plan]
    at_once = min(workers, len(planned)) or 1
    return tuple(
        MakeTask(
            job=order.job,
            outcome=outcome,
            sources=order.inputs.pictures_of(outcome.entry),
            folder=order.folder / RunFolder.PARTS,
            stem=stem_of[outcome.entry.number],
            options=order.options,
            threads=max(1, usual_count() // at_once),
        )
        for outcome in planned
    )


def made_entries(
    folder: RunFolder, tasks: Sequence[MakeTask], workers: Workers
) -> dict[str, MakeResult]:
    """Run the tasks, put their files into the folder, and return the results by entry number."""
    results: dict[str, MakeResult] = {}
    for result in workers.results(make_entry, tasks, spoilt=spoilt_entry):
        folder.place(result.files)
        results[result.outcome.entry.number] = result
    return results


def in_order(outcomes: Sequence[Outcome], results: Mapping[str, MakeResult]) -> tuple[Outcome, ...]:
    """Return all outcomes in the order of their entries; an entry not started is *not done*."""
    finished = []
    for outcome in outcomes:
        made = results.get(outcome.entry.number)
        if made is not None:
            finished.append(made.outcome)
        elif outcome.plan is None:
            finished.append(outcome)
        else:
            reason = Finding(
                Status.NOT_DONE, Severity.NOTE, "the run was stopped before this entry"
            )
            findings = by_severity((*outcome.findings, reason))
            finished.append(replace(outcome, status=Status.NOT_DONE, findings=findings))
    return tuple(finished)


def sheet_of(order: MakeOrder, outcomes: Sequence[Outcome]) -> bytes:
    """Return the proof sheet as a PDF, once the mock-ups of a run are in its folder."""
    return proof_sheet_pdf(
        order.job,
        outcomes,
        order.folder,
        paper_size=order.paper_size,
        font=order.options.font,
        version=__version__,
    )


def write_proof_prints(order: MakeOrder, sheet: bytes, folder: RunFolder) -> None:
    """Write the pages of a proof sheet as pictures for the lab."""
    for number, page in enumerate(page_prints(sheet, order.job.lab), 1):
        folder.write(f"proof-prints/proof-sheet-{number}{order.job.lab.suffix}", page)


def _make_soft_proof(
    order: MakeOrder,
    outcomes: tuple[Outcome, ...],
    tasks: Sequence[MakeTask],
    workers: Workers,
) -> SoftProofRun:
    sources = {task.outcome.entry.number: task.sources for task in tasks}
    soft_order = SoftProofOrder(order.job, outcomes, sources, order.paper_size, order.options.font)
    return make_soft_proof(soft_order, replace(workers, one_done=lambda: None))


def _write_sheet_and_report(
    order: MakeOrder, outcomes: tuple[Outcome, ...], folder: RunFolder
) -> None:
    """Write the files that describe the whole run."""
    sheet = sheet_of(order, outcomes)
    content = report(order.job, outcomes, with_variants=True, sharpen=order.options.sharpen)
    folder.write(SHEET, sheet)
    folder.write(REPORT, json_file(content))
    if order.proof_prints:
        write_proof_prints(order, sheet, folder)


def _mockup_bytes(plan: Plan) -> int:
    board = plan.layout.board
    return int(board.width.inches * board.height.inches * _PX_PER_INCH_OF_MOCKUP**2 * 1.5)
