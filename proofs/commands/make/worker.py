"""The work of one worker process: one entry, from its photographs to its files."""

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from proofs.commands.make.order import MakeOptions, MakeResult, MakeTask, back_name, mockup_name
from proofs.commands.make.page_pictures import (
    LifeSizePixels,
    life_size_pixels,
    pixels_on_page,
    shown_on_page,
    write_page_pictures,
)
from proofs.findings import Finding, Status
from proofs.inspection.uniform_edges import uniform_edge_findings
from proofs.lengths import PixelSize
from proofs.outside.files import sha256_of_bytes, write_whole
from proofs.outside.fonts import load_fonts
from proofs.outside.mockups import EmptyMount, back_png, empty_mount, front_png
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import screen_pictures
from proofs.outside.pixels.measure.edge_lines import edge_lines
from proofs.outside.pixels.measure.lightness import lightness_map
from proofs.outside.pixels.metadata.credit import credit_of
from proofs.outside.pixels.metadata.extract import Metadata
from proofs.outside.pixels.resize.print_size import reduced
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.pages.proof_sheet.life_size import largest_picture
from proofs.plan.checks.checking import by_severity
from proofs.plan.checks.outcomes import Outcome, PrintFile, StepOutcome
from proofs.plan.entry.mockup import picture_pixels
from proofs.plan.tones.tone import Variant
from proofs.records.mounts import WindowKind
from proofs.run.print_files import (
    PrintWriter,
    Write,
    picture_base,
    print_base,
    print_picture,
    print_with_surround,
)
from proofs.run.step_tones import blocked_findings, step_tones


def make_entry(task: MakeTask) -> MakeResult:
    """Make all files of one entry and return the result."""
    prepare(task.threads)
    files: dict[str, str] = {}

    def write(name: str, content: bytes) -> None:
        write_whole(task.folder / name, content)
        files[name] = sha256_of_bytes(content)

    return MakeResult(_make(task, write), files)


@dataclass(frozen=True, slots=True)
class _PrintedPicture:
    """What is kept of a picture once its print files are written.

    ``on_page`` is what is seen of it, as large as its page shows it, ``part`` what is shown at life
    size. ``base`` is the full picture if one print shows all pictures of the entry, else None.
    """

    small: ProfiledImage
    lightness: NDArray[np.float32]
    on_page: ProfiledImage
    part: LifeSizePixels | None
    base: ProfiledImage | None
    metadata: Metadata | None
    findings: tuple[Finding, ...]
    print_files: dict[Variant, PrintFile]


def _make(task: MakeTask, write: Write) -> Outcome:
    plan, outcome = task.plan, task.outcome
    writer = PrintWriter(plan, task.job.lab, task.stem, task.options.variants, write)
    with ThreadPoolExecutor(task.threads) as threads:
        # The mount is drawn while the first picture is decoded, which uses one core only.
        mount = threads.submit(empty_mount, plan)
        back_view = threads.submit(back_png, plan, load_fonts(task.options.font))
        on_page = pixels_on_page(task, outcome)
        pictures = [_print_one(task, writer, n, size, threads) for n, size in enumerate(on_page)]
        files = _print_files(writer, pictures, outcome.steps, threads)
        make_mockup = _mockup_maker(task, mount.result(), pictures, write)
        steps = tuple(threads.map(make_mockup, outcome.steps))
    steps = tuple(replace(s, print_files=files.get(s.variant, ())) for s in steps)
    back = back_name(task.stem)
    write(back, back_view.result())
    found = [finding for picture in pictures for finding in picture.findings]
    found += blocked_findings(task.job, plan.variants, [s.tones for s in steps if s.tones])
    new = dict.fromkeys(f for f in found if f not in outcome.findings)
    findings = by_severity((*outcome.findings, *new))
    made = replace(
        outcome, findings=findings, steps=steps, mockup_back=back, is_printed=task.is_printed
    )
    shown = [picture.on_page for picture in pictures]
    part = next((picture.part for picture in pictures if picture.part), None)
    return write_page_pictures(task, made, shown, part, write)


