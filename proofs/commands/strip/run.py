"""A whole run of test strips: the sheets, the key to their letters, and the report."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from proofs.commands.make.entries import entry_work
from proofs.commands.make.estimate import most_bytes
from proofs.commands.make.run import REPORT
from proofs.commands.make.sheet import PROOF_PRINTS
from proofs.commands.strip.kept import (
    SheetWork,
    kept_sheets,
    place_sheet,
    previews_of,
    sheet_work,
)
from proofs.commands.strip.layout import StripPlan
from proofs.commands.strip.proof_prints import make_proof_prints, mockup_tasks
from proofs.commands.strip.record import FinishedSheet, StripOutcome, strip_report
from proofs.commands.strip.worker import (
    ShownPicture,
    StripOptions,
    StripResult,
    StripTask,
    make_sheet,
)
from proofs.errors import ExitCode
from proofs.findings import Finding, Severity, Status
from proofs.outside.page_pdfs import strip_pdf
from proofs.outside.run_folder import RunFolder, opened_folder
from proofs.pages.strip.key import Preview, StripSteps
from proofs.plan.checks.checking import by_severity
from proofs.plan.checks.outcomes import Outcome, worst_status
from proofs.plan.making.keeping import Counts
from proofs.records.job import Job
from proofs.run.json_report import JsonValue, json_file
from proofs.run.made_with import made_with
from proofs.run.preflight import Preflight
from proofs.run.print_files import print_bytes
from proofs.run.source_digests import source_digests
from proofs.run.step_tones import BLOCKED_SHADOWS, tones_together
from proofs.run.workers import Trouble, Workers, traces

KEY = "strip.pdf"
_FAILED = Finding(Status.FAILED, Severity.UNREADABLE, "its sheet could not be made")
_NOT_DONE = Finding(Status.NOT_DONE, Severity.NOTE, "the run was stopped before its sheet")


@dataclass(frozen=True, slots=True)
class StripRun:
    """The result of a run: its entries in order, its exit code, and what went wrong."""

    entries: tuple[StripOutcome, ...]
    exit_code: ExitCode
    counts: Counts
    faults: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()

    @property
    def outcomes(self) -> tuple[Outcome, ...]:
        """The outcomes of the entries."""
        return tuple(entry.outcome for entry in self.entries)


def make_strips(
    options: StripOptions, ready: Preflight, plan: StripPlan, workers: Workers
) -> StripRun:
    """Make all sheets of a run, the preview with the key, and the report.

    Each sheet, and the mock-ups of each entry, count as one step of progress. Raises
    ``WriteError``, before anything is written, if the folder cannot be used.
    """
    job, tasks = ready.job, _tasks(options, ready, plan)
    mockups = mockup_tasks(options, ready, workers.count)
    names = [KEY, REPORT, *(task.name for task in tasks)]
    names += [name for task in mockups for name in task.file_names]
    sources = [source for task in tasks for source in task.sources.values()]
    own, again = made_with(job.lab, options.font), options.again
    with (
        opened_folder(options.out, own=KEY, sources=sources, again=again) as folder,
        source_digests(ready.inputs.folder, reads=folder.may_keep, again=again) as digests,
    ):
        sheets = sheet_work(tasks, folder, digests, own)
        shown = entry_work(mockups, folder, digests, own)
        size = (len(tasks) - len(sheets.recipes)) * print_bytes(plan.frame.sheet, job.lab)
        size += most_bytes(shown.tasks)
        recipes = {**sheets.recipes, **shown.recipes}
        folder.begin(names, recipes, pages=PROOF_PRINTS, about_bytes=size)
        made = _make_sheets(folder, sheets, workers)
        entries = tuple(_strip_outcome(outcome, plan, made) for outcome in ready.outcomes)
        done = {n: sheet for n, sheet in made.items() if isinstance(sheet, StripResult)}
        _write_key(options, job, entries, made=(plan, sheets, done), folder=folder)
        content = _report(options, job, plan, entries, done)
        folder.write(REPORT, json_file(content))
        troubles = list(make_proof_prints(job, shown, entries, folder, workers))
    problems = []
    for number, sheet in made.items():
        if isinstance(sheet, Trouble):
            problems.append(f"{plan.name(number, job.lab)}: {sheet.reason}")
            troubles.append(sheet)
        else:
            troubles += sheet.troubles
    code = workers.exit_code((entry.outcome for entry in entries), troubles)
    return StripRun(entries, code, folder.counts, traces(troubles), tuple(problems))


def _tasks(options: StripOptions, ready: Preflight, plan: StripPlan) -> list[StripTask]:
    plans = {outcome.entry.number: outcome.plan for outcome in ready.outcomes if outcome.plan}
    return [
        StripTask(
            job=ready.job.with_paper(plans[sheet.entries[0]].paper),
            frame=plan.frame,
            sheet=sheet,
            head=plan.heads[n],
            foot=plan.foot,
            plans={number: plans[number] for number in sheet.entries},
            sources={
                (number, n): ready.inputs.path_of(plans[number].parts[n].file)
                for number, n in sheet.pictures
            },
            number=n + 1,
            folder=options.out / RunFolder.PARTS,
            name=plan.name(n + 1, ready.job.lab),
            options=options,
        )
        for n, sheet in enumerate(plan.sheets)
    ]


def _make_sheets(
    folder: RunFolder, work: SheetWork, workers: Workers
) -> dict[int, StripResult | Trouble]:
    """Make the sheets that are not kept, put them into the folder, and return all results."""
    made: dict[int, StripResult | Trouble] = {**kept_sheets(work, folder)}
    left = [task for task in work.tasks if task.number not in made]
    for _ in made:
        workers.after_each("")
    for task, sheet in workers.results(make_sheet, left):
        made[task.number] = sheet
        if isinstance(sheet, StripResult):
            place_sheet(work, task, sheet, folder)
    return dict(sorted(made.items()))


def _strip_outcome(
    outcome: Outcome, plan: StripPlan, made: Mapping[int, StripResult | Trouble]
) -> StripOutcome:
    """The outcome of an entry, with the crops, tones and findings of its sheets."""
    number = outcome.entry.number
    if outcome.plan is None:
        return StripOutcome(outcome)
    found, statuses = list(outcome.findings), [outcome.status]
    shown: dict[int, ShownPicture] = {}
    for n, planned in enumerate(plan.sheets, 1):
        if number not in planned.entries:
            continue
        sheet = made.get(n)
        if not isinstance(sheet, StripResult):
            found.append(_FAILED if sheet else _NOT_DONE)
            statuses.append(Status.FAILED if sheet else Status.NOT_DONE)
            continue
        for (entry, place), picture in sheet.pictures.items():
            if entry == number and isinstance(picture, Trouble):
                found.append(picture.finding)
                statuses.append(picture.status)
            elif entry == number and isinstance(picture, ShownPicture):
                found += picture.findings
                shown.setdefault(place, picture)
    findings = by_severity(tuple(dict.fromkeys(found)))
    finished = replace(outcome, findings=findings, status=worst_status(statuses))
    parts = outcome.plan.parts
    crops = tuple(shown[n].crop if n in shown else None for n in range(len(parts)))
    if len(shown) < len(parts):
        return StripOutcome(finished, crops)
    areas = [part.image.size.square_nm for part in parts]
    return StripOutcome(
        finished, crops, tones_together([shown[n].tones for n in range(len(parts))], areas)
    )


def _write_key(
    options: StripOptions,
    job: Job,
    entries: Sequence[StripOutcome],
    *,
    made: tuple[StripPlan, SheetWork, Mapping[int, StripResult]],
    folder: RunFolder,
) -> None:
    """Write the key to the letters of the strips, unless it is kept."""
    plan, work, done = made
    steps = [_steps(entry, plan) for entry in entries]
    shown = [Preview(n, plan.name(n, job.lab), plan.size, plan.sheets[n - 1].paper) for n in done]
    own, digests = work.made_with, [sheet.sha256 for sheet in done.values()]
    page = options.paper_size, own.font_sha256
    key = own.key("key to test strips", own.job(job), steps, shown, digests, page)
    if not folder.keeps(KEY, key):
        previews = previews_of(work.tasks, done, folder)
        folder.write(KEY, strip_pdf(job, steps, shown, previews, options), key)


def _report(
    options: StripOptions,
    job: Job,
    plan: StripPlan,
    entries: Sequence[StripOutcome],
    done: Mapping[int, StripResult],
) -> JsonValue:
    """The report of the run."""
    sheets = [
        FinishedSheet(plan.name(n, job.lab), sheet, done[n].sha256 if n in done else None)
        for n, sheet in enumerate(plan.sheets, 1)
    ]
    return strip_report(job, plan.frame, sheets, entries, sharpen=options.sharpen)


def _steps(entry: StripOutcome, plan: StripPlan) -> StripSteps:
    """An entry as the key shows it."""
    outcome = entry.outcome
    variants = outcome.plan.variants if outcome.plan else ()
    sheets_of: dict[str, dict[str, None]] = {}
    for n, sheet in enumerate(plan.sheets, 1):
        for piece in sheet.pieces:
            if piece.entry == outcome.entry.number:
                sheets_of.setdefault(piece.step, {})[str(n)] = None
    return StripSteps(
        outcome,
        entry.tones,
        sheets=tuple(", ".join(sheets_of[v.step]) for v in variants),
        warning=next((f.message for f in outcome.findings if f.code == BLOCKED_SHADOWS), ""),
    )
