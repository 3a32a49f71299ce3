"""Finding profiles: beside the entries, in the user's own folder, and among the program's."""

import difflib
import enum
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from proofs.errors import ProfileError
from proofs.outside.files import is_file, is_there, read_bytes
from proofs.outside.public_holidays import refuse_unknown_place
from proofs.records.cutters import Cutter, read_cutter
from proofs.records.inspections import InspectionProfile, read_inspection
from proofs.records.label_sheets import LabelSheet, read_label_sheet
from proofs.records.labs import COLOUR_SPACES, Lab, read_lab
from proofs.records.lights import Light, light_of_lux, read_light, read_lux
from proofs.records.mounts import Mount, read_mount
from proofs.records.papers import Paper, read_paper
from proofs.records.profile_kinds import READERS
from proofs.records.rules import Rules, read_rules
from proofs.records.stock import Stock, read_stock
from proofs.records.tables import Profile, Table
from proofs.records.timetables import Timetable, read_timetable

MOST_PROFILE_BYTES = 1_000_000  # those of the program have a few thousand
_HERE = Path(__file__).resolve().parents[1]

T = TypeVar("T")


class Origin(enum.StrEnum):
    """Where a profile comes from, in the order in which the folders are searched."""

    HERE = "here"
    """Beside the entries, or in the folder that was named instead."""
    YOURS = "yours"
    """The user's own folder, for all exhibitions."""
    OURS = "ours"


@dataclass(frozen=True, slots=True)
class OwnFolders:
    """The folders of the user's own profiles: one that was named, and one for all exhibitions."""

    named: Path | None = None
    of_user: Path | None = None


NO_OWN_FOLDERS = OwnFolders()


@dataclass(frozen=True, slots=True)
class ProfileFolders:
    """The folders to search, in order, each with what it is."""

    origins: tuple[tuple[Origin, Path], ...]

    @property
    def folders(self) -> tuple[Path, ...]:
        """The folders alone."""
        return tuple(folder for _, folder in self.origins)

    def names(self, kind: str) -> tuple[str, ...]:
        """Return the names of all profiles of a kind, sorted."""
        found = {path.stem for folder in self.folders for path in folder.glob(f"{kind}/*.toml")}
        return tuple(sorted(found))

    def path(self, kind: str, name: str) -> Path:
        """Return the file of a profile, from the first folder that has it.

        Raises ``ProfileError`` with the nearest name and all names of that kind.
        """
        for folder in self.folders:
            path = folder / kind / f"{name}.toml"
            if name and "\0" not in name and Path(name).name == name and is_there(path):
                return path
        known = self.names(kind)
        near = difflib.get_close_matches(name, known, n=1)
        hint = f"did you mean {near[0]!r}? " if near else ""
        raise ProfileError(
            f"{kind}: there is no profile {name!r}; {hint}there are: {', '.join(known) or 'none'}"
        )

    def rules(self, name: str) -> Rules:
        """Return a set of rules."""
        return self._read("rules", name, read_rules)

    def mount(self, name: str) -> Mount:
        """Return a mount."""
        return self._read("mounts", name, read_mount)

    def paper(self, name: str) -> Paper:
        """Return a paper."""
        return self._read("papers", name, read_paper)

    def lab(self, name: str) -> Lab:
        """Return a lab. Raises ``ProfileError`` for an ICC file outside the profile's folder."""
        return _with_icc_file(self._read("labs", name, read_lab), self.path("labs", name))

    def cutter(self, name: str) -> Cutter:
        """Return a cutter."""
        return self._read("cutters", name, read_cutter)

    def label_sheet(self, name: str) -> LabelSheet:
        """Return a sheet of labels."""
        return self._read("labels", name, read_label_sheet)

    def light(self, name: str) -> Light:
        """Return a light; instead of a name, ``800 lx`` gives a light of that many lux."""
        try:
            lux = read_lux(name)
        except ValueError as error:
            raise ProfileError(f"lights: {error}") from None
        return self._read("lights", name, read_light) if lux is None else light_of_lux(lux)

    def stock(self, name: str) -> Stock:
        """Return a stock sheet of board."""
        return self._read("stock", name, read_stock)

    def timetable(self, name: str) -> Timetable:
        """Return a timetable. Raises ``ProfileError`` for a country that nothing is known of."""
        timetable = self._read("timetables", name, read_timetable)
        return _in_known_place(timetable, self.path("timetables", name))

    def inspection(self, name: str) -> InspectionProfile:
        """Return how closely pictures are inspected."""
        return self._read("inspections", name, read_inspection)

    def _read(self, kind: str, name: str, read: Callable[[Table, str], T]) -> T:
        path = self.path(kind, name)
        return read(read_table(path), name)


