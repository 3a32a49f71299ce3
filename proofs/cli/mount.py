"""``proofs mount``."""

import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from proofs.cli.options import (
    ENTRIES_HELP,
    common_options,
    counted,
    entries_argument,
    out_option,
    paper_size_option,
    surveyed,
    tell,
    today,
)
from proofs.commands.arrived import READINGS, load_readings
from proofs.commands.make.run import exit_code_of
from proofs.commands.mount.pages import Supplies
from proofs.commands.mount.run import BenchRun, MountOrder, plan_mounting, write_mounting
from proofs.pages.bench.timetable import lateness
from proofs.plan.bench.labels import LabelOrder
from proofs.plan.bench.timetable import scheduled
from proofs.plan.cutting.marks import marks_of
from proofs.records.job import Job
from proofs.run.inputs import ProfileNames, find_folders
from proofs.run.text_report import closing_line

_WANTED = ("stock", "timetable", "closing", "labels", "qr")
_USUAL_STOCK = {"in": "32x40-in", "mm": "815x1120-mm"}


@click.command(short_help="Write the pages for the bench.", epilog=ENTRIES_HELP)
@entries_argument
@out_option("mount")
@common_options
@click.option(
    "--stock", metavar="NAME", help="The sheets that boards are cut from [default: by the unit]."
)
@click.option(
    "--closing",
    type=click.DateTime(["%Y-%m-%d"]),
    metavar="YYYY-MM-DD",
    help="The last day of receipt [default: that of the rules].",
)
@click.option(
    "--timetable",
    default="usual",
    show_default=True,
    metavar="NAME",
    help="Working days for each step up to that day.",
)
@click.option("--labels", metavar="NAME", help="Sheet of labels to print on, not plain paper.")
@click.option("--qr", is_flag=True, help="Also a square code for telephones on each label.")
@click.option("--anyway", is_flag=True, help="Also mount entries that break a rule.")
@paper_size_option("pages")
@click.option("--json", "as_json", is_flag=True, help="Print cuts.json instead of words.")
def mount(
    entries: Sequence[Path],
    out: Path,
    font: Path | None,
    anyway: bool,
    paper_size: str,
    as_json: bool,
    **others: Any,
) -> None:
    """Write everything for the bench into the folder --out, in the order of the work.

    \b
    mounting.pdf    timetable, material list, a cutting guide for every kind of mount, face
                    down as you cut it, all cuts in one table, how each print is mounted,
                    the last look, packing list and log
    templates.pdf   every board with its openings at full size, to check by
    labels.pdf      the labels for the backs, and where each goes
    timetable.ics   the timetable for a calendar, where there is a closing date
    cuts.json       the cuts for programs

    Measure the delivered prints first with 'proofs arrived'; pages of prints that were not
    measured say so. An entry that breaks a rule is left out unless --anyway.
    """
    wanted = {key: others.pop(key) for key in _WANTED}
    choices = ProfileNames(**others)
    gathered, job, outcomes = surveyed(entries, font, choices, quiet=as_json)
    readings = load_readings(gathered.folder, gathered.table.entries)
    supplies, labels = _supplies(job, choices, gathered.folder, wanted)
    order = MountOrder(job, gathered, out, supplies, labels, paper_size.lower(), font, anyway)
    mounting = plan_mounting(order, outcomes, readings)
    code = exit_code_of(mounting.left_out)
    if mounting.kinds:
        write_mounting(order, mounting)
    else:
        click.echo("no entry is left to mount: nothing is written", err=True)
    if as_json:
        click.echo(json.dumps(mounting.record, indent=2, ensure_ascii=False))
    else:
        _tell(mounting, supplies, out)
        if line := closing_line(mounting.left_out, code):
            click.echo(line)
    sys.exit(code)


def _supplies(
    job: Job, choices: ProfileNames, folder: Path, wanted: Mapping[str, Any]
) -> tuple[Supplies, LabelOrder]:
    """The board, the days and the labels of a run, from what was asked for."""
    folders, job_file = find_folders(choices, folder)
    stock = folders.stock(wanted["stock"] or _USUAL_STOCK[marks_of(job).unit])
    timetable = folders.timetable(wanted["timetable"])
    asked, known = wanted["closing"], job.rules.closing_date if job.rules else None
    closing = asked.date() if asked else known
    schedule = scheduled(timetable, closing) if closing else None
    sheet = folders.label_sheet(wanted["labels"]) if wanted["labels"] else None
    labels = LabelOrder(sheet, job_file.exhibitor, wanted["qr"])
    return Supplies(stock, schedule, today(), job_file.exhibitor), labels


def _tell(mounting: BenchRun, supplies: Supplies, out: Path) -> None:
    tell(mounting.left_out)
    click.echo()
    for kind in mounting.kinds:
        numbers = ", ".join(bench.plan.entry.number for bench in kind.benches)
        what = f"cut {len(kind.benches)}" if kind.mats else "no window"
        click.echo(f"mount {kind.number}  {what:<9}  entry {numbers}")
    if mounting.unmeasured:
        click.echo(f"planned sizes, not measured ones: entry {', '.join(mounting.unmeasured)}")
        click.echo(f"measure the prints with 'proofs arrived'; the readings stand in {READINGS}")
    if not mounting.kinds:
        return
    if not supplies.schedule:
        click.echo("no timetable: name the last day of receipt with --closing")
    elif late := lateness(supplies.schedule, supplies.today):
        click.echo(late)
    click.echo(f"ready in {out}: {counted(len(mounting.kinds), 'kind')} of mount")
