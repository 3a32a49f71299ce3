"""A whole delivery: from the planned sheets to the folder, or the zips, for the lab."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.commands.delivery.companions import (
    CompanionOrder,
    CompanionResult,
    companion_order,
    make_companions,
)
from proofs.commands.delivery.order import DeliveryOrder
from proofs.commands.delivery.packing import PACKED, PRINTED, put_in_place
from proofs.commands.delivery.worker import (
    DeliveryResult,
    DeliveryTask,
    make_lab_sheet,
    spoilt_lab_sheet,
)
from proofs.errors import ExitCode, UsageError, largest
from proofs.findings import Finding, Severity
from proofs.outside.delivery_folder import passing_folder, refuse_target
from proofs.outside.locks import locked
from proofs.outside.pixels.prints.composition import white_codes
from proofs.outside.run_folder import refuse_full_disk, refuse_inputs
from proofs.plan.checks.outcomes import Outcome, exit_code_of
from proofs.plan.delivery.deliveries import DeliveredFile, Delivery
from proofs.plan.delivery.file_checks import lab_findings
from proofs.plan.delivery.lab_sheets import LabSheet
from proofs.plan.delivery.refusals import Refusal
from proofs.plan.entry.planning import Plan
from proofs.plan.entry.tolerances import tolerances
from proofs.records.job import Job
from proofs.records.rules import VisibleRule
from proofs.run.print_files import about_bytes
from proofs.run.workers import Workers

_NOT_THE_RULES = ("resolution", "sheet", "overlap-left", "reveal-left", "gap-left", "mount-border")


@dataclass(frozen=True, slots=True)
class DeliveryPlan:
    """The plan of a delivery: the tasks of its sheets, and its companions."""

    order: DeliveryOrder
    outcomes: tuple[Outcome, ...]
    tasks: tuple[DeliveryTask, ...]
    companions: CompanionOrder

    @property
    def count(self) -> int:
        """The number of steps of progress: sheets, copies, and entries of the soft proof."""
        return len(self.tasks) + self.companions.count


@dataclass(frozen=True, slots=True)
class DeliveryRun:
    """The result of a run; ``delivery`` is None if none was made, and ``refusals`` say why.

    ``files`` are the names in the folder; ``notes`` are findings by entry number.
    """

    delivery: Delivery | None
    refusals: tuple[Refusal, ...] = ()
    files: tuple[str, ...] = ()
    notes: tuple[tuple[str, Finding], ...] = ()
    faults: tuple[str, ...] = ()
    exit_code: ExitCode = ExitCode.DONE


def plan_delivery(
    order: DeliveryOrder, outcomes: Sequence[Outcome], sheets: Sequence[LabSheet]
) -> DeliveryPlan:
    """Return what to make for these sheets.

    Raises ``UsageError`` if there is nothing to deliver, or if catalogue copies are asked for
    and the rules do not describe them.
    """
    companions = companion_order(order, outcomes, sheets)
    if not sheets:
        raise UsageError("there is nothing to deliver: no entry has a copy to print")
    plans = {outcome.entry.number: outcome.plan for outcome in outcomes if outcome.plan}
    tasks = tuple(
        DeliveryTask(
            job=order.job,
            plan=plans[sheet.entry.number],
            sheet=sheet,
            sources=_sources(order, sheet),
            folder=Path(),
            name=_sheet_path(sheet),
            options=order.options,
        )
        for sheet in sheets
    )
    return DeliveryPlan(order, tuple(outcomes), tasks, companions)


def make_delivery(plan: DeliveryPlan, workers: Workers) -> DeliveryRun:
    """Make a delivery in its folder, complete or not at all.

    Raises ``WriteError``, before any file is made, if the folder cannot be used.
    """
    order = plan.order
    _refuse_folder(plan)
    with locked(order.folder), passing_folder(order.folder) as passing:
        tasks = [replace(task, folder=passing / PRINTED) for task in plan.tasks]
        results = workers.results(make_lab_sheet, tasks, spoilt=spoilt_lab_sheet)
        made = {result.name: result for result in results}
        if failed := _without_sheets(tasks, made):
            return failed
        sheets = [task.sheet for task in tasks]
        delivery = _delivery(plan, sheets, made)
        if refused := _lab_refusals(delivery):
            return DeliveryRun(None, refused, exit_code=ExitCode.BROKEN)
        folder = passing / (PACKED if order.options.as_zip else PRINTED)
        companions = make_companions(plan.companions, folder, workers)
        if failed := _without_companions(companions):
            return failed
        if workers.is_stopped():
            return DeliveryRun(None, exit_code=ExitCode.INTERRUPTED)
        delivery = companions.joined_to(replace(delivery, needed_by=order.needed_by))
        previews = {name: sheet.preview for name, sheet in made.items()}
        delivery, names = put_in_place(delivery, previews, passing, order.folder, order.options)
    notes = tuple((t.sheet.number, f) for t in tasks for f in made[t.name].findings)
    numbers = {sheet.entry.number for sheet in sheets}
    code = exit_code_of(outcome for outcome in plan.outcomes if outcome.entry.number in numbers)
    return DeliveryRun(delivery, files=names, notes=(*notes, *companions.notes), exit_code=code)


def _sources(order: DeliveryOrder, sheet: LabSheet) -> tuple[Path, ...]:
    pictures = order.inputs.pictures_of(sheet.entry)
    return tuple(pictures[n] for n in sheet.piece.pictures)


def _refuse_folder(plan: DeliveryPlan) -> None:
    """Raise ``WriteError`` if the folder cannot be used, or its disk is too full."""
    folder, lab = plan.order.folder, plan.order.job.lab
    refuse_target(folder)
    refuse_inputs(folder, [source for task in plan.tasks for source in task.sources])
    times = 2 if plan.order.options.as_zip else 1  # files to pack are on the disk twice
    sheets = sum(times * about_bytes(task.sheet.placing.file, lab) for task in plan.tasks)
    refuse_full_disk(folder, sheets + plan.companions.about_bytes)


def _without_sheets(
    tasks: Sequence[DeliveryTask], made: Mapping[str, DeliveryResult]
) -> DeliveryRun | None:
    """The run without a delivery, if not every sheet could be made."""
    faults = tuple(m.fault for m in made.values() if m.fault)
    refused = tuple(
        _refused(task, made[task.name])
        for task in tasks
        if task.name in made and made[task.name].problem
    )
    return _nothing_made(refused, faults, is_whole=len(made) == len(tasks))


def _without_companions(companions: CompanionResult) -> DeliveryRun | None:
    """The run without a delivery, if not every companion could be made."""
    return _nothing_made(companions.refusals, companions.faults, is_whole=companions.is_whole)


def _nothing_made(
    refused: tuple[Refusal, ...], faults: tuple[str, ...], *, is_whole: bool
) -> DeliveryRun | None:
    """The run without a delivery, or None if all is well."""
    if is_whole and not refused:
        return None
    codes = [ExitCode(refusal.exit_code) for refusal in refused]
    codes += [] if is_whole else [ExitCode.INTERRUPTED]
    return DeliveryRun(None, refused, faults=faults, exit_code=largest(codes))


def _refused(task: DeliveryTask, made: DeliveryResult) -> Refusal:
    entry = task.sheet.entry
    return Refusal(entry.number, entry.title, made.problem, made.exit_code)


def _sheet_path(sheet: LabSheet) -> str:
    """Return the name of a sheet's file in its delivery."""
    return f"prints/{sheet.name}"


