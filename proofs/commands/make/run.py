"""The route of a whole run: from entries to print files, mock-ups, proof sheet and report."""

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs import __version__
from proofs.commands.make.order import MakeOptions, MakeResult, MakeTask, file_names, is_to_print
from proofs.commands.make.worker import lost_entry, make_entry
from proofs.commands.soft_proof.run import SoftProofOrder, SoftProofRun, soft_proofed
from proofs.findings import Finding, Severity, Status
from proofs.outside.files import picture_path, write_new, write_whole
from proofs.outside.output import (
    OutputFolder,
    begin,
    open_output,
    refuse_full_disk,
    refuse_inputs,
    refuse_others,
    write_record,
)
from proofs.outside.page_prints import page_prints
from proofs.outside.proof_sheet import proof_sheet_pdf
from proofs.plan.checks.checking import gravest_first
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.gamut import SOFT_PROOF
from proofs.plan.entry.naming import stems
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.labs import Lab
from proofs.run.inputs import Inputs
from proofs.run.json_report import report
from proofs.run.workers import usual_jobs, work

SHEET, REPORT = "proof-sheet.pdf", "report.json"
_PX_PER_INCH_OF_MOCKUP = 100
_EXIT_CODES = {"broken": 1, "not-understood": 3, "unreadable": 4, "failed": 70, "not-done": 130}


@dataclass(frozen=True, slots=True)
class Announcement:
    """What a run is about to make, said before the first pixel is read."""

    prints: int
    variants: int
    mockups: int
    about_bytes: int


@dataclass(frozen=True, slots=True)
class MakeRun:
    """What a run made: the outcomes in the order of the entries, its exit code, its faults."""

    outcomes: tuple[Outcome, ...]
    exit_code: int
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MakeOrder:
    """What to make and where; ``proof_prints`` asks for the sheet's pages as pictures too.

    ``soft_proof`` asks for what the lab's profile does to the colours.
    """

    job: Job
    gathered: Inputs
    folder: Path
    wishes: MakeOptions
    paper_size: str = "a4"
    proof_prints: bool = False
    soft_proof: bool = False


def exit_code_of(outcomes: Iterable[Outcome]) -> int:
    """Return the exit code that outcomes give a run: the largest of theirs."""
    return max((_EXIT_CODES.get(outcome.status, 0) for outcome in outcomes), default=0)


def announced(order: MakeOrder, outcomes: Sequence[Outcome]) -> Announcement:
    """Return how many files a run will make, and about how many bytes, a little too many."""
    made = [o for o in outcomes if o.plan]
    plans = [o.plan for o in made if o.plan and is_to_print(o, order.wishes)]
    mockups = sum(len(o.plan.variants) + 1 for o in made if o.plan)
    copies = [len(p.variants) if order.wishes.variants else 0 for p in plans]
    size = sum((1 + n) * _print_bytes(p, order.job.lab) for p, n in zip(plans, copies, strict=True))
    size += sum((len(o.plan.variants) + 1) * _mockup_bytes(o.plan) for o in made if o.plan)
    return Announcement(len(plans), sum(copies), mockups, size)


def make(
    order: MakeOrder,
    outcomes: Sequence[Outcome],
    *,
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[Outcome], None],
) -> MakeRun:
    """Make all files of a run in its folder and return what became of every entry.

    ``outcomes`` are those of the survey. ``done`` is called after each entry. Raises
    ``WriteError`` before anything is written where the folder is not the run's to use.
    """
    tasks = tasks_of(order, outcomes, jobs)
    folder = open_output(order.folder)
    refuse_others(folder, SHEET)
    refuse_inputs(folder, [source for task in tasks for source in task.sources])
    refuse_full_disk(order.folder, announced(order, outcomes).about_bytes)
    suffix, names = order.job.lab.suffix, [SHEET, REPORT]
    names += [SOFT_PROOF] if order.soft_proof else []
    for task in tasks:
        names += file_names(task.outcome, task.stem, suffix, order.wishes)
    begin(folder, names)
    record = {name: folder.made.get(name, "") for name in names}
    results = work_through(folder, record, tasks, jobs=jobs, stopped=stopped, done=done)
    finished = in_order(outcomes, results)
    code = max([exit_code_of(finished), *(made.exit_code for made in results.values())])
    faults = [made.fault for made in results.values() if made.fault]
    if order.soft_proof:
        soft = _soft_proof(order, finished, tasks, jobs, stopped)
        write_whole(folder.path / SOFT_PROOF, soft.pdf)
        record[SOFT_PROOF] = hashlib.sha256(soft.pdf).hexdigest()
        finished, code = soft.outcomes, max(code, soft.exit_code)
        faults += soft.faults
    _write_whole_run(order, finished, folder, record)
    return MakeRun(finished, code, tuple(faults))


