"""A whole run of ``mount``: from checked entries and ruler readings to the files for the bench."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from proofs import __version__
from proofs.commands.mount.pages import Supplies, bench_pages
from proofs.commands.mount.record import cut_record
from proofs.findings import Severity
from proofs.outside.calendar import timetable_ics
from proofs.outside.page_pdfs import labels_pdf, templates_pdf
from proofs.outside.pdf import pages_pdf
from proofs.outside.run_folder import run_folder
from proofs.plan.bench.labels import LabelOrder
from proofs.plan.checks.checking import by_severity, status_of
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.cutting.mount_kinds import BenchEntry, MountKind, Readings, at_bench, mount_kinds
from proofs.records.job import Job
from proofs.run.inputs import Inputs
from proofs.run.json_report import JsonValue, json_file

MOUNTING, TEMPLATES, LABELS = "mounting.pdf", "templates.pdf", "labels.pdf"
CUTS, CALENDAR = "cuts.json", "timetable.ics"


@dataclass(frozen=True, slots=True)
class MountOrder:
    """What to write and where; ``anyway`` also mounts entries that break a rule."""

    job: Job
    inputs: Inputs
    folder: Path
    supplies: Supplies
    labels: LabelOrder
    paper_size: str = "a4"
    font: Path | None = None
    anyway: bool = False


@dataclass(frozen=True, slots=True)
class BenchRun:
    """The result of a run: all outcomes, the entries to mount, and those left out."""

    job: Job
    outcomes: tuple[Outcome, ...]
    benches: tuple[BenchEntry, ...]
    left_out: tuple[Outcome, ...]

    @property
    def kinds(self) -> tuple[MountKind, ...]:
        """The kinds of mounts, each with its entries."""
        return mount_kinds(self.benches)

    @property
    def unmeasured(self) -> tuple[str, ...]:
        """The numbers of the entries whose prints have not been measured."""
        return tuple(b.plan.entry.number for b in self.benches if not b.is_measured)

    @property
    def record(self) -> dict[str, JsonValue]:
        """The content of ``cuts.json``."""
        return cut_record(self.job, self.kinds, self.left_out)


def plan_mounting(order: MountOrder, outcomes: Sequence[Outcome], readings: Readings) -> BenchRun:
    """Return the entries to mount: those whose mount, as it will be cut, breaks no rule."""
    benches: list[BenchEntry] = []
    left_out: list[Outcome] = []
    for outcome in outcomes:
        bench = at_bench(order.job, outcome.plan, readings) if outcome.plan else None
        if bench is None:
            left_out.append(outcome)
        elif order.anyway or _breaks_no_rule(outcome, bench):
            benches.append(bench)
        else:
            left_out.append(_judged_as_cut(outcome, bench))
    return BenchRun(order.job, tuple(outcomes), tuple(benches), tuple(left_out))


def write_mounting(order: MountOrder, mounting: BenchRun) -> None:
    """Write all files of a run.

    Raises ``WriteError``, before anything is written, if the folder cannot be used.
    """
    entries = [bench.plan.entry for bench in mounting.benches]
    files = _files(order, mounting)
    with run_folder(
        order.folder,
        own=MOUNTING,
        names=list(files),
        sources=[path for entry in entries for path in order.inputs.pictures_of(entry)],
        about_bytes=sum(map(len, files.values())),
    ) as folder:
        for name, content in files.items():
            folder.write(name, content)


def _files(order: MountOrder, mounting: BenchRun) -> Mapping[str, bytes]:
    """The content of each file, by its name."""
    files = {
        MOUNTING: _mounting_pdf(order, mounting.benches),
        TEMPLATES: _templates(order, mounting.benches),
        LABELS: _labels(order, mounting),
        CUTS: json_file(mounting.record),
    }
    schedule = order.supplies.schedule
    if schedule:
        exhibition = order.job.rules.title if order.job.rules else "the exhibition"
        files[CALENDAR] = timetable_ics(schedule, exhibition=exhibition)
    return files


def _mounting_pdf(order: MountOrder, benches: Sequence[BenchEntry]) -> bytes:
    lay_out = partial(bench_pages, order.job, benches, order.supplies, paper_size=order.paper_size)
    return pages_pdf(lay_out, title="Mounting", font=order.font)


def _templates(order: MountOrder, benches: Sequence[BenchEntry]) -> bytes:
    return templates_pdf(
        [bench.plan for bench in benches],
        measured={bench.plan.entry.number for bench in benches if bench.is_measured},
        paper_size=order.paper_size,
        font=order.font,
        version=__version__,
    )


def _labels(order: MountOrder, mounting: BenchRun) -> bytes:
    """One label for each mount; entries that are left out still count in "2 of 4"."""
    plans = {bench.plan.entry.number: bench.plan for bench in mounting.benches}
    outcomes = [replace(o, plan=plans.get(o.entry.number)) for o in mounting.outcomes]
    return labels_pdf(
        order.job,
        outcomes,
        replace(order.labels, unmeasured=mounting.unmeasured),
        paper_size=order.paper_size,
        font=order.font,
        version=__version__,
    )


def _breaks_no_rule(outcome: Outcome, bench: BenchEntry) -> bool:
    return all(f.severity < Severity.BROKEN for f in _judged_as_cut(outcome, bench).findings)


def _judged_as_cut(outcome: Outcome, bench: BenchEntry) -> Outcome:
    """The outcome, with findings on the sizes to be cut in place of those on planned sizes."""
    codes = {finding.code for finding in bench.findings}
    findings = by_severity((*bench.findings, *(f for f in outcome.findings if f.code not in codes)))
    return replace(outcome, findings=findings, status=status_of(findings))
