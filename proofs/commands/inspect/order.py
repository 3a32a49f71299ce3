"""The options of ``inspect``, and the task and result of each picture."""

from dataclasses import dataclass
from pathlib import Path

from proofs.inspection.inspected import InspectedPicture, PictureLook
from proofs.inspection.look_crops import crop_names, cropped_marks, look_stem, overview_name
from proofs.plan.entry.planning import Plan, PlannedPicture
from proofs.records.inspections import InspectionProfile
from proofs.records.job import Job
from proofs.records.spotted import Tick
from proofs.run.inputs import EntriesOptions

Picture = tuple[str, int]
"""One picture: the number of its entry, and its place in the entry, from 0."""

USUAL = "usual"
"""The inspection profile of a run that names none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectOptions(EntriesOptions):
    """The options of ``inspect``.

    ``inspection`` names a profile; if it is blank, ``job.toml`` may, else it is the usual one.
    ``paper_size``, ``jobs`` and ``again`` are as in ``MakeOptions``; with ``as_json`` the record is
    printed instead of lines.
    """

    out: Path
    inspection: str = ""
    paper_size: str = "a4"
    jobs: int | None = None
    again: bool = False
    as_json: bool = False


@dataclass(frozen=True, slots=True)
class InspectTask:
    """All that a worker needs to look at one picture of an entry, counted from 0.

    Its files go into ``folder``, unless only what is found counts; their names start with
    ``stem``. ``ticks`` are those of all entries. ``known`` is what an earlier run found,
    ``kept`` are the files that it left.
    """

    job: Job
    plan: Plan
    n: int
    source: Path
    folder: Path
    stem: str
    profile: InspectionProfile
    ticks: tuple[Tick, ...] = ()
    known: PictureLook | None = None
    kept: frozenset[str] = frozenset()
    with_files: bool = True

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The picture as the entries file names it; the output folder is not named."""
        return ((self.source, self.part.file), (self.folder, ""))

    @property
    def picture(self) -> Picture:
        """Which picture it is about."""
        return self.plan.entry.number, self.n

    @property
    def part(self) -> PlannedPicture:
        """The picture as planned."""
        return self.plan.parts[self.n]

    @property
    def file_stem(self) -> str:
        """How the names of its files start."""
        return look_stem(self.stem, self.plan, self.n)

    def seen(self, look: PictureLook) -> InspectedPicture:
        """Return the picture with what was found in it."""
        return InspectedPicture.of_look(self.plan, self.n, look, self.ticks)

    def file_names(self, look: PictureLook) -> tuple[str, ...]:
        """Return the names of the files that its page shows."""
        picture = self.seen(look)
        if picture.is_calm or not self.with_files:
            return ()
        crops = (crop_names(self.file_stem, place) for place, _ in cropped_marks(picture))
        return (overview_name(self.file_stem), *(name for pair in crops for name in pair))

    @property
    def is_done(self) -> bool:
        """Whether all of it is kept."""
        return self.known is not None and self.kept.issuperset(self.file_names(self.known))


@dataclass(frozen=True, slots=True)
class InspectResult:
    """What a task made: its files with their SHA-256, and what was found."""

    files: dict[str, str]
    look: PictureLook
