"""Finding profiles: first in the user's own folder, then among those of the program."""

import difflib
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from proofs.errors import ProfileError
from proofs.outside.files import is_file, is_there, read_bytes
from proofs.outside.public_holidays import refuse_unknown_place
from proofs.records.cutters import Cutter, read_cutter
from proofs.records.label_sheets import LabelSheet, read_label_sheet
from proofs.records.labs import COLOUR_SPACES, Lab, read_lab
from proofs.records.lights import Light, light_of_lux, read_light, read_lux
from proofs.records.mounts import Mount, read_mount
from proofs.records.papers import Paper, read_paper
from proofs.records.rules import Rules, read_rules
from proofs.records.stock import Stock, read_stock
from proofs.records.tables import Table
from proofs.records.timetables import Timetable, read_timetable

KINDS = (
    *("rules", "mounts", "papers", "labs", "cutters", "lights", "stock", "timetables", "labels"),
)
"""The folders of profiles, one for each kind."""
MOST_PROFILE_BYTES = 1_000_000  # those of the program have a few thousand
_HERE = Path(__file__).resolve().parents[1]

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class ProfileFolders:
    """The folders to search, in order."""

    folders: tuple[Path, ...]

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
        lab = self._read("labs", name, read_lab)
        if lab.colour_profile in COLOUR_SPACES:
            return lab
        return replace(lab, colour_profile=str(_icc_file(self.path("labs", name), lab)))

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
        if public := timetable.work_days.public:
            refuse_unknown_place(public, str(self.path("timetables", name)))
        return timetable

    def _read(self, kind: str, name: str, read: Callable[[Table, str], T]) -> T:
        path = self.path(kind, name)
        return read(read_table(path), name)


def profile_folders(own: Path | None) -> ProfileFolders:
    """Return the folders to search: the user's, if there is one, then the program's."""
    shipped = next(
        (p for p in (_HERE / "profiles", _HERE.parent / "profiles") if (p / "rules").is_dir()), None
    )
    if shipped is None:
        raise ProfileError("the program's own profiles are missing; install the program again")
    return ProfileFolders((own, shipped) if own else (shipped,))


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
