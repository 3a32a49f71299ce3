"""The catalogue copies of a delivery: planned, made by workers, and checked against the rules."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.errors import ExitCode, UsageError
from proofs.findings import Finding, Severity
from proofs.lengths import PixelSize
from proofs.outside.files import picture_path, sha256_of_bytes, write_whole
from proofs.outside.pixels.prints.catalogue_copies import TOO_LARGE, catalogue_copy
from proofs.outside.pixels.prints.file_facts import SRGB_SHA256, file_facts
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.pixel_areas import Area
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.catalogue import FOLDER, catalogue_names, catalogue_pixels
from proofs.plan.delivery.deliveries import Catalogue, ScreenCopy
from proofs.plan.delivery.file_checks import copy_findings
from proofs.plan.delivery.refusals import Refusal
from proofs.plan.entry.facts import PhotoFacts
from proofs.plan.entry.hanging import quarter_turns
from proofs.records.job import Job
from proofs.records.rules import CatalogueRule
from proofs.run.workers import Trouble, Workers


@dataclass(frozen=True, slots=True)
class CatalogueTask:
    """One picture of one entry to copy; ``name`` is the name of the copy in the delivery."""

    number: str
    title: str
    category: str
    source: Path
    file: str
    facts: PhotoFacts
    turn: int
    crop: Area
    rule: CatalogueRule
    name: str

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The picture as the entries file names it."""
        return ((self.source, self.file),)

    @property
    def about_bytes(self) -> int:
        """An upper estimate of the copy's bytes."""
        pixels = catalogue_pixels(PixelSize(self.crop.width, self.crop.height), self.rule)
        most = pixels.width * pixels.height
        return min(most, self.rule.most_bytes or most)


@dataclass(frozen=True, slots=True)
class CatalogueResult:
    """The result of a task: the copy's content, or the ``problem`` that stopped it.

    ``notes`` say what had to be given up; ``exit_code`` is that of the problem; ``fault`` is
    the traceback of a fault of the program.
    """

    name: str
    content: bytes | None
    notes: tuple[Finding, ...] = ()
    problem: str = ""
    exit_code: ExitCode = ExitCode.DONE
    fault: str = ""


@dataclass(frozen=True, slots=True)
class CatalogueCopies:
    """The copies that were made; ``refusals`` are for those that failed or break a rule.

    ``notes`` are findings by entry number; ``is_whole`` is False if the run was interrupted.
    """

    catalogue: Catalogue | None = None
    refusals: tuple[Refusal, ...] = ()
    notes: tuple[tuple[str, Finding], ...] = ()
    faults: tuple[str, ...] = ()
    is_whole: bool = True


def catalogue_rule(job: Job) -> CatalogueRule:
    """Return the rules for catalogue copies.

    Raises ``UsageError`` if there are none.
    """
    rule = job.rules.catalogue if job.rules else None
    if rule is None:
        reason = f"the rules {job.rules.name!r} have none" if job.rules else "no rules are named"
        raise UsageError(
            f"--catalogue: copies follow the table [catalogue] of the rules, but {reason}; add it"
            " to their profile, or name other rules with --rules"
        )
    return rule


def catalogue_tasks(
    job: Job, outcomes: Sequence[Outcome], folder: Path
) -> tuple[CatalogueTask, ...]:
    """Return one task for each picture of the planned entries, in order.

    ``folder`` is the one that holds the entries' files. The copies' names are unique. Raises
    ``UsageError`` as ``catalogue_rule`` does.
    """
    rule = catalogue_rule(job)
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
            facts=part.facts,
            turn=quarter_turns(part.top_edge),
            crop=part.crop,
            rule=rule,
            name=f"{FOLDER}/{name}",
        )
        for (entry, part), name in zip(pictures, names, strict=True)
    )


def catalogue_copies(
    tasks: Sequence[CatalogueTask], folder: Path, workers: Workers
) -> CatalogueCopies:
    """Write the catalogue copies into a folder; one that breaks a rule is refused."""
    if not tasks:
        return CatalogueCopies()
    by_name = {task.name: task for task in tasks}
    copies: dict[str, ScreenCopy] = {}
    made: dict[str, CatalogueResult] = {}
    for result in workers.results(make_copy, tasks, spoilt=spoilt_copy):
        if result.content is not None:
            copies[result.name] = _written(by_name[result.name], result.content, folder)
        made[result.name] = replace(result, content=None)
    done = [(task, made[task.name]) for task in tasks if task.name in made]
    refusals = [_refusal(task, result, copies.get(task.name)) for task, result in done]
    return CatalogueCopies(
        catalogue=Catalogue(
            tasks[0].rule, tuple(copies[task.name] for task in tasks if task.name in copies)
        ),
        refusals=tuple(filter(None, refusals)),
        notes=tuple((task.number, note) for task, result in done for note in result.notes),
        faults=tuple(result.fault for _, result in done if result.fault),
        is_whole=len(done) == len(tasks),
    )


def make_copy(task: CatalogueTask) -> CatalogueResult:
    """Make one copy and return the result."""
    prepare()
    copy = catalogue_copy(
        decode(task.source, expected=task.facts),
        task.rule,
        turn=task.turn,
        crop=task.crop,
        title=task.title,
    )
    return CatalogueResult(task.name, copy.content, copy.notes)


def spoilt_copy(task: CatalogueTask, trouble: Trouble) -> CatalogueResult:
    """Return the result of a copy that failed."""
    found = Finding(trouble.code, Severity.UNREADABLE, trouble.reason)
    code = ExitCode.BROKEN if trouble.code == TOO_LARGE else trouble.exit_code
    return CatalogueResult(task.name, None, (found,), trouble.reason, code, trouble.trace)


def _written(task: CatalogueTask, content: bytes, folder: Path) -> ScreenCopy:
    """Write a copy, and describe it by the facts read back from its file."""
    write_whole(folder / task.name, content)
    return ScreenCopy(
        file=task.name,
        entry=task.number,
        title=task.title,
        category=task.category,
        facts=file_facts(content),
        sha256=sha256_of_bytes(content),
    )


def _refusal(
    task: CatalogueTask, result: CatalogueResult, copy: ScreenCopy | None
) -> Refusal | None:
    """Why an entry cannot be delivered with a copy of this picture, or None."""
    if copy is None:
        reason = f"no catalogue copy: {result.problem}"
        return Refusal(task.number, task.title, reason, result.exit_code)
    points = copy_findings(task.rule, copy, copy.facts, srgb_sha256=SRGB_SHA256)
    wrong = [point.message for point in points if point.severity > Severity.MET]
    if not wrong:
        return None
    reason = f"its catalogue copy breaks the rules: {'; '.join(wrong)}"
    return Refusal(task.number, task.title, reason, ExitCode.BROKEN)
