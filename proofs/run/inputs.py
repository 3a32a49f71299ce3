"""From the command line's arguments to the entries, the profiles and the job of a run."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from proofs.errors import EntriesError, ProfileError
from proofs.outside.files import is_file, is_folder, is_there, read_bytes
from proofs.outside.picture_folder import entries_file_in, picture_path, pictures_in
from proofs.outside.pixels.colour.output_space import lab_icc_profile
from proofs.outside.profiles import (
    NO_OWN_FOLDERS,
    OwnFolders,
    ProfileFolders,
    profile_folders,
    read_table,
)
from proofs.plan.tones.appearance import Viewing
from proofs.plan.tones.viewing import bracket_reason, suggested_bracket
from proofs.records.entries import Entry, EntryTable, read_entries
from proofs.records.job import DEFAULT_PROFILES, Job, JobFile, read_job_file
from proofs.records.labs import Lab
from proofs.records.mounts import Mount
from proofs.records.new_pictures import entries_for_files
from proofs.records.papers import Paper
from proofs.run.finished_under import FinishedUnder, finished_under

JOB_NAME = "job.toml"
_ASSUMED = (
    'name where you finish pictures in job.toml, such as finished_under = "screen 120 cd/m2, room'
    ' 50 lx", or the name of a light'
)


@dataclass(frozen=True, slots=True)
class ProfileNames:
    """The profiles named on the command line; blank if not named.

    ``profiles`` are the folders of the user's own profiles.
    """

    rules: str = ""
    mount: str = ""
    paper: str = ""
    lab: str = ""
    cutter: str = ""
    light: str = ""
    profiles: OwnFolders = NO_OWN_FOLDERS


@dataclass(frozen=True, slots=True, kw_only=True)
class EntriesOptions(ProfileNames):
    """The options that all commands on entries share; ``font`` is a font file or None."""

    entries: tuple[Path, ...] = ()
    font: Path | None = None


@dataclass(frozen=True, slots=True)
class JobSource:
    """Where the job of a run comes from: profile folders, ``job.toml``, and the profiles named.

    An option wins over ``job.toml``, and that wins over the default. ``pictures`` is the further
    folder of pictures that ``job.toml`` names, or None.
    """

    folders: ProfileFolders
    job_file: JobFile
    names: ProfileNames
    pictures: Path | None = None

    @property
    def lab(self) -> str:
        """The lab's name; blank if neither an option nor ``job.toml`` names one."""
        return self.names.lab or self.job_file.lab

    @property
    def light(self) -> str:
        """The name of the judges' light; blank if none is named."""
        return self.names.light or self.job_file.light

    @property
    def light_bracket(self) -> tuple[float, ...] | None:
        """The densities that the judges' light suggests; None if no light is named."""
        if not self.light:
            return None
        return suggested_bracket(self.finished_under.viewing, self._judging)

    @property
    def finished_under(self) -> FinishedUnder:
        """Where the pictures were finished. Raises ``ProfileError``."""
        return finished_under(self.folders, self.job_file.finished_under)

    @property
    def _judging(self) -> Viewing:
        return Viewing(self.folders.light(self.light).lux)

    def job(self, entries: Sequence[Entry]) -> tuple[Job, tuple[str, ...]]:
        """Return the job of a run, and notes for the user.

        An entry may name a mount that does not exist: its own check reports that. Raises
        ``ProfileError``.
        """
        chosen = {
            key: getattr(self.names, key) or getattr(self.job_file, key) for key in DEFAULT_PROFILES
        }
        names = {key: chosen[key] or default for key, default in DEFAULT_PROFILES.items()}
        folders, rules = self.folders, names["rules"]
        lab = folders.lab(names["lab"])
        job = Job(
            rules=None if rules.lower() == "none" else folders.rules(rules),
            mounts=_mounts(folders, names["mount"], entries),
            paper=folders.paper(names["paper"]),
            lab=lab,
            cutter=folders.cutter(names["cutter"]),
            lab_papers=tuple(_lab_papers(folders, lab)),
            author=self.job_file.exhibitor.name,
        )
        lab_icc_profile(job.lab)  # a bad ICC file stops the run before any picture is touched
        defaults = [f"{key} {names[key]}" for key in DEFAULT_PROFILES if not chosen[key]]
        notes = [f"defaults used: {', '.join(defaults)}"] if defaults else []
        if self.light:
            job = replace(job, light_bracket=self.light_bracket)
            finished = self.finished_under
            why = bracket_reason(finished.viewing, self._judging)
            notes.append(f"light   {self.light} against {finished.words}: {why}")
            notes += [_ASSUMED] if finished.is_assumed else []
        return job, tuple(notes)


