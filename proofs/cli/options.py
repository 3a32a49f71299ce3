"""The options that several commands share."""

import datetime
import functools
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

import click

from proofs.errors import UsageError
from proofs.outside.profiles import OwnFolders
from proofs.records.metadata_wish import read_credit_line
from proofs.records.papers import Sharpening
from proofs.run.inputs import EntriesOptions, read_inputs
from proofs.run.preflight import Preflight, preflight

F = TypeVar("F", bound=Callable[..., Any])
Options = TypeVar("Options")
Value = TypeVar("Value")

_ENTRIES_HELP = """ENTRIES is an entries file (CSV), a folder (its entries.csv if there is one,
else its pictures), or picture files. 'proofs profiles' lists the names for --rules, --mount,
--paper, --lab, --cutter and --light."""


def preflight_of(options: EntriesOptions) -> Preflight:
    """Read the entries and ``job.toml``, and check every entry from its files' headers."""
    return preflight(read_inputs(options.entries, options), font=options.font, today=today())


def takes(kind: Callable[..., Options]) -> Callable[[Callable[[Options], None]], F]:
    """Return a decorator that passes a command its options as one value of this kind."""

    def decorate(run: Callable[[Options], None]) -> Any:
        @functools.wraps(run)
        def command(**options: Any) -> None:
            refuse_undecodable(options)
            run(kind(**options))

        return command

    return decorate


def refuse_undecodable(options: Mapping[str, Any]) -> None:
    """Raise ``UsageError`` for words that are not text in UTF-8: no file can hold them."""
    for name, value in options.items():
        if isinstance(value, str) and not value.isascii():
            try:
                value.encode()
            except UnicodeEncodeError:
                raise UsageError(f"{name}: {value!a} is not text in UTF-8; type it again") from None


def profiles_of_user() -> Path:
    """Return the folder of the user's own profiles for all exhibitions; it need not exist."""
    return Path(click.get_app_dir("proofs")) / "profiles"


profiles_option = click.option(
    "--profiles",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    callback=lambda context, parameter, folder: OwnFolders(folder, profiles_of_user()),
    help="Folder of your own profiles; they win over ours.",
)
json_option = click.option(
    "--json", "as_json", is_flag=True, help="Print a record for programs instead."
)
proof_prints_option = click.option(
    "--proof-prints",
    is_flag=True,
    help="Also write the proof sheet's pages as pictures for the lab.",
)
soft_proof_option = click.option(
    "--soft-proof",
    is_flag=True,
    help="Also write soft-proof.pdf: what the lab's profile does to the colours.",
)
inspection_option = click.option(
    "--inspection",
    default="",
    metavar="NAME",
    help="Profile of how closely to look: careful, usual or quick [default: usual].",
)

again_option = click.option(
    "--again", is_flag=True, help="Make every file anew, also those that need not change."
)


cluster_option = click.option(
    "--cluster",
    default="",
    metavar="ADDRESS",
    help="Let the workers of a scheduler, such as tcp://10.0.0.5:8786, do the work"
    " ('proofs manual cluster').",
)


def job_options(command: F) -> F:
    """Add the options that name the profiles of a job."""
    for option in (
        profiles_option,
        click.option("--cutter", default="", metavar="NAME", help="Profile of the mat cutter."),
        click.option("--lab", default="", metavar="NAME", help="Profile of the lab or printer."),
        click.option("--paper", default="", metavar="NAME", help="Profile of the paper."),
        click.option("--mount", default="", metavar="NAME", help="Profile of the mount."),
        click.option(
            "--rules", default="", metavar="NAME", help="Profile of the rules, or 'none'."
        ),
    ):
        command = option(command)
    return command


def entries_options(command: F) -> F:
    """Add the options that name profiles, the judges' light and the font."""
    font = click.option(
        "--font",
        type=click.Path(path_type=Path, exists=True, dir_okay=False),
        help="Font file for characters that the built-in typeface lacks.",
    )
    light = click.option(
        "--light",
        default="",
        metavar="NAME",
        help="Profile of the judges' light; it sets the steps to compare.",
    )
    return job_options(light(font(command)))


def entries_command(
    kind: Callable[..., Options], short_help: str, *, out: str = ""
) -> Callable[[Callable[[Options], None]], click.Command]:
    """Return a decorator that makes a command on entries of a function of such options.

    ``out`` is what the folder --out may already hold; blank for a command that writes nothing.
    """

    def decorate(run: Callable[[Options], None]) -> click.Command:
        command: Callable[..., None] = entries_options(takes(kind)(run))
        if out:
            command = click.option(
                "--out",
                required=True,
                type=click.Path(path_type=Path),
                help=f"Folder to write to: new, empty, or that of an earlier {out}.",
            )(command)
        argument = click.argument(
            "entries", nargs=-1, required=True, type=click.Path(path_type=Path)
        )
        return click.command(short_help=short_help, epilog=_ENTRIES_HELP)(argument(command))

    return decorate


def paper_size_option(page: str) -> Callable[[F], F]:
    """Return the option for the size of the pages that ``page`` names."""
    return click.option(
        "--paper-size",
        type=click.Choice(["a4", "letter"], case_sensitive=False),
        default="a4",
        show_default=True,
        help=f"Page size of the {page}.",
    )


def timetable_option(help: str) -> Callable[[F], F]:
    """Return the option for the timetable."""
    return click.option(
        "--timetable", default="usual", show_default=True, metavar="NAME", help=help
    )


def read_by(
    read: Callable[[str], Value],
) -> Callable[[click.Context, click.Parameter, str | None], Value | None]:
    """Return a callback that turns an option's text into its value, or into a usage error."""

    def convert(
        context: click.Context, parameter: click.Parameter, text: str | None
    ) -> Value | None:
        try:
            return None if text is None else read(text)
        except ValueError as error:
            raise click.BadParameter(str(error), context, parameter) from None

    return convert


sharpen_option = click.option(
    "--sharpen",
    type=click.Choice([level.value for level in Sharpening]),
    callback=read_by(Sharpening),
    metavar="[off|low|standard]",
    help="Sharpen for print [default: what suits paper and lab].",
)


def metadata_options(command: F) -> F:
    """Add the options on the metadata of finished files."""
    read_line = read_by(read_credit_line)
    for option in (
        click.option(
            "--keep-metadata",
            is_flag=True,
            help="Keep all EXIF, XMP and IPTC of the pictures, also place and camera.",
        ),
        click.option(
            "--keep-copyright",
            is_flag=True,
            help="Keep each picture's own creator, copyright and title, nothing else.",
        ),
        click.option(
            "--creator",
            callback=read_line,
            metavar="TEXT",
            help="Creator that every file states [default: that of job.toml].",
        ),
        click.option(
            "--copyright",
            callback=read_line,
            metavar="TEXT",
            help="Copyright line that every file states [default: that of job.toml].",
        ),
    ):
        command = option(command)
    return command


def date_option(name: str, *, help: str) -> Callable[[F], F]:
    """Return an option that takes a date."""
    return click.option(
        name,
        type=click.DateTime(["%Y-%m-%d"]),
        callback=lambda context, parameter, value: value.date() if value else None,
        metavar="YYYY-MM-DD",
        help=help,
    )


def today() -> datetime.date:
    """Return today's date where the user is."""
    return datetime.datetime.now().astimezone().date()
