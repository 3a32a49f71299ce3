"""The command line: what is asked, what is said, and the exit code."""

import datetime
import json
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import click

from proofs import __version__
from proofs.crew import interrupts, usual_jobs
from proofs.errors import ProofsError, UsageError
from proofs.gathering import Choices, Gathered, find_folders, gather, make_job
from proofs.making import Wishes
from proofs.outside.files import pictures_in, read_bytes, write_new, write_whole
from proofs.outside.fonts import load_fonts, missing_glyphs
from proofs.outside.profiles import KINDS
from proofs.plan.outcomes import Outcome
from proofs.plan.together import rules_age
from proofs.records.dialects import append_rows, write_rows
from proofs.records.entries import read_entries
from proofs.records.job import Job
from proofs.records.newcomers import new_entries
from proofs.report import report
from proofs.route import Announcement, Order, Run, announced, exit_code_of
from proofs.route import make as make_run
from proofs.surveying import survey
from proofs.telling import closing_line, first_told, job_lines, outcome_lines, summary_lines

_WISHES = ("variants", "anyway", "keep_metadata")

F = TypeVar("F", bound=Callable[..., Any])

_ENTRIES_HELP = """ENTRIES is an entries file (CSV), a folder (its entries.csv if there is one,
else its pictures), or picture files."""


@click.group(
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 92},
    epilog="Exit codes: 0 done, 1 a rule is broken, 2 usage, 3 a profile or row is wrong, "
    "4 a photograph cannot be read, 5 a file cannot be written, 70 a fault of the program, "
    "130 interrupted.",
)
@click.version_option(__version__, prog_name="proofs")
def cli() -> None:
    """Prepare prints for judged exhibitions of mounted prints.

    From finished picture files to print files at the lab's resolution, to-scale mock-ups of
    the mounts, and a proof sheet that compares how dark to print. The rules of the exhibition
    in hand always win over the profiles here: read them.

    \b
    To get going:
      proofs start PICTURES               write PICTURES/entries.csv, a row a picture
      proofs check PICTURES               is every picture large enough for the rules?
      proofs make PICTURES --out READY    print files, mock-ups, proof sheet, report
    """


def common_options(command: F) -> F:
    """Add the options that name profiles."""
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
            click.option(
                "--font",
                type=click.Path(path_type=Path, exists=True, dir_okay=False),
                help="Font file for characters that ours lacks.",
            ),
        )
    ):
        command = option(command)
    return command


@cli.command()
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@click.option("--add", is_flag=True, help="Append rows for pictures that have none yet.")
def start(folder: Path, add: bool) -> None:
    """Write entries.csv beside the pictures of FOLDER, a row a picture.

    Fill it in with any spreadsheet; a blank cell means the default. An entries.csv that is
    there already is never overwritten.
    """
    path = folder / "entries.csv"
    pictures = pictures_in(folder)
    if not pictures:
        raise UsageError(f"{folder}: holds no pictures")
    if not add:
        rows = new_entries(pictures)
        write_new(path, write_rows(rows))
        click.echo(
            f"{path}: {_count(len(rows) - 1, 'picture')}; fill it in, then: proofs check {folder}"
        )
        return
    raw = read_bytes(path)
    rows = new_entries(pictures, after=read_entries(raw, str(path)))
    if rows:
        write_whole(path, append_rows(raw, rows, name=str(path)))
    click.echo(f"{path}: {_count(len(rows), 'row')} added")


@cli.command(epilog=_ENTRIES_HELP)
@click.argument("entries", nargs=-1, required=True, type=click.Path(path_type=Path))
@common_options
@click.option("--json", "as_json", is_flag=True, help="Print the record of report.json instead.")
def check(entries: Sequence[Path], font: Path | None, as_json: bool, **names: Any) -> None:
    """Check every entry against the rules, from the files' headers alone.

    Says image, visible size and sheet, borders, resolution, thickness, what tolerances leave,
    and each rule with its verdict: met; at-risk (holds only if nothing goes wrong); broken,
    with what to do.
    """
    _, job, outcomes = _surveyed(entries, font, Choices(**names), quiet=as_json)
    code = exit_code_of(outcomes)
    if as_json:
        content = report(job, outcomes, with_variants=False)
        click.echo(json.dumps(content, indent=2, ensure_ascii=False))
    else:
        _tell(outcomes)
        _close(outcomes, code)
    sys.exit(code)


