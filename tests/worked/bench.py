"""What the bench's pages say of one measured mount, as texts to compare with a worked example."""

from dataclasses import dataclass

from proofs.lengths import Borders, Size
from proofs.measures import read_size
from proofs.plan.bench.mounting import mounting
from proofs.plan.cutting.arrival import as_measured
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.cutting.mount_kinds import at_bench
from proofs.plan.entry.board import Opening
from proofs.plan.entry.planning import plan_entry
from proofs.plan.entry.tolerances import covers
from proofs.plan.entry.trims import trims
from proofs.records.job import Job
from proofs.records.ruler_readings import RulerReading, by_print
from tests.workbench import an_entry, facts


@dataclass(frozen=True, slots=True)
class Worked:
    """One mount from the ruler's reading to the finished border, without units.

    Openings and borders are those at the back, seen from the front, the top mat first and the
    windows one after the other; borders go left, top, right, bottom, from the edge of the board.
    Without a window they run to the edge of the paper. ``least`` and ``most`` are what a finished
    opening may measure, ``left_mm`` is what the mat still covers or leaves free at the sides, and
    above and below, when everything goes wrong.
    """

    openings: tuple[str, ...]
    borders: tuple[str, ...]
    visible: tuple[str, ...]
    least: tuple[str, ...] = ()
    most: tuple[str, ...] = ()
    left_mm: tuple[float, ...] = ()
    trim: tuple[str, ...] = ()
    held: tuple[str, ...] = ()


def worked(job: Job, size: str, *readings: str, sheet: str = "") -> Worked:
    """Return one mount of pictures of 3 to 2 that were asked for and measured in these sizes."""
    entry = an_entry(size, file=" | ".join("p" for _ in readings))
    plan = plan_entry(job, entry, *(facts(3000, 2000) for _ in readings))
    paper = read_size(sheet) if sheet else None
    read = [RulerReading("1", read_size(r), paper, picture=n) for n, r in enumerate(readings, 1)]
    bench, measured, marks = at_bench(job, plan, by_print(read)), as_measured(job), marks_of(job)
    plan, layout, limits = bench.plan, bench.plan.layout, bench.limits.windows
    cuts = [cut.back for window in layout.windows for cut in window]
    edges = cuts or [picture.outline for picture in layout.pictures]
    attachments = mounting(measured, plan).attachments
    return Worked(
        openings=tuple(_size(marks, back.size) for back in cuts),
        borders=tuple(_borders(marks, edge.borders_in(Opening(layout.board))) for edge in edges),
        visible=tuple(_size(marks, picture.sight.size) for picture in layout.pictures),
        least=tuple(_size(marks, size) for one in limits for size in one.least),
        most=tuple(_size(marks, size) for one in limits for size in one.most),
        left_mm=tuple(round(cover.left.mm, 3) for cover in covers(measured, plan.mount, layout)),
        trim=tuple(_size(marks, trim.edge.size) for trim in trims(plan) if trim.is_to_do),
        held=tuple(f"{one.method} {marks.number(one.size)}" for one in attachments),
    )


def _size(marks: Marks, size: Size) -> str:
    return f"{marks.number(size.width)} x {marks.number(size.height)}"


def _borders(marks: Marks, borders: Borders) -> str:
    sides = (borders.left, borders.top, borders.right, borders.bottom)
    return ", ".join(map(marks.number, sides))
