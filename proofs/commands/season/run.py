"""A season: every exhibition checked, and its pictures recognised wherever they are entered."""

import datetime
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from proofs.errors import ExitCode, PhotographError, UsageError, WriteError
from proofs.outside.files import sha256_of, size_of
from proofs.outside.profiles import NO_OWN_FOLDERS, OwnFolders
from proofs.outside.public_holidays import with_public_holidays
from proofs.plan.bench.timetable import Schedule, scheduled
from proofs.plan.checks.outcomes import exit_code_of
from proofs.plan.season.exhibitions import (
    Exhibition,
    SeasonPicture,
    away_of,
    season_pictures,
)
from proofs.plan.season.sharing import AlikeMounts, Reuse, alike_mounts, reuses
from proofs.run.inputs import Inputs, ProfileNames, read_inputs
from proofs.run.preflight import Preflight, preflight

_ENTRIES = "entries"


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonOptions:
    """The options of ``season``.

    ``away`` is for how many days after its closing date an exhibition keeps the mounts where its
    rules do not say.
    """

    folders: tuple[Path, ...]
    timetable: str = "usual"
    away: int = 60
    profiles: OwnFolders = NO_OWN_FOLDERS
    as_json: bool = False


@dataclass(frozen=True, slots=True)
class Season:
    """All exhibitions, their pictures, and what these can share; ``away`` are the days assumed."""

    exhibitions: tuple[Exhibition, ...]
    pictures: tuple[SeasonPicture, ...]
    away: int

    @property
    def reuses(self) -> tuple[Reuse, ...]:
        """Each picture at each two exhibitions that show it."""
        return reuses(self.pictures)

    @property
    def alike(self) -> tuple[AlikeMounts, ...]:
        """The mounts that several exhibitions have alike."""
        return alike_mounts(self.exhibitions)

    @property
    def exit_code(self) -> ExitCode:
        """The exit code of all entries together."""
        return exit_code_of(o for one in self.exhibitions for o in one.outcomes)


def read_season(options: SeasonOptions, today: datetime.date) -> Season:
    """Return a season as its entries files and their pictures' headers show it.

    Raises ``EntriesError`` or ``ProfileError`` for an exhibition that cannot be understood, and
    ``UsageError`` if one is named twice.
    """
    names = ProfileNames(profiles=options.profiles)
    found = [read_inputs([folder], names) for folder in options.folders]
    ready = [preflight(inputs, font=None, today=today) for inputs in found]
    named = _names(options.folders, found)
    known = _Identities.of(named, found)
    exhibitions = tuple(
        _exhibition(name, one, known, options) for name, one in zip(named, ready, strict=True)
    )
    return Season(exhibitions, season_pictures(exhibitions), options.away)


def _names(folders: Sequence[Path], found: Sequence[Inputs]) -> list[str]:
    """A name for each exhibition: of its folder, or of a file that is not named entries.csv."""
    of_file = [folder.stem if folder.suffix == ".csv" else _ENTRIES for folder in folders]
    places = [inputs.folder.resolve() for inputs in found]
    for n, folder in enumerate(folders):
        if (places[n], of_file[n]) in zip(places[:n], of_file[:n], strict=True):
            raise UsageError(f"{folder}: is named twice; name each exhibition once")
    names = [
        place.name if stem == _ENTRIES else stem
        for place, stem in zip(places, of_file, strict=True)
    ]
    return names if len(set(names)) == len(names) else [str(folder) for folder in folders]


def _exhibition(
    name: str, ready: Preflight, known: "_Identities", options: SeasonOptions
) -> Exhibition:
    table, rules = ready.inputs.table, ready.job.rules
    schedule = _schedule(ready, options.timetable)
    returns = rules.return_date if rules else None
    assumed = datetime.timedelta(days=options.away)
    return Exhibition(
        name=name,
        title=rules.title if rules else "no rules",
        outcomes=ready.outcomes,
        results=tuple(table.result_of(outcome.entry) for outcome in ready.outcomes),
        pictures=tuple(known.pictures_of(name, outcome.entry.number) for outcome in ready.outcomes),
        schedule=schedule,
        away=away_of(schedule, returns, assumed) if schedule else None,
        unit=ready.job.unit,
    )


def _schedule(ready: Preflight, name: str) -> Schedule | None:
    closing = ready.job.rules.closing_date if ready.job.rules else None
    if closing is None:
        return None
    timetable = ready.inputs.source.folders.timetable(name)
    return scheduled(with_public_holidays(timetable, closing), closing)


@dataclass(frozen=True, slots=True)
class _Identities:
    """What tells pictures apart, by exhibition and number of the entry.

    Files at the same place are the same picture; so are files of the same content. Only files that
    are as long as another are read for that.
    """

    known: Mapping[tuple[str, str], tuple[str, ...]]

    @classmethod
    def of(cls, names: Sequence[str], found: Sequence[Inputs]) -> "_Identities":
        """Return the identity of each picture of these entries."""
        places = {
            (name, entry.number): tuple(
                _place(name, inputs, picture.file) for picture in entry.pictures
            )
            for name, inputs in zip(names, found, strict=True)
            for entry in inputs.table.entries
        }
        content = _contents({place for each in places.values() for place in each})
        return cls(
            {key: tuple(content.get(p, str(p)) for p in each) for key, each in places.items()}
        )

    def pictures_of(self, exhibition: str, number: str) -> tuple[str, ...]:
        """Return the identities of the pictures of an entry."""
        return self.known[exhibition, number]


def _place(name: str, inputs: Inputs, file: str) -> Path | str:
    """Where a picture is; one that is not there is like no other."""
    try:
        return inputs.path_of(file).resolve()
    except (PhotographError, OSError):
        return f"{name}: {file}"


def _contents(places: set[Path | str]) -> dict[Path | str, str]:
    """The digest of each file that is as long as another."""
    by_size: dict[int, list[Path]] = defaultdict(list)
    for place in places:
        if isinstance(place, Path):
            by_size[size_of(place)].append(place)
    found: dict[Path | str, str] = {}
    for paths in by_size.values():
        for path in paths if len(paths) > 1 else ():
            try:
                found[path] = sha256_of(path)
            except WriteError:  # the check says that it cannot be read
                continue
    return found
