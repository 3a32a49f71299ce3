"""What lies in a delivery beside the files for the lab: catalogue copies, a soft proof."""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.cataloguing import CatalogueFile, CatalogueTask, catalogue_files, catalogue_tasks
from proofs.errors import PhotographError
from proofs.findings import Finding, Severity
from proofs.making import FAULT_CODE
from proofs.outside.files import picture_path, write_whole
from proofs.outside.pixels.file_facts import file_facts
from proofs.plan.copy_rules import copy_findings
from proofs.plan.deliveries import Catalogue, Companion, ScreenCopy
from proofs.plan.lab_sheets import LabSheet
from proofs.plan.outcomes import Outcome
from proofs.plan.planning import printed_at
from proofs.plan.refusals import BROKEN, Refusal
from proofs.records.job import Job
from proofs.records.rules import CatalogueRule
from proofs.soft_proofing import SOFT_PROOF, SoftOrder, soft_proofed

CATALOGUE = "catalogue"
Notes = tuple[tuple[str, Finding], ...]


@dataclass(frozen=True, slots=True)
class BesideOrder:
    """What is wanted beside the lab's files, and of which entries.

    ``outcomes`` are those handed over, each with the density that is handed over chosen, and
    ``source`` the folder that their files are named from. ``paper_size`` and ``font`` are as
    for the ticket.
    """

    job: Job
    outcomes: tuple[Outcome, ...]
    source: Path
    copies: tuple[CatalogueTask, ...]
    is_soft_proofed: bool
    paper_size: str
    font: Path | None

    @property
    def count(self) -> int:
        """How many pictures are copied or shown."""
        return len(self.copies) + len(self.outcomes) * self.is_soft_proofed


@dataclass(frozen=True, slots=True)
class BesideMade:
    """What was made; the refusals say which copies could not be, and then nothing is handed over.

    ``notes`` are findings by entry number.
    """

    catalogue: Catalogue | None = None
    soft_proof: Companion | None = None
    refusals: tuple[Refusal, ...] = ()
    notes: Notes = ()
    faults: tuple[str, ...] = ()
    exit_code: int = 0


def as_handed_over(outcomes: Sequence[Outcome], sheets: Sequence[LabSheet]) -> tuple[Outcome, ...]:
    """Return the outcomes that sheets were made of, with the density of the sheets chosen."""
    density = {sheet.entry.number: sheet.density for sheet in sheets}
    return tuple(
        replace(outcome, plan=printed_at(outcome.plan, density[outcome.entry.number]))
        for outcome in outcomes
        if outcome.plan and outcome.entry.number in density
    )


def copies_of(job: Job, outcomes: Sequence[Outcome], source: Path) -> tuple[CatalogueTask, ...]:
    """Return the catalogue copies to make, in a folder of their own.

    Raises ``UsageError`` where the rules say nothing of catalogue copies.
    """
    tasks = catalogue_tasks(job, outcomes, source)
    return tuple(replace(task, name=f"{CATALOGUE}/{task.name}") for task in tasks)


def make_beside(
    order: BesideOrder,
    folder: Path,
    *,
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[], None],
) -> BesideMade:
    """Write what is wanted into a folder and return what it is.

    ``done`` is called after each copy and each entry shown.
    """
    files: list[CatalogueFile] = []
    for file in catalogue_files(order.copies, jobs=jobs, stopped=stopped):
        files.append(file)
        done()
    made = _catalogue(order.copies, files, folder) if order.copies else BesideMade()
    if made.refusals or not order.is_soft_proofed:
        return made
    sources = {
        o.entry.number: tuple(picture_path(order.source, p.file) for p in o.entry.pictures)
        for o in order.outcomes
    }
    asked = SoftOrder(order.job, order.outcomes, sources, order.paper_size, order.font)
    soft = soft_proofed(asked, jobs=jobs, stopped=stopped, done=done)
    write_whole(folder / SOFT_PROOF, soft.pdf)
    return replace(
        made,
        soft_proof=Companion(SOFT_PROOF, hashlib.sha256(soft.pdf).hexdigest()),
        notes=(*made.notes, *_news(order.outcomes, soft.outcomes)),
        faults=(*made.faults, *soft.faults),
        exit_code=max(made.exit_code, soft.exit_code),
    )


def _catalogue(
    tasks: Sequence[CatalogueTask], files: Sequence[CatalogueFile], folder: Path
) -> BesideMade:
    """The copies, written; a copy that cannot be made, or breaks the rule, is refused."""
    made, rule = {file.name: file for file in files}, tasks[0].rule
    begun = [(task, made[task.name]) for task in tasks if task.name in made]
    copies = [_written(task, file.content, folder) for task, file in begun if file.content]
    refusals = [_not_made(task, file) for task, file in begun if file.content is None]
    refusals += [refusal for copy in copies if (refusal := _past_the_rule(rule, copy))]
    return BesideMade(
        catalogue=Catalogue(rule, tuple(copies)),
        refusals=tuple(refusals),
        notes=tuple((task.number, found) for task, file in begun for found in file.findings),
        faults=tuple(file.fault for _, file in begun if file.fault),
    )


def _written(task: CatalogueTask, content: bytes, folder: Path) -> ScreenCopy:
    """Write a copy and read back what its file says of itself."""
    write_whole(folder / task.name, content)
    digest = hashlib.sha256(content).hexdigest()
    return ScreenCopy(task.name, task.number, task.title, file_facts(content), digest)


def _not_made(task: CatalogueTask, file: CatalogueFile) -> Refusal:
    reason = "; ".join(finding.message for finding in file.findings)
    code = FAULT_CODE if file.fault else PhotographError.exit_code
    return Refusal(task.number, task.title, f"no catalogue copy: {reason}", code)


def _past_the_rule(rule: CatalogueRule, copy: ScreenCopy) -> Refusal | None:
    wrong = [f for f in copy_findings(rule, copy, copy.facts) if f.severity > Severity.MET]
    if not wrong:
        return None
    reason = "; ".join(finding.message for finding in wrong)
    return Refusal(copy.entry, copy.title, f"the catalogue copy breaks the rules: {reason}", BROKEN)


def _news(before: Sequence[Outcome], after: Sequence[Outcome]) -> Notes:
    """What the soft proof found, beyond the check before it."""
    return tuple(
        (old.entry.number, finding)
        for old, new in zip(before, after, strict=True)
        for finding in new.findings
        if finding not in old.findings
    )
