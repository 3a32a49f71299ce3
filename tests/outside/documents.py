"""Every document that the program makes besides the proof sheet, from made-up entries, as PDFs."""

import datetime
import io
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from PIL import Image

from proofs.commands.mount.run import MountOptions
from proofs.inspection.wedge_reading import WedgeReading, WedgeStep
from proofs.lengths import PixelSize, Unit
from proofs.measures import read_size
from proofs.outside.bench_pdfs import labels_pdf, mounting_pdf, templates_pdf
from proofs.outside.page_pdfs import (
    reading_pdf,
    strip_pdf,
    ticket_pdf,
)
from proofs.outside.pdf import Document, pages_pdf
from proofs.pages.bench.pages import Supplies
from proofs.pages.soft_proof.entry import PaperShown, ProofedEntry
from proofs.pages.soft_proof.pages import soft_proof_pages
from proofs.pages.strip.key import Preview, StripSteps
from proofs.plan.bench.labels import LabelOrder
from proofs.plan.bench.materials import materials
from proofs.plan.bench.timetable import scheduled
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.cutting.mount_kinds import BenchEntry, at_bench
from proofs.plan.delivery.soft_proofs import ColourLoss, Medium, loss_findings, printed_step
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.arrangements import Arrangement
from proofs.records.job import Customer, Exhibitor, Job
from proofs.records.lab_charges import Charges
from proofs.records.rules import BoardRule, VisibleRule
from tests.deliveries import FACTS, a_delivery, a_file
from tests.pages.outcomes import LONG_TITLE, an_outcome
from tests.workbench import SHIPPED, a_job, a_mount, an_entry, facts, some_rules

SHORT_TITLE = "The old landing"
EXHIBITOR = Exhibitor("A. Maker", "12 Quay Lane, Old Harbour")
MOUNTS = ("mat", "double-white", "float-window", "no-window")
LITTLE, MUCH = ColourLoss(0.004, 0.0, 0.31, 3.2), ColourLoss(0.31, 0.25, 2.62, 18.44)


@dataclass(frozen=True, slots=True)
class Season:
    """A season of ``count`` entries on ``paper``, every third with several ``pictures``.

    ``mounts`` are how many kinds of mount the entries take by turns.
    """

    count: int
    paper: str = "a4"
    title: str = SHORT_TITLE
    unit: Unit = Unit.IN
    mounts: int = 2
    pictures: int = 2

    @property
    def job(self) -> Job:
        """The job: rules on board and visible size, and all kinds of mount."""
        board = read_size("16x20 in" if self.unit == Unit.IN else "40x50 cm")
        least = read_size("10x10 in" if self.unit == Unit.IN else "25x25 cm").width
        rules = some_rules(
            title="Winter prints",
            unit=self.unit,
            board=BoardRule(board, exact=True, either_way=True),
            visible=VisibleRule(longest_least=least, sums=True),
            closing_date=datetime.date(2026, 10, 18),
        )
        mounts = (a_mount(), *(SHIPPED.mount(name) for name in MOUNTS[1:]))
        return a_job(rules=rules, mounts=mounts, author=EXHIBITOR.name)

    @property
    def plans(self) -> tuple[Plan, ...]:
        """The plans of all entries."""
        return tuple(map(self._plan, range(1, self.count + 1)))

    def _plan(self, number: int) -> Plan:
        count = self.pictures if number % 3 == 2 else 1
        file = " | ".join(["a.jpg"] * count)
        sizes = ("long 6 in", "long 16 cm") if count > 1 else ("long 11 in", "long 28 cm")
        sizes = ("long 3 in", "long 8 cm") if count > 2 else sizes
        size = sizes[self.unit == Unit.MM]
        mount = MOUNTS[number % self.mounts]
        cells: dict[str, Any] = {
            "number": str(number),
            "title": f"{self.title} {number}",
            "mount": mount,
            "arrangement": Arrangement("grid 3x2") if count == 6 else None,
        }
        entry = an_entry(size, file=file, category="Open", bracket=(-0.1, 0.0, 0.1), **cells)
        photo = facts(2400, 3600) if number % 2 else facts()
        return plan_entry(self.job, entry, *[photo] * count)

    @property
    def options(self) -> MountOptions:
        """The options of a command that writes pages."""
        return MountOptions(out=Path(), paper_size=self.paper)


def outcomes_of(season: Season) -> list[Outcome]:
    """Return what a run leaves of every entry."""
    return [an_outcome(season.job, plan) for plan in season.plans]


@cache
def benches_of(season: Season) -> tuple[BenchEntry, ...]:
    """Return all entries as they are cut; none is measured."""
    return tuple(at_bench(season.job, plan, {}) for plan in season.plans)


