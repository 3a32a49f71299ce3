"""A whole delivery: from the sheets decided on to a folder, or zips, that the lab gets."""

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.crew import work
from proofs.delivery_beside import BesideOrder, make_beside
from proofs.delivery_catalogue import BesideMade
from proofs.delivery_files import PACKED, PRINTED, Packing, put_in_place
from proofs.delivery_making import FileWishes, LabMade, LabTask, lost_lab_sheet, make_lab_sheet
from proofs.delivery_values import against_the_lab, delivery_of, sheet_path
from proofs.errors import UsageError
from proofs.findings import Finding
from proofs.gathering import Gathered
from proofs.outside.delivery_folder import passing_folder, refuse_target
from proofs.outside.files import picture_path
from proofs.outside.output import OutputFolder, refuse_full_disk, refuse_inputs
from proofs.plan.deliveries import Delivery
from proofs.plan.lab_sheets import LabSheet
from proofs.plan.outcomes import Outcome
from proofs.plan.refusals import BROKEN, Refusal
from proofs.records.job import Job
from proofs.route import exit_code_of

_INTERRUPTED = 130


@dataclass(frozen=True, slots=True)
class DeliveryOrder:
    """What to hand over, where and how; ``needed_by`` stands on the ticket.

    ``beside`` is what lies beside the lab's files.
    """

    job: Job
    gathered: Gathered
    folder: Path
    wishes: FileWishes
    packing: Packing
    beside: BesideOrder
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


def deliver(
    order: DeliveryOrder,
    outcomes: Sequence[Outcome],
    sheets: Sequence[LabSheet],
    *,
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[], None],
) -> DeliveryRun:
    """Make the files of a delivery and put it in its place, whole or not at all.

    ``done`` is called after each sheet, and after each of what ``order.beside`` counts. Raises
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
        extra = make_beside(order.beside, folder, jobs=jobs, stopped=stopped, done=done)
        if lacking := _lacking(extra):
            return lacking
        delivery = extra.beside(replace(delivery, needed_by=order.needed_by))
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
    refuse_full_disk(order.folder, about_bytes + order.beside.about_bytes)


def _lacking(extra: BesideMade) -> DeliveryRun | None:
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
) -> list[LabTask]:
    plans = {outcome.entry.number: outcome.plan for outcome in outcomes if outcome.plan}
    return [
        LabTask(
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
    tasks: Sequence[LabTask], *, jobs: int, stopped: Callable[[], bool], done: Callable[[], None]
) -> dict[str, LabMade]:
    """What became of the sheets, by their paths."""
    made: dict[str, LabMade] = {}
    for result in work(make_lab_sheet, tasks, jobs=jobs, lost=lost_lab_sheet, stopped=stopped):
        made[result.name] = result
        done()
    return made


def _failed(tasks: Sequence[LabTask], made: dict[str, LabMade]) -> DeliveryRun | None:
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


def _refused(task: LabTask, made: LabMade) -> Refusal:
    entry = task.sheet.entry
    return Refusal(entry.number, entry.title, made.problem, made.exit_code)
