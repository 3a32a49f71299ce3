"""``proofs measure``."""

import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import click

from proofs.cli.options import JobOptions, job_options, jobs_option, json_option, takes
from proofs.cli.output import say, say_faults, say_record
from proofs.cli.progress import workers_for
from proofs.commands.measure.tables import table_lines
from proofs.commands.measure.text import counted_line, file_lines, files_record
from proofs.commands.measure.worker import (
    MeasuredFile,
    MeasureTask,
    files_named,
    measure_file,
    spoilt_file,
)
from proofs.errors import PhotographError, largest
from proofs.outside.files import is_folder
from proofs.plan.checks.outcomes import exit_code_of
from proofs.records.job import Job
from proofs.run.inputs import job_source
from proofs.run.text_report import closing_line, job_lines
from proofs.run.workers import Workers, guarded

_MOST_BLOCKS = 3  # more files are easier to compare in tables
_FEW = 3  # starting workers takes as long as measuring this many files


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureCommand(JobOptions):
    """The options of ``measure``."""

    files: tuple[Path, ...]
    ppi: int | None
    jobs: int | None
    as_json: bool

    @property
    def is_mounted(self) -> bool:
        """Whether each picture is checked in a mount and against rules."""
        return bool(self.mount or self.rules)


@click.command(short_help="Measure picture files from anywhere.")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--ppi",
    type=click.IntRange(1, 100_000),
    metavar="N",
    help="Pixels per inch [default: each file's own tag].",
)
@job_options
@jobs_option("Files")
@json_option
@takes(MeasureCommand)
def measure(command: MeasureCommand) -> None:
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
    paths = files_named(command.files)
    job, notes = _job(paths[0], command)
    tasks = [
        MeasureTask(n, path, job, command.ppi, command.is_mounted)
        for n, path in enumerate(paths, 1)
    ]
    with workers_for(len(tasks), command.jobs, label="measuring") as workers:
        measured = _measure_all(tasks, workers)
    codes = [exit_code_of(file.outcome for file in measured), *(f.exit_code for f in measured)]
    code = largest([*codes, workers.exit_code])
    if command.as_json:
        say_record(files_record(measured, job, is_mounted=command.is_mounted))
    else:
        say([*job_lines(job), *notes, ""] if command.is_mounted else [])
        say(_lines(measured, job))
        say(filter(None, [closing_line([f.outcome for f in measured], code, what="file")]))
    say_faults([file.fault for file in measured if file.fault])
    sys.exit(code)


def _job(first: Path, command: MeasureCommand) -> tuple[Job, tuple[str, ...]]:
    """The job that the options name; a file has no title yet, so no rule on titles applies."""
    folder = first if is_folder(first, error=PhotographError) else first.parent
    job, notes = job_source(command.names, folder).job(())
    if job.rules is None:
        return job, notes
    return replace(job, rules=replace(job.rules, title_most=None)), notes


def _measure_all(tasks: Sequence[MeasureTask], workers: Workers) -> list[MeasuredFile]:
    """The measured files in the order in which they were named."""
    if len(tasks) > _FEW:
        results = workers.results(measure_file, tasks, spoilt=spoilt_file)
    else:
        remaining = (task for task in tasks if not workers.is_stopped())
        results = (guarded(measure_file, spoilt_file, task) for task in remaining)
    return sorted(results, key=lambda file: file.place)


def _lines(files: Sequence[MeasuredFile], job: Job) -> list[str]:
    if len(files) > _MOST_BLOCKS:
        return [*table_lines(files, job), "", counted_line(files)]
    blocks = [line for file in files for line in (*file_lines(file, job), "")]
    return [*blocks, counted_line(files)]
