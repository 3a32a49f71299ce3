"""``proofs check``."""

import sys
from dataclasses import dataclass

import click

from proofs.cli.options import entries_command, preflight_of
from proofs.cli.output import print_lines, print_outcomes, print_record, print_summary
from proofs.plan.checks.outcomes import exit_code_of
from proofs.run.inputs import EntriesOptions
from proofs.run.json_report import report


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckOptions(EntriesOptions):
    """The options of ``check``."""

    as_json: bool


@entries_command(CheckOptions, "Check every entry against the rules.")
@click.option("--json", "as_json", is_flag=True, help="Print the record of report.json instead.")
def check(options: CheckOptions) -> None:
    """Check every entry against the rules, from the files' headers alone.

    Reports the image, visible size and sheet, the borders, resolution and thickness, what the
    tolerances leave, and a verdict on each rule: met, at-risk (met only if nothing goes wrong)
    or broken, with what to do about it.
    """
    ready = preflight_of(options)
    code = exit_code_of(ready.outcomes)
    if options.as_json:
        print_record(report(ready.job, ready.outcomes, with_variants=False))
    else:
        print_lines(ready.notes)
        print_outcomes(ready.outcomes)
        print_summary(ready.outcomes, code)
    sys.exit(code)
