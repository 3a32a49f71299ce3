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
from proofs.records.entries import NO_RESULT
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
    places = [_places(name, inputs) for name, inputs in zip(named, found, strict=True)]
    content = _contents({place for one in places for each in one for place in each})
    exhibitions = tuple(
        _exhibition(name, one, _identities(where, content), options)
        for name, one, where in zip(named, ready, places, strict=True)
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
    name: str, ready: Preflight, pictures: tuple[tuple[str, ...], ...], options: SeasonOptions
) -> Exhibition:
    """An exhibition; ``pictures`` are the identities of those of each entry."""
    results, rules = ready.inputs.table.results, ready.job.rules
    schedule = _schedule(ready, options.timetable)
    returns = rules.return_date if rules else None
    assumed = datetime.timedelta(days=options.away)
    return Exhibition(
        name=name,
        title=rules.title if rules else "no rules",
        outcomes=ready.outcomes,
        results=results or (NO_RESULT,) * len(ready.outcomes),
        pictures=pictures,
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


_Place = Path | str
"""Where a picture is, or words for one that is not there: it is like no other."""


def _places(name: str, inputs: Inputs) -> list[list[_Place]]:
    """Where each picture of each entry is; an entry with faults names none."""
    return [
        [f"{name}: {n}: {place}" for place in range(len(entry.pictures))]
        if entry.faults
        else [_place(name, inputs, picture.file) for picture in entry.pictures]
        for n, entry in enumerate(inputs.table.entries)
    ]


def _place(name: str, inputs: Inputs, file: str) -> _Place:
    try:
        return inputs.path_of(file).resolve()
    except (PhotographError, OSError):
        return f"{name}: {file}"


def _identities(
    places: Sequence[Sequence[_Place]], content: Mapping[_Place, str]
) -> tuple[tuple[str, ...], ...]:
    """What tells the pictures of each entry from others: their content, or else their place."""
    return tuple(tuple(content.get(place, str(place)) for place in each) for each in places)


def _contents(places: set[_Place]) -> dict[_Place, str]:
    """The digest of each file that is as long as another; others are not read."""
    by_size: dict[int, list[Path]] = defaultdict(list)
    for place in places:
        if isinstance(place, Path):
            by_size[size_of(place)].append(place)
    found: dict[_Place, str] = {}
    for paths in by_size.values():
        for path in paths if len(paths) > 1 else ():
            try:
                found[path] = sha256_of(path)
            except WriteError:  # the check says that it cannot be read
                continue
    return found
