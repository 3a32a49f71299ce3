"""The pictures of a run: a task for each, and each entry with what was found in its pictures."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.commands.inspect.order import USUAL, InspectTask, Picture
from proofs.findings import Finding, Severity, Status
from proofs.inspection.inspected import InspectedEntry, InspectedPicture, PictureLook
from proofs.inspection.look_findings import look_findings
from proofs.pages.wording import counted
from proofs.plan.checks.checking import by_severity, status_of
from proofs.plan.checks.outcomes import Outcome, worst_status
from proofs.plan.entry.naming import stems
from proofs.records.inspections import InspectionProfile
from proofs.records.job import Job
from proofs.records.spotted import Tick
from proofs.run.preflight import Preflight
from proofs.run.ticks import SPOTTED, load_ticks
from proofs.run.workers import Trouble

_NOT_DONE = Finding(Status.NOT_DONE, Severity.NOTE, "the run was stopped before it was looked at")

Looks = Mapping[Picture, PictureLook | Trouble]


@dataclass(frozen=True, slots=True)
class HowToLook:
    """How closely pictures are looked at, and what is ticked off in them."""

    profile: InspectionProfile
    ticks: tuple[Tick, ...] = ()

    @property
    def words(self) -> str:
        """The profile, and how many marks are ticked off."""
        ticked = f"; {counted(len(self.ticks), 'tick')} in {SPOTTED}" if self.ticks else ""
        return f"{self.profile.name} - {self.profile.title}{ticked}"


def how_to_look(ready: Preflight, name: str) -> HowToLook:
    """Return how a run looks at its pictures; ``name`` is that of a profile, or blank.

    If it is blank, ``job.toml`` may name one.

    Raises ``ProfileError`` for a profile that cannot be used, and ``EntriesError`` for a tick that
    cannot be understood.
    """
    inputs = ready.inputs
    source = inputs.source
    profile = source.folders.inspection(name or source.job_file.inspection or USUAL)
    return HowToLook(profile, load_ticks(inputs.folder, inputs.table.entries))


def look_tasks(
    ready: Preflight, how: HowToLook, folder: Path, *, with_files: bool = True
) -> tuple[InspectTask, ...]:
    """Return one task for each picture of each planned entry; their files go into ``folder``."""
    stem_of = stems(outcome.entry for outcome in ready.outcomes)
    return tuple(
        InspectTask(
            job=ready.job.with_paper(outcome.plan.paper),
            plan=outcome.plan,
            n=n,
            source=source,
            folder=folder,
            stem=stem_of[outcome.entry.number],
            profile=how.profile,
            ticks=how.ticks,
            with_files=with_files,
        )
        for outcome in ready.outcomes
        if outcome.plan
        for n, source in enumerate(ready.inputs.pictures_of(outcome.entry))
    )


def looked_entries(ready: Preflight, how: HowToLook, looks: Looks) -> tuple[InspectedEntry, ...]:
    """Return each entry with what was found; rules that its pictures do not touch are left out.

    An entry of which a picture is missing has failed, or is not done.
    """
    stem_of = stems(outcome.entry for outcome in ready.outcomes)
    return tuple(
        _looked(ready.job, outcome, stem_of[outcome.entry.number], how, looks)
        for outcome in ready.outcomes
    )


def _looked(job: Job, outcome: Outcome, stem: str, how: HowToLook, looks: Looks) -> InspectedEntry:
    plan = outcome.plan
    if plan is None:
        return InspectedEntry(outcome, stem)
    found = [looks.get((outcome.entry.number, n)) for n in range(len(plan.parts))]
    troubles = [look for look in found if isinstance(look, Trouble)]
    if troubles:
        bare = replace(outcome, findings=())
        return InspectedEntry(troubles[0].stopping(bare), stem)
    done = [look for look in found if isinstance(look, PictureLook)]
    if len(done) < len(found):
        return InspectedEntry(replace(outcome, status=Status.NOT_DONE, findings=(_NOT_DONE,)), stem)
    pictures = tuple(
        InspectedPicture.of_look(plan, n, look, how.ticks) for n, look in enumerate(done)
    )
    findings = look_findings(job.with_paper(plan.paper), how.profile.sharpness, pictures)
    return InspectedEntry(
        replace(outcome, findings=findings, status=status_of(findings)), stem, pictures
    )


def with_looks(
    outcomes: Sequence[Outcome], entries: Sequence[InspectedEntry]
) -> tuple[Outcome, ...]:
    """Return the outcomes of a check with what was found in their pictures.

    Entries that were not looked at to their end stay as they are: whatever is made of them next
    meets the same trouble.
    """
    return tuple(
        replace(
            outcome,
            findings=by_severity((*outcome.findings, *entry.outcome.findings)),
            status=worst_status((outcome.status, entry.outcome.status)),
        )
        if entry.pictures
        else outcome
        for outcome, entry in zip(outcomes, entries, strict=True)
    )
