"""The options of ``make``, and the task and result of each entry."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from proofs.findings import Finding
from proofs.plan.checks.outcomes import Outcome, Tones
from proofs.plan.entry.planning import Plan
from proofs.plan.tones.tone import Variant
from proofs.records.job import Job
from proofs.records.papers import Sharpening
from proofs.run.inputs import EntriesOptions
from proofs.run.print_files import PrintFacts, print_names


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeOptions(EntriesOptions):
    """The options of ``make``.

    ``keep_copyright`` keeps the author, copyright and title; ``keep_metadata`` keeps all
    metadata. ``sharpen`` is None for what suits the paper and the lab. ``paper_size`` is ``a4``
    or ``letter``. ``jobs`` is None for what suits the machine. With ``again`` nothing of an earlier
    run is kept.
    """

    out: Path
    variants: bool = False
    anyway: bool = False
    keep_metadata: bool = False
    keep_copyright: bool = False
    sharpen: Sharpening | None = None
    proof_prints: bool = False
    soft_proof: bool = False
    paper_size: str = "a4"
    jobs: int | None = None
    again: bool = False


@dataclass(frozen=True, slots=True)
class EntryParts:
    """What has been made or measured of an entry.

    ``files`` are the names of its files, ``printed`` has the facts of its print files by main
    name, and ``tones`` those of its steps by letter. ``findings`` were made on pixels; None if they
    are not known. ``digests`` are the SHA-256 of its pictures' files, blank if not known.
    """

    files: frozenset[str] = frozenset()
    printed: Mapping[str, PrintFacts] = field(default_factory=dict)
    tones: Mapping[str, Tones] = field(default_factory=dict)
    findings: tuple[Finding, ...] | None = None
    digests: tuple[str, ...] = ()

    def with_more(self, more: "EntryParts") -> "EntryParts":
        """Return these parts and others together."""
        return EntryParts(
            self.files | more.files,
            {**self.printed, **more.printed},
            {**self.tones, **more.tones},
            self.findings if more.findings is None else more.findings,
            more.digests or self.digests,
        )


@dataclass(frozen=True, slots=True)
class MakeTask:
    """All that a worker needs for one entry.

    ``sources`` are the files of its pictures, in order; its own files go into ``folder``.
    ``threads`` is the number of steps made at once, more than 1 if cores outnumber entries.
    ``is_printed`` is whether the entry gets print files besides its mock-ups. ``kept`` is what
    earlier runs left, which is not made again.
    """

    job: Job
    outcome: Outcome
    plan: Plan
    sources: tuple[Path, ...]
    folder: Path
    stem: str
    options: MakeOptions
    threads: int
    is_printed: bool
    kept: EntryParts = EntryParts()

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The pictures as the entries file names them; the output folder is not named."""
        files = (part.file for part in self.plan.parts)
        return (*zip(self.sources, files, strict=True), (self.folder, ""))

    @property
    def file_names(self) -> tuple[str, ...]:
        """The names of all files that the worker writes, relative to the output folder."""
        names = [mockup_name(self.stem, step) for step in self.plan.variants]
        names.append(back_name(self.stem))
        if self.is_printed:
            suffix, variants = self.job.lab.suffix, self.options.variants
            names += print_names(self.plan, self.stem, suffix, with_variants=variants)
        return tuple(names)

    @property
    def wants_back(self) -> bool:
        """Whether the mock-up of the back is to be made."""
        return back_name(self.stem) not in self.kept.files

    @property
    def wants_tones(self) -> bool:
        """Whether the tones of any step are to be measured."""
        return len(self.kept.tones) < len(self.plan.variants)

    @property
    def needs_pixels(self) -> bool:
        """Whether anything is to be made or measured from the pixels of its pictures."""
        left = set(self.file_names) - self.kept.files - {back_name(self.stem)}
        return bool(left) or self.wants_tones or self.kept.findings is None

    @property
    def is_done(self) -> bool:
        """Whether all of it is kept."""
        return not (self.wants_back or self.needs_pixels)


@dataclass(frozen=True, slots=True)
class MakeResult:
    """What a task made: its files with their SHA-256, and all that it measured."""

    files: dict[str, str]
    parts: EntryParts


def mockup_name(stem: str, variant: Variant) -> str:
    """Return the name of the mock-up of one step, seen from the front."""
    return f"mockups/{stem}_{variant.step.lower()}_front.png"


def back_name(stem: str) -> str:
    """Return the name of the mock-up seen from the back."""
    return f"mockups/{stem}_back.png"