@cli.command(epilog=_ENTRIES_HELP)
@click.argument("entries", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--out",
    required=True,
    type=click.Path(path_type=Path),
    help="Folder to write to: new, empty, or that of an earlier run.",
)
@common_options
@click.option("--variants", is_flag=True, help="Also write every step at full size.")
@click.option("--anyway", is_flag=True, help="Also write print files that break a rule.")
@click.option("--keep-metadata", is_flag=True, help="Keep EXIF, XMP and IPTC in print files.")
@click.option(
    "--paper-size",
    type=click.Choice(["a4", "letter"], case_sensitive=False),
    default="a4",
    show_default=True,
    help="Page size of the proof sheet.",
)
@click.option(
    "--jobs",
    type=click.IntRange(min=1),
    help="Pictures worked on at once [default: suits the machine].",
)
def make(
    entries: Sequence[Path],
    out: Path,
    font: Path | None,
    jobs: int | None,
    paper_size: str,
    **others: Any,
) -> None:
    """Make print files, mock-ups, the proof sheet and the report in the folder --out.

    \b
    prints/         one file an entry: the chosen step, or the plain picture
    mockups/        every step on its mount, and the back, to scale
    variants/       every step at full size (--variants)
    proof-sheet.pdf every entry with every step, its verdict and measured sizes
    report.json     the same for programs

    An entry that breaks a rule gets no print file unless --anyway.
    """
    wishes = Wishes(font=font, **{wish: others.pop(wish) for wish in _WISHES})
    gathered, job, outcomes = _surveyed(entries, font, Choices(**others), quiet=False)
    order = Order(job, gathered, out, wishes, paper_size.lower())
    _announce(announced(order, outcomes), out)
    run = _made(order, outcomes, jobs or usual_jobs())
    _tell([o for o in run.outcomes if o.status not in ("met",)])
    click.echo(f"ready in {out}: {_count(sum(o.is_printed for o in run.outcomes), 'print file')}")
    _log_faults(run, out)
    _close(run.outcomes, run.exit_code)
    sys.exit(run.exit_code)


@cli.command()
@click.argument("kind", required=False, type=click.Choice(KINDS))
@click.argument("name", required=False)
@click.option(
    "--profiles",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    help="Folder of your own profiles; they come first.",
)
def profiles(kind: str | None, name: str | None, profiles: Path | None) -> None:
    """List the profiles, or show the one of this KIND and NAME.

    To make your own, show one, save it as profiles/KIND/NAME.toml beside your entries file,
    and change it.
    """
    folders, _ = find_folders(Choices(profiles=profiles), Path())
    if kind and name:
        path = folders.path(kind, name)
        click.echo(f"# {path}\n{read_bytes(path).decode('utf-8-sig')}", nl=False)
        return
    readers: dict[str, Callable[[str], Any]] = {
        "rules": folders.rules,
        "mounts": folders.mount,
        "papers": folders.paper,
        "labs": folders.lab,
        "cutters": folders.cutter,
    }
    for listed in [kind] if kind else KINDS:
        click.echo(listed)
        for own in folders.names(listed):
            click.echo(f"  {own:<24} {readers[listed](own).title}")


def main() -> None:
    """Run the command line; an error is one line of plain words and its exit code."""
    try:
        cli(standalone_mode=False)
    except ProofsError as error:
        click.echo(f"proofs: {error}", err=True)
        sys.exit(error.exit_code)
    except click.exceptions.Abort:
        click.echo("proofs: interrupted", err=True)
        sys.exit(130)
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)


def _surveyed(
    entries: Sequence[Path], font: Path | None, choices: Choices, *, quiet: bool
) -> tuple[Gathered, Job, tuple[Outcome, ...]]:
    """Gather, say what the run goes by, and check every entry."""
    gathered = gather(entries)
    job, notes = make_job(choices, gathered.folder, gathered.table.entries)
    today = datetime.datetime.now(tz=datetime.UTC).date()
    said = [*gathered.notes, *job_lines(job), *notes, *rules_age(job.rules, today)]
    for line in () if quiet else said:
        click.echo(line)
    fonts = load_fonts(font)
    outcomes = survey(job, gathered, lambda text: missing_glyphs(fonts, text))
    return gathered, job, outcomes


def _announce(coming: Announcement, out: Path) -> None:
    parts = [_count(coming.prints, "print file")]
    if coming.variants:
        parts.append(_count(coming.variants, "variant"))
    parts += [_count(coming.mockups, "mock-up"), "a proof sheet and a report"]
    click.echo(f"making {', '.join(parts)} in {out}: about {coming.about_bytes / 1e6:.0f} MB")


def _made(order: Order, outcomes: tuple[Outcome, ...], jobs: int) -> Run:
    """Make the run under a progress bar; quiet where nobody watches."""
    count = sum(outcome.plan is not None for outcome in outcomes)
    watched = sys.stderr.isatty()
    with (
        interrupts() as stopped,
        click.progressbar(
            length=count, label="making", show_pos=True, file=sys.stderr, hidden=not watched
        ) as bar,
    ):
        return make_run(
            order, outcomes, jobs=jobs, stopped=stopped, done=lambda outcome: bar.update(1)
        )


def _tell(outcomes: Sequence[Outcome]) -> None:
    for outcome in first_told(outcomes):
        click.echo()
        for line in outcome_lines(outcome):
            click.echo(line)


def _close(outcomes: Sequence[Outcome], code: int) -> None:
    click.echo()
    for line in summary_lines(outcomes):
        click.echo(line)
    if line := closing_line(outcomes, code):
        click.echo(line)


def _log_faults(run: Run, out: Path) -> None:
    if run.faults:
        path = out / "proofs-fault.log"
        write_whole(path, "\n".join(run.faults).encode())
        click.echo(f"a fault of the program: please send {path}", err=True)


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
