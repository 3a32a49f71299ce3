"""One picture file from elsewhere, measured: its facts, its tones, and its verdicts."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.errors import EntriesError, PhotographError
from proofs.findings import Finding, Severity, Status
from proofs.inspection.tone_figures import ToneFigures, tone_figures
from proofs.lengths import Size
from proofs.outside.files import is_folder
from proofs.outside.picture_folder import pictures_in
from proofs.outside.pixels.measure.lightness import lightness_samples
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.plan.checks.checking import by_severity, check, status_of
from proofs.plan.checks.limits import COVER_LIMITS
from proofs.plan.checks.outcomes import Outcome, possible_sizes, size_on_paper
from proofs.plan.checks.size_checks import badness
from proofs.plan.cutting.openings import innermost, with_openings
from proofs.plan.entry.facts import PhotoFacts
from proofs.plan.entry.planning import plan_entry
from proofs.records.entries import Entry, PictureWish, title_from
from proofs.records.job import Job
from proofs.records.size_and_crop import SizeKind, SizeWish
from proofs.run.inputs import ProfileNames
from proofs.run.workers import Trouble

_COVERS = tuple(limit.code for limit in COVER_LIMITS.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureOptions(ProfileNames):
    """The options of ``measure``; ``ppi`` overrides the files' own tags."""

    files: tuple[Path, ...]
    ppi: int | None = None
    jobs: int | None = None
    as_json: bool = False

    @property
    def is_mounted(self) -> bool:
        """Whether each picture is checked in a mount and against rules."""
        return bool(self.mount or self.rules)


@dataclass(frozen=True, slots=True)
class MeasureTask:
    """One file to measure; ``ppi`` and ``is_mounted`` are as in ``MeasureOptions``."""

    path: Path
    job: Job
    ppi: float | None = None
    is_mounted: bool = False

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The file without its folder."""
        return ((self.path, self.entry.number),)

    @property
    def entry(self) -> Entry:
        """The file as an entry, numbered by its name."""
        name = self.path.name or str(self.path)
        return Entry(number=name, title=title_from(name), pictures=(PictureWish(name),))


@dataclass(frozen=True, slots=True)
class MeasuredFile:
    """The measurements of one file; values that could not be read are None.

    ``size`` on paper follows from ``ppi``. ``outcome`` holds the findings, and a plan if the
    file was checked in a mount.
    """

    path: Path
    outcome: Outcome
    facts: PhotoFacts | None = None
    tones: ToneFigures | None = None
    ppi: float | None = None
    size: Size | None = None


def files_named(paths: Sequence[Path]) -> tuple[Path, ...]:
    """Return the files to measure; a folder is replaced by its pictures, in natural order.

    A folder without pictures stays in the list, so that it is reported rather than skipped.
    """
    return tuple(file for path in paths for file in (_inside(path) or [path]))


def _inside(path: Path) -> list[Path]:
    """The pictures in a folder; none for a file, or for a folder that cannot be read."""
    try:
        return [path / name for name in pictures_in(path)] if is_folder(path) else []
    except EntriesError:
        return []


def measure_file(task: MeasureTask) -> MeasuredFile:
    """Return the measurements of one file."""
    prepare()
    if is_folder(task.path, error=PhotographError):
        raise PhotographError(f"{task.path}: is a folder without pictures; name another")
    photograph = decode(task.path)
    facts = photograph.facts
    ppi = task.ppi or facts.own_ppi
    size = size_on_paper(facts.pixels, ppi) if ppi else None
    return MeasuredFile(
        path=task.path,
        outcome=_in_mount(task, facts, ppi),
        facts=facts,
        tones=tone_figures(lightness_samples(photograph), task.job.paper.black_lightness),
        ppi=ppi,
        size=size,
    )


def unmeasured_file(task: MeasureTask, trouble: Trouble) -> MeasuredFile:
    """Return the result of a file that could not be measured."""
    return MeasuredFile(task.path, trouble.stopping(Outcome(task.entry, Status.MET, ())))


def _in_mount(task: MeasureTask, facts: PhotoFacts, ppi: float | None) -> Outcome:
    """The verdicts on a file at its own size in the run's mount, if asked for.

    That size comes from whole pixels, so it is judged with half a pixel to spare.
    """
    entry = task.entry
    if not task.is_mounted:
        return Outcome(entry, status_of(facts.notes), facts.notes)
    if ppi is None:
        text = "has no resolution tag, so its size on paper is unknown; give one with --ppi"
        note = Finding("no-print-size", Severity.WARNING, text)
        return Outcome(entry, Status.MET, by_severity((note, *facts.notes)))
    tried = [_planned(task, facts, each) for each in possible_sizes(facts.pixels, ppi)]
    return min(tried, key=lambda outcome: badness(outcome.findings))


def _planned(task: MeasureTask, facts: PhotoFacts, size: Size) -> Outcome:
    """The verdicts on a file that is printed at this size."""
    try:
        if task.job.mounts[0].opening is not None:
            return _in_given_opening(task, facts, size)
        # Only the longer side is set: the shorter follows from the pixels, to the nanometre.
        sized = replace(task.entry, sizes=(SizeWish(SizeKind.LONG, size.longest),))
        plan = plan_entry(task.job, sized, facts)
    except ValueError:
        text = f"the window hides the whole image of {size}"
        hidden = Finding("nothing-visible", Severity.BROKEN, text)
        return Outcome(task.entry, Status.BROKEN, by_severity((hidden, *facts.notes)))
    findings = check(task.job, plan)
    return Outcome(sized, status_of(findings), findings, plan)


def _in_given_opening(task: MeasureTask, facts: PhotoFacts, size: Size) -> Outcome:
    """The verdicts on a file that is printed at this size behind the opening of its mount."""
    asked = plan_entry(task.job, task.entry, facts)
    (part,) = asked.parts
    held = replace(part, image=replace(part.image, size=size))
    plan = with_openings(replace(asked, parts=(held,)), innermost(asked), [size])
    image = f"print it as an image of {part.image.size}, or name another mount"
    remedies = dict.fromkeys(_COVERS, image) | {"hidden-beyond": ""}  # no cell asks for its crop
    findings = tuple(
        replace(f, remedy=remedies.get(f.code, f.remedy)) if f.remedy else f
        for f in check(task.job, plan)
    )
    return Outcome(task.entry, status_of(findings), findings, plan)