def _print_one(
    task: MakeTask, writer: PrintWriter, n: int, on_page: PixelSize, threads: ThreadPoolExecutor
) -> _PrintedPicture:
    """Make the print files of one picture; usually only small copies of it are kept."""
    plan, size = task.plan, picture_pixels(task.plan, n)
    base, kept, notes = _load_base(task, n)
    if not task.is_printed:
        small, page = reduced(base, size), shown_on_page(plan, n, base, on_page)
        lightness = lightness_map(small, task.job.lab)
        return _PrintedPicture(small, lightness, page, None, None, None, notes, {})
    # A printed surround has one file for all pictures, which is made later.
    is_shared = plan.mount.window == WindowKind.SURROUND
    steps = () if is_shared else task.outcome.steps
    wanted = [step.variant for step in steps if writer.needs(step.variant)]
    # Both run while this thread converts the colours.
    edges = threads.submit(edge_lines, base)
    reducing = threads.submit(reduced, base, size)
    shown = threads.submit(shown_on_page, plan, n, base, on_page)
    files = print_picture(writer, n, base, wanted, kept=kept, threads=threads)
    found = (*notes, *uniform_edge_findings(edges.result(), plan, n, task.job.lab.ppi))
    small = reducing.result()
    lightness = lightness_map(small, task.job.lab)
    part = life_size_pixels(task, n, base, lightness) if n == largest_picture(plan) else None
    whole = base if is_shared else None
    return _PrintedPicture(small, lightness, shown.result(), part, whole, kept, found, files)


def _load_base(
    task: MakeTask, n: int
) -> tuple[ProfiledImage, Metadata | None, tuple[Finding, ...]]:
    """The base of a picture, the metadata to keep, and notes; the photograph itself is freed.

    If nothing is printed, the base has only the size of the mock-up.
    """
    part = task.plan.parts[n]
    photograph = decode(task.sources[n], expected=part.facts)
    kept, notes = _metadata_to_keep(photograph.metadata, task.options), photograph.facts.notes
    if task.is_printed:
        return print_base(task.job, part, photograph, sharpen=task.options.sharpen), kept, notes
    return picture_base(task.job, part, photograph, picture_pixels(task.plan, n)), kept, notes


def _metadata_to_keep(metadata: Metadata, options: MakeOptions) -> Metadata | None:
    if options.keep_metadata:
        return metadata
    return credit_of(metadata) if options.keep_copyright else None


def _print_files(
    writer: PrintWriter,
    pictures: Sequence[_PrintedPicture],
    steps: Sequence[StepOutcome],
    threads: ThreadPoolExecutor,
) -> dict[Variant, tuple[PrintFile, ...]]:
    """The print files of each step; a printed surround is made here, from all pictures."""
    bases = [picture.base for picture in pictures if picture.base]
    if not bases:
        made = [step.variant for step in steps if step.variant in pictures[0].print_files]
        return {v: tuple(picture.print_files[v] for picture in pictures) for v in made}
    kept = pictures[0].metadata
    wanted = [step.variant for step in steps if writer.needs(step.variant)]
    whole = threads.map(lambda v: print_with_surround(writer, bases, v, kept=kept), wanted)
    return dict(zip(wanted, whole, strict=True))


def _mockup_maker(
    task: MakeTask, mount: EmptyMount, printed: Sequence[_PrintedPicture], write: Write
) -> Callable[[StepOutcome], StepOutcome]:
    """A function that writes the mock-up of a step and measures its tones."""
    smalls, lightness = [one.small for one in printed], [one.lightness for one in printed]
    plan, is_broken = task.plan, task.outcome.status == Status.BROKEN
    steps = [step.variant for step in task.outcome.steps]
    densities = [step.density for step in steps]
    by_step = zip(*(screen_pictures(small, densities) for small in smalls), strict=True)
    pictures = dict(zip(steps, by_step, strict=True))

    def make_mockup(step: StepOutcome) -> StepOutcome:
        name = mockup_name(task.stem, step.variant)
        not_printed = is_broken and not task.options.anyway
        write(name, front_png(mount, plan, pictures[step.variant], not_printed=not_printed))
        tones = step_tones(smalls, task.job, lightness, step.variant.density)
        return replace(step, mockup=name, tones=tones)

    return make_mockup
