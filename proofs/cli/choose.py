"""``proofs choose``."""

from functools import partial
from pathlib import Path

import click

from proofs.commands.choose import choice_in_words
from proofs.commands.choose import choose as choose_step
from proofs.errors import EntriesError
from proofs.outside.files import entries_file_in, keep_before, read_bytes, write_whole
from proofs.plan.entry.planning import steps_of
from proofs.run.inputs import ProfileNames, light_bracket


@click.command(
    short_help="Write into the entries file which step won.",
    context_settings={"ignore_unknown_options": True},
)
@click.argument("entries", type=click.Path(path_type=Path))
@click.argument("number")
@click.argument("step")
@click.option("--light", default="", metavar="NAME", help="The judges' light that sets brackets.")
@click.option(
    "--profiles",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
    help="Folder of your own profiles; they come first.",
)
def choose(entries: Path, number: str, step: str, light: str, profiles: Path | None) -> None:
    """Write into the entries file which STEP of the entry NUMBER becomes the print.

    ENTRIES is the entries file, or the folder that holds entries.csv. STEP is a letter from
    the proof sheet or a density; a negative one is written as it is.

    \b
      proofs choose entries.csv 3 C
      proofs choose PICTURES 3 -0.10

    Nothing but that cell changes. The file as it was stays beside it, as entries.before-1.csv
    and so on.
    """
    path = _entries_file(entries)
    raw = read_bytes(path)
    suggested = light_bracket(ProfileNames(light=light, profiles=profiles), _folder_of(entries))
    choice = choose_step(
        raw, str(path), number, step, steps=partial(steps_of, light_bracket=suggested)
    )
    if choice.content == raw:
        click.echo(f"{choice_in_words(choice)}\n{path}: nothing to change")
        return
    kept = keep_before(path, raw)
    write_whole(path, choice.content)
    click.echo(choice_in_words(choice))
    click.echo(f"{path}: 'chosen' says {choice.cell} now; as it was: {kept.name}")
    click.echo("if a spreadsheet has the file open, load it again before you save there")


def _folder_of(entries: Path) -> Path:
    """The folder that job.toml and profiles of one's own stand in."""
    return entries if entries.is_dir() else entries.parent


def _entries_file(entries: Path) -> Path:
    """The file itself, behind any link, so that the link stays one."""
    found = entries_file_in(entries) if entries.is_dir() else entries
    if found is None:
        raise EntriesError(f"{entries}: holds no entries.csv; 'proofs start {entries}' makes one")
    return found.resolve()
