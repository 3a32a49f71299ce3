"""``proofs profiles``."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from proofs.cli.options import profiles_option
from proofs.cli.output import say
from proofs.outside.files import read_bytes
from proofs.outside.profiles import KINDS
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
        click.echo(f"# {path}\n{read_bytes(path).decode('utf-8-sig')}", nl=False)
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
    }
    for listed in [kind] if kind else KINDS:
        say([listed])
        for own in folders.names(listed):
            say([f"  {own:<24} {readers[listed](own).title}"])
