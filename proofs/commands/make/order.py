"""What a worker is told of an entry, and what it tells of it afterwards."""

from dataclasses import dataclass, field
from pathlib import Path

from proofs.plan.checks.outcomes import Outcome
from proofs.plan.tones.tone import Variant
from proofs.records.job import Job
from proofs.run.print_files import print_names


@dataclass(frozen=True, slots=True)
class MakeOptions:
    """What a run is asked to make beyond the usual; ``font`` is a font file or None.

    ``keep_copyright`` keeps the least of the metadata, ``keep_metadata`` all that can be.
    ``sharpen`` is ``off``, ``low`` or ``standard``, or None for what suits paper and lab.
    Without ``prints`` there are mock-ups alone.
    """

    variants: bool = False
    anyway: bool = False
    keep_metadata: bool = False
    keep_copyright: bool = False
    sharpen: str | None = None
    font: Path | None = None
    prints: bool = True


@dataclass(frozen=True, slots=True)
class MakeTask:
    """All that a worker needs for one entry; small, since it is sent to another process.

    ``sources`` are the files of its pictures, in their order. ``threads`` is how many steps it
    works on at once, where there are more cores than entries.
    """

    job: Job
    outcome: Outcome
    sources: tuple[Path, ...]
    folder: Path
    stem: str
    wishes: MakeOptions
    threads: int = 1


@dataclass(frozen=True, slots=True)
class MakeResult:
    """What became of a task: its outcome, its files with their SHA-256, and any fault.

    ``exit_code`` is that of the error that stopped it, or 0; ``fault`` holds the trace of a
    fault of the program.
    """

    outcome: Outcome
    files: dict[str, str] = field(default_factory=dict)
    exit_code: int = 0
    fault: str = ""


def is_to_print(outcome: Outcome, wishes: MakeOptions) -> bool:
    """Return whether an entry gets print files: not while it breaks a rule, unless asked."""
    is_fit = outcome.status != "broken" or wishes.anyway
    return outcome.plan is not None and wishes.prints and is_fit


def file_names(outcome: Outcome, stem: str, suffix: str, wishes: MakeOptions) -> tuple[str, ...]:
    """Return the names of all files that a task will write, relative to the output folder."""
    if outcome.plan is None:
        return ()
    plan = outcome.plan
    names = [mockup_name(stem, step) for step in plan.variants] + [f"mockups/{stem}_back.png"]
    if is_to_print(outcome, wishes):
        names += print_names(plan, stem, suffix, with_variants=wishes.variants)
    return tuple(names)


def mockup_name(stem: str, variant: Variant) -> str:
    """Return the name of the mock-up of one step, seen from the front."""
    return f"mockups/{stem}_{variant.step.lower()}_front.png"
