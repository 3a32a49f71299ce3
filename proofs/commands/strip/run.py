"""A whole run of test strips: the sheets, the key to their letters, and the report."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from proofs.commands.make.run import REPORT
from proofs.commands.strip.layout import StripOrder, StripPlan
from proofs.commands.strip.proof_prints import make_proofs, plan_proofs
from proofs.commands.strip.record import FinishedSheet, StripOutcome, strip_report
from proofs.commands.strip.worker import (
    ShownPicture,
    StripResult,
    StripTask,
    make_sheet,
    spoilt_sheet,
)
from proofs.errors import ExitCode, largest
from proofs.findings import Finding, Severity, Status
from proofs.outside.files import picture_path
from proofs.outside.page_pdfs import strip_pdf
from proofs.outside.run_folder import RunFolder, run_folder
from proofs.pages.strip.key import Preview, StripSteps
from proofs.plan.checks.checking import by_severity
from proofs.plan.checks.outcomes import Outcome, exit_code_of, worst_status
from proofs.run.json_report import json_file
from proofs.run.print_files import about_bytes
from proofs.run.step_tones import BLOCKED_SHADOWS, tones_together
from proofs.run.workers import Workers

KEY = "strip.pdf"


@dataclass(frozen=True, slots=True)
class StripRun:
    """The result of a run: its entries in order, its exit code, and what went wrong."""

    entries: tuple[StripOutcome, ...]
    exit_code: ExitCode
    faults: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()

    @property
    def outcomes(self) -> tuple[Outcome, ...]:
        """The outcomes of the entries."""
        return tuple(entry.outcome for entry in self.entries)


def make_strips(
    order: StripOrder, plan: StripPlan, outcomes: Sequence[Outcome], workers: Workers
) -> StripRun:
    """Make all sheets of a run, the preview with the key, and the report.

    Each sheet, and the mock-ups of each entry, count as one step of progress. Raises
    ``WriteError``, before anything is written, if the folder cannot be used.
    """
    tasks, proofs = _tasks(order, plan, outcomes), plan_proofs(order, outcomes, workers.count)
    about = len(tasks) * about_bytes(plan.frame.sheet, order.job.lab) + proofs.about_bytes
    with run_folder(
        order.folder,
        own=KEY,
        names=[KEY, REPORT, *(task.name for task in tasks), *proofs.names],
        sources=[source for task in tasks for source in task.sources.values()],
        about_bytes=about,
    ) as folder:
        made = _make_sheets(folder, tasks, workers)
        entries = tuple(_strip_outcome(outcome, plan, made) for outcome in outcomes)
        for name, content in _key_and_report(order, plan, entries, made).items():
            folder.write(name, content)
        printed = make_proofs(proofs, entries, folder, workers)
    codes = [exit_code_of(e.outcome for e in entries), *(s.exit_code for s in made.values())]
    faults = tuple(fault for sheet in made.values() for fault in sheet.faults)
    problems = tuple(
        f"{plan.name(n, order.job.lab)}: {made[n].problem}" for n in made if made[n].problem
    )
    code = largest([*codes, printed.exit_code, workers.exit_code])
    return StripRun(entries, code, (*faults, *printed.faults), problems)


def _tasks(order: StripOrder, plan: StripPlan, outcomes: Sequence[Outcome]) -> list[StripTask]:
    planned = {outcome.entry.number: outcome for outcome in outcomes if outcome.plan}
    folder = order.inputs.folder
    return [
        StripTask(
            job=order.job,
            frame=plan.frame,
            sheet=sheet,
            head=plan.heads[n],
            foot=plan.foot,
            outcomes={number: planned[number] for number in sheet.entries},
            sources={
                (number, n): picture_path(folder, planned[number].entry.pictures[n].file)
                for number, n in sheet.pictures
            },
            number=n + 1,
            folder=order.folder / RunFolder.PARTS,
            name=plan.name(n + 1, order.job.lab),
            options=order.options,
        )
        for n, sheet in enumerate(plan.sheets)
    ]


def _make_sheets(
    folder: RunFolder, tasks: Sequence[StripTask], workers: Workers
) -> dict[int, StripResult]:
    """Run the tasks, put their files into the folder, and return the results by sheet."""
    made: dict[int, StripResult] = {}
    names = {task.number: task.name for task in tasks}
    for sheet in workers.results(make_sheet, tasks, spoilt=spoilt_sheet):
        made[sheet.number] = sheet
        if sheet.sha256:
            folder.place({names[sheet.number]: sheet.sha256})
    return dict(sorted(made.items()))


def _strip_outcome(
    outcome: Outcome, plan: StripPlan, made: Mapping[int, StripResult]
) -> StripOutcome:
    """The outcome of an entry, with the crops, tones and findings of its sheets."""
    number = outcome.entry.number
    if outcome.plan is None:
        return StripOutcome(outcome)
    sheets = [n for n, sheet in enumerate(plan.sheets, 1) if number in sheet.entries]
    shown = [s for n in sheets if n in made for s in made[n].shown if s.entry == number]
    missing = [n for n in sheets if n not in made or not made[n].sha256]
    if missing:
        shown.append(_not_shown(number, is_failed=all(n in made for n in missing)))
    found = dict.fromkeys((*outcome.findings, *(f for s in shown for f in s.findings)))
    statuses = [outcome.status, *(s.status for s in shown if s.status)]
    finished = replace(outcome, findings=by_severity(tuple(found)), status=worst_status(statuses))
    by_picture = {s.picture: s for s in reversed(shown) if s.crop}
    parts = outcome.plan.parts
    crops = tuple(by_picture[n].crop if n in by_picture else None for n in range(len(parts)))
    if len(by_picture) < len(parts):
        return StripOutcome(finished, crops)
    areas = [part.image.size.square_nm for part in parts]
    tones = [by_picture[n].tones for n in range(len(parts))]
    return StripOutcome(finished, crops, tones_together(tones, areas))


def _not_shown(number: str, *, is_failed: bool) -> ShownPicture:
    """An entry with a sheet that failed or, in an interrupted run, was not started."""
    if is_failed:
        status, severity, message = (
            Status.FAILED,
            Severity.UNREADABLE,
            "its sheet could not be made",
        )
    else:
        status, severity = Status.NOT_DONE, Severity.NOTE
        message = "the run was stopped before its sheet"
    return ShownPicture(number, findings=(Finding(status, severity, message),), status=status)


def _key_and_report(
    order: StripOrder,
    plan: StripPlan,
    entries: Sequence[StripOutcome],
    made: Mapping[int, StripResult],
) -> dict[str, bytes]:
    """The two files that describe the whole run, by name."""
    job = order.job
    pictures = {plan.name(n, job.lab): sheet.preview for n, sheet in made.items() if sheet.preview}
    key = strip_pdf(
        job,
        [_steps(entry, plan) for entry in entries],
        [Preview(n, plan.name(n, job.lab), plan.size) for n in made if made[n].preview],
        pictures,
        paper_size=order.paper_size,
        font=order.options.font,
    )
    sheets = [
        FinishedSheet(plan.name(n, job.lab), sheet, made[n].sha256 or None if n in made else None)
        for n, sheet in enumerate(plan.sheets, 1)
    ]
    content = strip_report(job, plan.frame, sheets, entries, sharpen=order.options.sharpen)
    return {KEY: key, REPORT: json_file(content)}


def _steps(entry: StripOutcome, plan: StripPlan) -> StripSteps:
    """What the key says about an entry."""
    outcome = entry.outcome
    variants = outcome.plan.variants if outcome.plan else ()
    sheets_of: dict[str, dict[str, None]] = {}
    for n, sheet in enumerate(plan.sheets, 1):
        for piece in sheet.pieces:
            if piece.entry == outcome.entry.number:
                sheets_of.setdefault(piece.step, {})[str(n)] = None
    chosen = outcome.plan.chosen if outcome.plan else None
    return StripSteps(
        number=outcome.entry.number,
        title=outcome.entry.title,
        variants=variants,
        tones=entry.tones,
        sheets=tuple(", ".join(sheets_of[v.step]) for v in variants),
        chosen=chosen.step if chosen else "",
        problem=outcome.findings[0].message if outcome.findings else "",
        warning=next((f.message for f in outcome.findings if f.code == BLOCKED_SHADOWS), ""),
    )
