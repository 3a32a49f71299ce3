"""``proofs profiles``."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from proofs.cli.options import profiles_option
from proofs.cli.output import print_lines
from proofs.outside.profiles import KINDS, text_of
from proofs.run.inputs import ProfileNames, job_source


@click.command(short_help="List the profiles, or show one.")
@click.argument("kind", required=False, type=click.Choice(KINDS))
@click.argument("name", required=False)
@profiles_option
def profiles(kind: str | None, name: str | None, profiles: Path | None) -> None:
    """List the profiles, or show the one of this KIND and NAME.

    To make your own, show one, save it as profiles/KIND/NAME.toml next to your entries file,
    and change it.
    """
    folders = job_source(ProfileNames(profiles=profiles), Path()).folders
    if kind and name:
        path = folders.path(kind, name)
        print_lines([f"# {path}", *text_of(path).splitlines()])
        return
    readers: dict[str, Callable[[str], Any]] = {
        "rules": folders.rules,
        "mounts": folders.mount,
        "papers": folders.paper,
        "labs": folders.lab,
        "cutters": folders.cutter,
        "lights": folders.light,
        "stock": folders.stock,
        "timetables": folders.timetable,
        "labels": folders.label_sheet,
        "inspections": folders.inspection,
    }
    for listed in [kind] if kind else KINDS:
        print_lines([listed])
        for own in folders.names(listed):
            print_lines([f"  {own:<24} {readers[listed](own).title}"])
