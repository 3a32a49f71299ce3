"""A whole run of test strips: from its plan to sheets, their preview with the key, and a report."""

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from proofs.commands.make.run import REPORT, exit_code_of
from proofs.commands.strip.layout import StripOrder, StripPlan
from proofs.commands.strip.proof_prints import make_proofs, plan_proofs
from proofs.commands.strip.record import FinishedSheet, StripOutcome, strip_report
from proofs.commands.strip.worker import (
    ShownPicture,
    StripResult,
    StripTask,
    lost_sheet,
    make_sheet,
)
from proofs.findings import Finding, Severity, Status
from proofs.outside.files import picture_path, write_whole
from proofs.outside.fonts import load_fonts
from proofs.outside.output import (
    OutputFolder,
    begin,
    open_output,
    refuse_full_disk,
    refuse_inputs,
    refuse_others,
    write_record,
)
from proofs.outside.pdf import write_pdf
from proofs.pages.strip.key import Preview, StripSteps, strip_pages
from proofs.plan.checks.checking import gravest_first
from proofs.plan.checks.outcomes import Outcome, worst_status
from proofs.records.labs import Lab
from proofs.run.step_tones import BLOCKED_SHADOWS, tones_together
from proofs.run.workers import work

KEY = "strip.pdf"


@dataclass(frozen=True, slots=True)
class StripRun:
    """What a run made: its entries in their order, its exit code, and what went wrong."""

    entries: tuple[StripOutcome, ...]
    exit_code: int
    faults: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()

    @property
    def outcomes(self) -> tuple[Outcome, ...]:
        """The outcomes of the entries."""
        return tuple(entry.outcome for entry in self.entries)


def make_strips(
    order: StripOrder,
    plan: StripPlan,
    outcomes: Sequence[Outcome],
    *,
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[], None],
) -> StripRun:
    """Make all sheets of a run, the preview with the key, and the report.

    ``done`` is called after each sheet, and each entry's mock-ups. Raises ``WriteError`` before
    anything is written where the folder is not the run's to use.
    """
    tasks, proofs = _tasks(order, plan, outcomes), plan_proofs(order, outcomes, jobs)
    folder = open_output(order.folder)
    refuse_others(folder, KEY)
    refuse_inputs(folder, [source for task in tasks for source in task.sources.values()])
    about_bytes = len(tasks) * _sheet_bytes(plan, order.job.lab) + proofs.about_bytes
    refuse_full_disk(order.folder, about_bytes)
    names = [KEY, REPORT, *(task.name for task in tasks), *proofs.names]
    begin(folder, names)
    record = {name: folder.made.get(name, "") for name in names}
    made = _worked(folder, record, tasks, jobs, stopped, done)
    entries = tuple(_finished(outcome, plan, made) for outcome in outcomes)
    for name, content in _key_and_report(order, plan, entries, made).items():
        write_whole(folder.path / name, content)
        record[name] = hashlib.sha256(content).hexdigest()
    write_record(folder, record)
    told = make_proofs(proofs, entries, folder, record, stopped=stopped, done=done)
    write_record(folder, record)
    code = max(exit_code_of(e.outcome for e in entries), *(s.exit_code for s in made.values()), 0)
    faults = tuple(sheet.fault for sheet in made.values() if sheet.fault)
    problems = tuple(
        f"{plan.name(n, order.job.lab)}: {made[n].problem}" for n in made if made[n].problem
    )
    return StripRun(entries, max(code, told.exit_code), (*faults, *told.faults), problems)


def _tasks(order: StripOrder, plan: StripPlan, outcomes: Sequence[Outcome]) -> list[StripTask]:
    held = {outcome.entry.number: outcome for outcome in outcomes if outcome.plan}
    folder = order.gathered.folder
    return [
        StripTask(
            job=order.job,
            frame=plan.frame,
            sheet=sheet,
            head=plan.heads[n],
            foot=plan.foot,
            outcomes={number: held[number] for number in sheet.entries},
            sources={
                (number, n): picture_path(folder, held[number].entry.pictures[n].file)
                for number, n in sheet.pictures
            },
            number=n + 1,
            folder=order.folder,
            name=plan.name(n + 1, order.job.lab),
            wishes=order.wishes,
        )
        for n, sheet in enumerate(plan.sheets)
    ]


