"""What commands print: lines, records, outcomes, faults and the end of a run."""

import json
from collections.abc import Iterable, Sequence
from pathlib import Path

import click

from proofs.errors import ExitCode
from proofs.outside.fault_log import write_fault_log
from proofs.plan.checks.outcomes import Outcome
from proofs.run.text_report import (
    closing_line,
    new_warnings,
    not_understood_first,
    outcome_lines,
    summary_lines,
)


def print_lines(lines: Iterable[str]) -> None:
    """Print lines."""
    for line in lines:
        click.echo(line)


def print_record(record: object) -> None:
    """Print a record for programs, as JSON."""
    click.echo(json.dumps(record, indent=2, ensure_ascii=False))


def print_outcomes(outcomes: Sequence[Outcome]) -> None:
    """Print everything about these outcomes, those that need a correction first."""
    for outcome in not_understood_first(outcomes):
        print_lines(["", *outcome_lines(outcome)])


def print_warnings(before: Sequence[Outcome], after: Sequence[Outcome]) -> None:
    """Print what a run found in the pictures of these entries, beyond the preflight."""
    if lines := new_warnings(before, after):
        print_lines(["", *lines])


def print_summary(outcomes: Sequence[Outcome], code: ExitCode) -> None:
    """Print the counts, and why the program ends with this code."""
    print_lines(["", *summary_lines(outcomes), *filter(None, [closing_line(outcomes, code)])])


def print_faults(faults: Sequence[str], folder: Path | None = None) -> None:
    """Write the tracebacks of faults of the program to a log, and print where it is.

    The log goes into the folder of the run or, if that is impossible, into the system's
    folder for temporary files.
    """
    if faults:
        path = write_fault_log("\n".join(faults), folder)
        click.echo(f"a fault of the program: please send {path}", err=True)
