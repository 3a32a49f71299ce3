"""``proofs mount``."""

import datetime
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import click

from proofs.cli.options import (
    ENTRIES_HELP,
    EntriesOptions,
    date_option,
    entries_argument,
    entries_options,
    out_option,
    paper_size_option,
    takes,
    today,
)
from proofs.cli.output import counted, say, say_outcomes, say_record
from proofs.commands.arrived import READINGS, load_readings
from proofs.commands.mount.pages import Supplies
from proofs.commands.mount.run import BenchRun, MountOrder, plan_mounting, write_mounting
from proofs.lengths import Unit
from proofs.pages.bench.timetable import lateness
from proofs.plan.bench.labels import LabelOrder
from proofs.plan.bench.timetable import scheduled
from proofs.plan.checks.outcomes import exit_code_of
from proofs.plan.cutting.marks import marks_of
from proofs.run.preflight import Preflight
from proofs.run.text_report import closing_line, numbered

_DEFAULT_STOCK = {Unit.IN: "32x40-in", Unit.MM: "815x1120-mm"}


@dataclass(frozen=True, slots=True, kw_only=True)
class MountCommand(EntriesOptions):
    """The options of ``mount``."""

    out: Path
    stock: str | None
    closing: datetime.date | None
    timetable: str
    labels: str | None
    qr: bool
    anyway: bool
    paper_size: str
    as_json: bool

    def order(self, ready: Preflight) -> MountOrder:
        """Return the order that these options describe."""
        folders, exhibitor = ready.inputs.source.folders, ready.inputs.source.job_file.exhibitor
        sheet = folders.label_sheet(self.labels) if self.labels else None
        return MountOrder(
            job=ready.job,
            inputs=ready.inputs,
            folder=self.out,
            supplies=self._supplies(ready),
            labels=LabelOrder(sheet, exhibitor, self.qr),
            paper_size=self.paper_size,
            font=self.font,
            anyway=self.anyway,
        )

    def _supplies(self, ready: Preflight) -> Supplies:
        """The board, the timetable and the return address of a run."""
        folders, rules = ready.inputs.source.folders, ready.job.rules
        timetable = folders.timetable(self.timetable)
        closing = self.closing or (rules.closing_date if rules else None)
        return Supplies(
            stock=folders.stock(self.stock or _DEFAULT_STOCK[marks_of(ready.job).unit]),
            schedule=scheduled(timetable, closing) if closing else None,
            today=today(),
            home=ready.inputs.source.job_file.exhibitor,
        )


@click.command(short_help="Write the pages for the bench.", epilog=ENTRIES_HELP)
@entries_argument
@out_option("mount")
@entries_options
@click.option(
    "--stock", metavar="NAME", help="Board sheets to cut from [default: by the unit of length]."
)
@date_option("--closing", help="Last day of receipt [default: the one in the rules].")
@click.option(
    "--timetable",
    default="usual",
    show_default=True,
    metavar="NAME",
    help="Working days needed for each step before that day.",
)
@click.option("--labels", metavar="NAME", help="Label sheet to print on, instead of plain paper.")
@click.option("--qr", is_flag=True, help="Also print a QR code on each label.")
@click.option("--anyway", is_flag=True, help="Also mount entries that break a rule.")
@paper_size_option("pages")
@click.option("--json", "as_json", is_flag=True, help="Print cuts.json instead of words.")
@takes(MountCommand)
def mount(command: MountCommand) -> None:
    """Write everything for the bench into the folder --out, in the order of the work.

    \b
    mounting.pdf    timetable, material list, a cutting guide for each kind of mount, face
                    down as you cut it, all cuts in one table, how to mount each print,
                    final checks, packing list and print log
    templates.pdf   every board with its openings at full size, to check against
    labels.pdf      the labels for the backs, and where each goes
    timetable.ics   the timetable for a calendar, where there is a closing date
    cuts.json       the cuts for programs

    Measure the delivered prints first with 'proofs arrived'; the pages state which prints were
    not measured. An entry that breaks a rule is left out unless --anyway is given.
    """
    ready = command.preflight()
    say([] if command.as_json else ready.notes)
    readings = load_readings(ready.inputs.folder, ready.inputs.table.entries)
    order = command.order(ready)
    mounting = plan_mounting(order, ready.outcomes, readings)
    code = exit_code_of(mounting.left_out)
    if mounting.kinds:
        write_mounting(order, mounting)
    else:
        click.echo("no entry is left to mount: nothing was written", err=True)
    if command.as_json:
        say_record(mounting.record)
    else:
        say_outcomes(mounting.left_out)
        say(["", *_lines(mounting, order.supplies, command.out)])
        say(filter(None, [closing_line(mounting.left_out, code)]))
    sys.exit(code)


def _lines(mounting: BenchRun, supplies: Supplies, out: Path) -> Iterator[str]:
    for kind in mounting.kinds:
        entries = numbered([bench.plan.entry.number for bench in kind.entries])
        what = f"make {len(kind.entries)}" if kind.mats else "no window"
        yield f"mount {kind.number}  {what:<9}  {entries}"
    if mounting.unmeasured:
        yield f"planned sizes, not measured ones: {numbered(mounting.unmeasured)}"
        yield f"measure the prints with 'proofs arrived'; the readings are kept in {READINGS}"
    if not mounting.kinds:
        return
    if not supplies.schedule:
        yield "no timetable: give the last day of receipt with --closing"
    elif late := lateness(supplies.schedule, supplies.today):
        yield late
    yield f"ready in {out}: {counted(len(mounting.kinds), 'kind')} of mount"
