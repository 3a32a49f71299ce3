"""The check of a whole run from the headers alone: every refusal is known in seconds."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from proofs.errors import PhotographError, UsageError
from proofs.findings import Finding, Remedy, Severity, Status
from proofs.lengths import PixelSize
from proofs.outside.files import picture_path
from proofs.outside.pixels.encoding import check_room
from proofs.outside.pixels.opening import look
from proofs.plan.checks.checking import check, gravest_first, status_of
from proofs.plan.checks.outcomes import Outcome, StepOutcome
from proofs.plan.checks.together import together_findings
from proofs.plan.entry.facts import PhotoFacts
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.plan.sheets.surround import surround_sheet
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.run.inputs import Inputs

Missing = Callable[[str], str]


def preflight(job: Job, gathered: Inputs, missing_glyphs: Missing) -> tuple[Outcome, ...]:
    """Return an outcome an entry, in the order of the entries; no pixel is read.

    ``missing_glyphs`` gives the characters of a text that cannot be printed.
    """
    alone = [_alone(job, entry, gathered.folder) for entry in gathered.table.entries]
    plans = [outcome.plan for outcome in alone if outcome.plan]
    shared = together_findings(job, plans, gathered.table.entries)
    return tuple(_joined(o, shared.get(o.entry.number, ()), missing_glyphs) for o in alone)


def unreadable(entry: Entry, error: PhotographError, path: Path) -> Outcome:
    """Return the outcome of an entry whose photograph cannot be read."""
    # The folder is this machine's affair: a report made elsewhere must be the same.
    named = next((p.file for p in entry.pictures if path.match(p.file)), entry.file)
    reason = str(error).replace(str(path), named)
    finding = Finding(error.code, Severity.UNREADABLE, reason)
    return Outcome(entry, Status.UNREADABLE, (finding,))


def not_understood(entry: Entry, reason: str) -> Outcome:
    """Return the outcome of an entry that asks for what cannot be."""
    found, _, remedy = reason.partition("; ")
    where = f"line {entry.line}: " if entry.line else ""
    finding = Finding(
        "not-understood",
        Severity.UNREADABLE,
        where + found,
        remedy=Remedy(remedy) if remedy else None,
    )
    return Outcome(entry, Status.NOT_UNDERSTOOD, (finding,))


def steps_planned(plan: Plan) -> tuple[StepOutcome, ...]:
    """Return the steps of a plan before any of them is made."""
    return tuple(StepOutcome(variant, variant == plan.chosen) for variant in plan.variants)


def _alone(job: Job, entry: Entry, folder: Path) -> Outcome:
    if entry.faults:
        return Outcome(entry, Status.NOT_UNDERSTOOD, entry.faults)
    path, facts = folder, list[PhotoFacts]()
    try:
        for picture in entry.pictures:
            path = folder / picture.file
            path = picture_path(folder, picture.file)
            facts.append(look(path))
    except PhotographError as error:
        return unreadable(entry, error, path)
    try:
        plan = plan_entry(job, entry, *facts)
        for part, pixels in zip(plan.parts, _file_pixels(job, plan), strict=True):
            path = folder / part.file
            check_room(pixels.width, pixels.height, job.lab)
    except (ValueError, UsageError) as error:
        return not_understood(entry, str(error))
    except PhotographError as error:
        return unreadable(entry, error, path)
    findings = check(job, plan)
    return Outcome(entry, status_of(findings), findings, plan, steps_planned(plan))


def _file_pixels(job: Job, plan: Plan) -> tuple[PixelSize, ...]:
    """The size of each picture's print file, which is the whole sheet of a printed surround."""
    if plan.mount.window == "surround":
        return (surround_sheet(plan, job.lab.ppi).size,) * len(plan.parts)
    return tuple(part.pixels for part in plan.parts)


def _joined(outcome: Outcome, shared: tuple[Finding, ...], missing_glyphs: Missing) -> Outcome:
    """The outcome with what the other entries and the fonts add to it."""
    added = (*shared, *_glyphs(outcome.entry, missing_glyphs))
    if not added:
        return outcome
    findings = gravest_first((*outcome.findings, *added))
    status = status_of(findings) if outcome.plan else outcome.status
    return replace(outcome, findings=findings, status=status)


def _glyphs(entry: Entry, missing_glyphs: Missing) -> tuple[Finding, ...]:
    missing = missing_glyphs(f"{entry.title} {entry.category}")
    if not missing:
        return ()
    listed = ", ".join(f"{c} (U+{ord(c):04X})" for c in missing)
    message = f"the font lacks {listed}: printed as '·'"
    remedy = Remedy("name a font that has them: --font FILE")
    return (Finding("missing-glyph", Severity.WARNING, message, listed, remedy=remedy),)
