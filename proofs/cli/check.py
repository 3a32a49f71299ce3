"""``proofs check``."""

import sys
from dataclasses import dataclass

import click

from proofs.cli.entry_lines import print_entries
from proofs.cli.options import entries_command, preflight_of
from proofs.cli.output import (
    detail_options,
    is_verbose,
    print_introduction,
    print_record,
    print_summary,
)
from proofs.plan.checks.outcomes import exit_code_of
from proofs.run.inputs import EntriesOptions
from proofs.run.shelf import load_shelf
from proofs.run.shelf_offers import best_offer_lines, check_record, offer_lines, offers_of


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

    If shelf.csv lists ready-cut mats, the one that suits an entry best is stated below it, and what
    to write to use it. --verbose states up to five.
    """
    ready = preflight_of(options)
    code = exit_code_of(ready.outcomes)
    offers = offers_of(ready.job, ready.outcomes, load_shelf(ready.inputs))
    if options.as_json:
        print_record(check_record(ready.job, ready.outcomes, offers))
    else:
        print_introduction(ready.notes)
        lines = offer_lines if is_verbose() else best_offer_lines
        print_entries(ready.job, ready.outcomes, lambda o: lines(offers, o, ready.job))
        print_summary(ready.outcomes, code)
    sys.exit(code)
