"""The preflight of a run: each entry is checked from its files' headers; no pixel is read."""

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.errors import PhotographError, UsageError
from proofs.findings import Finding, Severity, Status
from proofs.lengths import PixelSize
from proofs.outside.fonts import load_fonts, missing_glyphs
from proofs.outside.picture_folder import picture_path
from proofs.outside.pixels.prints.format_limits import check_format_limits
from proofs.outside.pixels.source.decode import read_facts
from proofs.plan.checks.checking import by_severity, check, rules_age, run_findings, status_of
from proofs.plan.checks.outcomes import Outcome, StepOutcome
from proofs.plan.entry.facts import PhotoFacts
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.plan.sheets.printed_pieces import surround_areas
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.mounts import WindowKind
from proofs.run.inputs import Inputs
from proofs.run.text_report import job_lines

Missing = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Preflight:
    """A run before any pixel is read: its inputs, its job, and one outcome for each entry.

    ``notes`` are lines for the user: where the entries come from, and the profiles in force.
    """

    inputs: Inputs
    job: Job
    outcomes: tuple[Outcome, ...]
    notes: tuple[str, ...]


def preflight(inputs: Inputs, *, font: Path | None, today: datetime.date) -> Preflight:
    """Return the outcome of each entry as far as the headers of its files show it.

    ``font`` is the user's font file or None. Raises ``ProfileError``.
    """
    entries = inputs.table.entries
    job, notes = inputs.source.job(entries)
    fonts = load_fonts(font)
    outcomes = check_entries(
        job,
        entries,
        inputs.folder,
        further=inputs.source.pictures,
        missing_glyphs=lambda text: missing_glyphs(fonts, text),
    )
    lines = (*inputs.notes, *job_lines(job), *notes, *rules_age(job.rules, today))
    return Preflight(inputs, job, outcomes, lines)


def check_entries(
    job: Job,
    entries: Sequence[Entry],
    folder: Path,
    *,
    missing_glyphs: Missing,
    further: Path | None = None,
) -> tuple[Outcome, ...]:
    """Return one outcome for each entry, in their order; no pixel is read.

    Pictures are in ``folder``, or in a ``further`` one. ``missing_glyphs`` returns the characters
    of a text that cannot be printed.
    """
    outcomes = [_checked_alone(job, entry, folder, further) for entry in entries]
    plans = [outcome.plan for outcome in outcomes if outcome.plan]
    shared = run_findings(job, plans, entries)
    return tuple(
        _with_findings(
            o, (*shared.get(o.entry.number, ()), *_glyph_findings(o.entry, missing_glyphs))
        )
        for o in outcomes
    )


def _unreadable(entry: Entry, error: PhotographError, path: Path, named: str) -> Outcome:
    """Return the outcome of an entry whose photograph, ``named`` so, cannot be read."""
    # A report made on another machine must be identical, so it names no folder of this one.
    reason = str(error).replace(str(path), named)
    finding = Finding(error.code, Severity.UNREADABLE, reason)
    return Outcome(entry, Status.UNREADABLE, (finding,))


def not_understood(entry: Entry, reason: str) -> Outcome:
    """Return the outcome of an entry that asks for something impossible."""
    found, _, remedy = reason.partition("; ")
    where = f"line {entry.line}: " if entry.line else ""
    finding = Finding(
        Status.NOT_UNDERSTOOD,
        Severity.UNREADABLE,
        where + found,
        remedy=remedy,
    )
    return Outcome(entry, Status.NOT_UNDERSTOOD, (finding,))


def steps_planned(plan: Plan) -> tuple[StepOutcome, ...]:
    """Return the steps of a plan before any of them is made."""
    return tuple(StepOutcome(variant, variant == plan.chosen) for variant in plan.variants)


def _checked_alone(job: Job, entry: Entry, folder: Path, further: Path | None) -> Outcome:
    """The outcome of an entry without regard to the others."""
    if entry.faults:
        return Outcome(entry, Status.NOT_UNDERSTOOD, entry.faults)
    path, name, facts = folder, entry.file, list[PhotoFacts]()
    try:
        for picture in entry.pictures:
            path, name = folder / picture.file, picture.file
            path = picture_path(folder, name, further)
            facts.append(read_facts(path))
    except PhotographError as error:
        return _unreadable(entry, error, path, name)
    try:
        plan = plan_entry(job, entry, *facts)
        for part, pixels in zip(plan.parts, _file_pixels(job, plan), strict=True):
            path, name = folder / part.file, part.file
            check_format_limits(pixels.width, pixels.height, job.lab)
    except (ValueError, UsageError) as error:
        return not_understood(entry, str(error))
    except PhotographError as error:
        return _unreadable(entry, error, path, name)
    findings = check(job, plan)
    return Outcome(entry, status_of(findings), findings, plan, steps_planned(plan))


def _file_pixels(job: Job, plan: Plan) -> tuple[PixelSize, ...]:
    """The size of each picture's print file; with a printed surround, that is the whole sheet."""
    if plan.mount.window == WindowKind.SURROUND:
        return (surround_areas(plan, job.lab.ppi).size,) * len(plan.parts)
    return tuple(part.file_pixels for part in plan.parts)


def _with_findings(outcome: Outcome, added: tuple[Finding, ...]) -> Outcome:
    """The outcome with findings that follow from the other entries and from the fonts."""
    if not added:
        return outcome
    findings = by_severity((*outcome.findings, *added))
    status = status_of(findings) if outcome.plan else outcome.status
    return replace(outcome, findings=findings, status=status)


def _glyph_findings(entry: Entry, missing_glyphs: Missing) -> tuple[Finding, ...]:
    missing = missing_glyphs(f"{entry.title} {entry.category}")
    if not missing:
        return ()
    listed = ", ".join(f"{c} (U+{ord(c):04X})" for c in missing)
    message = f"the font lacks {listed}: printed as '·'"
    remedy = "choose a font that has these characters: --font FILE"
    return (Finding("missing-glyph", Severity.WARNING, message, listed, remedy=remedy),)
