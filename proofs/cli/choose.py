"""``proofs choose``."""

from functools import partial
from pathlib import Path

import click

from proofs.cli.options import profiles_option
from proofs.cli.output import say
from proofs.commands.choose import choice_in_words
from proofs.commands.choose import choose as choose_step
from proofs.errors import EntriesError
from proofs.outside.files import (
    entries_file_in,
    keep_before,
    read_bytes,
    refuse_read_only,
    rewrite,
)
from proofs.outside.locks import locked
from proofs.plan.entry.planning import steps_of
from proofs.run.inputs import ProfileNames, job_source


@click.command(
    short_help="Write into the entries file which step won.",
    context_settings={"ignore_unknown_options": True},
)
@click.argument("entries", type=click.Path(path_type=Path))
@click.argument("number")
@click.argument("step")
@click.option("--light", default="", metavar="NAME", help="The judges' light that sets brackets.")
@profiles_option
def choose(entries: Path, number: str, step: str, light: str, profiles: Path | None) -> None:
    """Record in the entries file which STEP of the entry NUMBER becomes the print.

    ENTRIES is the entries file, or the folder that holds entries.csv. STEP is a letter from
    the proof sheet, or a density such as +0.10 or -0.10.

    \b
      proofs choose entries.csv 3 C
      proofs choose PICTURES 3 -0.10

    Only that cell changes. The earlier file is kept next to it as entries.before-1.csv, then
    entries.before-2.csv and so on.
    """
    path = _entries_file(entries)
    names = ProfileNames(light=light, profiles=profiles)
    suggested = job_source(names, _folder_of(entries)).light_bracket
    steps = partial(steps_of, light_bracket=suggested)
    with locked(path):
        raw = read_bytes(path)
        choice = choose_step(raw, str(path), number, step, steps=steps)
        if choice.content == raw:
            say([choice_in_words(choice), f"{path}: nothing to change"])
            return
        refuse_read_only(path)
        kept = keep_before(path, raw)
        rewrite(path, choice.content)
    kept_as = f"the earlier file is kept as {kept.name}"
    say([choice_in_words(choice), f"{path}: 'chosen' is now {choice.cell}; {kept_as}"])
    say(["if the file is open in a spreadsheet, reload it there before you save"])


def _folder_of(entries: Path) -> Path:
    """The folder of job.toml and of the user's own profiles."""
    return entries if entries.is_dir() else entries.parent


def _entries_file(entries: Path) -> Path:
    """The file itself, behind any link, so that the link stays one."""
    found = entries_file_in(entries) if entries.is_dir() else entries
    if found is None:
        raise EntriesError(f"{entries}: holds no entries.csv; 'proofs start {entries}' makes one")
    return found.resolve()
