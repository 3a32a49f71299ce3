"""The options of ``make``, and the task and result of each entry."""

from dataclasses import dataclass
from pathlib import Path

from proofs.pages.proof_sheet.life_size import part_size
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan
from proofs.plan.tones.tone import Variant
from proofs.records.job import Job
from proofs.records.papers import Sharpening
from proofs.run.inputs import EntriesOptions
from proofs.run.print_files import print_names

PAGE_PICTURES = "page-pictures"
"""The folder of the small pictures on the proof sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeOptions(EntriesOptions):
    """The options of ``make``.

    ``keep_copyright`` keeps the author, copyright and title; ``keep_metadata`` keeps all
    metadata. ``sharpen`` is None for what suits the paper and the lab. ``paper_size`` is ``a4``
    or ``letter``; ``compact`` puts two entries on a page of the proof sheet. ``jobs`` is None for
    what suits the machine.
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
    compact: bool = False
    jobs: int | None = None


@dataclass(frozen=True, slots=True)
class MakeTask:
    """All that a worker needs for one entry.

    ``sources`` are the files of its pictures, in order; its own files go into ``folder``.
    ``threads`` is the number of steps made at once, more than 1 if cores outnumber entries.
    ``is_printed`` is whether the entry gets print files besides its mock-ups.
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

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The pictures as the entries file names them; the output folder is not named."""
        files = (part.file for part in self.plan.parts)
        return (*zip(self.sources, files, strict=True), (self.folder, ""))

    @property
    def has_life_size(self) -> bool:
        """Whether the page of the entry shows a part of the print at life size."""
        return self.is_printed and not self.options.compact and part_size(self.plan, 0) is not None

    @property
    def file_names(self) -> tuple[str, ...]:
        """The names of all files that the worker writes, relative to the output folder."""
        names = [mockup_name(self.stem, step) for step in self.plan.variants]
        names.append(back_name(self.stem))
        for step in self.plan.variants:
            names += [small_picture_name(self.stem, step, n) for n in range(len(self.plan.parts))]
            names += [life_size_name(self.stem, step)] if self.has_life_size else []
        if self.is_printed:
            suffix, variants = self.job.lab.suffix, self.options.variants
            names += print_names(self.plan, self.stem, suffix, with_variants=variants)
        return tuple(names)


@dataclass(frozen=True, slots=True)
class MakeResult:
    """What a task made: its outcome, and its files with their SHA-256."""

    outcome: Outcome
    files: dict[str, str]


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