def _delivery(
    plan: DeliveryPlan, sheets: Sequence[LabSheet], made: Mapping[str, DeliveryResult]
) -> Delivery:
    """The delivery of these sheets; ``made`` holds the finished sheets by name."""
    job, options = plan.order.job, plan.order.options
    by_number = {outcome.entry.number: outcome for outcome in plan.outcomes}
    files = tuple(_file(job, by_number[s.entry.number], s, made[_sheet_path(s)]) for s in sheets)
    return Delivery(
        lab=job.lab,
        icc_sha256=files[0].facts.icc_sha256,
        white=tuple(white_codes(job.lab)),
        rules=job.rules.title if job.rules else "",
        files=files,
        copyright=options.copyright,
        keeps_metadata=options.keep_metadata,
    )


def _lab_refusals(delivery: Delivery) -> tuple[Refusal, ...]:
    """A refusal for each finished file that the lab would not accept."""
    refused = []
    for file in delivery.files:
        wrong = [f for f in lab_findings(delivery, file, file.facts) if f.severity > Severity.MET]
        if wrong:
            reason = "; ".join(f"{f.code}: {f.message}" for f in wrong)
            reason = f"the lab does not accept the file: {reason}"
            refused.append(Refusal(file.entry, file.title, reason, ExitCode.BROKEN))
    return tuple(refused)


def _file(job: Job, outcome: Outcome, sheet: LabSheet, made: DeliveryResult) -> DeliveredFile:
    plan, facts = outcome.plan, made.facts
    assert plan is not None, "a sheet has a plan"
    assert facts is not None, "a file that was made has facts"
    picture = sheet.piece.lying
    is_alone = sheet.piece.areas is None
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
        slack=tolerances(job).of_sight(picture, picture.sight),
        limits=_limits(job, plan) if is_alone else VisibleRule(),
        verdicts=tuple(_rule_verdicts(job, outcome, plan)),
        missing=marks.missing,
        price=sheet.price,
    )


def _rule_verdicts(job: Job, outcome: Outcome, plan: Plan) -> list[Finding]:
    """The findings that come from the exhibition's rules; none if no rules were checked."""
    if job.rules is None:
        return []
    judged = (Severity.MET, Severity.AT_RISK, Severity.BROKEN)
    return [f for f in outcome.findings if f.severity in judged and f.code not in _NOT_THE_RULES]


def _limits(job: Job, plan: Plan) -> VisibleRule:
    """The rules' limits on the visible size; none if one file alone cannot prove it."""
    if job.rules is None or len(plan.parts) > 1:
        return VisibleRule()
    picture, rule = plan.layout.pictures[0], job.rules.visible
    counts_more = rule.counts_paper and picture.print_seen != picture.sight
    return VisibleRule() if counts_more or picture.is_oval else rule
