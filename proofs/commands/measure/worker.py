"""One picture file from elsewhere, measured: its facts, its tones, and what the rules say to it."""

import traceback
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.errors import EntriesError, PhotographError
from proofs.findings import Finding, Severity
from proofs.inspection.tone_figures import ToneFigures, tone_figures
from proofs.lengths import Size
from proofs.outside.files import pictures_in
from proofs.outside.pixels.measure.lightness import lightness_samples
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.plan.checking import check, gravest_first, status_of
from proofs.plan.facts import PhotoFacts
from proofs.plan.outcomes import Outcome, size_on_paper
from proofs.plan.planning import plan_entry
from proofs.records.cells import SizeWish
from proofs.records.entries import Entry, PictureWish, title_from
from proofs.records.job import Job
from proofs.run.preflight import unreadable


@dataclass(frozen=True, slots=True)
class MeasureTask:
    """One file to measure, in its place among the others.

    ``ppi`` overrides the file's own tag; ``is_mounted`` asks for the window and the rules.
    """

    place: int
    path: Path
    job: Job
    ppi: float | None = None
    is_mounted: bool = False


@dataclass(frozen=True, slots=True)
class MeasuredFile:
    """What was found of one file; the values are None as far as it could not be read.

    ``ppi`` is what ``size`` on paper was worked out with. ``outcome`` holds the findings, and a
    plan where the file was looked at in a mount. ``fault`` is the trace of a fault of the program.
    """

    place: int
    path: Path
    outcome: Outcome
    facts: PhotoFacts | None = None
    tones: ToneFigures | None = None
    ppi: float | None = None
    size: Size | None = None
    fault: str = ""


def files_named(paths: Sequence[Path]) -> tuple[Path, ...]:
    """Return the files to measure: of a folder the pictures in it, in natural order.

    A folder without pictures stands for itself, so that it is told and not passed over.
    """
    return tuple(file for path in paths for file in (_inside(path) or [path]))


def _inside(path: Path) -> list[Path]:
    """The pictures in a folder; none in a file, or in a folder that may not be read."""
    try:
        return [path / name for name in pictures_in(path)] if path.is_dir() else []
    except EntriesError:
        return []


def measure_file(task: MeasureTask) -> MeasuredFile:
    """Measure one file and return what was found; nothing is ever raised."""
    entry = _entry(task)
    try:
        prepare()
        return _measured(task, entry)
    except PhotographError as error:
        return MeasuredFile(task.place, task.path, unreadable(entry, error, task.path))
    except Exception:  # a fault of the program: told with its trace, the other files go on
        trace = traceback.format_exc()
        reason = f"a fault of the program: {trace.strip().splitlines()[-1]}"
        return replace(lost_file(task, reason), fault=trace)


def lost_file(task: MeasureTask, reason: str = "") -> MeasuredFile:
    """Return what became of a file whose worker process died, or that met a fault."""
    told = reason or "the worker process died; is there enough memory? Try --jobs 1"
    outcome = Outcome(_entry(task), "failed", (Finding("failed", Severity.UNREADABLE, told),))
    return MeasuredFile(task.place, task.path, outcome)


def _entry(task: MeasureTask) -> Entry:
    name = task.path.name or str(task.path)
    return Entry(number=name, title=title_from(name), pictures=(PictureWish(name),))


def _measured(task: MeasureTask, entry: Entry) -> MeasuredFile:
    if task.path.is_dir():
        raise PhotographError(f"{task.path}: is a folder without pictures to read; name another")
    photograph = decode(task.path)
    facts = photograph.facts
    ppi = task.ppi or facts.own_ppi
    size = size_on_paper(facts.pixels, ppi) if ppi else None
    return MeasuredFile(
        place=task.place,
        path=task.path,
        outcome=_in_mount(task, entry, facts, size),
        facts=facts,
        tones=tone_figures(lightness_samples(photograph), task.job.paper.black_lightness),
        ppi=ppi,
        size=size,
    )


def _in_mount(task: MeasureTask, entry: Entry, facts: PhotoFacts, size: Size | None) -> Outcome:
    """The verdicts on a file at its own size in the run's mount, where those are asked for."""
    if not task.is_mounted:
        return Outcome(entry, status_of(facts.notes), facts.notes)
    if size is None:
        text = "no resolution tag, so that its size on paper is not known; name one with --ppi"
        note = Finding("no-print-size", Severity.WARNING, text)
        return Outcome(entry, "met", gravest_first((note, *facts.notes)))
    # By its longer side alone: the shorter follows from the pixels, to the nanometre.
    sized = replace(entry, sizes=(SizeWish("long", size.longest),))
    try:
        plan = plan_entry(task.job, sized, facts)
    except ValueError:
        text = f"nothing of an image of {size} is left to see in the window"
        nothing = Finding("nothing-visible", Severity.BROKEN, text)
        return Outcome(entry, "broken", gravest_first((nothing, *facts.notes)))
    findings = check(task.job, plan)
    return Outcome(sized, status_of(findings), findings, plan)
