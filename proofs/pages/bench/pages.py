"""The pages of ``mounting.pdf``, in the order of the work."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from proofs.pages.bench.materials import material_parts
from proofs.pages.bench.mounting import mounting_parts
from proofs.pages.bench.packing import last_look_parts, log_parts, packing_parts
from proofs.pages.bench.timetable import timetable_parts
from proofs.pages.cutting.all_cuts import all_cuts_parts
from proofs.pages.cutting.guide import cutting_guide, further_prints
from proofs.pages.cutting.prints_table import PRINTS
from proofs.pages.drawing import Page
from proofs.pages.flow import Chapter, FlowPart, PageLayout, PartsOf, section
from proofs.pages.stamp import stamp_words
from proofs.pages.typography import DISPLAY
from proofs.plan.bench.materials import MaterialList
from proofs.plan.bench.mounting import Mounting, mounting
from proofs.plan.bench.packing import packed_mount, parcel_of
from proofs.plan.bench.timetable import Schedule
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.mount_kinds import BenchEntry, MountKind, mount_kinds
from proofs.records.job import NO_EXHIBITOR, Exhibitor, Job
from proofs.records.label_sheets import LabelSheet

ON_RULES = "The rules of the exhibition in hand always win over these pages."
_BOARDS_IN_A_ROW = (2, 3, 4, 5)


@dataclass(frozen=True, slots=True)
class Supplies:
    """What a run of ``mount`` needs besides its entries.

    ``boards`` are taken from the shelf or bought, ``labels`` is the label sheet, None for plain
    paper. Without a closing date ``schedule`` is None; ``today`` decides which of its days are
    past. ``exhibitor`` is the name and address on labels and for returned prints.
    """

    boards: MaterialList
    schedule: Schedule | None
    today: datetime.date
    exhibitor: Exhibitor = NO_EXHIBITOR
    labels: LabelSheet | None = None


def bench_pages(
    job: Job, benches: Sequence[BenchEntry], supplies: Supplies, layout: PageLayout
) -> tuple[Page, ...]:
    """Return all pages for these entries, at least one."""
    unmeasured = [bench.plan.entry.number for bench in benches if not bench.is_measured]
    stamp = stamp_words(unmeasured, len(benches), layout.setter)
    layout = replace(layout, name=job.rules.title if job.rules else "", stamp=stamp)
    work = _Work.of(job, benches, supplies)
    blank = partial(work.before_cutting, is_drawn=False)
    chapters = (
        _chapter(layout, work.before_cutting, blank, is_last=False),
        *cutting_guide(job, work.kinds, layout),
        _chapter(layout, work.after_cutting, work.after_cutting, is_last=True),
    )
    return layout.chapters(chapters, foot=(f"{ON_RULES} {layout.name}".rstrip(),))


def _chapter(
    layout: PageLayout, parts_of: PartsOf, tried_with: PartsOf, *, is_last: bool
) -> Chapter:
    """Sections that follow one another down the pages, in type as large as the pages allow.

    The parts it is ``tried_with`` take the same room, but may be quicker to set.
    """
    larger = layout.enlarged_for(tried_with, is_last=is_last)
    return Chapter(tuple(parts_of(larger)), layout.stamp, larger.times)


@dataclass(frozen=True, slots=True)
class _Work:
    """All that is decided of the work at the bench, to be laid out at several sizes."""

    job: Job
    supplies: Supplies
    kinds: Sequence[MountKind]
    mountings: Sequence[Mounting]

    @classmethod
    def of(cls, job: Job, benches: Sequence[BenchEntry], supplies: Supplies) -> "_Work":
        """Return the work that these entries ask for."""
        plans = [bench.plan for bench in benches]
        mountings = [mounting(job, plan) for plan in plans]
        kinds = mount_kinds(benches, supplies.boards.ready_cut)
        return cls(job, supplies, kinds, mountings)

    def before_cutting(self, layout: PageLayout, *, is_drawn: bool = True) -> list[FlowPart]:
        """Return timetable and material list, with boards as large as the pages allow.

        Unless ``is_drawn`` the boards stay blank, but take the same room.
        """
        schedule, marks = self.supplies.schedule, marks_of(self.job)
        before: list[FlowPart] = []
        if schedule:
            before = section("Timetable", timetable_parts(schedule, self.supplies.today, layout))
        listed = partial(material_parts, self.supplies.boards, marks, layout)
        trials = {
            n: [*before, *section("Material list", listed(in_a_row=n, is_drawn=False))]
            for n in _BOARDS_IN_A_ROW
        }
        shares = {n: layout.filled(parts) for n, parts in trials.items()}
        best = min(trials, key=lambda n: (len(shares[n]), -shares[n][-1]))
        if not is_drawn:
            return trials[best]
        return [*before, *section("Material list", listed(in_a_row=best))]

    def after_cutting(self, layout: PageLayout) -> list[FlowPart]:
        """Return all cuts in one table, and what follows when they are made."""
        setter = layout.setter
        cuts = all_cuts_parts(self.job, self.kinds, setter)
        title = setter.paragraph(PRINTS, DISPLAY, setter.width)
        prints = further_prints(self.job, self.kinds, setter)
        parcels = [packed_mount(one) for one in self.mountings]
        parcel = parcel_of(parcels, self.supplies.exhibitor)
        return [
            *(section("All cuts", cuts) if cuts else []),
            *(section(PRINTS, [FlowPart(title), *prints]) if prints else []),
            *section("Mounting plan", mounting_parts(self.mountings, setter)),
            *section("Last look", last_look_parts(parcels, setter)),
            *section("Print log", log_parts(parcels, setter)),
            *section("Packing list", packing_parts(parcel, layout.name, setter)),
        ]
