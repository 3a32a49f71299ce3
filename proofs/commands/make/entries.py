"""The entries of a run: what is kept of them, and what workers make."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from proofs.commands.make.entry_outcome import finished_outcome
from proofs.commands.make.order import EntryParts, MakeOptions, MakeResult, MakeTask
from proofs.commands.make.recipes import EntryRecipes, entry_recipes
from proofs.commands.make.worker import make_entry
from proofs.findings import Finding, Severity, Status
from proofs.outside.run_folder import RunFolder
from proofs.plan.bench.labels import labels_of
from proofs.plan.checks.checking import by_severity
from proofs.plan.checks.outcomes import LifeSizePart, Outcome, Tones
from proofs.plan.entry.naming import stems
from proofs.plan.making.recipes import MadeWith
from proofs.records.stored_values import restored, stored
from proofs.run.preflight import Preflight
from proofs.run.print_files import PrintFacts
from proofs.run.source_digests import SourceDigests
from proofs.run.workers import Trouble, Workers, usual_count

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class MadeEntries:
    """The entries that were made, by number; the names of their files, and what stopped others.

    ``digests`` are those of the pictures of each entry, by number.
    """

    outcomes: Mapping[str, Outcome]
    files: tuple[str, ...]
    troubles: tuple[Trouble, ...]
    digests: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class EntryWork:
    """What a run does for its entries.

    ``tasks`` say what is kept of each; ``recipes`` are those of the files to keep, a key by name.
    """

    tasks: tuple[MakeTask, ...]
    recipes: Mapping[str, str]
    made_with: MadeWith
    digests: SourceDigests


def tasks_of(
    options: MakeOptions, ready: Preflight, workers: int, *, with_prints: bool = True
) -> tuple[MakeTask, ...]:
    """Return one task for each planned entry, shared among this many workers.

    Without prints only mock-ups are made, and nothing hangs.
    """
    stem_of = stems(outcome.entry for outcome in ready.outcomes)
    job_file = ready.inputs.source.job_file
    labels = {
        labelled.label.number: labelled.label
        for labelled in labels_of(ready.outcomes, ready.job.rules, job_file.exhibitor)
    }
    planned = [(outcome, outcome.plan) for outcome in ready.outcomes if outcome.plan]
    return tuple(
        MakeTask(
            job=ready.job.with_paper(plan.paper),
            outcome=outcome,
            plan=plan,
            label=labels[outcome.entry.number],
            sources=ready.inputs.pictures_of(outcome.entry),
            folder=options.out / RunFolder.PARTS,
            stem=stem_of[outcome.entry.number],
            options=options,
            threads=_threads(workers, len(planned)),
            metadata=options.metadata_wish(job_file),
            is_printed=with_prints and (outcome.status != Status.BROKEN or options.anyway),
            is_hung=with_prints,
        )
        for outcome, plan in planned
    )


def _threads(workers: int, tasks: int) -> int:
    """The number of steps that a worker makes at once, where cores outnumber tasks."""
    return max(1, usual_count() // (min(workers, tasks) or 1))


def entry_work(
    tasks: Sequence[MakeTask], folder: RunFolder, digests: SourceDigests, made_with: MadeWith
) -> EntryWork:
    """Return what is to be done for these entries, and what earlier runs left of them."""
    found = []
    recipes: dict[str, str] = {}
    for task in tasks:
        known = digests.of(task.sources)
        own = entry_recipes(task, known, made_with) if known and folder.may_keep else None
        kept = _known_parts(task, own, folder, known) if own else EntryParts()
        found.append(replace(task, kept=kept))
        # A print file without its facts is of no use: it would have to be read again.
        usable = own.files.items() if own else ()
        prints = task.print_names
        recipes |= {n: k for n, k in usable if n not in prints or n in kept.printed}
    names = folder.keeping(recipes).names
    with_files = (
        replace(task, kept=replace(task.kept, files=names.intersection(task.file_names)))
        for task in found
    )
    return EntryWork(tuple(with_files), recipes, made_with, digests)


def _known_parts(
    task: MakeTask, recipes: EntryRecipes, folder: RunFolder, digests: tuple[str, ...]
) -> EntryParts:
    """What earlier runs measured of an entry."""
    prints = {n: k for n, k in recipes.files.items() if n in task.print_names}
    return EntryParts(
        printed=dict(_known(PrintFacts, prints, folder)),
        tones=dict(_known(Tones, recipes.tones, folder)),
        findings=dict(_known(tuple[Finding, ...], {"": recipes.findings}, folder)).get(""),
        life_size=dict(_known(LifeSizePart, {"": recipes.life_size}, folder)).get(""),
        digests=digests,
    )


def _known(kind: type[T], keys: Mapping[str, str], folder: RunFolder) -> Iterator[tuple[str, T]]:
    """Yield the figures that are noted under these keys, by their names."""
    for name, key in keys.items():
        try:
            yield name, restored(kind, folder.result(key))
        except ValueError:  # not known, or not as this version notes it
            continue


def made_entries(folder: RunFolder, work: EntryWork, workers: Workers) -> MadeEntries:
    """Make what is not kept of the entries and put it into the folder."""
    outcomes: dict[str, Outcome] = {}
    files: list[str] = []
    troubles: list[Trouble] = []
    digests = {task.outcome.entry.number: task.kept.digests for task in work.tasks}
    left = [task for task in work.tasks if not task.is_done]
    for task in work.tasks:
        files += sorted(task.kept.files)
        if task.is_done:
            outcome = finished_outcome(task, task.kept, folder.sha256)
            outcomes[outcome.entry.number] = outcome
            workers.after_each("")
    # The cores of a worker of a cluster are not ours to count: it has as many workers as cores.
    threads = 1 if workers.cluster else _threads(workers.count, len(left))
    shared = [replace(task, threads=threads) for task in left]
    for task, result in workers.results(make_entry, shared):
        if isinstance(result, Trouble):
            troubles.append(result)
            work.digests.forget(task.sources)  # they may not be what they seemed to be
            outcome = result.stopping(task.outcome)
        else:
            _place(folder, work, task, result)
            files += result.files
            parts = task.kept.with_more(result.parts)
            digests[task.outcome.entry.number] = parts.digests
            outcome = finished_outcome(task, parts, folder.sha256)
        outcomes[outcome.entry.number] = outcome
    return MadeEntries(outcomes, tuple(files), tuple(troubles), digests)


def _place(folder: RunFolder, work: EntryWork, task: MakeTask, result: MakeResult) -> None:
    """Put the files of an entry into the folder, with their recipes and all figures."""
    parts = result.parts
    digests = parts.digests or task.kept.digests
    work.digests.learn(task.sources, digests)
    recipes = entry_recipes(task, digests, work.made_with, result.on_page)
    results = {recipes.files[name]: stored(facts) for name, facts in parts.printed.items()}
    results |= {recipes.tones[step]: stored(tones) for step, tones in parts.tones.items()}
    if parts.findings is not None:
        results[recipes.findings] = stored(parts.findings)
    if parts.life_size is not None:
        results[recipes.life_size] = stored(parts.life_size)
    folder.place(result.files, recipes.files, results)


def in_order(outcomes: Iterable[Outcome], made: MadeEntries) -> tuple[Outcome, ...]:
    """Return all outcomes in the order of their entries; an entry not started is *not done*."""
    return tuple(
        made.outcomes.get(outcome.entry.number) or (_not_done(outcome) if outcome.plan else outcome)
        for outcome in outcomes
    )


def _not_done(outcome: Outcome) -> Outcome:
    reason = Finding(Status.NOT_DONE, Severity.NOTE, "the run was stopped before this entry")
    findings = by_severity((*outcome.findings, reason))
    return replace(outcome, status=Status.NOT_DONE, findings=findings)
