"""The catalogue copies of a delivery: planned, made by workers, and checked against the rules."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from proofs.commands.delivery.kept import DeliveryNotes, NotedFile
from proofs.commands.delivery.order import Companions
from proofs.errors import ExitCode, UsageError
from proofs.findings import Finding, Severity
from proofs.outside.files import sha256_of_bytes, write_whole
from proofs.outside.pixels.prints.catalogue_copies import TOO_LARGE, CatalogueCopy, catalogue_copy
from proofs.outside.pixels.prints.file_facts import SRGB_SHA256, file_facts
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.catalogue import FOLDER, catalogue_names, catalogue_pixels
from proofs.plan.delivery.deliveries import Catalogue, FileFacts, ScreenCopy
from proofs.plan.delivery.file_checks import copy_findings, metadata_findings
from proofs.plan.delivery.refusals import Refusal
from proofs.plan.entry.hanging import quarter_turns
from proofs.plan.entry.planning import PlannedPicture
from proofs.plan.making.recipes import file_name
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.metadata_wish import NO_METADATA, MetadataWish
from proofs.records.rules import CatalogueRule
from proofs.run.workers import Trouble, Workers

_Made = TypeVar("_Made")


@dataclass(frozen=True, slots=True)
class CatalogueTask:
    """One picture of one entry to copy; ``name`` is the name of the copy in the delivery.

    The copy gets the ``metadata``, besides the title that the rules may ask for.
    """

    entry: Entry
    part: PlannedPicture
    source: Path
    rule: CatalogueRule
    metadata: MetadataWish
    name: str

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The picture as the entries file names it."""
        return ((self.source, self.part.file),)

    @property
    def about_bytes(self) -> int:
        """An upper estimate of the copy's bytes."""
        pixels = catalogue_pixels(self.part.crop.size, self.rule)
        most = pixels.width * pixels.height
        return min(most, self.rule.most_bytes or most)


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
    job: Job,
    outcomes: Sequence[Outcome],
    path_of: Callable[[str], Path],
    metadata: MetadataWish = NO_METADATA,
) -> tuple[CatalogueTask, ...]:
    """Return one task for each picture of the planned entries, in order.

    ``path_of`` returns the path of a picture that an entry names. The copies' names are unique.
    Raises ``UsageError`` as ``catalogue_rule`` does.
    """
    rule = catalogue_rule(job)
    pictures = [
        (outcome.entry, part)
        for outcome in outcomes
        for part in (outcome.plan.parts if outcome.plan else ())
    ]
    names = catalogue_names([(entry, part.file) for entry, part in pictures], rule.name)
    return tuple(
        CatalogueTask(entry, part, path_of(part.file), rule, metadata, f"{FOLDER}/{name}")
        for (entry, part), name in zip(pictures, names, strict=True)
    )


def catalogue_copies(
    tasks: Sequence[CatalogueTask], folder: Path, workers: Workers, notes: DeliveryNotes
) -> Companions:
    """Write the catalogue copies into a folder; one that breaks a rule is refused."""
    if not tasks:
        return Companions()
    copies: dict[str, ScreenCopy] = {}
    refusals: dict[str, Refusal] = {}
    found: dict[str, tuple[Finding, ...]] = {}
    troubles = []
    for task, result in _copies_made(tasks, folder, workers, notes):
        if isinstance(result, Trouble):
            troubles.append(result)
            code = ExitCode.BROKEN if result.code == TOO_LARGE else result.exit_code
            refusals[task.name] = _refusal(task, f"no catalogue copy: {result.reason}", code)
            continue
        copy, found[task.name] = result
        copies[task.name] = copy
        points = copy_findings(task.rule, copy, copy.facts, srgb_sha256=SRGB_SHA256)
        has_title = task.rule.title_inside
        points += metadata_findings(task.metadata, copy.facts, has_title=has_title)
        if wrong := "; ".join(point.message for point in points if point.severity > Severity.MET):
            reason = f"its catalogue copy is not as the rules or you ask: {wrong}"
            refusals[task.name] = _refusal(task, reason, ExitCode.BROKEN)
    return Companions(
        catalogue=Catalogue(tasks[0].rule, tuple(_ordered(tasks, copies))),
        refusals=tuple(_ordered(tasks, refusals)),
        notes=tuple((t.entry.number, note) for t in tasks for note in found.get(t.name, ())),
        troubles=tuple(troubles),
        is_whole=len(copies) + len(troubles) == len(tasks),
    )


def _copies_made(
    tasks: Sequence[CatalogueTask], folder: Path, workers: Workers, notes: DeliveryNotes
) -> Iterator[tuple[CatalogueTask, tuple[ScreenCopy, tuple[Finding, ...]] | Trouble]]:
    """Yield each copy, taken over from the earlier delivery or made, with the notes on it."""
    left = []
    for task in tasks:
        known = notes.digests_of([task.source])
        key = _key(task, known[0], notes) if known else ""
        kept = notes.taken_over(key, folder / task.name, NotedFile)
        if kept is None:
            left.append(task)
            continue
        sha256, noted = kept
        workers.after_each("")
        yield task, (_screen_copy(task, noted.facts, sha256), noted.findings)
    for task, result in workers.results(make_copy, left):
        if isinstance(result, Trouble):
            yield task, result
            continue
        content, found = result.copy.content, result.copy.notes
        write_whole(folder / task.name, content)
        copy = _screen_copy(task, file_facts(content), sha256_of_bytes(content))
        notes.learn([task.source], [result.source_sha256])
        notes.note(
            _key(task, result.source_sha256, notes), copy.sha256, NotedFile(copy.facts, found)
        )
        yield task, (copy, found)


def _key(task: CatalogueTask, sha256: str, notes: DeliveryNotes) -> str:
    """The key of a copy of a picture whose file has this digest."""
    title = task.entry.title if task.rule.title_inside else None
    picture = sha256, file_name(task.part.file), task.part.top_edge, task.part.crop
    return notes.made_with.key("catalogue copy", picture, task.rule, (title, task.metadata))


@dataclass(frozen=True, slots=True)
class MadeCopy:
    """A finished copy, and the digest of the picture's file."""

    copy: CatalogueCopy
    source_sha256: str


def make_copy(task: CatalogueTask) -> MadeCopy:
    """Make one copy and return it."""
    prepare()
    photograph = decode(task.source, expected=task.part.facts)
    copy = catalogue_copy(
        photograph,
        task.rule,
        turn=quarter_turns(task.part.top_edge),
        crop=task.part.crop,
        title=task.entry.title,
        metadata=task.metadata,
    )
    return MadeCopy(copy, photograph.sha256)


def _ordered(tasks: Sequence[CatalogueTask], made: Mapping[str, _Made]) -> Iterator[_Made]:
    """What was made by name, in the order of the tasks."""
    return (made[task.name] for task in tasks if task.name in made)


def _screen_copy(task: CatalogueTask, facts: FileFacts, sha256: str) -> ScreenCopy:
    """A copy, described by the facts read back from its file."""
    return ScreenCopy(
        file=task.name,
        entry=task.entry.number,
        title=task.entry.title,
        category=task.entry.category,
        facts=facts,
        sha256=sha256,
    )


def _refusal(task: CatalogueTask, reason: str, exit_code: ExitCode) -> Refusal:
    return Refusal(task.entry.number, task.entry.title, reason, exit_code)
