"""Catalogue copies of a whole run: what each is made of and named, and the worker's part."""

import hashlib
import traceback
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.errors import FAULT_CODE, PhotographError, UsageError
from proofs.findings import Finding, Severity
from proofs.outside.files import picture_path, write_whole
from proofs.outside.pixels.catalogue_copies import catalogue_copy
from proofs.outside.pixels.file_facts import SRGB_SHA256, file_facts
from proofs.outside.pixels.opening import decode
from proofs.outside.pixels.vips import prepare
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.catalogue import catalogue_names
from proofs.plan.delivery.copy_rules import copy_findings
from proofs.plan.delivery.deliveries import Catalogue, Companion, Delivery, ScreenCopy
from proofs.plan.delivery.refusals import BROKEN, PHOTOGRAPH, Refusal
from proofs.plan.entry.hanging import quarter_turns
from proofs.plan.entry.sizing import Crop
from proofs.records.job import Job
from proofs.records.rules import CatalogueRule
from proofs.run.workers import work


@dataclass(frozen=True, slots=True)
class CatalogueTask:
    """One picture of one entry to copy; small, since it may be sent to another process."""

    number: str
    title: str
    category: str
    source: Path
    file: str
    turn: int
    crop: Crop
    rule: CatalogueRule
    name: str


@dataclass(frozen=True, slots=True)
class CatalogueResult:
    """What became of a task: the file's name and content, None where it could not be made.

    ``findings`` say why not, or what had to be given up; ``fault`` holds the trace of a fault
    of the program.
    """

    number: str
    name: str
    content: bytes | None
    findings: tuple[Finding, ...] = ()
    fault: str = ""


def catalogue_tasks(
    job: Job, outcomes: Sequence[Outcome], folder: Path
) -> tuple[CatalogueTask, ...]:
    """Return a task for every picture of these outcomes that has a plan, in their order.

    ``folder`` is the one that the entries' files are named from. Names are unique over all of
    them. Raises ``UsageError`` where the rules say nothing of catalogue copies.
    """
    rule = job.rules.catalogue if job.rules else None
    if rule is None:
        silent = (
            f"the rules {job.rules.name!r} say nothing of them" if job.rules else "there are none"
        )
        raise UsageError(
            f"the rules say what catalogue copies have to be, and {silent}; add a table [catalogue]"
            " to their profile, or name others with --rules"
        )
    pictures = [
        (outcome.entry, part)
        for outcome in outcomes
        for part in (outcome.plan.parts if outcome.plan else ())
    ]
    names = catalogue_names([(entry, part.file) for entry, part in pictures], rule.name)
    return tuple(
        CatalogueTask(
            number=entry.number,
            title=entry.title,
            category=entry.category,
            source=picture_path(folder, part.file),
            file=part.file,
            turn=quarter_turns(part.top_edge),
            crop=part.crop,
            rule=rule,
            name=name,
        )
        for (entry, part), name in zip(pictures, names, strict=True)
    )


def catalogue_file(task: CatalogueTask) -> CatalogueResult:
    """Make one copy and return what became of it; nothing is ever raised."""
    try:
        prepare()
        copy = catalogue_copy(
            decode(task.source), task.rule, turn=task.turn, crop=task.crop, title=task.title
        )
        return CatalogueResult(task.number, task.name, copy.content, copy.notes)
    except PhotographError as error:
        # The folder is this machine's affair: a record made elsewhere must be the same.
        reason = str(error).replace(str(task.source), task.file)
        finding = Finding(error.code, Severity.UNREADABLE, reason)
        return CatalogueResult(task.number, task.name, None, (finding,))
    except Exception:  # a fault of the program: told with its trace, the other copies go on
        trace = traceback.format_exc()
        return _failed(task, f"a fault of the program: {trace.strip().splitlines()[-1]}", trace)