def mounting(season: Season) -> bytes:
    """Return all pages for the bench."""
    schedule = scheduled(SHIPPED.timetable("usual"), datetime.date(2026, 10, 18))
    stock = SHIPPED.stock("32x40-in" if season.unit == Unit.IN else "815x1120-mm")
    boards = materials([bench.plan for bench in benches_of(season)], stock)
    supplies = Supplies(boards, schedule, datetime.date(2026, 9, 1), EXHIBITOR)
    return mounting_pdf(season.job, benches_of(season), supplies, season.options)


def templates(season: Season) -> bytes:
    """Return the templates of all mounts."""
    plans = [bench.plan for bench in benches_of(season)]
    return templates_pdf(season.job, plans, season.options, measured=["1"])


def plain_labels(season: Season) -> bytes:
    """Return the labels on plain paper."""
    return _labels(season, "")


def labels_on_sheets(season: Season) -> bytes:
    """Return the labels on the sheets with the smallest labels."""
    return _labels(season, "a4-2x5" if season.paper == "a4" else "letter-2x5")


def _labels(season: Season, sheet: str) -> bytes:
    job = season.job
    order = LabelOrder(SHIPPED.label_sheet(sheet) if sheet else None, EXHIBITOR, True)
    return labels_pdf(job, outcomes_of(season), order, season.options)


def strip_key(season: Season) -> bytes:
    """Return the key to the test strips."""
    steps = [
        StripSteps(o, tuple(s.tones for s in o.steps if s.tones), ("1",) * len(o.steps))
        for o in outcomes_of(season)
    ]
    count = -(-season.count // 5)
    shown = [Preview(n, f"{n}", read_size("8x10 in"), "Lustre") for n in range(1, count + 1)]
    pictures = {sheet.name: _jpeg(400, 500) for sheet in shown}
    return strip_pdf(season.job, steps, shown, pictures, season.options)


def soft_proof(season: Season) -> bytes:
    """Return a soft proof of which every second entry loses something."""
    medium = Medium("Soft rag", (95.25, 0.5, -1.75), 17.04)
    entries = [_proofed(season, plan, medium) for plan in season.plans]
    return pages_pdf(
        lambda layout: soft_proof_pages(season.job, PaperShown(medium), entries, layout),
        Document("Soft proof", "", season.unit),
        paper_size=season.paper,
        pictures=lambda _: _jpeg(600, 750),
    )


def _proofed(season: Season, plan: Plan, medium: Medium) -> ProofedEntry:
    number = plan.entry.number
    losses = ((MUCH, LITTLE)[int(number) % 2],) * len(plan.parts)
    printed = printed_step(plan)
    found = loss_findings(season.job.lab, medium, printed.name, losses)
    names = (f"{number}-0", f"{number}-1", f"{number}-2")
    return ProofedEntry(plan, printed, losses, found, names)


def ticket(season: Season) -> bytes:
    """Return the order for a lab."""
    sizes = [PixelSize(2400, 3000), PixelSize(4800, 3600), PixelSize(3000, 3000)]
    files = [
        a_file(
            file=f"prints/{n}_the-old-landing.jpg",
            entry=str(n),
            title=season.title,
            facts=replace(FACTS, pixels=sizes[n % 3]),
            paper=f"Cotton rag {n % 9}, natural white, without any brightener",
        )
        for n in range(1, season.count + 1)
    ]
    previews = {file.file: _jpeg(240, 240) for file in files}
    customer = Customer("A. Maker", f"{season.title}\n12 Quay Lane\nOld Harbour", "HB-2071")
    charges = Charges(Decimal("6.50"), None, Decimal(20))
    delivery = a_delivery(*files, customer=customer)
    return ticket_pdf(
        replace(delivery, lab=replace(delivery.lab, charges=charges)), previews, season.options
    )


def wedge_reading(season: Season) -> bytes:
    """Return the plot of a wedge read back, with as many sentences as there can be."""
    steps = tuple(
        WedgeStep(10.0 * n, 2 - 0.2 * n, 2 - 0.2 * n + 0.02 * (n % 3), 10.0 * n + 0.4)
        for n in range(11)
    )
    measures = {name: 0.01 for name in WedgeReading.__slots__ if name != "steps"}
    sentences = ["the lab prints 0.03 D darker than asked, on average over the middle tones"] * 3
    reading = WedgeReading(steps, **measures)
    return reading_pdf(reading, name=f"scan of {season.count}.png", sentences=sentences)


DOCUMENTS: dict[str, Callable[[Season], bytes]] = {
    "mounting": mounting,
    "templates": templates,
    "labels": plain_labels,
    "labels on sheets": labels_on_sheets,
    "strip key": strip_key,
    "soft proof": soft_proof,
    "ticket": ticket,
    "wedge reading": wedge_reading,
}

SEASONS = (
    Season(1),
    Season(7, "letter", LONG_TITLE),
    Season(7, "a4", unit=Unit.MM, mounts=4),
    Season(31, "a4", unit=Unit.MM, title=LONG_TITLE),
    Season(60, "letter"),
)


@cache
def _jpeg(width: int, height: int) -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", (width, height), (150, 160, 150)).save(stream, "JPEG")
    return stream.getvalue()
