"""``proofs start``."""

from pathlib import Path

import click

from proofs.cli.output import print_lines
from proofs.errors import UsageError
from proofs.outside.files import read_bytes, rewrite, write_new
from proofs.outside.locks import locked
from proofs.outside.picture_folder import pictures_in
from proofs.pages.wording import counted
from proofs.records.dialects import append_rows, write_rows
from proofs.records.entries import read_entries
from proofs.records.new_pictures import rows_for_new_files
from proofs.run.inputs import ProfileNames, job_source


@click.command(short_help="Write entries.csv next to the pictures.")
@click.argument("folder", type=click.Path(path_type=Path, exists=True, file_okay=False))
@click.option("--add", is_flag=True, help="Append rows for pictures that have none yet.")
def start(folder: Path, add: bool) -> None:
    """Write entries.csv next to the pictures of FOLDER, one row for each picture.

    If FOLDER holds none, the rows are for the folder of pictures that its job.toml names. Fill it
    in with any spreadsheet; a blank cell means the default. An existing entries.csv is never
    overwritten.
    """
    path = folder / "entries.csv"
    further = job_source(ProfileNames(), folder).pictures
    pictures = pictures_in(folder) or (pictures_in(further) if further else ())
    if not pictures:
        raise UsageError(f"{folder}: holds no pictures")
    if not add:
        rows = rows_for_new_files(pictures)
        write_new(path, write_rows(rows))
        made = counted(len(rows) - 1, "picture")
        print_lines([f"{path}: {made}; fill it in, then: proofs check {folder}"])
        return
    with locked(path):
        raw = read_bytes(path)
        rows = rows_for_new_files(pictures, after=read_entries(raw, str(path)))
        if rows:
            rewrite(path, append_rows(raw, rows, name=str(path)))
    print_lines([f"{path}: {counted(len(rows), 'row')} added"])
