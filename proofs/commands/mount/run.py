"""A whole run of ``mount``: from checked entries and ruler readings to the files for the bench."""

import datetime
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from proofs.commands.mount.record import cut_record
from proofs.commands.mount.thumbnails import Thumbnails, thumbnail_tasks, thumbnails_of
from proofs.findings import Status
from proofs.outside.bench_pdfs import labels_pdf, mounting_pdf, templates_pdf
from proofs.outside.calendar import timetable_ics
from proofs.outside.public_holidays import with_public_holidays
from proofs.outside.run_folder import opened_folder
from proofs.pages.bench.left_out import left_out_words
from proofs.pages.bench.pages import Supplies
from proofs.plan.bench.labels import LabelOrder
from proofs.plan.bench.materials import MaterialList, materials
from proofs.plan.bench.timetable import scheduled
from proofs.plan.checks.checking import by_severity, status_of
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.cutting.arrival import ArrivalVerdict
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.mount_kinds import BenchEntry, MountKind, Readings, at_bench, mount_kinds
from proofs.plan.making.keeping import Counts
from proofs.plan.making.recipes import MadeWith
from proofs.records.job import Job
from proofs.run.inputs import EntriesOptions
from proofs.run.json_report import JsonValue, json_file
from proofs.run.made_with import made_with
from proofs.run.preflight import Preflight
from proofs.run.shelf import load_shelf
from proofs.run.source_digests import source_digests
from proofs.run.workers import Workers

MOUNTING, TEMPLATES, LABELS = "mounting.pdf", "templates.pdf", "labels.pdf"
CUTS, CALENDAR = "cuts.json", "timetable.ics"
_USUAL_STOCK = {"in": "32x40-in", "mm": "815x1120-mm"}


@dataclass(frozen=True, slots=True, kw_only=True)
class MountOptions(EntriesOptions):
    """The options of ``mount``.

    ``stock`` is None for the one that suits the unit of length, ``closing`` for the date in the
    rules, and ``labels`` for plain paper. ``anyway`` also mounts entries that break a
    rule. Templates show the ``whole`` board, or only its corners. ``jobs`` is the number of
    workers that look at pictures, None for what suits the machine. With ``again`` nothing of an
    earlier run is kept.
    """

    out: Path
    stock: str | None = None
    closing: datetime.date | None = None
    timetable: str = "usual"
    labels: str | None = None
    qr: bool = False
    anyway: bool = False
    whole: bool = False
    jobs: int | None = None
    paper_size: str = "a4"
    again: bool = False
    as_json: bool = False


@dataclass(frozen=True, slots=True)
class BenchRun:
    """The result of a run: all outcomes, the entries to mount, and those left out.

    ``again`` holds the numbers of the entries whose prints must be made again, mounted or not.
    """

    job: Job
    outcomes: tuple[Outcome, ...]
    benches: tuple[BenchEntry, ...]
    left_out: tuple[Outcome, ...]
    again: tuple[str, ...] = ()

    @property
    def kinds(self) -> tuple[MountKind, ...]:
        """The kinds of mounts, each with its entries."""
        return mount_kinds(self.benches)

    @property
    def unmeasured(self) -> tuple[str, ...]:
        """The numbers of the entries whose prints have not been measured."""
        return tuple(b.plan.entry.number for b in self.benches if not b.is_measured)

    @property
    def left_out_words(self) -> str:
        """Which entries are left out, or mounted anyway, and why; blank if there are none."""
        mounted = {bench.plan.entry.number for bench in self.benches}
        broken = [outcome for outcome in self.outcomes if outcome.status == Status.BROKEN]
        anyway = [outcome for outcome in broken if outcome.entry.number in mounted]
        return left_out_words(self.left_out, self.again, anyway)

    def record(self, boards: MaterialList) -> dict[str, JsonValue]:
        """Return the content of ``cuts.json``; ``boards`` are taken from the shelf or bought."""
        kinds = mount_kinds(self.benches, boards.ready_cut)
        return cut_record(self.job, kinds, self.left_out, boards)


def supplies_of(
    options: MountOptions, ready: Preflight, mounting: BenchRun, today: datetime.date
) -> Supplies:
    """Return the supplies of a run, as the options and the job name them.

    Raises ``ProfileError`` or ``EntriesError``.
    """
    source, rules = ready.inputs.source, ready.job.rules
    timetable = source.folders.timetable(options.timetable)
    closing = options.closing or (rules.closing_date if rules else None)
    timetable = with_public_holidays(timetable, closing) if closing else timetable
    stock = source.folders.stock(options.stock or _USUAL_STOCK[marks_of(ready.job).unit])
    plans, shelf = [bench.plan for bench in mounting.benches], load_shelf(ready.inputs)
    return Supplies(
        boards=materials(plans, stock, shelf, near=ready.job.reading_error),
        schedule=scheduled(timetable, closing) if closing else None,
        today=today,
        exhibitor=source.job_file.exhibitor,
        labels=source.folders.label_sheet(options.labels) if options.labels else None,
    )


