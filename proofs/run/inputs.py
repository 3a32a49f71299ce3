"""From what stands on the command line to the entries and the job of a run."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.errors import EntriesError
from proofs.outside.files import entries_file_in, pictures_in, read_bytes
from proofs.outside.pixels.targets import lab_profile
from proofs.outside.profiles import ProfileFolders, profile_folders, read_table
from proofs.plan.tones.viewing import reason, suggested_bracket
from proofs.records.entries import Entry, EntryTable, read_entries
from proofs.records.job import USUAL, Job, JobFile, read_job_file
from proofs.records.lights import USUAL_HOME
from proofs.records.mounts import Mount
from proofs.records.newcomers import entries_of_files

_JOB_NAME = "job.toml"


@dataclass(frozen=True, slots=True)
class Inputs:
    """The entries of a run and the folder that their files are named from; what to say of it."""

    table: EntryTable
    folder: Path
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ProfileNames:
    """The profiles named on the command line; blank where none was."""

    rules: str = ""
    mount: str = ""
    paper: str = ""
    lab: str = ""
    cutter: str = ""
    light: str = ""
    profiles: Path | None = None


def read_inputs(paths: Sequence[Path]) -> Inputs:
    """Return the entries of an entries file, of a folder, or of bare pictures.

    Raises ``EntriesError`` where there are none.
    """
    if len(paths) == 1 and paths[0].is_dir():
        return _from_folder(paths[0])
    if len(paths) == 1 and paths[0].suffix.lower() in (".csv", ".tsv", ".txt"):
        return _from_file(paths[0], ())
    missing = next((p for p in paths if not p.is_file()), None)
    if missing is not None:
        raise EntriesError(f"{missing}: there is no such file or folder")
    folders = {p.parent.resolve() for p in paths}
    if len(folders) > 1:
        raise EntriesError("the pictures stand in several folders; name one folder, or a CSV file")
    return Inputs(entries_of_files([p.name for p in paths]), paths[0].parent, ())


def _from_folder(folder: Path) -> Inputs:
    file = entries_file_in(folder)
    if file:
        return _from_file(file, (f"entries are taken from {file}",))
    names = pictures_in(folder)
    if not names:
        raise EntriesError(f"{folder}: holds no pictures and no entries.csv")
    return Inputs(entries_of_files(names), folder, (f"{len(names)} pictures in {folder}",))


def _from_file(file: Path, notes: tuple[str, ...]) -> Inputs:
    table = read_entries(read_bytes(file), str(file))
    if not table.entries:
        raise EntriesError(f"{file}: has no rows; 'proofs start --add' adds the pictures")
    unknown = ", ".join(table.unknown_columns)
    more = (f"columns that are kept but not used: {unknown}",) if unknown else ()
    return Inputs(table, file.parent, (*notes, *table.notes, *more))


def find_folders(choices: ProfileNames, folder: Path) -> tuple[ProfileFolders, JobFile]:
    """Return where profiles are looked for, and what the job file beside the entries says."""
    path = folder / _JOB_NAME
    job_file = read_job_file(read_table(path)) if path.is_file() else JobFile()
    own = choices.profiles or (folder / job_file.profiles if job_file.profiles else None)
    if own is None and (folder / "profiles").is_dir():
        own = folder / "profiles"
    return profile_folders(own), job_file


def make_job(
    choices: ProfileNames, folder: Path, entries: Sequence[Entry]
) -> tuple[Job, tuple[str, ...]]:
    """Return the job of a run and what to say of it.

    An option wins over the job file, and that over the usual. A mount that an entry names and
    that cannot be had is left to that entry. Raises ``ProfileError``.
    """
    folders, job_file = find_folders(choices, folder)
    names, usual = {}, []
    for key, fallback in USUAL.items():
        names[key] = getattr(choices, key) or getattr(job_file, key) or fallback
        if not (getattr(choices, key) or getattr(job_file, key)):
            usual.append(f"{key} {fallback}")
    job = Job(
        rules=None if names["rules"].lower() == "none" else folders.rules(names["rules"]),
        mounts=_mounts(folders, names["mount"], entries),
        paper=folders.paper(names["paper"]),
        lab=folders.lab(names["lab"]),
        cutter=folders.cutter(names["cutter"]),
    )
    lab_profile(job.lab)  # a bad ICC file stops the run before any picture is touched
    notes = [f"as usual: {', '.join(usual)}"] if usual else []
    if name := choices.light or job_file.light:
        home, judging = folders.light(USUAL_HOME), folders.light(name)
        job = replace(job, light_bracket=light_bracket(choices, folder))
        notes.append(f"light   {name} against {USUAL_HOME}: {reason(home, judging)}")
    return job, tuple(notes)


def light_bracket(choices: ProfileNames, folder: Path) -> tuple[float, ...] | None:
    """Return the densities that the judges' light suggests, or None where none is named."""
    folders, job_file = find_folders(choices, folder)
    name = choices.light or job_file.light
    return suggested_bracket(folders.light(USUAL_HOME), folders.light(name)) if name else None


def _mounts(folders: ProfileFolders, own: str, entries: Sequence[Entry]) -> tuple[Mount, ...]:
    mounts = [folders.mount(own)]
    known = folders.names("mounts")
    for name in sorted({e.mount for e in entries if e.mount} - {own}):
        if name in known:
            mounts.append(folders.mount(name))
    return tuple(mounts)
