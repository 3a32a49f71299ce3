"""A whole delivery: from the sheets decided on to a folder, or zips, that the lab gets."""

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.commands.delivery.catalogue import CompanionResult
from proofs.commands.delivery.companions import CompanionOrder, make_companions
from proofs.commands.delivery.packing import PACKED, PRINTED, DeliveryPacking, put_in_place
from proofs.commands.delivery.worker import (
    DeliveryFileOptions,
    DeliveryResult,
    DeliveryTask,
    lost_lab_sheet,
    make_lab_sheet,
)
from proofs.commands.make.run import exit_code_of
from proofs.errors import UsageError
from proofs.findings import Finding, Severity
from proofs.outside.delivery_folder import passing_folder, refuse_target
from proofs.outside.files import picture_path
from proofs.outside.output import OutputFolder, refuse_full_disk, refuse_inputs
from proofs.outside.pixels.prints.composition import white_codes
from proofs.plan.deliveries import DeliveredFile, Delivery
from proofs.plan.file_rules import lab_findings
from proofs.plan.lab_sheets import LabSheet
from proofs.plan.outcomes import Outcome
from proofs.plan.planning import Plan, tolerances
from proofs.plan.refusals import BROKEN, Refusal
from proofs.records.job import Job
from proofs.records.rules import VisibleRule
from proofs.run.inputs import Inputs
from proofs.run.workers import work

_INTERRUPTED = 130


@dataclass(frozen=True, slots=True)
class DeliveryOrder:
    """What to hand over, where and how; ``needed_by`` stands on the ticket.

    ``beside`` is what lies beside the lab's files.
    """

    job: Job
    gathered: Inputs
    folder: Path
    wishes: DeliveryFileOptions
    packing: DeliveryPacking
    companions: CompanionOrder
    needed_by: datetime.date | None = None


@dataclass(frozen=True, slots=True)
class DeliveryRun:
    """What became of a run; ``delivery`` is None where none appeared, for the reasons told.

    ``files`` are what lies in the folder; ``notes`` are findings by entry number.
    """

    delivery: Delivery | None
    refusals: tuple[Refusal, ...] = ()
    files: tuple[str, ...] = ()
    notes: tuple[tuple[str, Finding], ...] = ()
    faults: tuple[str, ...] = ()
    exit_code: int = 0


def make_delivery(
    order: DeliveryOrder,
    outcomes: Sequence[Outcome],
    sheets: Sequence[LabSheet],
    *,
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[], None],
) -> DeliveryRun:
    """Make the files of a delivery and put it in its place, whole or not at all.

    ``done`` is called after each sheet, and after each of what ``order.companions`` counts. Raises
    ``WriteError`` before any file is made where the folder is not the run's to use, and
    ``UsageError`` where there is nothing to hand over.
    """
    if not sheets:
        raise UsageError("there is nothing to hand over: no entry asks for a copy")
    _refuse_folder(order, sheets)
    with passing_folder(order.folder) as passing:
        tasks = _tasks(order, outcomes, sheets, passing / PRINTED)
        made = _made(tasks, jobs=jobs, stopped=stopped, done=done)
        if failed := _failed(tasks, made):
            return failed
        delivery = delivery_of(order.job, outcomes, sheets, made, order.wishes)
        if refused := against_the_lab(delivery):
            return DeliveryRun(None, refused, exit_code=BROKEN)
        folder = passing / (PACKED if order.packing.as_zip else PRINTED)
        extra = make_companions(order.companions, folder, jobs=jobs, stopped=stopped, done=done)
        if lacking := _lacking(extra):
            return lacking
        delivery = extra.joined_to(replace(delivery, needed_by=order.needed_by))
        previews = {name: sheet.preview for name, sheet in made.items()}
        delivery, names = put_in_place(delivery, previews, passing, order.folder, order.packing)
    notes = tuple((t.sheet.number, f) for t in tasks for f in made[t.name].findings)
    handed = {sheet.entry.number for sheet in sheets}
    code = exit_code_of(outcome for outcome in outcomes if outcome.entry.number in handed)
    return DeliveryRun(delivery, files=names, notes=(*notes, *extra.notes), exit_code=code)


def _refuse_folder(order: DeliveryOrder, sheets: Sequence[LabSheet]) -> None:
    """Raise ``WriteError`` where the folder is not the run's to use, or its disk too full."""
    sources = [source for sheet in sheets for source in _sources(order, sheet)]
    refuse_target(order.folder)
    refuse_inputs(OutputFolder(order.folder, {}), sources)
    about_bytes = sum(_about_bytes(order, sheet) for sheet in sheets)
    refuse_full_disk(order.folder, about_bytes + order.companions.about_bytes)


def _lacking(extra: CompanionResult) -> DeliveryRun | None:
    """The run without a delivery, where not all that goes beside the sheets could be made."""
    if not extra.refusals and extra.is_whole:
        return None
    codes = [refusal.exit_code for refusal in extra.refusals]
    codes += [] if extra.is_whole else [_INTERRUPTED]
    return DeliveryRun(None, extra.refusals, faults=extra.faults, exit_code=max(codes))


def _sources(order: DeliveryOrder, sheet: LabSheet) -> tuple[Path, ...]:
    files = (sheet.entry.pictures[n].file for n in sheet.piece.pictures)
    return tuple(picture_path(order.gathered.folder, file) for file in files)