def catalogue_files(
    tasks: Sequence[CatalogueTask], *, jobs: int, stopped: Callable[[], bool]
) -> Iterator[CatalogueResult]:
    """Yield what becomes of each task, as they are finished, ``jobs`` at once."""
    return work(catalogue_file, tasks, jobs=jobs, lost=_lost, stopped=stopped)


def _lost(task: CatalogueTask) -> CatalogueResult:
    reason = "the worker process died; is there enough memory? Try --jobs 1"
    return _failed(task, reason, reason)


def _failed(task: CatalogueTask, reason: str, fault: str) -> CatalogueResult:
    finding = Finding("failed", Severity.UNREADABLE, reason)
    return CatalogueResult(task.number, task.name, None, (finding,), fault)


_EXIT_CODES = {"failed": FAULT_CODE, "catalogue-too-large": BROKEN}
Notes = tuple[tuple[str, Finding], ...]


@dataclass(frozen=True, slots=True)
class CompanionResult:
    """What was made; the refusals say what could not be, and then nothing is handed over.

    ``notes`` are findings by entry number; ``is_whole`` says that nothing was left undone.
    """

    catalogue: Catalogue | None = None
    soft_proof: Companion | None = None
    refusals: tuple[Refusal, ...] = ()
    notes: Notes = ()
    faults: tuple[str, ...] = ()
    is_whole: bool = True

    def joined_to(self, delivery: Delivery) -> Delivery:
        """Return a delivery with this beside its files."""
        return replace(delivery, catalogue=self.catalogue, soft_proof=self.soft_proof)


def copied(
    tasks: Sequence[CatalogueTask],
    folder: Path,
    *,
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[], None],
) -> CompanionResult:
    """Write the catalogue copies into a folder; one that cannot be, or misses a rule, is refused.

    ``done`` is called after each.
    """
    if not tasks:
        return CompanionResult()
    by_name = {task.name: task for task in tasks}
    copies: dict[str, ScreenCopy] = {}
    made: dict[str, CatalogueResult] = {}
    for file in catalogue_files(tasks, jobs=jobs, stopped=stopped):
        if file.content is not None:
            copies[file.name] = _written(by_name[file.name], file.content, folder)
        made[file.name] = replace(file, content=None)
        done()
    begun = [(task, made[task.name]) for task in tasks if task.name in made]
    in_order = tuple(copies[task.name] for task in tasks if task.name in copies)
    refusals = [_refused(task, file, copies.get(task.name)) for task, file in begun]
    return CompanionResult(
        catalogue=Catalogue(tasks[0].rule, in_order),
        refusals=tuple(filter(None, refusals)),
        notes=tuple((task.number, found) for task, file in begun for found in file.findings),
        faults=tuple(file.fault for _, file in begun if file.fault),
        is_whole=len(begun) == len(tasks),
    )


def _written(task: CatalogueTask, content: bytes, folder: Path) -> ScreenCopy:
    """Write a copy and read back what its file says of itself."""
    write_whole(folder / task.name, content)
    return ScreenCopy(
        file=task.name,
        entry=task.number,
        title=task.title,
        category=task.category,
        facts=file_facts(content),
        sha256=hashlib.sha256(content).hexdigest(),
    )


def _refused(task: CatalogueTask, file: CatalogueResult, copy: ScreenCopy | None) -> Refusal | None:
    """Why an entry cannot be handed over with a copy of this picture, or None."""
    if copy is None:
        found = file.findings[0]
        reason = f"no catalogue copy: {found.message}"
        return Refusal(task.number, task.title, reason, _EXIT_CODES.get(found.code, PHOTOGRAPH))
    points = copy_findings(task.rule, copy, copy.facts, srgb_sha256=SRGB_SHA256)
    wrong = [point.message for point in points if point.severity > Severity.MET]
    if not wrong:
        return None
    reason = f"its catalogue copy is not as the rules ask: {'; '.join(wrong)}"
    return Refusal(task.number, task.title, reason, BROKEN)
