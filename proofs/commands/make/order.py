"""The options of ``make``, and the task and result of each entry."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from proofs.findings import Finding
from proofs.lengths import PixelSize
from proofs.pages.proof_sheet.life_size import part_size
from proofs.plan.bench.labels import Label
from proofs.plan.checks.outcomes import LifeSizePart, Outcome, Tones
from proofs.plan.entry.planning import Plan
from proofs.plan.tones.tone import Variant
from proofs.records.job import Job
from proofs.records.metadata_wish import MetadataWish
from proofs.records.papers import Sharpening
from proofs.run.file_metadata import FileMetadataOptions
from proofs.run.print_files import PrintFacts, print_names

PAGE_PICTURES = "page-pictures"
"""The folder of the small pictures: those on the proof sheet, and those of the hang."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeOptions(FileMetadataOptions):
    """The options of ``make``.

    ``sharpen`` is None for what suits the paper and the lab. ``paper_size`` is ``a4``
    or ``letter``; ``compact`` puts two entries on a page of the proof sheet. ``jobs`` is None for
    what suits the machine. ``cluster`` is the address of a scheduler, blank for this machine alone.
    With ``again`` nothing of an earlier run is kept. With ``inspect`` pictures are looked at first.
    """

    out: Path
    inspect: bool = False
    variants: bool = False
    anyway: bool = False
    sharpen: Sharpening | None = None
    proof_prints: bool = False
    soft_proof: bool = False
    paper_size: str = "a4"
    compact: bool = False
    jobs: int | None = None
    cluster: str = ""
    again: bool = False


@dataclass(frozen=True, slots=True)
class EntryParts:
    """What has been made or measured of an entry.

    ``files`` are the names of its files, ``printed`` has the facts of its print files by main
    name, and ``tones`` those of its steps by letter. ``findings`` were made on pixels; None if they
    are not known. ``life_size`` is the part of the print that its page shows at life size, None if
    it is not known or not wanted. ``digests`` are the SHA-256 of its pictures' files, blank if not
    known.
    """

    files: frozenset[str] = frozenset()
    printed: Mapping[str, PrintFacts] = field(default_factory=dict)
    tones: Mapping[str, Tones] = field(default_factory=dict)
    findings: tuple[Finding, ...] | None = None
    life_size: LifeSizePart | None = None
    digests: tuple[str, ...] = ()

    def with_more(self, more: "EntryParts") -> "EntryParts":
        """Return these parts and others together."""
        return EntryParts(
            self.files | more.files,
            {**self.printed, **more.printed},
            {**self.tones, **more.tones},
            self.findings if more.findings is None else more.findings,
            more.life_size or self.life_size,
            more.digests or self.digests,
        )


@dataclass(frozen=True, slots=True)
class MakeTask:
    """All that a worker needs for one entry.

    ``sources`` are the files of its pictures, in order; its own files go into ``folder``.
    ``label`` is the one for its back, ``metadata`` what its print files state of their makers.
    ``threads`` is the number of steps made at once, more than 1
    if cores outnumber entries. ``is_printed`` is whether the entry gets print files besides its
    mock-ups, and ``is_hung`` whether it hangs with the others. ``kept`` is what earlier runs left,
    which is not made again.
    """

    job: Job
    outcome: Outcome
    plan: Plan
    label: Label
    sources: tuple[Path, ...]
    folder: Path
    stem: str
    options: MakeOptions
    threads: int
    metadata: MetadataWish
    is_printed: bool
    is_hung: bool
    kept: EntryParts = EntryParts()

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The pictures as the entries file names them; the output folder is not named."""
        files = (part.file for part in self.plan.parts)
        folders = ((folder, "") for folder in (self.folder, self.options.out))
        return (*zip(self.sources, files, strict=True), *folders)

    @property
    def has_life_size(self) -> bool:
        """Whether the page of the entry shows a part of the print at life size."""
        return self.is_printed and not self.options.compact and part_size(self.plan, 0) is not None

    @property
    def file_names(self) -> tuple[str, ...]:
        """The names of all files that the worker writes, relative to the output folder."""
        names = [mockup_name(self.stem, step) for step in self.plan.variants]
        return (*names, *self.from_fronts, *self.page_pictures, *self.print_names)

    @property
    def from_fronts(self) -> tuple[str, ...]:
        """The names of the files that are made of its mock-ups from the front."""
        return (back_name(self.stem), *([hung_name(self.stem)] if self.is_hung else []))

    @property
    def print_names(self) -> tuple[str, ...]:
        """The names of its print files."""
        if not self.is_printed:
            return ()
        suffix, variants = self.job.lab.suffix, self.options.variants
        return print_names(self.plan, self.stem, suffix, with_variants=variants)

    @property
    def page_pictures(self) -> tuple[str, ...]:
        """The names of the small pictures on the page of the entry."""
        names, has_life_size = [], self.has_life_size
        for step in self.plan.variants:
            names += [small_picture_name(self.stem, step, n) for n in range(len(self.plan.parts))]
            names += [life_size_name(self.stem, step)] if has_life_size else []
        return tuple(names)

    @property
    def wants_page_pictures(self) -> bool:
        """Whether the small pictures of its page are to be made; they are made together."""
        is_unknown = self.has_life_size and self.kept.life_size is None
        return is_unknown or not self.kept.files.issuperset(self.page_pictures)

    @property
    def ghost(self) -> Variant:
        """The step whose picture is seen as a ghost on the back, whichever is chosen."""
        return next(step for step in self.plan.variants if step.is_plain)

    def wants(self, name: str) -> bool:
        """Whether this file of its own is to be made."""
        return name in self.file_names and name not in self.kept.files

    @property
    def wants_tones(self) -> bool:
        """Whether the tones of any step are to be measured."""
        return len(self.kept.tones) < len(self.plan.variants)

    @property
    def needs_pixels(self) -> bool:
        """Whether anything is to be made or measured from the pixels of its pictures."""
        left = set(self.file_names) - self.kept.files - set(self.from_fronts)
        is_known = self.kept.findings is not None and not self.wants_tones
        return bool(left) or self.wants_page_pictures or not is_known

    @property
    def is_done(self) -> bool:
        """Whether all of it is kept."""
        return not (self.needs_pixels or any(map(self.wants, self.from_fronts)))


@dataclass(frozen=True, slots=True)
class MakeResult:
    """What a task made: its files with their SHA-256, and all that it measured.

    ``on_page`` is how large its page shows each picture, in pixels; None if that was not needed.
    """

    files: dict[str, str]
    parts: EntryParts
    on_page: tuple[PixelSize, ...] | None = None


def mockup_name(stem: str, variant: Variant) -> str:
    """Return the name of the mock-up of one step, seen from the front."""
    return f"mockups/{stem}_{variant.step.lower()}_front.png"


def small_picture_name(stem: str, variant: Variant, n: int) -> str:
    """Return the name of what is seen of picture ``n`` at one step, small, for the proof sheet."""
    return f"{PAGE_PICTURES}/{stem}_{variant.step.lower()}_{n + 1}.jpg"


def life_size_name(stem: str, variant: Variant) -> str:
    """Return the name of a part of one step at life size, for the proof sheet."""
    return f"{PAGE_PICTURES}/{stem}_{variant.step.lower()}_life-size.jpg"


def back_name(stem: str) -> str:
    """Return the name of the mock-up seen from the back."""
    return f"mockups/{stem}_back.png"


def hung_name(stem: str) -> str:
    """Return the name of the whole mount at its printed step, small, for the hang."""
    return f"{PAGE_PICTURES}/{stem}_hung.jpg"
