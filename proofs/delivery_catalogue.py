"""The catalogue copies of a delivery: made, read back, and held against the rule."""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.cataloguing import CatalogueFile, CatalogueTask, catalogue_files
from proofs.errors import FAULT_CODE
from proofs.findings import Finding, Severity
from proofs.outside.files import write_whole
from proofs.outside.pixels.file_facts import SRGB_SHA256, file_facts
from proofs.plan.copy_rules import copy_findings
from proofs.plan.deliveries import Catalogue, Companion, Delivery, ScreenCopy
from proofs.plan.refusals import BROKEN, PHOTOGRAPH, Refusal

_EXIT_CODES = {"failed": FAULT_CODE, "catalogue-too-large": BROKEN}
Notes = tuple[tuple[str, Finding], ...]


@dataclass(frozen=True, slots=True)
class BesideMade:
    """What was made; the refusals say what could not be, and then nothing is handed over.

    ``notes`` are findings by entry number; ``is_whole`` says that nothing was left undone.
    """

    catalogue: Catalogue | None = None
    soft_proof: Companion | None = None
    refusals: tuple[Refusal, ...] = ()
    notes: Notes = ()
    faults: tuple[str, ...] = ()
    is_whole: bool = True

    def beside(self, delivery: Delivery) -> Delivery:
        """Return a delivery with this beside its files."""
        return replace(delivery, catalogue=self.catalogue, soft_proof=self.soft_proof)


def copied(
    tasks: Sequence[CatalogueTask],
    folder: Path,
    *,
    jobs: int,
    stopped: Callable[[], bool],
    done: Callable[[], None],
) -> BesideMade:
    """Write the catalogue copies into a folder; one that cannot be, or misses a rule, is refused.

    ``done`` is called after each.
    """
    if not tasks:
        return BesideMade()
    by_name = {task.name: task for task in tasks}
    copies: dict[str, ScreenCopy] = {}
    made: dict[str, CatalogueFile] = {}
    for file in catalogue_files(tasks, jobs=jobs, stopped=stopped):
        if file.content is not None:
            copies[file.name] = _written(by_name[file.name], file.content, folder)
        made[file.name] = replace(file, content=None)
        done()
    begun = [(task, made[task.name]) for task in tasks if task.name in made]
    in_order = tuple(copies[task.name] for task in tasks if task.name in copies)
    refusals = [_refused(task, file, copies.get(task.name)) for task, file in begun]
    return BesideMade(
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


def _refused(task: CatalogueTask, file: CatalogueFile, copy: ScreenCopy | None) -> Refusal | None:
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
