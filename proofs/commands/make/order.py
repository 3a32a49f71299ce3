"""What ``make`` is asked for, and the task and result of each entry."""

from dataclasses import dataclass, field
from pathlib import Path

from proofs.errors import ExitCode
from proofs.findings import Status
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.tones.tone import Variant
from proofs.records.job import Job
from proofs.records.papers import Sharpening
from proofs.run.inputs import Inputs
from proofs.run.print_files import print_names


@dataclass(frozen=True, slots=True)
class MakeOptions:
    """What to make for each entry beyond the default.

    ``keep_copyright`` keeps the author, copyright and title; ``keep_metadata`` keeps all
    metadata. ``sharpen`` is None for what suits the paper and the lab. ``font`` is a font file
    or None. Without ``prints`` only mock-ups are made.
    """

    variants: bool = False
    anyway: bool = False
    keep_metadata: bool = False
    keep_copyright: bool = False
    sharpen: Sharpening | None = None
    font: Path | None = None
    prints: bool = True


@dataclass(frozen=True, slots=True)
class MakeOrder:
    """What to make and where.

    ``proof_prints`` also asks for the pages of the proof sheet as pictures, ``soft_proof`` for
    a soft proof. ``paper_size`` is ``a4`` or ``letter``.
    """

    job: Job
    inputs: Inputs
    folder: Path
    options: MakeOptions
    paper_size: str = "a4"
    proof_prints: bool = False
    soft_proof: bool = False


@dataclass(frozen=True, slots=True)
class MakeTask:
    """All that a worker needs for one entry.

    ``sources`` are the files of its pictures, in order; its own files go into ``folder``.
    ``threads`` is the number of steps made at once, more than 1 if cores outnumber entries.
    """

    job: Job
    outcome: Outcome
    sources: tuple[Path, ...]
    folder: Path
    stem: str
    options: MakeOptions
    threads: int = 1

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The pictures as the entries file names them; the output folder is not named."""
        files = (picture.file for picture in self.outcome.entry.pictures)
        return (*zip(self.sources, files, strict=True), (self.folder, ""))

    @property
    def is_printed(self) -> bool:
        """Whether the entry gets print files; one that breaks a rule needs ``anyway``."""
        is_fit = self.outcome.status != Status.BROKEN or self.options.anyway
        return self.outcome.plan is not None and self.options.prints and is_fit

    @property
    def file_names(self) -> tuple[str, ...]:
        """The names of all files that the worker writes, relative to the output folder."""
        plan = self.outcome.plan
        if plan is None:
            return ()
        names = [mockup_name(self.stem, step) for step in plan.variants]
        names.append(back_name(self.stem))
        if self.is_printed:
            suffix, variants = self.job.lab.suffix, self.options.variants
            names += print_names(plan, self.stem, suffix, with_variants=variants)
        return tuple(names)


@dataclass(frozen=True, slots=True)
class MakeResult:
    """What a task made: its outcome, and its files with their SHA-256.

    ``exit_code`` is that of the error that stopped it; ``fault`` is the traceback of a fault of
    the program.
    """

    outcome: Outcome
    files: dict[str, str] = field(default_factory=dict)
    exit_code: ExitCode = ExitCode.DONE
    fault: str = ""


def mockup_name(stem: str, variant: Variant) -> str:
    """Return the name of the mock-up of one step, seen from the front."""
    return f"mockups/{stem}_{variant.step.lower()}_front.png"


def back_name(stem: str) -> str:
    """Return the name of the mock-up seen from the back."""
    return f"mockups/{stem}_back.png"