def _soft_proof(
    order: MakeOrder,
    outcomes: tuple[Outcome, ...],
    tasks: Sequence[MakeTask],
    jobs: int,
    stopped: Callable[[], bool],
) -> SoftProofRun:
    sources = {task.outcome.entry.number: task.sources for task in tasks}
    asked = SoftProofOrder(order.job, outcomes, sources, order.paper_size, order.wishes.font)
    return soft_proofed(asked, jobs=jobs, stopped=stopped)


def tasks_of(order: MakeOrder, outcomes: Sequence[Outcome], jobs: int) -> list[MakeTask]:
    """Return a task an entry that has a plan, for so many workers."""
    named = stems(outcome.entry for outcome in outcomes)
    at_once = min(jobs, sum(outcome.plan is not None for outcome in outcomes)) or 1
    return [
        MakeTask(
            job=order.job,
            outcome=outcome,
            sources=tuple(
                picture_path(order.gathered.folder, picture.file)
                for picture in outcome.entry.pictures
            ),
            folder=order.folder,
            stem=named[outcome.entry.number],
            wishes=order.wishes,
            threads=max(1, usual_jobs() // at_once),
        )
        for outcome in outcomes
        if outcome.plan
    ]


def work_through(
    folder: OutputFolder,
    record: dict[str, str],
    tasks: Sequence[MakeTask],
    *,
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[Outcome], None],
) -> dict[str, MakeResult]:
    """Return what the workers made, by entry number; ``record`` is kept true after each entry."""
    results: dict[str, MakeResult] = {}
    for result in work(make_entry, tasks, jobs=jobs, lost=lost_entry, stopped=stopped):
        results[result.outcome.entry.number] = result
        record |= result.files
        write_record(folder, record)
        done(result.outcome)
    return results


def in_order(outcomes: Sequence[Outcome], results: Mapping[str, MakeResult]) -> tuple[Outcome, ...]:
    """Return all outcomes in the order of their entries; what was not begun is not done."""
    finished = []
    for outcome in outcomes:
        made = results.get(outcome.entry.number)
        if made is not None:
            finished.append(made.outcome)
        elif outcome.plan is None:
            finished.append(outcome)
        else:
            reason = Finding("not-done", Severity.NOTE, "the run was stopped before this entry")
            findings = gravest_first((*outcome.findings, reason))
            finished.append(replace(outcome, status=Status.NOT_DONE, findings=findings))
    return tuple(finished)


def _write_whole_run(
    order: MakeOrder, outcomes: tuple[Outcome, ...], folder: OutputFolder, record: dict[str, str]
) -> None:
    """Write the files that tell of the whole run, and the record."""
    sheet = sheet_of(order, outcomes)
    content = report(order.job, outcomes, with_variants=True, sharpen=order.wishes.sharpen)
    text = json.dumps(content, indent=2, ensure_ascii=False) + "\n"
    for name, made in ((SHEET, sheet), (REPORT, text.encode())):
        write_whole(folder.path / name, made)
        record[name] = hashlib.sha256(made).hexdigest()
    if order.proof_prints:
        record |= write_proof_prints(order, sheet)
    write_record(folder, record)


def sheet_of(order: MakeOrder, outcomes: Sequence[Outcome]) -> bytes:
    """Return the proof sheet as a PDF, once the mock-ups of a run lie in its folder."""
    return proof_sheet_pdf(
        order.job,
        outcomes,
        order.folder,
        paper_size=order.paper_size,
        font=order.wishes.font,
        version=__version__,
    )


def write_proof_prints(order: MakeOrder, sheet: bytes) -> dict[str, str]:
    """Write the pages of a proof sheet as pictures for the lab; return their names and SHA-256."""
    written = {}
    for number, made in enumerate(page_prints(sheet, order.job.lab), 1):
        name = f"proof-prints/proof-sheet-{number}{order.job.lab.suffix}"
        write_new(order.folder / name, made)  # those of an earlier run lie in old/ by now
        written[name] = hashlib.sha256(made).hexdigest()
    return written


def _print_bytes(plan: Plan, lab: Lab) -> int:
    """About the bytes of a print file: a little over what was measured of photographs."""
    per_pixel = {"jpeg": 1.0, "tiff": 3.0, "png": 3.0}[lab.format] * lab.bits / 8
    return int(sum(p.pixels.width * p.pixels.height for p in plan.parts) * per_pixel)


def _mockup_bytes(plan: Plan) -> int:
    board = plan.layout.board
    return int(board.width.inches * board.height.inches * _PX_PER_INCH_OF_MOCKUP**2 * 1.5)
