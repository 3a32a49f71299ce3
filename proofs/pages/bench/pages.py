"""The pages of ``mounting.pdf``, in the order of the work."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace

from proofs.pages.bench.materials import material_pages
from proofs.pages.bench.mounting import mounting_pages
from proofs.pages.bench.packing import last_look_pages, log_pages, packing_pages
from proofs.pages.bench.timetable import timetable_pages
from proofs.pages.cutting.all_cuts import cutting_table
from proofs.pages.cutting.guide import cutting_guide
from proofs.pages.drawing import Page
from proofs.pages.flow import PageLayout, bookmarked
from proofs.pages.stamp import stamp_words
from proofs.plan.bench.materials import materials
from proofs.plan.bench.mounting import mounting
from proofs.plan.bench.packing import packed_mount, parcel_of
from proofs.plan.bench.timetable import Schedule
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.mount_kinds import BenchEntry, mount_kinds
from proofs.records.job import NO_EXHIBITOR, Exhibitor, Job
from proofs.records.label_sheets import LabelSheet
from proofs.records.stock import Stock


@dataclass(frozen=True, slots=True)
class Supplies:
    """What a run of ``mount`` needs besides its entries.

    ``stock`` are the sheets that boards are cut from, ``labels`` the label sheet, None for plain
    paper. Without a closing date ``schedule`` is None; ``today`` decides which of its days are
    past. ``exhibitor`` is the name and address on labels and for returned prints.
    """

    stock: Stock
    schedule: Schedule | None
    today: datetime.date
    exhibitor: Exhibitor = NO_EXHIBITOR
    labels: LabelSheet | None = None


def bench_pages(
    job: Job, benches: Sequence[BenchEntry], supplies: Supplies, layout: PageLayout
) -> tuple[Page, ...]:
    """Return all pages for these entries, at least one."""
    kinds = mount_kinds(benches)
    unmeasured = [bench.plan.entry.number for bench in benches if not bench.is_measured]
    stamp = stamp_words(unmeasured, len(benches), layout.setter)
    layout = replace(layout, name=job.rules.title if job.rules else "", stamp=stamp)
    plans = [bench.plan for bench in benches]
    mountings = [mounting(job, plan) for plan in plans]
    parcels = [packed_mount(one) for one in mountings]
    schedule = supplies.schedule
    parts = {
        "Timetable": timetable_pages(schedule, supplies.today, layout) if schedule else (),
        "Material list": material_pages(materials(plans, supplies.stock), marks_of(job), layout),
        "Cutting guide": cutting_guide(job, kinds, layout),
        "All cuts": cutting_table(job, kinds, layout),
        "Mounting plan": mounting_pages(mountings, layout),
        "Last look": last_look_pages(parcels, layout),
        "Packing list": packing_pages(parcel_of(parcels, supplies.exhibitor), layout),
        "Print log": log_pages(parcels, layout),
    }
    return tuple(page for title, pages in parts.items() for page in bookmarked(pages, title))
