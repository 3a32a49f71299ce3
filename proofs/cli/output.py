"""What commands print: lines, records, outcomes, faults and the end of a run.

All words of a command go through here: they may quote a file that anybody made, so nothing in
them reaches the terminal that could steer it.
"""

import enum
import functools
import json
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import click

from proofs.errors import ExitCode
from proofs.outside.fault_log import write_fault_log
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.making.keeping import Counts
from proofs.records.job import Job
from proofs.run.printable import escaped_json, printable
from proofs.run.text_report import (
    closing_line,
    new_warnings,
    not_understood_first,
    outcome_lines,
    summary_lines,
)

F = TypeVar("F", bound=Callable[..., Any])

_DETAIL = "proofs.detail"  # where click's context keeps it
_LONGEST_LINE = 20_000  # the numbers of thousands of entries, but not a whole file


class Detail(enum.StrEnum):
    """How much a command prints: the end of the run, a line for each entry, or everything."""

    QUIET = "quiet"
    LINES = "lines"
    VERBOSE = "verbose"


def detail_options(command: F) -> F:
    """Add ``--verbose`` and ``--quiet``, which say how much is printed."""
    for detail, words in (
        (Detail.QUIET, "Print only the summary."),
        (Detail.VERBOSE, "Print everything about each entry."),
    ):
        command = click.option(
            f"--{detail}",
            is_flag=True,
            expose_value=False,
            callback=functools.partial(_set_detail, detail),
            help=words,
        )(command)
    return command


def _set_detail(detail: Detail, context: click.Context, _: click.Parameter, is_set: bool) -> None:
    if not is_set:
        return
    if context.meta.setdefault(_DETAIL, detail) != detail:
        raise click.UsageError("--verbose and --quiet exclude each other; give one", context)


def is_verbose() -> bool:
    """Return whether everything about each entry is to be printed."""
    return _detail() is Detail.VERBOSE


def is_quiet() -> bool:
    """Return whether only the summary is to be printed."""
    return _detail() is Detail.QUIET


def _detail() -> Detail:
    detail: Detail = click.get_current_context().meta.get(_DETAIL, Detail.LINES)
    return detail


def print_lines(lines: Iterable[str], *, to_errors: bool = False) -> None:
    """Print lines, on standard error if asked, without control characters."""
    for line in lines:
        click.echo(printable(line, most=_LONGEST_LINE), err=to_errors)


def print_record(record: object) -> None:
    """Print a record for programs, as JSON; what could steer a terminal is written as ``\\u``."""
    click.echo(escaped_json(json.dumps(record, indent=2, ensure_ascii=False)))


def print_outcomes(
    job: Job, outcomes: Sequence[Outcome], more: Callable[[Outcome], Sequence[str]] = lambda _: ()
) -> None:
    """Print everything about these outcomes, those that need a correction first.

    ``more`` are further lines of each.
    """
    for outcome in not_understood_first(outcomes):
        print_lines(["", *outcome_lines(outcome, job.unit), *more(outcome)])


def print_introduction(lines: Iterable[str]) -> None:
    """Print what comes before the result, unless only the summary is asked for."""
    if not is_quiet():
        print_lines(lines)


def print_warnings(job: Job, before: Sequence[Outcome], after: Sequence[Outcome]) -> None:
    """Print what a run found in the pictures of these entries, beyond the preflight."""
    if lines := new_warnings(before, after, job.unit):
        print_lines(["", *lines])


def files_line(counts: Counts) -> str:
    """Return how many files a run made, kept from earlier runs, and renamed.

    >>> files_line(Counts(made=1, kept=8)), files_line(Counts(made=2))
    ('files: 1 made, 8 kept', 'files: 2 made')
    """
    words = [f"{counts.made} made"]
    words += [f"{counts.kept} kept"] if counts.kept else []
    words += [f"{counts.renamed} renamed"] if counts.renamed else []
    return f"files: {', '.join(words)}"


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
        sent = f"please send {path}" if path else "its log cannot be written"
        print_lines([f"a fault of the program: {sent}"], to_errors=True)