def profile_folders(own: Path | None, of_user: Path | None = None) -> ProfileFolders:
    """Return the folders to search: those of the user's that are given, then the program's."""
    shipped = next(
        (p for p in (_HERE / "profiles", _HERE.parent / "profiles") if (p / "rules").is_dir()), None
    )
    if shipped is None:
        raise ProfileError("the program's own profiles are missing; install the program again")
    places = ((Origin.HERE, own), (Origin.YOURS, of_user), (Origin.OURS, shipped))
    return ProfileFolders(tuple((origin, folder) for origin, folder in places if folder))


def read_profile(kind: str, path: Path) -> Profile:
    """Return the profile in a file. Raises ``ProfileError``."""
    return completed(READERS[kind](read_table(path), path.stem), path)


def completed(profile: Profile, path: Path) -> Profile:
    """Return what a file describes, with what the world must know of: an ICC file, a country.

    Raises ``ProfileError``.
    """
    if isinstance(profile, Lab):
        return _with_icc_file(profile, path)
    return _in_known_place(profile, path) if isinstance(profile, Timetable) else profile


def _with_icc_file(lab: Lab, path: Path) -> Lab:
    if lab.colour_profile in COLOUR_SPACES:
        return lab
    return replace(lab, colour_profile=str(_icc_file(path, lab)))


def _in_known_place(timetable: Timetable, path: Path) -> Timetable:
    if public := timetable.work_days.public:
        refuse_unknown_place(public, str(path))
    return timetable


def _icc_file(profile: Path, lab: Lab) -> Path:
    """The ICC file that the profile of a lab names; a missing one is for its reader to report."""
    icc = profile.parent / lab.colour_profile
    why = ""
    try:
        if not icc.resolve().is_relative_to(profile.parent.resolve()):
            why = "is outside the folder of the profile; copy it there and write only its name"
        elif is_there(icc) and not is_file(icc, error=ProfileError):
            why = "is not a file; put the ICC profile of the lab there"
    except (OSError, RuntimeError, ValueError):  # a loop of links, or a NUL
        why = "is not a name that a file can have; write the name of the ICC file"
    if why:
        raise ProfileError(f"{profile}: colour.profile: {lab.colour_profile!r} {why}")
    return icc


def read_table(path: Path) -> Table:
    """Return the TOML table in a file.

    Raises ``ProfileError`` with the file, and the line where it is not TOML.
    """
    text = text_of(path).replace("\r\n", "\n")
    try:
        return Table(tomllib.loads(text), str(path))
    except tomllib.TOMLDecodeError as fault:
        raise ProfileError(f"{path}: is not TOML: {fault}") from None
    except RecursionError:
        raise ProfileError(f"{path}: is nested too deeply; remove brackets") from None
    except ValueError:  # Python reads at most 4300 digits
        raise ProfileError(f"{path}: holds a number of too many digits; shorten it") from None


def text_of(path: Path) -> str:
    """Return the text of a profile. Raises ``ProfileError`` if it is not UTF-8."""
    try:
        return read_bytes(path, error=ProfileError, most=MOST_PROFILE_BYTES).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ProfileError(f"{path}: is not UTF-8 text; save it again as UTF-8") from None
