"""``proofs mount``."""

import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import click

from proofs.cli.options import (
    again_option,
    date_option,
    entries_command,
    paper_size_option,
    preflight_of,
    timetable_option,
    today,
)
from proofs.cli.output import files_line, print_lines, print_outcomes, print_record
from proofs.cli.progress import jobs_option, workers_for
from proofs.commands.mount.run import (
    BenchRun,
    MountOptions,
    plan_mounting,
    supplies_of,
    write_mounting,
)
from proofs.pages.bench.pages import Supplies
from proofs.pages.bench.shelf import shelf_lines
from proofs.pages.bench.timetable import NO_COUNTRY, lateness
from proofs.pages.columns import in_columns
from proofs.pages.wording import counted
from proofs.plan.checks.outcomes import exit_code_of
from proofs.plan.cutting.mount_kinds import REACH, MountKind, mount_kinds
from proofs.plan.making.keeping import Counts
from proofs.run.readings import READINGS, load_readings
from proofs.run.text_report import closing_line, numbered


@entries_command(MountOptions, "Write the pages for the bench.", out="run of mount")
@click.option(
    "--stock",
    metavar="NAME",
    help="Board sheets to cut from [default: what suits the unit of length].",
)
@date_option("--closing", help="Last day of receipt [default: the one in the rules].")
@timetable_option("Working days needed for each step before that day.")
@click.option("--labels", metavar="NAME", help="Label sheet to print on, instead of plain paper.")
@click.option("--qr", is_flag=True, help="Also print a QR code on each label.")
@click.option("--anyway", is_flag=True, help="Also mount entries that break a rule.")
@click.option("--whole", is_flag=True, help="Make templates of whole boards, not of the corners.")
@paper_size_option("PDFs")
@jobs_option("Pictures")
@again_option
@click.option("--json", "as_json", is_flag=True, help="Print cuts.json instead of words.")
def mount(options: MountOptions) -> None:
    """Write everything for the bench into the folder --out, in the order of the work.

    \b
    mounting.pdf    timetable, material list, a cutting guide for each kind of mount, face
                    down as you cut it, all cuts in one table, how to mount each print,
                    final checks, packing list and print log
    templates.pdf   the corners of every mount at full size, to check against
    labels.pdf      the labels for the backs, and where each goes
    timetable.ics   the timetable for a calendar, if there is a closing date
    cuts.json       the cuts for programs

    Measure the delivered prints first with 'proofs arrived'; the pages state which prints were
    not measured. An entry that breaks a rule is left out unless --anyway is given.
    """
    ready = preflight_of(options)
    print_lines([] if options.as_json else ready.notes)
    readings = load_readings(ready.inputs.folder, ready.inputs.table.entries)
    mounting = plan_mounting(options, ready, readings)
    supplies = supplies_of(options, ready, mounting, today())
    code = exit_code_of(mounting.outcomes)
    counts = Counts()
    if mounting.kinds:
        workers = partial(workers_for, jobs=options.jobs, label="looking at pictures")
        counts = write_mounting(options, ready, supplies, mounting, workers)
    else:
        print_lines(["no entry is left to mount: nothing was written"], to_errors=True)
    if options.as_json:
        print_record(mounting.record(supplies.boards))
    else:
        print_outcomes(ready.job, mounting.left_out)
        print_lines(["", *_lines(mounting, supplies, options.out)])
        print_lines([files_line(counts)] if mounting.kinds else [])
        print_lines(filter(None, [closing_line(mounting.outcomes, code)]))
    sys.exit(code)


def _making(kind: MountKind) -> str:
    """How many mounts are made, or taken from what is cut already."""
    count = len(kind.entries)
    if not kind.mats:
        return "no window"
    return f"take {count}" if kind.is_ready_cut else f"make {count}"


def _lines(mounting: BenchRun, supplies: Supplies, out: Path) -> Iterator[str]:
    kinds = mount_kinds(mounting.benches, supplies.boards.ready_cut)
    rows = [
        (
            f"mount {kind.number}",
            _making(kind),
            numbered([bench.plan.entry.number for bench in kind.entries]),
        )
        for kind in kinds
    ]
    yield from in_columns(rows)
    yield from shelf_lines(supplies.boards)
    for kind in mounting.kinds:
        for finding in kind.entries[0].findings:
            if finding.code == REACH:
                yield f"warning: mount {kind.number}: {finding.message}; {finding.remedy}"
    if mounting.again:
        yield f"print again before mounting: {numbered(mounting.again)}"
    if mounting.unmeasured:
        yield f"planned sizes, not measured ones: {numbered(mounting.unmeasured)}"
        yield f"measure the prints with 'proofs arrived'; the readings are kept in {READINGS}"
    if not mounting.kinds:
        return
    if not supplies.schedule:
        yield "no timetable: give the last day of receipt with --closing"
    else:
        yield from filter(None, [lateness(supplies.schedule, supplies.today)])
        yield from [] if supplies.schedule.work_days.public else [NO_COUNTRY]
    yield f"ready in {out}: {counted(len(mounting.kinds), 'kind')} of mount"
