"""``proofs measure``."""

import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import click

from proofs.cli.options import job_options, json_option, takes
from proofs.cli.output import print_faults, print_lines, print_record
from proofs.cli.progress import jobs_option, workers_for
from proofs.commands.measure.tables import table_lines
from proofs.commands.measure.text import counted_line, file_lines, files_record
from proofs.commands.measure.worker import (
    MeasuredFile,
    MeasureOptions,
    MeasureTask,
    files_named,
    measure_file,
    unmeasured_file,
)
from proofs.errors import PhotographError
from proofs.outside.files import is_folder
from proofs.records.job import Job
from proofs.run.inputs import job_source
from proofs.run.text_report import closing_line, job_lines
from proofs.run.workers import Trouble, Workers, guarded, traces

_MOST_BLOCKS = 3  # more files are easier to compare in tables
_FEW = 3  # starting workers takes as long as measuring this many files


@click.command(short_help="Measure picture files from anywhere.")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--ppi",
    type=click.IntRange(1, 100_000),
    metavar="N",
    help="Pixels per inch [default: each file's own tag].",
)
@job_options
@takes(MeasureOptions)
@jobs_option("Files")
@json_option
def measure(options: MeasureOptions) -> None:
    """Measure picture FILES from elsewhere: pixels, resolution, size on paper, profile, tones.

    For files from a retoucher, a lab or an earlier year. A folder means all pictures in it. Up
    to three files are reported one by one, more in tables.

    \b
      proofs measure retouched.tif
      proofs measure from-lab --mount overlap-white
      proofs measure last-year.jpg --ppi 240 --mount overlap-white --rules print-40x50-cm

    With --mount or --rules, each picture is also checked in the mount and against the rules, at
    its own size on paper. Densities are relative to the file's white. A file that cannot be
    read is reported, and the others are still measured.
    """
    paths = files_named(options.files)
    job, notes = _job(paths[0], options)
    tasks = [MeasureTask(path, job, options.ppi, options.is_mounted) for path in paths]
    with workers_for(len(tasks), options.jobs, label="measuring") as workers:
        results = _results(tasks, workers)
    measured = [r if isinstance(r, MeasuredFile) else unmeasured_file(t, r) for t, r in results]
    troubles = [result for _, result in results if isinstance(result, Trouble)]
    code = workers.exit_code((file.outcome for file in measured), troubles)
    if options.as_json:
        print_record(files_record(measured, job, is_mounted=options.is_mounted))
    else:
        print_lines([*job_lines(job), *notes, ""] if options.is_mounted else [])
        print_lines(_lines(measured, job))
        print_lines(filter(None, [closing_line([f.outcome for f in measured], code, what="file")]))
    print_faults(traces(troubles))
    sys.exit(code)


def _job(first: Path, options: MeasureOptions) -> tuple[Job, tuple[str, ...]]:
    """The job that the options name; a file has no title yet, so no rule on titles applies."""
    folder = first if is_folder(first, error=PhotographError) else first.parent
    job, notes = job_source(options, folder).job(())
    job = replace(job, lab_papers=())  # a file is on the paper of the run: no row names another
    if job.rules is None:
        return job, notes
    return replace(job, rules=replace(job.rules, title_most=None)), notes


def _results(
    tasks: Sequence[MeasureTask], workers: Workers
) -> list[tuple[MeasureTask, MeasuredFile | Trouble]]:
    """The measured files in the order in which they were named."""
    if len(tasks) > _FEW:
        return workers.ordered_results(measure_file, tasks)
    return [(task, guarded(measure_file, task)) for task in tasks if not workers.is_stopped()]


def _lines(files: Sequence[MeasuredFile], job: Job) -> list[str]:
    if len(files) > _MOST_BLOCKS:
        return [*table_lines(files, job), "", counted_line(files)]
    blocks = [line for n, file in enumerate(files, 1) for line in (*file_lines(n, file, job), "")]
    return [*blocks, counted_line(files)]
