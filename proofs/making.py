"""One entry from its photograph to its files: what a worker process does."""

import hashlib
import os
import traceback
from collections.abc import Callable, Sequence
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
from proofs.plan.planning import Part, Plan
from proofs.plan.tone import Variant
from proofs.records.job import Job

FAULT_CODE = 70


@dataclass(frozen=True, slots=True)
class Wishes:
    """What a run is asked to make beyond the usual; ``font`` is a font file or None.

    ``sharpen`` is ``off``, ``low`` or ``standard``, or None for what suits paper and lab.
    Without ``prints`` there are mock-ups alone.
    """

    variants: bool = False
    anyway: bool = False
    keep_metadata: bool = False
    sharpen: str | None = None
    font: Path | None = None
    prints: bool = True


@dataclass(frozen=True, slots=True)
class Task:
    """All that a worker needs for one entry; small, since it is sent to another process.

    ``sources`` are the files of its pictures, in their order. ``threads`` is how many steps it
    works on at once, where there are more cores than entries.
    """

    job: Job
    outcome: Outcome
    sources: tuple[Path, ...]
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
    is_fit = outcome.status != "broken" or wishes.anyway
    return outcome.plan is not None and wishes.prints and is_fit


def names_of(outcome: Outcome, stem: str, suffix: str, wishes: Wishes) -> tuple[str, ...]:
    """Return the names of all files that a task will write, relative to the output folder."""
    if outcome.plan is None:
        return ()
    steps = outcome.plan.variants
    names = [mockup_name(stem, step) for step in steps] + [f"mockups/{stem}_back.png"]
    if is_to_print(outcome, wishes):
        for picture in picture_stems(outcome.plan, stem):
            names.append(f"prints/{picture}{suffix}")
            if wishes.variants:
                names += [variant_name(picture, step, suffix) for step in steps]
    return tuple(names)


def picture_stems(plan: Plan, stem: str) -> tuple[str, ...]:
    """Return the start of the names of each picture's print files; several are counted."""
    count = len(plan.parts)
    return (stem,) if count == 1 else tuple(f"{stem}_{n}" for n in range(1, count + 1))


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
    told = reason
    for source, picture in zip(task.sources, task.outcome.entry.pictures, strict=True):
        told = told.replace(str(source), picture.file)
    told = told.replace(f"{task.folder}{os.sep}", "")
    finding = Finding(code or status, Severity.UNREADABLE, told)
    findings = gravest_first((*task.outcome.findings, finding))
    return replace(task.outcome, status=status, findings=findings)


@dataclass(frozen=True, slots=True)
class _Picture:
    """What is kept of a picture when its print files are written: it, small, and their facts."""

    small: Base
    found: tuple[Finding, ...]
    print_files: dict[Variant, PrintFile]


def _made(task: Task, write: Write) -> Outcome:
    plan, outcome = task.outcome.plan, task.outcome
    if plan is None:
        return outcome
    prints = is_to_print(outcome, task.wishes)
    with ThreadPoolExecutor(task.threads) as threads:
        pictures = [_picture(task, plan, n, write, threads) for n in range(len(plan.parts))]
        is_fit = prints or outcome.status != "broken"
        mocked_up = _mocked_up(task, plan, pictures, write, is_printed=is_fit)
        steps = tuple(threads.map(mocked_up, outcome.steps))
    back = f"mockups/{task.stem}_back.png"
    write(back, back_png(plan, load_fonts(task.wishes.font)))
    found = [finding for picture in pictures for finding in picture.found]
    found += blocked_findings(task.job, plan.variants, [s.tones for s in steps if s.tones])
    new = dict.fromkeys(f for f in found if f not in outcome.findings)
    findings = gravest_first((*outcome.findings, *new))
    return replace(outcome, findings=findings, steps=steps, mockup_back=back, is_printed=prints)


