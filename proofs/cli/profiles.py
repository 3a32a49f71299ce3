"""``proofs profiles``."""

import sys
from pathlib import Path

import click

from proofs.cli.options import profiles_option
from proofs.cli.output import print_lines
from proofs.cli.profiles_new import new
from proofs.commands.profiles.check import JOB, checked, kind_of, report
from proofs.commands.profiles.listing import list_lines, listed, origin_lines
from proofs.errors import ExitCode
from proofs.outside.profiles import OwnFolders, text_of
from proofs.outside.schemas import schema_text
from proofs.records.profile_kinds import KINDS
from proofs.run.inputs import ProfileNames, job_source

_LIST = "list"


class ProfileCommands(click.Group):
    """The commands on profiles; without the name of one, profiles are listed or shown."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Put in the command that is meant if none is named."""
        if not args or args[0] not in (*self.commands, *ctx.help_option_names):
            args = [_LIST, *args]
        return super().parse_args(ctx, args)


@click.group(
    cls=ProfileCommands,
    short_help="List, show, check or write profiles.",
    subcommand_metavar="[KIND] [NAME] | COMMAND [ARGS]...",
)
def profiles() -> None:
    """List the profiles, or show the one of this KIND and NAME; or check one, or write a new one.

    The list states where each comes from: a folder 'profiles' beside the entries (here), your own
    folder for all exhibitions (yours), or this program (ours). The first of these wins.
    """


@profiles.command(_LIST, short_help="List the profiles, or show one.")
@click.argument("kind", required=False, type=click.Choice(KINDS))
@click.argument("name", required=False)
@profiles_option
def list_or_show(kind: str | None, name: str | None, profiles: OwnFolders) -> None:
    """List the profiles, or show the one of this KIND and NAME."""
    folders = job_source(ProfileNames(profiles=profiles), Path()).folders
    if kind and name:
        path = folders.path(kind, name)
        print_lines([f"# {path}", *text_of(path).splitlines()])
        return
    is_faulty = False
    for one in [kind] if kind else KINDS:
        rows = list(listed(folders, one))
        is_faulty |= any(row.is_faulty for row in rows)
        print_lines([one, *list_lines(rows)])
    if own := origin_lines(folders):
        print_lines(["", *own])
    if is_faulty:
        sys.exit(ExitCode.NOT_UNDERSTOOD)


@profiles.command(short_help="List all faults of profiles, with their lines.")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--kind",
    type=click.Choice((*KINDS, JOB)),
    help="What the files describe [default: the name of their folder].",
)
def check(files: tuple[Path, ...], kind: str | None) -> None:
    """List all faults of each of these FILES, with their lines.

    If a file is not TOML at all, only the first place that is wrong can be stated. 'job.toml' can
    be checked too. The exit code is 3 if there are faults.
    """
    is_faulty = False
    for path in files:
        found = checked(path, kind_of(path, kind))
        is_faulty |= bool(found.faults)
        print_lines(report(found))
    if is_faulty:
        sys.exit(ExitCode.NOT_UNDERSTOOD)


@profiles.command(short_help="Print the JSON Schema of a kind of profile.")
@click.argument("kind", type=click.Choice((*KINDS, JOB)))
def schema(kind: str) -> None:
    """Print the JSON Schema of a KIND of profile: an editor completes and checks files by it."""
    print_lines(schema_text(kind).splitlines())


profiles.add_command(new)
