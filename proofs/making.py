"""One entry from its photograph to its files: what a worker process does."""

import hashlib
import os
import traceback
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from pathlib import Path

from proofs.errors import PhotographError, ProofsError, WriteError
from proofs.findings import Finding, Severity
from proofs.inspection.edges import strip_findings
from proofs.lengths import PixelSize
from proofs.measuring import blocked_findings, step_tones
from proofs.outside.files import write_whole
from proofs.outside.fonts import load_fonts
from proofs.outside.mockups import back_png, front_png
from proofs.outside.pixels.base import Base, make_base, reduced
from proofs.outside.pixels.colour import screen_image, variant_image
from proofs.outside.pixels.edge_lines import edge_lines
from proofs.outside.pixels.encoding import encoded, read_back
from proofs.outside.pixels.mid_grey import lightness_map
from proofs.outside.pixels.opening import Photograph, decode
from proofs.outside.pixels.vips import prepare
from proofs.plan.checking import gravest_first
from proofs.plan.hanging import quarter_turns
from proofs.plan.mockup import picture_pixels
from proofs.plan.outcomes import Outcome, PrintFile, Step, measured_sight
from proofs.plan.planning import Plan
from proofs.plan.tone import Variant
from proofs.records.job import Job

FAULT_CODE = 70


@dataclass(frozen=True, slots=True)
class Wishes:
    """What a run is asked to make beyond the usual; ``font`` is a font file or None.

    ``sharpen`` is ``off``, ``low`` or ``standard``, or None for what suits paper and lab.
    """

    variants: bool = False
    anyway: bool = False
    keep_metadata: bool = False
    sharpen: str | None = None
    font: Path | None = None


@dataclass(frozen=True, slots=True)
class Task:
    """All that a worker needs for one entry; small, since it is sent to another process.

    ``threads`` is how many steps it works on at once, where there are more cores than entries.
    """

    job: Job
    outcome: Outcome
    source: Path
    folder: Path
    stem: str
    wishes: Wishes
    threads: int = 1


@dataclass(frozen=True, slots=True)
class Made:
    """What became of a task: its outcome, its files with their SHA-256, and any fault.

    ``exit_code`` is that of the error that stopped it, or 0; ``fault`` holds the trace of a
    fault of the program.
    """

    outcome: Outcome
    files: dict[str, str] = field(default_factory=dict)
    exit_code: int = 0
    fault: str = ""


def is_to_print(outcome: Outcome, wishes: Wishes) -> bool:
    """Return whether an entry gets print files: not while it breaks a rule, unless asked."""
    return outcome.plan is not None and (outcome.status != "broken" or wishes.anyway)


def names_of(outcome: Outcome, stem: str, suffix: str, wishes: Wishes) -> tuple[str, ...]:
    """Return the names of all files that a task will write, relative to the output folder."""
    if outcome.plan is None:
        return ()
    steps = outcome.plan.variants
    names = [mockup_name(stem, step) for step in steps] + [f"mockups/{stem}_back.png"]
    if is_to_print(outcome, wishes):
        names.append(f"prints/{stem}{suffix}")
        if wishes.variants:
            names += [variant_name(stem, step, suffix) for step in steps]
    return tuple(names)


def mockup_name(stem: str, variant: Variant) -> str:
    """Return the name of the mock-up of one step, seen from the front."""
    return f"mockups/{stem}_{variant.step.lower()}_front.png"


def variant_name(stem: str, variant: Variant, suffix: str) -> str:
    """Return the name of the full-size file of one step; its density never stands in it."""
    return f"variants/{stem}_{variant.step.lower()}{suffix}"


def make_entry(task: Task) -> Made:
    """Make all files of one entry and return what became of it; nothing is ever raised.

    One bad photograph must not stop the next, so every failure becomes an outcome here.
    """
    files: dict[str, str] = {}
    try:
        prepare(task.threads)
        return Made(_made(task, _writer(task.folder, files)), files)
    except PhotographError as error:
        return Made(
            _spoilt(task, "unreadable", str(error), code=error.code), files, error.exit_code
        )
    except ProofsError as error:
        return Made(_spoilt(task, "failed", str(error)), files, error.exit_code)
    except Exception:  # a fault of the program: told with its trace, the other entries go on
        trace = traceback.format_exc()
        reason = f"a fault of the program: {trace.strip().splitlines()[-1]}"
        return Made(_spoilt(task, "failed", reason), files, FAULT_CODE, trace)


def lost(task: Task) -> Made:
    """Return what became of an entry whose worker process died, twice."""
    reason = "the worker process died; is there enough memory? Try --jobs 1"
    return Made(_spoilt(task, "failed", reason), {}, FAULT_CODE)


Write = Callable[[str, bytes], None]
Work = Callable[[Step], Step]