def _worked(
    folder: OutputFolder,
    record: dict[str, str],
    tasks: Sequence[StripTask],
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[], None],
) -> dict[int, StripResult]:
    """What the workers made, by sheet; ``record`` is kept true after each of them."""
    made: dict[int, StripResult] = {}
    names = {task.number: task.name for task in tasks}
    for sheet in work(make_sheet, tasks, jobs=jobs, lost=lost_sheet, stopped=stopped):
        made[sheet.number] = sheet
        if sheet.sha256:
            record[names[sheet.number]] = sheet.sha256
        write_record(folder, record)
        done()
    return dict(sorted(made.items()))


def _finished(outcome: Outcome, plan: StripPlan, made: Mapping[int, StripResult]) -> StripOutcome:
    """An entry with what its sheets tell of it; what was not begun is not done."""
    number = outcome.entry.number
    if outcome.plan is None:
        return StripOutcome(outcome)
    sheets = [n for n, sheet in enumerate(plan.sheets, 1) if number in sheet.entries]
    shown = [s for n in sheets if n in made for s in made[n].shown if s.entry == number]
    missing = [n for n in sheets if n not in made or not made[n].sha256]
    if missing:
        begun = all(n in made for n in missing)
        word = "the sheet could not be made" if begun else "the run was stopped before its sheet"
        status = Status.FAILED if begun else Status.NOT_DONE
        severity = Severity.UNREADABLE if begun else Severity.NOTE
        shown.append(
            ShownPicture(number, findings=(Finding(status, severity, word),), status=status)
        )
    found = dict.fromkeys((*outcome.findings, *(f for s in shown for f in s.findings)))
    statuses = [outcome.status, *(s.status for s in shown if s.status)]
    told = replace(outcome, findings=gravest_first(tuple(found)), status=worst_status(statuses))
    whole = {s.picture: s for s in reversed(shown) if s.crop}
    parts = outcome.plan.parts
    crops = tuple(whole[n].crop if n in whole else None for n in range(len(parts)))
    if len(whole) < len(parts):
        return StripOutcome(told, crops)
    areas = [part.image.size.square_nm for part in parts]
    return StripOutcome(
        told, crops, tones_together([whole[n].tones for n in range(len(parts))], areas)
    )


def _key_and_report(
    order: StripOrder,
    plan: StripPlan,
    entries: Sequence[StripOutcome],
    made: Mapping[int, StripResult],
) -> dict[str, bytes]:
    """The two files that tell of the whole run, by name."""
    fonts, job = load_fonts(order.wishes.font), order.job
    pictures = {plan.name(n, job.lab): sheet.preview for n, sheet in made.items() if sheet.preview}
    there = [n for n, sheet in made.items() if sheet.preview]
    pages = strip_pages(
        job,
        [_steps(entry, plan) for entry in entries],
        [Preview(n, plan.name(n, job.lab), plan.size) for n in there],
        paper=order.paper_size,
        measure=fonts.width,
    )
    key = write_pdf(pages, fonts=fonts, picture_bytes=pictures.__getitem__, title="Test strips")
    sheets = [
        FinishedSheet(plan.name(n, job.lab), sheet, made[n].sha256 or None if n in made else None)
        for n, sheet in enumerate(plan.sheets, 1)
    ]
    content = strip_report(job, plan.frame, sheets, entries, sharpen=order.wishes.sharpen)
    text = json.dumps(content, indent=2, ensure_ascii=False) + "\n"
    return {KEY: key, REPORT: text.encode()}


def _steps(entry: StripOutcome, plan: StripPlan) -> StripSteps:
    """What the key tells of an entry."""
    outcome = entry.outcome
    variants = outcome.plan.variants if outcome.plan else ()
    on: dict[str, dict[str, None]] = {}
    for n, sheet in enumerate(plan.sheets, 1):
        for piece in sheet.pieces:
            if piece.entry == outcome.entry.number:
                on.setdefault(piece.step, {})[str(n)] = None
    chosen = outcome.plan.chosen if outcome.plan else None
    return StripSteps(
        number=outcome.entry.number,
        title=outcome.entry.title,
        variants=variants,
        tones=entry.tones,
        sheets=tuple(", ".join(on[v.step]) for v in variants),
        chosen=chosen.step if chosen else "",
        problem=outcome.findings[0].message if outcome.findings else "",
        warning=next((f.message for f in outcome.findings if f.code == BLOCKED_SHADOWS), ""),
    )


def _sheet_bytes(plan: StripPlan, lab: Lab) -> int:
    """At the most about the bytes of a sheet's file."""
    per_pixel = {"jpeg": 1.0, "tiff": 3.0, "png": 3.0}[lab.format] * lab.bits / 8
    return int(plan.frame.sheet.width * plan.frame.sheet.height * per_pixel)
