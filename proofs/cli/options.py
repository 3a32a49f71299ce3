"""Options that several commands share, and how they speak."""

import datetime
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import click

from proofs.outside.fonts import load_fonts, missing_glyphs
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.checks.together import rules_age
from proofs.records.job import Job
from proofs.records.papers import Sharpening
from proofs.run.inputs import Inputs, ProfileNames, make_job, read_inputs
from proofs.run.preflight import preflight
from proofs.run.text_report import (
    closing_line,
    first_told,
    job_lines,
    news_lines,
    outcome_lines,
    summary_lines,
)

F = TypeVar("F", bound=Callable[..., Any])
Value = TypeVar("Value")

ENTRIES_HELP = """ENTRIES is an entries file (CSV), a folder (its entries.csv if there is one,
else its pictures), or picture files."""


def entries_argument(command: F) -> F:
    """Add the argument that names the entries."""
    argument = click.argument("entries", nargs=-1, required=True, type=click.Path(path_type=Path))
    return argument(command)


def out_option(earlier: str) -> Callable[[F], F]:
    """Return the option that names the folder to write to; ``earlier`` is what made it before."""
    return click.option(
        "--out",
        required=True,
        type=click.Path(path_type=Path),
        help=f"Folder to write to: new, empty, or that of an earlier {earlier}.",
    )


def paper_size_option(page: str) -> Callable[[F], F]:
    """Return the option that names the page size; ``page`` is what it is of."""
    return click.option(
        "--paper-size",
        type=click.Choice(["a4", "letter"], case_sensitive=False),
        default="a4",
        show_default=True,
        help=f"Page size of the {page}.",
    )


def making_options(*, page: str, at_once: str) -> Callable[[F], F]:
    """Return the options of commands that make files: sharpening, page size, workers.

    ``page`` is what the page size is of, ``at_once`` what a worker takes at a time.
    """

    def add(command: F) -> F:
        sharpen = click.option(
            "--sharpen",
            type=click.Choice([level.value for level in Sharpening]),
            metavar="[off|low|standard]",
            help="Sharpen for print [default: what suits paper and lab].",
        )
        jobs = click.option(
            "--jobs",
            type=click.IntRange(min=1),
            help=f"{at_once} worked on at once [default: suits the machine].",
        )
        return sharpen(paper_size_option(page)(jobs(command)))

    return add


def common_options(command: F) -> F:
    """Add the options that name profiles, and the font."""
    light = click.option(
        "--light", default="", metavar="NAME", help="The judges' light; sets brackets."
    )
    font = click.option(
        "--font",
        type=click.Path(path_type=Path, exists=True, dir_okay=False),
        help="Font file for characters that ours lacks.",
    )
    return job_options(light(font(command)))


def job_options(command: F) -> F:
    """Add the options that name the profiles of a job."""
    for option in reversed(
        (
            click.option("--rules", default="", metavar="NAME", help="Rules, or 'none'."),
            click.option("--mount", default="", metavar="NAME", help="How prints are mounted."),
            click.option("--paper", default="", metavar="NAME", help="The paper."),
            click.option("--lab", default="", metavar="NAME", help="The lab or printer."),
            click.option("--cutter", default="", metavar="NAME", help="How mats are cut."),
            click.option(
                "--profiles",
                type=click.Path(path_type=Path, exists=True, file_okay=False),
                help="Folder of your own profiles; they come first.",
            ),
        )
    ):
        command = option(command)
    return command


def surveyed(
    entries: Sequence[Path], font: Path | None, choices: ProfileNames, *, quiet: bool
) -> tuple[Inputs, Job, tuple[Outcome, ...]]:
    """Gather, say what the run goes by, and check every entry."""
    gathered = read_inputs(entries)
    job, notes = make_job(choices, gathered.folder, gathered.table.entries)
    said = [*gathered.notes, *job_lines(job), *notes, *rules_age(job.rules, today())]
    for line in () if quiet else said:
        click.echo(line)
    fonts = load_fonts(font)
    outcomes = preflight(job, gathered, lambda text: missing_glyphs(fonts, text))
    return gathered, job, outcomes


def today() -> datetime.date:
    """Return the day by the clock on the user's wall."""
    return datetime.datetime.now().astimezone().date()


def tell(outcomes: Sequence[Outcome]) -> None:
    """Say everything about these outcomes."""
    for outcome in first_told(outcomes):
        click.echo()
        for line in outcome_lines(outcome):
            click.echo(line)


def tell_news(before: Sequence[Outcome], after: Sequence[Outcome]) -> None:
    """Say what a run found in the pictures of these entries, beyond the check before it."""
    lines = news_lines(before, after)
    for line in ["", *lines] if lines else ():
        click.echo(line)


def close(outcomes: Sequence[Outcome], code: int) -> None:
    """Say the counts, and why the program ends with this code."""
    click.echo()
    for line in summary_lines(outcomes):
        click.echo(line)
    if line := closing_line(outcomes, code):
        click.echo(line)


def read_by(
    read: Callable[[str], Value],
) -> Callable[[click.Context, click.Parameter, str | None], Value | None]:
    """Return what turns an option's text into its value, or into a fault of usage."""

    def convert(
        context: click.Context, parameter: click.Parameter, text: str | None
    ) -> Value | None:
        try:
            return None if text is None else read(text)
        except ValueError as error:
            raise click.BadParameter(str(error), context, parameter) from None

    return convert


def counted(number: int, what: str) -> str:
    """Return a number of things in words."""
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
