"""What commands print: lines, records, outcomes, faults and the end of a run."""

import json
from collections.abc import Iterable, Sequence
from pathlib import Path

import click

from proofs.errors import ExitCode
from proofs.outside.fault_log import write_fault_log
from proofs.plan.checks.outcomes import Outcome
from proofs.run.printable import printable_json, printable_lines
from proofs.run.text_report import (
    closing_line,
    news_lines,
    not_understood_first,
    outcome_lines,
    summary_lines,
)


def say(lines: Iterable[str], *, err: bool = False) -> None:
    """Print lines, with escapes for what would steer a terminal: cells and names may hold it."""
    for line in lines:
        click.echo(printable_lines(line), err=err)


def say_record(record: object) -> None:
    """Print a record for programs, as JSON."""
    click.echo(printable_json(json.dumps(record, indent=2, ensure_ascii=False)))


def say_outcomes(outcomes: Sequence[Outcome]) -> None:
    """Print everything about these outcomes, those that need a correction first."""
    for outcome in not_understood_first(outcomes):
        say(["", *outcome_lines(outcome)])


def say_news(before: Sequence[Outcome], after: Sequence[Outcome]) -> None:
    """Print what a run found in the pictures of these entries, beyond the preflight."""
    if lines := news_lines(before, after):
        say(["", *lines])


def say_end(outcomes: Sequence[Outcome], code: ExitCode) -> None:
    """Print the counts, and why the program ends with this code."""
    say(["", *summary_lines(outcomes), *filter(None, [closing_line(outcomes, code)])])


def say_faults(faults: Sequence[str], folder: Path | None = None) -> None:
    """Write the tracebacks of faults of the program to a log, and print where it is.

    The log goes into the folder of the run, or, where that is impossible, into the system's
    folder for temporary files.
    """
    if faults:
        path = write_fault_log("\n".join(faults), folder)
        click.echo(f"a fault of the program: please send {path}", err=True)


def counted(number: int, what: str) -> str:
    """Return a number of things in words.

    >>> counted(1, "file"), counted(2, "file")
    ('1 file', '2 files')
    """
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
