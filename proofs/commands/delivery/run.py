"""A whole delivery: from the planned sheets to the folder, or the zips, for the lab."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from proofs.commands.delivery.companions import CompanionOrder, companion_order, make_companions
from proofs.commands.delivery.kept import DeliveryNotes, note_sheet, previews_of, taken_over
from proofs.commands.delivery.order import DeliveryOptions
from proofs.commands.delivery.packing import PACKED, PRINTED, put_in_place
from proofs.commands.delivery.worker import DeliveryResult, DeliveryTask, make_lab_sheet
from proofs.errors import ExitCode, UsageError, largest
from proofs.findings import Finding, Severity
from proofs.outside.delivery_folder import earlier_files, refuse_target, temporary_folder
from proofs.outside.earlier_runs import refuse_full_disk, refuse_inputs
from proofs.outside.locks import locked
from proofs.outside.pixels.prints.composition import white_codes
from proofs.plan.checks.limits import COVER_LIMITS
from proofs.plan.checks.outcomes import Outcome, exit_code_of
from proofs.plan.delivery.deliveries import DeliveredFile, Delivery
from proofs.plan.delivery.file_checks import lab_findings, metadata_findings
from proofs.plan.delivery.lab_sheets import LabSheet
from proofs.plan.delivery.refusals import Refusal
from proofs.plan.entry.planning import Plan
from proofs.plan.entry.tolerances import tolerances
from proofs.plan.making.keeping import Counts, counts_of
from proofs.records.job import Job
from proofs.records.rules import VisibleRule
from proofs.run.made_with import made_with
from proofs.run.preflight import Preflight
from proofs.run.print_files import print_bytes
from proofs.run.source_digests import source_digests
from proofs.run.workers import Trouble, Workers, traces

_NOT_THE_RULES = {"resolution", "sheet", "mount-border"}.union(
    limit.code for limit in COVER_LIMITS.values()
)
_NO_FILES = Counts()


@dataclass(frozen=True, slots=True)
class DeliveryPlan:
    """The plan of a delivery: the tasks of its sheets, and its companions."""

    options: DeliveryOptions
    ready: Preflight
    tasks: tuple[DeliveryTask, ...]
    companions: CompanionOrder

    @property
    def count(self) -> int:
        """The number of steps of progress: sheets, copies, and entries of the soft proof."""
        return len(self.tasks) + self.companions.count


@dataclass(frozen=True, slots=True)
class DeliveryRun:
    """The result of a run; ``delivery`` is None if none was made, and ``refusals`` say why.

    ``files`` are the names in the folder, and ``counts`` are theirs; ``notes`` are findings by
    entry number.
    """

    delivery: Delivery | None
    refusals: tuple[Refusal, ...] = ()
    files: tuple[str, ...] = ()
    counts: Counts = _NO_FILES
    notes: tuple[tuple[str, Finding], ...] = ()
    faults: tuple[str, ...] = ()
    exit_code: ExitCode = ExitCode.DONE


_Made = Sequence[tuple[DeliveryTask, DeliveryResult]]


def plan_delivery(
    options: DeliveryOptions, ready: Preflight, sheets: Sequence[LabSheet]
) -> DeliveryPlan:
    """Return what to make for these sheets.

    Raises ``UsageError`` if there is nothing to deliver, or if catalogue copies are asked for
    and the rules do not describe them.
    """
    companions = companion_order(options, ready, sheets)
    if not sheets:
        raise UsageError("there is nothing to deliver: no entry has a copy to print")
    outcomes = {outcome.entry.number: outcome for outcome in ready.outcomes}
    metadata = options.metadata_wish(ready.inputs.source.job_file)
    tasks = []
    for sheet in sheets:
        outcome, sources = outcomes[sheet.entry.number], ready.inputs.pictures_of(sheet.entry)
        assert outcome.plan is not None, "a sheet has a plan"
        task = DeliveryTask(
            job=ready.job.with_paper(outcome.plan.paper),
            outcome=outcome,
            plan=outcome.plan,
            sheet=sheet,
            sources=tuple(sources[n] for n in sheet.piece.pictures),
            folder=Path(),
            name=f"prints/{sheet.name}",
            options=options,
            metadata=metadata,
        )
        tasks.append(task)
    return DeliveryPlan(options, ready, tuple(tasks), companions)


def make_delivery(plan: DeliveryPlan, workers: Workers) -> DeliveryRun:
    """Make a delivery in its folder, complete or not at all.

    Raises ``WriteError``, before any file is made, if the folder cannot be used.
    """
    options = plan.options
    _refuse_folder(plan)
    own, pictures = made_with(plan.ready.job.lab, options.font), plan.ready.inputs.folder
    with (
        locked(options.out),
        temporary_folder(options.out) as unfinished,
        source_digests(pictures, reads=True, again=options.again) as digests,
    ):
        notes = DeliveryNotes(options.out, own, digests, again=options.again)
        return _made_delivery(plan, unfinished, notes, workers)


def _made_delivery(
    plan: DeliveryPlan, unfinished: Path, notes: DeliveryNotes, workers: Workers
) -> DeliveryRun:
    """Make a delivery in a temporary folder, and put it in its place if it is complete."""
    options = plan.options
    tasks = [replace(task, folder=unfinished / PRINTED) for task in plan.tasks]
    results = _sheets_made(tasks, notes, workers)
    made = [(task, r) for task, r in results if isinstance(r, DeliveryResult)]
    stopped = [(task.sheet.entry, r) for task, r in results if isinstance(r, Trouble)]
    is_whole = len(results) == len(tasks)
    if stopped or not is_whole:
        refused = tuple(Refusal(e.number, e.title, t.reason, t.exit_code) for e, t in stopped)
        troubles = [t for _, t in stopped]
        return _nothing_made(
            refused, troubles, ended=ExitCode.DONE if is_whole else _ended(workers)
        )
    delivery = _delivery(plan, made)
    if refused := _file_refusals(delivery):
        return _nothing_made(refused)
    folder = unfinished / (PACKED if options.as_zip else PRINTED)
    companions = make_companions(plan.companions, folder, workers, notes)
    if companions.refusals or not companions.is_whole:
        ended = ExitCode.DONE if companions.is_whole else _ended(workers)
        return _nothing_made(companions.refusals, companions.troubles, ended=ended)
    if workers.is_stopped():
        return _nothing_made(ended=_ended(workers))
    whole = replace(delivery, catalogue=companions.catalogue, soft_proof=companions.soft_proof)
    previews = partial(previews_of, made)
    author = plan.ready.job.author
    delivery, names = put_in_place(
        whole, previews, unfinished, options=options, notes=notes, author=author
    )
    notes.keep()
    counts = counts_of(notes.earlier.sums, earlier_files(options.out).sums)
    code = exit_code_of(task.outcome for task in tasks)
    found = [(task.sheet.number, found) for task, r in made for found in r.findings]
    found += [*companions.notes, *_broken_rules(tasks)]
    return DeliveryRun(delivery, files=names, counts=counts, notes=tuple(found), exit_code=code)


def _broken_rules(tasks: Sequence[DeliveryTask]) -> Iterator[tuple[str, Finding]]:
    for task in tasks:
        for found in _rule_verdicts(task.job, task.outcome):
            if found.severity is Severity.BROKEN:
                yield task.outcome.entry.number, found


def _sheets_made(
    tasks: Sequence[DeliveryTask], notes: DeliveryNotes, workers: Workers
) -> list[tuple[DeliveryTask, DeliveryResult | Trouble]]:
    """Each finished sheet in the order of the tasks, taken over or made."""
    made: dict[str, DeliveryResult | Trouble] = {}
    for task in tasks:
        if kept := taken_over(task, notes):
            made[task.name] = kept
            workers.after_each("")
    left = [task for task in tasks if task.name not in made]
    for task, result in workers.results(make_lab_sheet, left):
        made[task.name] = result
        if isinstance(result, DeliveryResult):
            note_sheet(task, result, notes)
    return [(task, made[task.name]) for task in tasks if task.name in made]


def _broken(tasks: Sequence[DeliveryTask]) -> list[tuple[str, Finding]]:
    """The rules that these entries break, by entry number: they are delivered all the same."""
    return [
        (task.outcome.entry.number, verdict)
        for task in tasks
        for verdict in _rule_verdicts(task.job, task.outcome)
        if verdict.severity is Severity.BROKEN
    ]


def _refuse_folder(plan: DeliveryPlan) -> None:
    """Raise ``WriteError`` if the folder cannot be used, or its disk is too full."""
    folder, lab = plan.options.out, plan.ready.job.lab
    refuse_target(folder)
    refuse_inputs(folder, [source for task in plan.tasks for source in task.sources])
    times = 2 if plan.options.as_zip else 1  # files to pack are on the disk twice
    sheets = sum(times * print_bytes(task.sheet.placing.file, lab) for task in plan.tasks)
    refuse_full_disk(folder, sheets + plan.companions.about_bytes)


def _ended(workers: Workers) -> ExitCode:
    """The exit code of a run that ended before all was made."""
    return workers.exit_code((), ())


def _nothing_made(
    refused: tuple[Refusal, ...] = (),
    troubles: Sequence[Trouble] = (),
    *,
    ended: ExitCode = ExitCode.DONE,
) -> DeliveryRun:
    """The run without a delivery; ``ended`` is the code of one that ended early."""
    codes = [*(ExitCode(refusal.exit_code) for refusal in refused), ended]
    return DeliveryRun(None, refused, faults=traces(troubles), exit_code=largest(codes))


def _delivery(plan: DeliveryPlan, made: _Made) -> Delivery:
    job, options = plan.ready.job, plan.options
    return Delivery(
        lab=job.lab,
        icc_sha256=made[0][1].facts.icc_sha256,
        white=tuple(white_codes(job.lab)),
        rules=job.rules.title if job.rules else "",
        files=tuple(_file(task, result) for task, result in made),
        metadata=options.metadata_wish(plan.ready.inputs.source.job_file),
        needed_by=options.needed_by,
        customer=plan.ready.inputs.source.job_file.customer,
    )


def _file_refusals(delivery: Delivery) -> tuple[Refusal, ...]:
    """A refusal for each finished file that the lab would not accept, or that lacks a line."""
    refused = []
    for file in delivery.files:
        wrong = {
            "the lab does not accept the file": lab_findings(delivery, file, file.facts),
            "the file is not as it was asked for": metadata_findings(delivery.metadata, file.facts),
        }
        for words, findings in wrong.items():
            unmet = [f"{f.code}: {f.message}" for f in findings if f.severity > Severity.MET]
            if unmet:
                reason = f"{words}: {'; '.join(unmet)}"
                refused.append(Refusal(file.entry, file.title, reason, ExitCode.BROKEN))
    return tuple(refused)


def _file(task: DeliveryTask, made: DeliveryResult) -> DeliveredFile:
    job, plan, sheet = task.job, task.plan, task.sheet
    picture = sheet.piece.lying
    is_alone = sheet.piece.areas is None
    marks = sheet.margin_marks
    line = (marks.margin_line.top, marks.margin_line.strip) if marks.margin_line else ()
    return DeliveredFile(
        file=task.name,
        entry=sheet.number,
        title=sheet.entry.title,
        copies=sheet.entry.copies,
        paper=sheet.paper,
        finish=sheet.finish,
        sheet=sheet.placing.sheet,
        image=sheet.placing.image,
        margin_marks=(*marks.cut_marks, *line),
        facts=made.facts,
        sha256=made.sha256,
        hidden=picture.hidden,
        opening=picture.limiting.size if picture.limiting and is_alone else None,
        slack=tolerances(job).of_sight(picture, picture.sight),
        limits=_limits(job, plan) if is_alone else VisibleRule(),
        verdicts=tuple(_rule_verdicts(job, task.outcome)),
        missing=marks.missing,
        price=sheet.price,
        is_to_edge=sheet.placing.is_to_edge,
    )


def _rule_verdicts(job: Job, outcome: Outcome) -> list[Finding]:
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
