"""``proofs measure``."""

import json
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from proofs.cli.options import job_options
from proofs.commands.make.run import exit_code_of
from proofs.commands.measure.tables import table_lines
from proofs.commands.measure.text import counted_line, file_lines, files_record
from proofs.commands.measure.worker import (
    MeasuredFile,
    MeasureTask,
    files_named,
    lost_file,
    measure_file,
)
from proofs.records.job import Job
from proofs.run.inputs import ProfileNames, make_job
from proofs.run.text_report import closing_line, job_lines
from proofs.run.workers import interrupts, usual_jobs, work

_MOST_BLOCKS = 3  # more files are easier to compare in tables
_FEW = 3  # workers take as long to start as so many files to measure


@click.command(short_help="Measure picture files from anywhere.")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--ppi",
    type=click.IntRange(1, 100_000),
    metavar="N",
    help="Pixels an inch to go by [default: each file's own tag].",
)
@job_options
@click.option(
    "--jobs",
    type=click.IntRange(min=1),
    help="Files worked on at once [default: suits the machine].",
)
@click.option("--json", "as_json", is_flag=True, help="Print a record for programs instead.")
def measure(
    files: Sequence[Path], ppi: int | None, jobs: int | None, as_json: bool, **names: Any
) -> None:
    """Measure picture FILES from elsewhere: pixels, resolution, size on paper, profile, tones.

    Whatever a retoucher sent, a lab returned or an earlier year left; of a folder, the pictures
    in it. Up to three files are told one by one, more in tables.

    \b
      proofs measure retouched.tif
      proofs measure from-lab --mount overlap-white
      proofs measure last-year.jpg --ppi 240 --mount overlap-white --rules print-40x50-cm

    With --mount, or --rules, each picture is also held against the window and the rules, at
    its own size on paper. Densities are relative to the file's white. A file that cannot be
    read is told, and the others go on.
    """
    paths = files_named(files)
    is_mounted = bool(names["mount"] or names["rules"])
    job, notes = _job(paths[0], names)
    tasks = [MeasureTask(n, path, job, ppi, is_mounted) for n, path in enumerate(paths, 1)]
    measured = _measured(tasks, jobs or usual_jobs())
    code = exit_code_of(file.outcome for file in measured)
    if len(measured) < len(tasks):
        code = 130
    if as_json:
        record = files_record(measured, job, is_mounted=is_mounted)
        click.echo(json.dumps(record, indent=2, ensure_ascii=False))
    else:
        _tell(measured, job, [*job_lines(job), *notes] if is_mounted else [])
        if line := closing_line([file.outcome for file in measured], code, what="file"):
            click.echo(line)
    for fault in (file.fault for file in measured if file.fault):
        click.echo(f"a fault of the program: please send this\n{fault}", err=True)
    sys.exit(code)


def _job(first: Path, names: dict[str, Any]) -> tuple[Job, tuple[str, ...]]:
    """The job that the options name; a file has no title yet, so none is held against rules."""
    folder = first if first.is_dir() else first.parent
    job, notes = make_job(ProfileNames(**names), folder, ())
    if job.rules is None:
        return job, notes
    return replace(job, rules=replace(job.rules, title_most=None)), notes


def _measured(tasks: Sequence[MeasureTask], jobs: int) -> list[MeasuredFile]:
    """The files in the order they were named, under a progress bar where somebody watches."""
    found = []
    watched = sys.stderr.isatty()
    with (
        interrupts() as stopped,
        click.progressbar(
            length=len(tasks), label="measuring", show_pos=True, file=sys.stderr, hidden=not watched
        ) as bar,
    ):
        if len(tasks) > _FEW:
            results = work(measure_file, tasks, jobs=jobs, lost=lost_file, stopped=stopped)
        else:
            results = (measure_file(task) for task in tasks if not stopped())
        for file in results:
            found.append(file)
            bar.update(1)
    return sorted(found, key=lambda file: file.place)


def _tell(files: Sequence[MeasuredFile], job: Job, said: Sequence[str]) -> None:
    for line in said:
        click.echo(line)
    if said:
        click.echo()
    if len(files) > _MOST_BLOCKS:
        lines = [*table_lines(files, job), ""]
    else:
        lines = [line for file in files for line in (*file_lines(file, job), "")]
    for line in (*lines, counted_line(files)):
        click.echo(line)