def _writer(folder: Path, files: dict[str, str]) -> Write:
    """Write files into the folder and note each as soon as it is there."""

    def write(name: str, content: bytes) -> None:
        write_whole(folder / name, content)
        files[name] = hashlib.sha256(content).hexdigest()

    return write


def _spoilt(task: Task, status: str, reason: str, *, code: str = "") -> Outcome:
    # Folders are this machine's affair: a report made elsewhere must be the same.
    told = reason.replace(str(task.source), task.outcome.entry.file)
    told = told.replace(f"{task.folder}{os.sep}", "")
    finding = Finding(code or status, Severity.UNREADABLE, told)
    findings = gravest_first((*task.outcome.findings, finding))
    return replace(task.outcome, status=status, findings=findings)


def _made(task: Task, write: Write) -> Outcome:
    plan, outcome = task.outcome.plan, task.outcome
    if plan is None:
        return outcome
    photograph, prints = decode(task.source), is_to_print(outcome, task.wishes)
    if prints:
        base = print_base(task.job, plan, photograph, sharpen=task.wishes.sharpen)
    else:  # what the mock-up takes is enough
        base = _base(task.job, plan, photograph, picture_pixels(plan), "off")
    found, steps = [*photograph.facts.notes], outcome.steps
    small = reduced(base, picture_pixels(plan))
    with ThreadPoolExecutor(task.threads) as threads:
        if prints:
            steps = tuple(threads.map(_printed(task, plan, base, photograph, write), steps))
            found += strip_findings(edge_lines(base), plan, task.job.lab.ppi)
        mocked_up = _mocked_up(task, plan, small, write, is_printed=prints)
        steps = tuple(threads.map(mocked_up, steps))
    back = f"mockups/{task.stem}_back.png"
    write(back, back_png(plan, load_fonts(task.wishes.font)))
    found += blocked_findings(task.job, plan.variants, [s.tones for s in steps if s.tones])
    new = tuple(f for f in found if f not in outcome.findings)
    findings = gravest_first((*outcome.findings, *new))
    return replace(outcome, findings=findings, steps=steps, mockup_back=back, is_printed=prints)


def print_base(job: Job, plan: Plan, photograph: Photograph, *, sharpen: str | None) -> Base:
    """Return what all steps of an entry's print are made of; ``sharpen`` is as in ``Wishes``."""
    return _base(job, plan, photograph, plan.pixels, job.sharpening(sharpen))


def _base(job: Job, plan: Plan, photograph: Photograph, size: PixelSize, sharpen: str) -> Base:
    return make_base(
        photograph,
        turn=quarter_turns(plan.entry.top_edge),
        crop=plan.crop,
        size=size,
        ppi=job.lab.ppi,
        sharpen=sharpen,
    )


def _printed(task: Task, plan: Plan, base: Base, photograph: Photograph, write: Write) -> Work:
    """A function that writes the print file of a step, or leaves the step where none is wanted."""
    lab = task.job.lab
    kept = photograph.metadata if task.wishes.keep_metadata else None

    def printed(step: Step) -> Step:
        is_print = step.variant == plan.printed
        if not (is_print or task.wishes.variants):
            return step
        content = encoded(variant_image(base, lab, step.variant.density), lab, kept=kept)
        own_name = variant_name(task.stem, step.variant, lab.suffix)
        name = f"prints/{task.stem}{lab.suffix}" if is_print else own_name
        write(name, content)
        if is_print and task.wishes.variants:
            write(own_name, content)
        return replace(step, print_file=_read_back(plan, name, content))

    return printed


def _read_back(plan: Plan, name: str, content: bytes) -> PrintFile:
    """What the finished file says of itself."""
    printed = read_back(content)
    if printed.ppi is None:
        raise WriteError(f"{name}: was written without its resolution")
    pixels = PixelSize(printed.width_px, printed.height_px)
    sight = measured_sight(plan.layout.pictures[0], pixels, printed.ppi)
    digest = hashlib.sha256(content).hexdigest()
    return PrintFile(name, pixels, printed.ppi, printed.icc or "", sight, digest)


def _mocked_up(task: Task, plan: Plan, small: Base, write: Write, *, is_printed: bool) -> Work:
    """A function that writes the mock-up of a step, and measures its tones."""
    size, lightness = picture_pixels(plan), lightness_map(small, task.job.lab)

    def mocked_up(step: Step) -> Step:
        picture = screen_image(small, step.variant.density, size)
        name = mockup_name(task.stem, step.variant)
        write(name, front_png(plan, picture, not_printed=not is_printed))
        tones = step_tones(small, task.job, lightness, step.variant.density)
        return replace(step, mockup=name, tones=tones)

    return mocked_up
