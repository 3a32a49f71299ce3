"""The lines of entries on a terminal: in its width, with verdicts in colour."""

import os
import shutil
import sys
from collections.abc import Callable, Iterable, Sequence

import click

from proofs.cli.output import is_quiet, is_verbose, print_lines, print_outcomes
from proofs.findings import Status
from proofs.plan.checks.outcomes import Outcome
from proofs.records.job import Job
from proofs.run.entry_table import TableLine, entry_table
from proofs.run.text_report import decisions, not_understood_first, wrapped

Table = Sequence[Sequence[TableLine]]

_LEAST_COLUMNS, _COLUMNS_OF_A_FILE = 80, 100
_COLOURS = {
    Status.MET: "green",
    Status.AT_RISK: "yellow",
    Status.BROKEN: "red",
    Status.NOT_UNDERSTOOD: "red",
    Status.UNREADABLE: "red",
    Status.FAILED: "red",
    Status.NOT_DONE: "yellow",
}


def print_entries(
    job: Job, outcomes: Sequence[Outcome], more: Callable[[Outcome], Sequence[str]] = lambda _: ()
) -> None:
    """Print each outcome as a line of a table, and below it what needs a decision.

    ``more`` are further lines of an outcome. With ``--verbose`` everything about each is printed
    instead, with ``--quiet`` nothing.
    """
    ordered = not_understood_first(outcomes)
    print_table(job, ordered, lambda columns: entry_table(job, ordered, columns), more)


def print_table(
    job: Job,
    outcomes: Sequence[Outcome],
    table: Callable[[int], Table],
    more: Callable[[Outcome], Sequence[str]] = lambda _: (),
) -> None:
    """Print outcomes as ``print_entries`` does, in a table of another kind.

    ``table`` returns the lines of the head, then those of each outcome, in so many columns.
    """
    if is_verbose():
        print_outcomes(job, outcomes, more)
    elif outcomes and not is_quiet():
        head, *entries = table(columns := terminal_columns())
        wrapped_at = columns if sys.stdout.isatty() else None  # so that a search finds all words
        print_lines([""])
        _print_table_lines(head)
        for outcome, lines in zip(outcomes, entries, strict=True):
            _print_table_lines(lines)
            print_lines(decisions(outcome, job.unit, wrapped_at))
            print_lines(wrapped(more(outcome), wrapped_at))


def terminal_columns() -> int:
    """Return how many columns of the terminal there are, never less than 80."""
    return max(
        _LEAST_COLUMNS,
        shutil.get_terminal_size((_COLUMNS_OF_A_FILE, 0)).columns
        if sys.stdout.isatty() or os.environ.get("COLUMNS")
        else _COLUMNS_OF_A_FILE,
    )


def _print_table_lines(lines: Iterable[TableLine]) -> None:
    for line in lines:
        verdict = (
            click.style(line.verdict, fg=_COLOURS[line.status]) if line.status else line.verdict
        )
        click.echo(f"{line.before}{verdict}{line.after}".rstrip())
