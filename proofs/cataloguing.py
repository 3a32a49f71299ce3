"""Catalogue copies of a whole run: what each is made of and named, and the worker's part."""

import traceback
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from proofs.crew import work
from proofs.errors import PhotographError, UsageError
from proofs.findings import Finding, Severity
from proofs.outside.files import picture_path
from proofs.outside.pixels.catalogue_copies import catalogue_copy
from proofs.outside.pixels.opening import decode
from proofs.outside.pixels.vips import prepare
from proofs.plan.catalogue import catalogue_names
from proofs.plan.hanging import quarter_turns
from proofs.plan.outcomes import Outcome
from proofs.plan.sizing import Crop
from proofs.records.job import Job
from proofs.records.rules import CatalogueRule


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
class CatalogueFile:
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


def catalogue_file(task: CatalogueTask) -> CatalogueFile:
    """Make one copy and return what became of it; nothing is ever raised."""
    try:
        prepare()
        copy = catalogue_copy(
            decode(task.source), task.rule, turn=task.turn, crop=task.crop, title=task.title
        )
        return CatalogueFile(task.number, task.name, copy.content, copy.notes)
    except PhotographError as error:
        # The folder is this machine's affair: a record made elsewhere must be the same.
        reason = str(error).replace(str(task.source), task.file)
        finding = Finding(error.code, Severity.UNREADABLE, reason)
        return CatalogueFile(task.number, task.name, None, (finding,))
    except Exception:  # a fault of the program: told with its trace, the other copies go on
        trace = traceback.format_exc()
        return _failed(task, f"a fault of the program: {trace.strip().splitlines()[-1]}", trace)


def catalogue_files(
    tasks: Sequence[CatalogueTask], *, jobs: int, stopped: Callable[[], bool]
) -> Iterator[CatalogueFile]:
    """Yield what becomes of each task, as they are finished, ``jobs`` at once."""
    return work(catalogue_file, tasks, jobs=jobs, lost=_lost, stopped=stopped)


def _lost(task: CatalogueTask) -> CatalogueFile:
    reason = "the worker process died; is there enough memory? Try --jobs 1"
    return _failed(task, reason, reason)


def _failed(task: CatalogueTask, reason: str, fault: str) -> CatalogueFile:
    finding = Finding("failed", Severity.UNREADABLE, reason)
    return CatalogueFile(task.number, task.name, None, (finding,), fault)