@dataclass(frozen=True, slots=True)
class Inputs:
    """The entries of a run, the folder that holds their files, and the source of its job.

    ``notes`` are lines for the user.
    """

    table: EntryTable
    folder: Path
    source: JobSource
    notes: tuple[str, ...] = ()

    def pictures_of(self, entry: Entry) -> tuple[Path, ...]:
        """Return the files of an entry's pictures. Raises ``PhotographError``."""
        return tuple(self.path_of(picture.file) for picture in entry.pictures)

    def path_of(self, file: str) -> Path:
        """Return the path of a picture that an entry names. Raises ``PhotographError``."""
        return picture_path(self.folder, file, self.source.pictures)


def read_inputs(paths: Sequence[Path], names: ProfileNames = ProfileNames()) -> Inputs:
    """Return the entries of an entries file, of a folder, or of pictures named one by one.

    Raises ``EntriesError`` if there are none.
    """
    if len(paths) == 1 and is_folder(paths[0]):
        table, folder, notes = _from_folder(paths[0])
    elif len(paths) == 1 and paths[0].suffix.lower() in (".csv", ".tsv", ".txt"):
        table, folder, notes = _from_file(paths[0], ())
    else:
        table, folder, notes = _from_pictures(paths)
    return Inputs(table, folder, job_source(names, folder), notes)


def job_source(names: ProfileNames, folder: Path) -> JobSource:
    """Return the profile folders to search, and the content of ``job.toml`` in the folder.

    Raises ``ProfileError``.
    """
    path = folder / JOB_NAME
    job_file = read_job_file(read_table(path)) if is_there(path) else JobFile()
    own = names.profiles.named or (folder / job_file.profiles if job_file.profiles else None)
    if own is not None and not is_folder(own, error=ProfileError):
        raise ProfileError(f"{own}: there is no such folder; name the folder of your own profiles")
    if own is None and is_folder(folder / "profiles", error=ProfileError):
        own = folder / "profiles"
    of_user = names.profiles.of_user
    if of_user is not None and not is_folder(of_user, error=ProfileError):
        of_user = None
    pictures = folder / job_file.pictures if job_file.pictures else None
    if pictures is not None and not is_folder(pictures, error=ProfileError):
        raise ProfileError(
            f"{path}: pictures: there is no folder {pictures}; correct the name, which counts from"
            " the folder of job.toml"
        )
    return JobSource(profile_folders(own, of_user), job_file, names, pictures)


_Found = tuple[EntryTable, Path, tuple[str, ...]]


def _from_pictures(paths: Sequence[Path]) -> _Found:
    missing = next((p for p in paths if not is_file(p)), None)
    if missing is not None and is_there(missing):
        raise EntriesError(f"{missing}: is not a file; name pictures, or one folder")
    if missing is not None:
        raise EntriesError(f"{missing}: there is no such file or folder")
    folders = {p.parent.resolve() for p in paths}
    if len(folders) > 1:
        raise EntriesError("the pictures are in several folders; name one folder, or a CSV file")
    return entries_for_files([p.name for p in paths]), paths[0].parent, ()


def _from_folder(folder: Path) -> _Found:
    file = entries_file_in(folder)
    if file:
        return _from_file(file, (f"entries read from {file}",))
    names = pictures_in(folder)
    if not names:
        raise EntriesError(f"{folder}: holds no pictures and no entries.csv")
    return entries_for_files(names), folder, (f"{len(names)} pictures in {folder}",)


def _from_file(file: Path, notes: tuple[str, ...]) -> _Found:
    table = read_entries(read_bytes(file), str(file))
    if not table.entries:
        raise EntriesError(f"{file}: has no rows; 'proofs start --add' adds the pictures")
    unknown = ", ".join(table.unknown_columns)
    more = (f"columns kept but not used: {unknown}",) if unknown else ()
    return table, file.parent, (*notes, *table.notes, *more)


def _lab_papers(folders: ProfileFolders, lab: Lab) -> Iterator[tuple[str, Paper]]:
    """The profiles of the lab's papers, by its own names."""
    for name, own in lab.paper_profiles:
        try:
            yield name, folders.paper(own)
        except ProfileError as error:
            raise ProfileError(f"the lab {lab.name!r}, papers.{name}: {error}") from None


def _mounts(folders: ProfileFolders, own: str, entries: Sequence[Entry]) -> tuple[Mount, ...]:
    mounts = [folders.mount(own)]
    known = folders.names("mounts")
    for name in sorted({e.mount for e in entries if e.mount} - {own}):
        if name in known:
            mounts.append(folders.mount(name))
    return tuple(mounts)
