"""``proofs make``."""

import sys
from collections.abc import Sequence
from pathlib import Path

import click

from proofs.cli.options import (
    entries_command,
    jobs_option,
    paper_size_option,
    preflight_of,
    proof_prints_option,
    sharpen_option,
    soft_proof_option,
)
from proofs.cli.output import (
    print_faults,
    print_lines,
    print_outcomes,
    print_summary,
    print_warnings,
)
from proofs.cli.progress import workers_for
from proofs.commands.make.order import MakeOptions, MakeTask
from proofs.commands.make.run import about_bytes, counted_files, make_run, tasks_of
from proofs.findings import Status
from proofs.pages.wording import counted
from proofs.run.workers import usual_count


@entries_command(MakeOptions, "Make print files, mock-ups and the proof sheet.", out="run")
@click.option("--variants", is_flag=True, help="Also write every step at full size.")
@click.option("--anyway", is_flag=True, help="Also write print files that break a rule.")
@click.option("--keep-metadata", is_flag=True, help="Keep EXIF, XMP and IPTC in print files.")
@click.option("--keep-copyright", is_flag=True, help="Keep only the author, copyright and title.")
@proof_prints_option
@soft_proof_option
@sharpen_option
@paper_size_option("proof sheet")
@click.option("--compact", is_flag=True, help="Put two entries on each page of the proof sheet.")
@jobs_option("Pictures")
def make(options: MakeOptions) -> None:
    """Make print files, mock-ups, the proof sheet and the report in the folder --out.

    \b
    prints/         one file for each entry: the chosen step, or the plain picture
    mockups/        every step on its mount, and the back, to scale
    page-pictures/  the small pictures of the proof sheet
    variants/       every step at full size (--variants)
    proof-sheet.pdf all entries in a table, then a page for each
    report.json     the same for programs

    An entry that breaks a rule gets no print file unless --anyway is given.
    """
    ready = preflight_of(options)
    print_lines(ready.notes)
    tasks = tasks_of(options, ready, options.jobs or usual_count())
    print_lines([_announcement(tasks, options.out)])
    with workers_for(len(tasks), options.jobs) as workers:
        run = make_run(options, ready, tasks, workers)
    print_outcomes([o for o in run.outcomes if o.status != Status.MET])
    print_warnings(ready.outcomes, [o for o in run.outcomes if o.status == Status.MET])
    print_lines([f"ready in {options.out}: {counted(run.prints, 'print file')}"])
    print_faults(run.faults, options.out)
    print_summary(run.outcomes, run.exit_code)
    sys.exit(run.exit_code)


def _announcement(tasks: Sequence[MakeTask], out: Path) -> str:
    counts = counted_files(name for task in tasks for name in task.file_names)
    parts = [counted(counts["prints"], "print file")]
    if counts["variants"]:
        parts.append(counted(counts["variants"], "variant"))
    parts += [counted(counts["mockups"], "mock-up"), "a proof sheet and a report"]
    return f"making {', '.join(parts)} in {out}, at most {about_bytes(tasks) / 1e6:.0f} MB"
