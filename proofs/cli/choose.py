"""``proofs choose``."""

from pathlib import Path

import click

from proofs.cli.options import profiles_option
from proofs.cli.output import print_lines
from proofs.commands.choose import choice_in_words, choose_in_file
from proofs.errors import EntriesError
from proofs.outside.files import is_folder
from proofs.outside.picture_folder import entries_file_in
from proofs.run.inputs import ProfileNames, job_source


@click.command(
    short_help="Record which step you chose.",
    context_settings={"ignore_unknown_options": True},
)
@click.argument("entries", type=click.Path(path_type=Path))
@click.argument("number")
@click.argument("step")
@click.option("--light", default="", metavar="NAME", help="Profile of the judges' light.")
@profiles_option
def choose(entries: Path, number: str, step: str, light: str, profiles: Path | None) -> None:
    """Record in the entries file which STEP of the entry NUMBER becomes the print.

    ENTRIES is the entries file, or the folder that holds entries.csv. STEP is a letter from
    the proof sheet, or a density such as +0.10 or -0.10. The cell gets the density, which
    stays the same when a letter would come to mean another one.

    \b
      proofs choose entries.csv 3 C
      proofs choose PICTURES 3 -0.10

    Only that cell changes. The earlier file is kept next to it as entries.before-1.csv, then
    entries.before-2.csv and so on.
    """
    path = _entries_file(entries)
    names = ProfileNames(light=light, profiles=profiles)
    suggested = job_source(names, path.parent).light_bracket
    # The file behind any link is changed, so that the link stays one.
    choice, kept = choose_in_file(path.resolve(), str(path), number, step, light_bracket=suggested)
    if not kept:
        print_lines([choice_in_words(choice), f"{path}: nothing to change"])
        return
    print_lines(
        [
            choice_in_words(choice),
            f"{path}: 'chosen' is now {choice.cell}; the earlier file is kept as {kept}",
            "if the file is open in a spreadsheet, reload it there before you save",
        ]
    )


def _entries_file(entries: Path) -> Path:
    found = entries_file_in(entries) if is_folder(entries) else entries
    if found is None:
        raise EntriesError(f"{entries}: holds no entries.csv; 'proofs start {entries}' makes one")
    return found
