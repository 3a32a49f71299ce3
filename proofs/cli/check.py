"""``proofs check``."""

import sys
from dataclasses import dataclass

import click

from proofs.cli.entry_lines import print_entries
from proofs.cli.options import entries_command, preflight_of
from proofs.cli.output import (
    detail_options,
    print_introduction,
    print_record,
    print_summary,
)
from proofs.plan.checks.outcomes import exit_code_of
from proofs.run.inputs import EntriesOptions
from proofs.run.json_report import report


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckOptions(EntriesOptions):
    """The options of ``check``."""

    as_json: bool


@entries_command(CheckOptions, "Check every entry against the rules.")
@detail_options
@click.option("--json", "as_json", is_flag=True, help="Print the record of report.json instead.")
def check(options: CheckOptions) -> None:
    """Check every entry against the rules, from the files' headers alone.

    Prints a line for each entry: its verdict, the visible size, the sheet, the step chosen, and
    how much tolerances leave to spare. Below it is what needs a decision: a rule that is at risk
    (met only if nothing goes wrong) or broken, or a warning, each with what to do about it.
    --verbose also states image, borders, resolution and thickness, and each rule that is met.
    """
    ready = preflight_of(options)
    code = exit_code_of(ready.outcomes)
    if options.as_json:
        print_record(report(ready.job, ready.outcomes, with_variants=False))
    else:
        print_introduction(ready.notes)
        print_entries(ready.job, ready.outcomes)
        print_summary(ready.outcomes, code)
    sys.exit(code)