def _tasks(
    order: DeliveryOrder, outcomes: Sequence[Outcome], sheets: Sequence[LabSheet], folder: Path
) -> list[DeliveryTask]:
    plans = {outcome.entry.number: outcome.plan for outcome in outcomes if outcome.plan}
    return [
        DeliveryTask(
            job=order.job,
            plan=plans[sheet.entry.number],
            sheet=sheet,
            sources=_sources(order, sheet),
            folder=folder,
            name=sheet_path(sheet),
            wishes=order.wishes,
        )
        for sheet in sheets
    ]


def _made(
    tasks: Sequence[DeliveryTask],
    *,
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[], None],
) -> dict[str, DeliveryResult]:
    """What became of the sheets, by their paths."""
    made: dict[str, DeliveryResult] = {}
    for result in work(make_lab_sheet, tasks, jobs=jobs, lost=lost_lab_sheet, stopped=stopped):
        made[result.name] = result
        done()
    return made


def _failed(tasks: Sequence[DeliveryTask], made: dict[str, DeliveryResult]) -> DeliveryRun | None:
    """The run without a delivery, where not every sheet could be made."""
    faults = tuple(m.fault for m in made.values() if m.fault)
    refused = tuple(
        _refused(t, made[t.name]) for t in tasks if t.name in made and made[t.name].problem
    )
    if not refused and len(made) == len(tasks):
        return None
    codes = [refusal.exit_code for refusal in refused]
    codes += [_INTERRUPTED] if len(made) < len(tasks) else []
    return DeliveryRun(None, refused, faults=faults, exit_code=max(codes))


def _about_bytes(order: DeliveryOrder, sheet: LabSheet) -> int:
    """About the bytes of a file, twice where it is packed as well."""
    lab, file = order.job.lab, sheet.placing.file
    per_pixel = {"jpeg": 1.0, "tiff": 3.0, "png": 3.0}[lab.format] * lab.bits / 8
    return int(file.width * file.height * per_pixel) * (2 if order.packing.as_zip else 1)


def _refused(task: DeliveryTask, made: DeliveryResult) -> Refusal:
    entry = task.sheet.entry
    return Refusal(entry.number, entry.title, made.problem, made.exit_code)


_NOT_THE_RULES = ("resolution", "sheet", "overlap-left", "reveal-left", "gap-left", "mount-border")


def sheet_path(sheet: LabSheet) -> str:
    """Return where the file of a sheet lies in its delivery."""
    return f"prints/{sheet.name}"


def delivery_of(
    job: Job,
    outcomes: Sequence[Outcome],
    sheets: Sequence[LabSheet],
    made: Mapping[str, DeliveryResult],
    wishes: DeliveryFileOptions,
) -> Delivery:
    """Return what will be handed over; ``made`` are the finished sheets by their paths."""
    by_number = {outcome.entry.number: outcome for outcome in outcomes}
    files = tuple(_file(job, by_number[s.entry.number], s, made[sheet_path(s)]) for s in sheets)
    return Delivery(
        lab=job.lab,
        icc_sha256=files[0].facts.icc_sha256,
        white=tuple(white_codes(job.lab)),
        rules=job.rules.title if job.rules else "",
        files=files,
        copyright=wishes.copyright,
        keeps_metadata=wishes.keep_metadata,
    )


def against_the_lab(delivery: Delivery) -> tuple[Refusal, ...]:
    """Return what the lab would not take of the finished files."""
    refused = []
    for file in delivery.files:
        wrong = [f for f in lab_findings(delivery, file, file.facts) if f.severity > Severity.MET]
        if wrong:
            reason = "; ".join(f"{f.code}: {f.message}" for f in wrong)
            reason = f"the lab does not take the file: {reason}"
            refused.append(Refusal(file.entry, file.title, reason, BROKEN))
    return tuple(refused)


def _file(job: Job, outcome: Outcome, sheet: LabSheet, made: DeliveryResult) -> DeliveredFile:
    plan, facts = outcome.plan, made.facts
    assert plan is not None, "a sheet has a plan"
    assert facts is not None, "a file that was made tells its facts"
    picture = sheet.piece.lying
    is_alone = sheet.piece.together is None
    marks = sheet.margin_marks
    line = (marks.margin_line.top, marks.margin_line.strip) if marks.margin_line else ()
    return DeliveredFile(
        file=made.name,
        entry=sheet.number,
        title=sheet.entry.title,
        copies=sheet.entry.copies,
        paper=sheet.paper,
        finish=sheet.finish,
        sheet=sheet.placing.sheet,
        image=sheet.placing.image,
        margin_marks=(*marks.cut_marks, *line),
        facts=facts,
        sha256=made.sha256,
        hidden=picture.hidden,
        opening=picture.limiting.size if picture.limiting and is_alone else None,
        slack=tolerances(job, plan).sight,
        limits=_limits(job, plan) if is_alone else VisibleRule(),
        verdicts=tuple(_rule_verdicts(job, outcome, plan)),
        missing=marks.missing,
        price=sheet.price,
    )


def _rule_verdicts(job: Job, outcome: Outcome, plan: Plan) -> list[Finding]:
    """What the exhibition's rules say to an entry; nothing where none were checked."""
    if job.rules is None:
        return []
    told = (Severity.MET, Severity.AT_RISK, Severity.BROKEN)
    return [f for f in outcome.findings if f.severity in told and f.code not in _NOT_THE_RULES]


def _limits(job: Job, plan: Plan) -> VisibleRule:
    """The rules' limits on the visible size; none where one file alone cannot show it."""
    if job.rules is None or len(plan.parts) > 1:
        return VisibleRule()
    picture, rule = plan.layout.pictures[0], job.rules.visible
    counts_more = rule.counts_paper and picture.print_seen != picture.sight
    return VisibleRule() if counts_more or picture.is_oval else rule