def plan_mounting(options: MountOptions, ready: Preflight, readings: Readings) -> BenchRun:
    """Return the entries to mount: those whose mount, as it will be cut, breaks no rule."""
    outcomes: list[Outcome] = []
    benches: list[BenchEntry] = []
    left_out: list[Outcome] = []
    again: list[str] = []
    for planned in ready.outcomes:
        bench = at_bench(ready.job, planned.plan, readings) if planned.plan else None
        outcome = _judged_as_cut(planned, bench) if bench else planned
        outcomes.append(outcome)
        if bench and (options.anyway or outcome.status != Status.BROKEN):
            benches.append(bench)
        else:
            left_out.append(outcome)
        if bench and bench.verdict == ArrivalVerdict.AGAIN:
            again.append(bench.plan.entry.number)
    return BenchRun(ready.job, tuple(outcomes), tuple(benches), tuple(left_out), again=tuple(again))


def write_mounting(
    options: MountOptions,
    ready: Preflight,
    supplies: Supplies,
    mounting: BenchRun,
    workers: Callable[[int], AbstractContextManager[Workers]],
) -> Counts:
    """Write all files of a run, or keep them, and return how many of each there are.

    ``workers`` returns those that make this many thumbnails. Raises ``WriteError``, before anything
    is written, if the folder cannot be used.
    """
    entries = [bench.plan.entry for bench in mounting.benches]
    sources = [path for entry in entries for path in ready.inputs.pictures_of(entry)]
    own = made_with(mounting.job.lab, options.font)
    key = _key(options, supplies, mounting, own)
    plans = [bench.plan for bench in mounting.benches]
    tasks = thumbnail_tasks(mounting.job, plans, ready.inputs)

    def thumbnails() -> Thumbnails:
        with workers(len(tasks)) as found:
            return thumbnails_of(tasks, found)

    files = _files(options, supplies, mounting, thumbnails)
    recipes = {name: own.key(name, key) for name in files}
    with (
        opened_folder(options.out, own=MOUNTING, sources=sources, again=options.again) as folder,
        source_digests(ready.inputs.folder, reads=True, again=options.again) as digests,
    ):
        known = digests.of(sources)
        # Where a picture cannot be read, the page shows none, and is made again next time.
        recipes[LABELS] = own.key(LABELS, key, known) if known else ""
        left = recipes.keys() - folder.keeping(recipes).names
        contents = {name: files[name]() for name in files if name in left}
        folder.begin(list(files), recipes, about_bytes=sum(map(len, contents.values())))
        for name, content in contents.items():
            folder.write(name, content, recipes[name])
    return folder.counts


def _key(options: MountOptions, supplies: Supplies, mounting: BenchRun, own: MadeWith) -> str:
    """The key of all that is on the pages of a run."""
    entries = mounting.outcomes, mounting.benches, mounting.left_out, mounting.again
    pages = options.paper_size, options.qr, options.whole, own.font_sha256
    return own.key("mounting", own.job(mounting.job), entries, supplies, pages)


def _files(
    options: MountOptions,
    supplies: Supplies,
    mounting: BenchRun,
    thumbnails: Callable[[], Thumbnails],
) -> dict[str, Callable[[], bytes]]:
    """What makes the content of each file, by its name."""
    job, benches = mounting.job, mounting.benches
    # One label for each mount; entries that are left out still count in "2 of 4".
    plans = {bench.plan.entry.number: bench.plan for bench in benches}
    labelled = [replace(o, plan=plans.get(o.entry.number)) for o in mounting.outcomes]
    labels = LabelOrder(supplies.labels, supplies.exhibitor, options.qr, mounting.unmeasured)
    measured, out = set(plans).difference(mounting.unmeasured), mounting.left_out_words
    drawn = list(plans.values())
    files: dict[str, Callable[[], bytes]] = {
        MOUNTING: partial(mounting_pdf, job, benches, supplies, options, left_out=out),
        TEMPLATES: partial(
            templates_pdf,
            job,
            drawn,
            options,
            measured=measured,
            left_out=out,
            is_whole=options.whole,
        ),
        LABELS: lambda: labels_pdf(
            job, labelled, labels, options, left_out=out, thumbnails=thumbnails()
        ),
        CUTS: lambda: json_file(mounting.record(supplies.boards)),
    }
    if supplies.schedule:
        exhibition = job.rules.title if job.rules else "the exhibition"
        files[CALENDAR] = partial(timetable_ics, supplies.schedule, exhibition=exhibition)
    return files


def _judged_as_cut(outcome: Outcome, bench: BenchEntry) -> Outcome:
    """The outcome as it will be cut, with measured sizes and findings on them."""
    codes = {finding.code for finding in bench.findings}
    findings = by_severity((*bench.findings, *(f for f in outcome.findings if f.code not in codes)))
    return replace(outcome, plan=bench.plan, findings=findings, status=status_of(findings))