def _picture(task: Task, plan: Plan, n: int, write: Write, threads: ThreadPoolExecutor) -> _Picture:
    """Make the print files of one picture; only a small copy of it outlasts them."""
    photograph, size = decode(task.sources[n]), picture_pixels(plan, n)
    notes = photograph.facts.notes
    if not is_to_print(task.outcome, task.wishes):  # what the mock-up takes is enough
        base = _base(task.job, plan.parts[n], photograph, size, "off")
        return _Picture(reduced(base, size), notes, {})
    base = print_base(task.job, plan.parts[n], photograph, sharpen=task.wishes.sharpen)
    printed = _printed(task, plan, n, (base, photograph), write)
    files = threads.map(printed, (step.variant for step in task.outcome.steps))
    made = {file.variant: file.print_file for file in files if file}
    found = strip_findings(edge_lines(base), plan, n, task.job.lab.ppi)
    return _Picture(reduced(base, size), (*notes, *found), made)


def print_base(job: Job, part: Part, photograph: Photograph, *, sharpen: str | None) -> Base:
    """Return what all steps of a picture's print are made of; ``sharpen`` is as in ``Wishes``."""
    return _base(job, part, photograph, part.pixels, job.sharpening(sharpen))


def _base(job: Job, part: Part, photograph: Photograph, size: PixelSize, sharpen: str) -> Base:
    return make_base(
        photograph,
        turn=quarter_turns(part.top_edge),
        crop=part.crop,
        size=size,
        ppi=job.lab.ppi,
        sharpen=sharpen,
    )


@dataclass(frozen=True, slots=True)
class _Printed:
    """A step with its finished file."""

    variant: Variant
    print_file: PrintFile


def _printed(
    task: Task, plan: Plan, n: int, made_of: tuple[Base, Photograph], write: Write
) -> Callable[[Variant], _Printed | None]:
    """A function that writes a picture's file of a step; None where none is wanted."""
    lab, (base, photograph) = task.job.lab, made_of
    kept = photograph.metadata if task.wishes.keep_metadata else None
    stem = picture_stems(plan, task.stem)[n]

    def printed(variant: Variant) -> _Printed | None:
        is_print = variant == plan.printed
        if not (is_print or task.wishes.variants):
            return None
        content = encoded(variant_image(base, lab, variant.density), lab, kept=kept)
        own_name = variant_name(stem, variant, lab.suffix)
        name = f"prints/{stem}{lab.suffix}" if is_print else own_name
        write(name, content)
        if is_print and task.wishes.variants:
            write(own_name, content)
        return _Printed(variant, _read_back(plan, n, name, content))

    return printed


def _read_back(plan: Plan, n: int, name: str, content: bytes) -> PrintFile:
    """What the finished file says of itself."""
    printed = read_back(content)
    if printed.ppi is None:
        raise WriteError(f"{name}: was written without its resolution")
    pixels = PixelSize(printed.width_px, printed.height_px)
    sight = measured_sight(plan.layout.pictures[n], pixels, printed.ppi)
    digest = hashlib.sha256(content).hexdigest()
    return PrintFile(name, pixels, printed.ppi, printed.icc or "", sight, digest)


def _mocked_up(
    task: Task, plan: Plan, pictures: Sequence[_Picture], write: Write, *, is_printed: bool
) -> Work:
    """A function that writes the mock-up of a step, and measures its tones."""
    smalls = [picture.small for picture in pictures]
    lightness = [lightness_map(small, task.job.lab) for small in smalls]

    def mocked_up(step: Step) -> Step:
        variant = step.variant
        seen = [
            screen_image(small, variant.density, picture_pixels(plan, n))
            for n, small in enumerate(smalls)
        ]
        name = mockup_name(task.stem, variant)
        write(name, front_png(plan, seen, not_printed=not is_printed))
        files = tuple(p.print_files[variant] for p in pictures if variant in p.print_files)
        tones = step_tones(smalls, task.job, lightness, variant.density)
        return replace(step, print_files=files, mockup=name, tones=tones)

    return mocked_up
