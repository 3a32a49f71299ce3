"""A whole run of ``make``: print files, mock-ups, the proof sheet and the report."""

import contextlib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from proofs.commands.inspect.beforehand import looked_at
from proofs.commands.inspect.looks import HowToLook
from proofs.commands.make.entries import entry_work, in_order, made_entries, tasks_of
from proofs.commands.make.estimate import needed_bytes
from proofs.commands.make.hang_picture import HANG, write_hang
from proofs.commands.make.order import MakeOptions, MakeTask
from proofs.commands.make.sheet import PROOF_PRINTS, SHEET, proof_sheet_of, write_sheet
from proofs.commands.soft_proof.run import (
    SoftProofOrder,
    make_soft_proof,
    soft_proof_key,
    with_soft_proof,
)
from proofs.errors import ExitCode
from proofs.findings import Finding
from proofs.outside.files import size_of
from proofs.outside.run_folder import RunFolder, opened_folder
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.soft_proofs import SOFT_PROOF
from proofs.plan.making.keeping import Counts
from proofs.records.job import Job
from proofs.records.stored_values import restored, stored
from proofs.run.json_report import json_file, report
from proofs.run.made_with import made_with
from proofs.run.preflight import Preflight
from proofs.run.source_digests import source_digests
from proofs.run.workers import Trouble, Workers, traces

REPORT = "report.json"

_Noted = tuple[tuple[str, tuple[Finding, ...]], ...]


@dataclass(frozen=True, slots=True)
class MakeRun:
    """The result of a run: the outcomes in the order of the entries, exit code and faults.

    ``prints`` is the number of files in ``prints/``, ``bytes`` the size of all files of the run,
    and ``counts`` are of all files.
    """

    outcomes: tuple[Outcome, ...]
    exit_code: ExitCode
    prints: int
    bytes: int
    counts: Counts
    faults: tuple[str, ...] = ()


def counted_files(names: Iterable[str]) -> Counter[str]:
    """Return the number of files in each folder: ``prints``, ``variants`` and ``mockups``."""
    return Counter(name.partition("/")[0] for name in names)


def make_run(
    options: MakeOptions,
    ready: Preflight,
    tasks: Sequence[MakeTask],
    workers: Workers,
    how: HowToLook | None = None,
) -> MakeRun:
    """Make all files of a run in its folder, or keep them, and return each entry's outcome.

    ``tasks`` are those that ``tasks_of`` returns. With ``how`` pictures are looked at first, which
    may decide what is printed. Raises ``WriteError``, before anything is written, if the folder
    cannot be used.
    """
    sources = [source for task in tasks for source in task.sources]
    own, again = made_with(ready.job.lab, options.font), options.again
    with (
        opened_folder(options.out, own=SHEET, sources=sources, again=again) as folder,
        source_digests(ready.inputs.folder, reads=folder.may_keep, again=again) as digests,
    ):
        looked = looked_at(ready, how, workers, folder=folder, digests=digests, made_with=own)
        tasks = tasks_of(options, looked.ready, workers.count) if how else tasks
        work = entry_work(tasks, folder, digests, own)
        size, names = needed_bytes(work.tasks, options.out, workers), _names(options, tasks)
        folder.begin(names, work.recipes, pages=PROOF_PRINTS, about_bytes=size)
        folder.place({}, results=looked.results)
        made = made_entries(folder, work, workers)
        outcomes, troubles = in_order(looked.ready.outcomes, made), looked.troubles + made.troubles
        if options.soft_proof:
            order = _soft_proof_order(options, ready.job, outcomes, tasks)
            key = soft_proof_key(order, made.digests, own)
            findings, stopped = _soft_proof(order, key, folder, workers)
            outcomes, troubles = with_soft_proof(outcomes, findings), (*troubles, *stopped)
        sheet = proof_sheet_of(options, ready.job, outcomes, folder=folder, made_with=own)
        write_sheet(sheet, folder, own)
        hung = write_hang(outcomes, folder, own, font=options.font)
        content = report(ready.job, outcomes, with_variants=True, sharpen=options.sharpen)
        folder.write(REPORT, json_file(content))
    code, prints = workers.exit_code(outcomes, troubles), counted_files(made.files)["prints"]
    written = sum(size_of(options.out / name) for name in (*made.files, *hung, SHEET, REPORT))
    return MakeRun(outcomes, code, prints, written, folder.counts, traces(troubles))


def _names(options: MakeOptions, tasks: Sequence[MakeTask]) -> list[str]:
    """The names of all files of a run but for the pages as pictures."""
    names = [SHEET, REPORT, HANG, *([SOFT_PROOF] if options.soft_proof else [])]
    return [*names, *(name for task in tasks for name in task.file_names)]


def _soft_proof_order(
    options: MakeOptions, job: Job, outcomes: Sequence[Outcome], tasks: Sequence[MakeTask]
) -> SoftProofOrder:
    sources = {task.outcome.entry.number: task.sources for task in tasks}
    return SoftProofOrder(job, outcomes, sources, options.paper_size, options.font)


def _soft_proof(
    order: SoftProofOrder, key: str, folder: RunFolder, workers: Workers
) -> tuple[Mapping[str, tuple[Finding, ...]], tuple[Trouble, ...]]:
    """The findings of the soft proof by entry number, and what stopped entries."""
    with contextlib.suppress(ValueError):
        noted = restored(_Noted, folder.result(key))
        if folder.keeps(SOFT_PROOF, key):
            return dict(noted), ()
    soft = make_soft_proof(order, replace(workers, after_each=lambda _: None))
    if not soft.is_whole:
        folder.write(SOFT_PROOF, soft.pdf)
    else:
        folder.write(SOFT_PROOF, soft.pdf, key, {key: stored(tuple(soft.findings.items()))})
    return soft.findings, soft.troubles
