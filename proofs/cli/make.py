"""``proofs make``."""

import sys
from collections.abc import Sequence
from pathlib import Path

import click

from proofs.cli.entry_lines import print_entries
from proofs.cli.options import (
    again_option,
    cluster_option,
    entries_command,
    metadata_options,
    paper_size_option,
    preflight_of,
    proof_prints_option,
    sharpen_option,
    soft_proof_option,
)
from proofs.cli.output import (
    detail_options,
    files_line,
    print_faults,
    print_introduction,
    print_lines,
    print_summary,
)
from proofs.cli.progress import jobs_option, workers_for
from proofs.commands.inspect.looks import how_to_look
from proofs.commands.make.entries import tasks_of
from proofs.commands.make.order import MakeOptions, MakeTask
from proofs.commands.make.run import counted_files, make_run
from proofs.pages.wording import counted, megabytes
from proofs.run.cluster_order import cluster_order
from proofs.run.workers import usual_count


@entries_command(MakeOptions, "Make print files, mock-ups and the proof sheet.", out="run")
@click.option("--variants", is_flag=True, help="Also write every step at full size.")
@click.option("--anyway", is_flag=True, help="Also write print files that break a rule.")
@metadata_options
@click.option(
    "--inspect", is_flag=True, help="Look at each picture first, as 'proofs inspect' does."
)
@detail_options
@proof_prints_option
@soft_proof_option
@sharpen_option
@paper_size_option("proof sheet")
@click.option("--compact", is_flag=True, help="Put two entries on each page of the proof sheet.")
@jobs_option("Pictures")
@cluster_option
@again_option
def make(options: MakeOptions) -> None:
    """Make print files, mock-ups, the proof sheet and the report in the folder --out.

    \b
    prints/         one file for each entry: the chosen step, or the plain picture
    mockups/        every step on its mount, and the back, to scale
    page-pictures/  the small pictures of the proof sheet and of the hang
    variants/       every step at full size (--variants)
    proof-sheet.pdf all entries in a table, then a page for each
    hang.png        all mounts on one wall
    report.json     the same for programs

    An entry that breaks a rule gets no print file unless --anyway is given.
    """
    ready = preflight_of(options)
    order = cluster_order(options, ready)
    print_introduction(ready.notes)
    tasks = tasks_of(options, ready, options.jobs or usual_count())
    print_introduction([_announcement(tasks, options.out)])
    how = how_to_look(ready, "") if options.inspect else None
    looked_at = sum(len(task.sources) for task in tasks) if how else 0
    with workers_for(len(tasks) + looked_at, options.jobs, order=order) as workers:
        run = make_run(options, ready, tasks, workers, how)
    print_entries(ready.job, run.outcomes)
    made = f"{counted(run.prints, 'print file')}, {megabytes(run.bytes)} in all"
    print_lines([f"ready in {options.out}: {made}", files_line(run.counts)])
    print_faults(run.faults, options.out)
    print_summary(run.outcomes, run.exit_code)
    sys.exit(run.exit_code)


def _announcement(tasks: Sequence[MakeTask], out: Path) -> str:
    counts = counted_files(name for task in tasks for name in task.file_names)
    parts = [counted(counts["prints"], "print file")]
    if counts["variants"]:
        parts.append(counted(counts["variants"], "variant"))
    parts += [counted(counts["mockups"], "mock-up"), "a proof sheet and a report"]
    return f"making {', '.join(parts)} in {out}"
