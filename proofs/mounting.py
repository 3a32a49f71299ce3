"""Everything for the bench: from checked entries and readings to the files of ``proofs mount``."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.cut_record import cut_record
from proofs.findings import Severity
from proofs.gathering import Gathered
from proofs.outside.files import picture_path, write_whole
from proofs.outside.fonts import load_fonts
from proofs.outside.output import begin, open_output, refuse_inputs, refuse_others, write_record
from proofs.outside.pdf import write_pdf
from proofs.pages.cutting_guide import cutting_guide
from proofs.pages.cutting_table import cutting_table
from proofs.pages.drawing import Page
from proofs.pages.sheet_text import Measure
from proofs.plan.bench import Bench, MountKind, Readings, at_bench, mount_kinds
from proofs.plan.checking import gravest_first, status_of
from proofs.plan.outcomes import Outcome
from proofs.records.job import Job
from proofs.report import JsonValue

MOUNTING, CUTS = "mounting.pdf", "cuts.json"


@dataclass(frozen=True, slots=True)
class MountOrder:
    """What to write and where; ``anyway`` also mounts what breaks a rule."""

    job: Job
    gathered: Gathered
    folder: Path
    paper_size: str = "a4"
    font: Path | None = None
    anyway: bool = False


@dataclass(frozen=True, slots=True)
class BenchRun:
    """The kinds of mounts of a run, each with its entries, and the entries that are left out."""

    job: Job
    kinds: tuple[MountKind, ...]
    left_out: tuple[Outcome, ...]

    @property
    def record(self) -> dict[str, JsonValue]:
        """The same for programs."""
        return cut_record(self.job, self.kinds, self.left_out)


def plan_mounting(order: MountOrder, outcomes: Sequence[Outcome], readings: Readings) -> BenchRun:
    """Return what is mounted: every entry whose mount, as it would be cut, breaks no rule."""
    benches: list[Bench] = []
    left_out: list[Outcome] = []
    for outcome in outcomes:
        bench = at_bench(order.job, outcome.plan, readings) if outcome.plan else None
        if bench is None:
            left_out.append(outcome)
        elif order.anyway or _is_sound(outcome, bench):
            benches.append(bench)
        else:
            left_out.append(_judged_anew(outcome, bench))
    return BenchRun(order.job, mount_kinds(benches), tuple(left_out))


def write_mounting(order: MountOrder, mounting: BenchRun) -> None:
    """Write all files of a run.

    Raises ``WriteError`` before anything is written where the folder is not the run's to use.
    """
    folder = open_output(order.folder)
    refuse_others(folder, MOUNTING)
    plans = [bench.plan for kind in mounting.kinds for bench in kind.benches]
    sources = [part.file for plan in plans for part in plan.parts]
    refuse_inputs(folder, [picture_path(order.gathered.folder, name) for name in sources])
    files = _files(order, mounting)
    begin(folder, list(files))
    record = {name: folder.made.get(name, "") for name in files}
    for name, content in files.items():
        write_whole(folder.path / name, content)
        record[name] = hashlib.sha256(content).hexdigest()
    write_record(folder, record)


def _files(order: MountOrder, mounting: BenchRun) -> Mapping[str, bytes]:
    """Every file that is written, by its name."""
    text = json.dumps(mounting.record, indent=2, ensure_ascii=False) + "\n"
    return {MOUNTING: _mounting_pdf(order, mounting), CUTS: text.encode()}


def _mounting_pdf(order: MountOrder, mounting: BenchRun) -> bytes:
    fonts = load_fonts(order.font)
    pages = _pages(order, mounting, fonts.width)
    return write_pdf(pages, fonts=fonts, picture_bytes=_no_picture, title="Mounting")


def _pages(order: MountOrder, mounting: BenchRun, measure: Measure) -> tuple[Page, ...]:
    """The pages of the bench in the order of the work."""
    job, kinds, paper = order.job, mounting.kinds, order.paper_size
    return (
        *cutting_guide(job, kinds, paper=paper, measure=measure),
        *cutting_table(job, kinds, paper=paper, measure=measure),
    )


def _no_picture(name: str) -> bytes:
    raise AssertionError(f"no page of the bench places a picture, but one asks for {name!r}")


def _is_sound(outcome: Outcome, bench: Bench) -> bool:
    """Whether nothing is broken as it will be cut; the rest is as the check found it."""
    return all(f.severity < Severity.BROKEN for f in _judged_anew(outcome, bench).findings)


def _judged_anew(outcome: Outcome, bench: Bench) -> Outcome:
    """The outcome with what was found of sizes as they will be cut, not as they were planned."""
    codes = {finding.code for finding in bench.findings}
    findings = gravest_first(
        (*bench.findings, *(f for f in outcome.findings if f.code not in codes))
    )
    return replace(outcome, findings=findings, status=status_of(findings))
