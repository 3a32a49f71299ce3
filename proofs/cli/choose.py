"""``proofs choose``."""

from pathlib import Path

import click

from proofs.cli.options import profiles_option
from proofs.cli.output import print_lines
from proofs.commands.choose import (
    choice_in_words,
    choose_in_file,
    undo_in_file,
    undone_in_words,
)
from proofs.errors import EntriesError, UsageError
from proofs.outside.files import is_folder
from proofs.outside.picture_folder import entries_file_in
from proofs.outside.profiles import OwnFolders
from proofs.run.inputs import ProfileNames, job_source


@click.command(
    short_help="Record which steps you chose.",
    context_settings={"ignore_unknown_options": True},
)
@click.argument("entries", type=click.Path(path_type=Path))
@click.argument("choice", nargs=-1, metavar="[NUMBER STEP | NUMBER=STEP...]")
@click.option("--undo", is_flag=True, help="Take the latest choices back.")
@click.option("--light", default="", metavar="NAME", help="Profile of the judges' light.")
@profiles_option
def choose(
    entries: Path, choice: tuple[str, ...], undo: bool, light: str, profiles: OwnFolders
) -> None:
    """Record in the entries file which STEP of the entry NUMBER becomes the print.

    ENTRIES is the entries file, or the folder that holds entries.csv. STEP is a letter from
    the proof sheet, or a density such as +0.10 or -0.10. The cell gets the density, which
    stays the same when a letter would come to mean another one.

    \b
      proofs choose entries.csv 3 C
      proofs choose PICTURES 3 -0.10
      proofs choose PICTURES 1=B 2=A 3=+0.10
      proofs choose PICTURES --undo

    Only those cells change; if one of several choices cannot be understood, none does. The
    earlier file is kept next to it as entries.before-1.csv, then entries.before-2.csv and so on.
    """
    path = _entries_file(entries)
    # The file behind any link is changed, so that the link stays one.
    real = path.resolve()
    if undo:
        if choice:
            raise UsageError("--undo takes the latest choices back; it needs no number and no step")
        undone, kept = undo_in_file(real, str(path))
        _report(path, [undone_in_words(one) for one in undone], "is as it was before", kept)
        return
    wishes = _wishes(choice)
    names = ProfileNames(light=light, profiles=profiles)
    suggested = job_source(names, path.parent).light_bracket
    choices, kept = choose_in_file(real, str(path), wishes, light_bracket=suggested)
    now = f"is now {choices[0].cell}" if len(choices) == 1 else f"is set for {len(choices)} entries"
    _report(path, [choice_in_words(one) for one in choices], now, kept)


def _wishes(choice: tuple[str, ...]) -> list[tuple[str, str]]:
    """The entry numbers and their steps, written one way or the other."""
    if choice and all("=" in part for part in choice):
        found = [part.rpartition("=") for part in choice]
        return [(number.strip(), step.strip()) for number, _, step in found]
    if len(choice) == 2:
        return [(choice[0], choice[1])]
    given = f"not {' '.join(choice)!r}" if choice else "nothing is named"
    raise UsageError(f"name an entry and its step, such as '3 C', or several '1=B 2=A'; {given}")


def _report(path: Path, sentences: list[str], now: str, kept: str) -> None:
    if not kept:
        print_lines([*sentences, f"{path}: nothing to change"])
        return
    print_lines(
        [
            *sentences,
            f"{path}: 'chosen' {now}; the earlier file is kept as {kept}",
            "if the file is open in a spreadsheet, reload it there before you save",
        ]
    )


def _entries_file(entries: Path) -> Path:
    found = entries_file_in(entries) if is_folder(entries) else entries
    if found is None:
        raise EntriesError(f"{entries}: holds no entries.csv; 'proofs start {entries}' makes one")
    return found
