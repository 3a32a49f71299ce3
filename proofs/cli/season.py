"""``proofs season``."""

import sys
from pathlib import Path

import click

from proofs.cli.entry_lines import terminal_columns
from proofs.cli.options import json_option, profiles_option, takes, today
from proofs.cli.output import print_lines, print_record
from proofs.commands.season.record import season_record
from proofs.commands.season.run import SeasonOptions, read_season
from proofs.commands.season.text import ending_lines, season_lines


@click.command(short_help="Show several exhibitions in one table and one calendar.")
@click.argument(
    "folders", nargs=-1, required=True, metavar="FOLDER...", type=click.Path(path_type=Path)
)
@click.option(
    "--away",
    type=click.IntRange(0, 1000),
    default=60,
    show_default=True,
    metavar="DAYS",
    help="Days from a closing date until the mounts are back, where the rules do not say.",
)
@click.option(
    "--timetable",
    default="usual",
    show_default=True,
    metavar="NAME",
    help="Working days needed for each step before a closing date.",
)
@profiles_option
@json_option
@takes(SeasonOptions)
def season(options: SeasonOptions) -> None:
    """Show which picture is entered where, and what closes when, for several exhibitions.

    Each FOLDER holds the entries of one exhibition, with a job.toml that names its rules; an
    entries file (CSV) may be named instead. Pictures are recognised by their files, also where
    they were copied.

    The table states each picture at each exhibition: its verdict, the image, the step chosen, and
    what became of it (the columns result and award). Below it: what can share a print or a mount,
    what two exhibitions need at the same time, the calendar, and the results.

    Mounts are away from the first day of shipping until return_date in the rules profile. Rules
    without it are taken to keep them as long as --away says.
    """
    found = read_season(options, today())
    if options.as_json:
        print_record(season_record(found))
    else:
        print_lines(season_lines(found, terminal_columns()))
        print_lines(ending_lines(found))
    sys.exit(found.exit_code)
