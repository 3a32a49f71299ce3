"""``proofs inspect``."""

import sys

import click

from proofs.cli.entry_lines import print_table
from proofs.cli.options import (
    again_option,
    entries_command,
    inspection_option,
    paper_size_option,
    preflight_of,
)
from proofs.cli.output import (
    detail_options,
    files_line,
    print_faults,
    print_introduction,
    print_lines,
    print_record,
)
from proofs.cli.progress import jobs_option, workers_for
from proofs.commands.inspect.looks import how_to_look
from proofs.commands.inspect.order import InspectOptions
from proofs.commands.inspect.run import PAGES, InspectRun, make_inspection
from proofs.commands.inspect.text import closing_lines, look_table
from proofs.findings import Status
from proofs.pages.wording import counted
from proofs.run.preflight import Preflight


@entries_command(InspectOptions, "Look for dust, scratches, strokes and lost edges.", out="look")
@inspection_option
@detail_options
@click.option("--json", "as_json", is_flag=True, help="Print the record instead of lines.")
@paper_size_option("PDF")
@jobs_option("Pictures")
@again_option
def inspect(options: InspectOptions) -> None:
    """Look at each picture as a careful printer does: at 100 %, before money goes into paper.

    \b
    inspection.pdf       all pictures in a table, then a page for each with something to see
    inspection.json      the same for programs
    inspection-pictures/ the pictures on those pages

    Each picture is looked at in the pixels of its print, before it is sharpened. What is found
    may be dirt or may belong to the picture: look at it. Marks that you have dealt with can be
    ticked off in spotted.csv, next to the entries. Marks alone end with exit code 0.
    """
    ready = preflight_of(options)
    how = how_to_look(ready, options.inspection)
    pictures = sum(len(o.plan.parts) for o in ready.outcomes if o.plan)
    if not options.as_json:
        print_introduction([*ready.notes, f"looks   {how.words}"])
        print_introduction([f"looking at {counted(pictures, 'picture')}, into {options.out}"])
    with workers_for(pictures, options.jobs, label="looking") as workers:
        run = make_inspection(options, ready, how, workers)
    if options.as_json:
        print_record(run.record)
    else:
        _print_run(options, ready, run)
    print_faults(run.faults, options.out)
    sys.exit(run.exit_code)


def _print_run(options: InspectOptions, ready: Preflight, run: InspectRun) -> None:
    ordered = sorted(run.entries, key=lambda e: e.outcome.status != Status.NOT_UNDERSTOOD)
    outcomes = [entry.outcome for entry in ordered]
    is_cut = sys.stdout.isatty()  # in a file, a search finds all words
    print_table(ready.job, outcomes, lambda columns: look_table(ordered, columns, is_cut=is_cut))
    print_lines([f"ready in {options.out}: {PAGES}", files_line(run.counts)])
    print_lines(["", *closing_lines(run.entries, run.exit_code)])
