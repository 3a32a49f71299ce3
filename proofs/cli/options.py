"""The options that several commands share, and the values that they turn into."""

import datetime
import functools
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

import click

from proofs.errors import UsageError
from proofs.records.papers import Sharpening
from proofs.run.inputs import Inputs, ProfileNames, read_inputs
from proofs.run.preflight import Preflight, preflight

F = TypeVar("F", bound=Callable[..., Any])
Options = TypeVar("Options")
Value = TypeVar("Value")

ENTRIES_HELP = """ENTRIES is an entries file (CSV), a folder (its entries.csv if there is one,
else its pictures), or picture files."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobOptions:
    """The options of ``job_options``."""

    rules: str
    mount: str
    paper: str
    lab: str
    cutter: str
    profiles: Path | None

    @property
    def names(self) -> ProfileNames:
        """The profiles that were named."""
        return ProfileNames(
            self.rules, self.mount, self.paper, self.lab, self.cutter, "", self.profiles
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class EntriesOptions(JobOptions):
    """The argument ``entries`` and the options of ``entries_options``."""

    entries: tuple[Path, ...]
    light: str
    font: Path | None

    @property
    def names(self) -> ProfileNames:
        """The profiles that were named, with the judges' light."""
        return ProfileNames(
            self.rules, self.mount, self.paper, self.lab, self.cutter, self.light, self.profiles
        )

    def inputs(self) -> Inputs:
        """Read the entries and ``job.toml``."""
        return read_inputs(self.entries, self.names)

    def preflight(self) -> Preflight:
        """Check every entry from its files' headers."""
        return preflight(self.inputs(), font=self.font, today=today())


def takes(kind: Callable[..., Options]) -> Callable[[Callable[[Options], None]], F]:
    """Return a decorator that passes a command its options as one value of this kind."""

    def decorate(run: Callable[[Options], None]) -> Any:
        @functools.wraps(run)
        def command(**options: Any) -> None:
            _refuse_what_is_no_text(options)
            run(kind(**options))

        return command

    return decorate


def _refuse_what_is_no_text(options: dict[str, Any]) -> None:
    """Raise ``UsageError`` for words that came in bytes that are no text: no file can hold them."""
    for name, value in options.items():
        if isinstance(value, str) and not value.isascii():
            try:
                value.encode()
            except UnicodeEncodeError:
                raise UsageError(f"{name}: {value!a} is not text in UTF-8; type it again") from None


def job_options(command: F) -> F:
    """Add the options that name the profiles of a job."""
    for option in (
        profiles_option,
        click.option("--cutter", default="", metavar="NAME", help="How mats are cut."),
        click.option("--lab", default="", metavar="NAME", help="The lab or printer."),
        click.option("--paper", default="", metavar="NAME", help="The paper."),
        click.option("--mount", default="", metavar="NAME", help="How prints are mounted."),
        click.option("--rules", default="", metavar="NAME", help="Rules, or 'none'."),
    ):
        command = option(command)
    return command


def entries_argument(command: F) -> F:
    """Add the argument that names the entries."""
    argument = click.argument("entries", nargs=-1, required=True, type=click.Path(path_type=Path))
    return argument(command)


def entries_options(command: F) -> F:
    """Add the options that name profiles, the judges' light and the font."""
    font = click.option(
        "--font",
        type=click.Path(path_type=Path, exists=True, dir_okay=False),
        help="Font file for characters that the built-in typeface lacks.",
    )
    light = click.option(
        "--light", default="", metavar="NAME", help="The judges' light; it sets the brackets."
    )
    return job_options(light(font(command)))


def profiles_option(command: F) -> F:
    """Add the option that names a folder of the user's own profiles."""
    return click.option(
        "--profiles",
        type=click.Path(path_type=Path, exists=True, file_okay=False),
        help="Folder of your own profiles; they win over ours.",
    )(command)


def out_option(earlier: str) -> Callable[[F], F]:
    """Return the option for the output folder; ``earlier`` is what it may already hold."""
    return click.option(
        "--out",
        required=True,
        type=click.Path(path_type=Path),
        help=f"Folder to write to: new, empty, or that of an earlier {earlier}.",
    )


def paper_size_option(page: str) -> Callable[[F], F]:
    """Return the option for the page size of ``page``."""
    return click.option(
        "--paper-size",
        type=click.Choice(["a4", "letter"], case_sensitive=False),
        default="a4",
        show_default=True,
        help=f"Page size of the {page}.",
    )


def jobs_option(things: str) -> Callable[[F], F]:
    """Return the option for the number of workers; ``things`` are what they work on."""
    return click.option(
        "--jobs",
        type=click.IntRange(min=1),
        help=f"{things} to work on at once [default: what suits the machine].",
    )


def json_option(command: F) -> F:
    """Add the option that prints a record for programs."""
    return click.option(
        "--json", "as_json", is_flag=True, help="Print a record for programs instead."
    )(command)


def sharpen_option(command: F) -> F:
    """Add the option that sets the sharpening of print files."""
    return click.option(
        "--sharpen",
        type=click.Choice([level.value for level in Sharpening]),
        callback=read_by(Sharpening),
        metavar="[off|low|standard]",
        help="Sharpen for print [default: what suits paper and lab].",
    )(command)


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
