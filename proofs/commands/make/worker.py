"""The work of one worker process: one entry, from its photographs to its files."""

from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from proofs.commands.make.mount_pictures import (
    Fronts,
    steps_to_draw,
    write_from_fronts,
    write_fronts,
)
from proofs.commands.make.order import EntryParts, MakeResult, MakeTask
from proofs.commands.make.page_pictures import (
    LifeSizePixels,
    SmallPictures,
    life_size_pixels,
    pixels_on_page,
    small_pictures,
    write_page_pictures,
)
from proofs.findings import Finding
from proofs.inspection.uniform_edges import uniform_edge_findings
from proofs.lengths import PixelSize
from proofs.outside.files import sha256_of_bytes, write_whole
from proofs.outside.mockups import EmptyMount, empty_mount
from proofs.outside.pixels import photograph_errors
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.screen_sets import screen_sets
from proofs.outside.pixels.measure.edge_lines import edge_lines
from proofs.outside.pixels.measure.lightness import lightness_map
from proofs.outside.pixels.metadata.extract import Metadata
from proofs.outside.pixels.metadata.stated import finished_metadata
from proofs.outside.pixels.source.decode import Photograph, decode
from proofs.outside.pixels.vips import prepare
from proofs.pages.proof_sheet.life_size import largest_picture
from proofs.plan.checks.outcomes import Tones
from proofs.plan.entry.mockup import picture_pixels
from proofs.records.mounts import WindowKind
from proofs.run.print_files import (
    PrintFacts,
    PrintWriter,
    Write,
    image_base,
    picture_base,
    print_base,
    print_picture,
    print_with_surround,
)
from proofs.run.step_tones import step_tones


def make_entry(task: MakeTask) -> MakeResult:
    """Make what is not kept of one entry and return the result."""
    prepare(task.threads)
    files: dict[str, str] = {}

    def write(name: str, content: bytes) -> None:
        write_whole(task.folder / name, content)
        files[name] = sha256_of_bytes(content)

    on_page = pixels_on_page(task) if task.wants_page_pictures else None
    with ThreadPoolExecutor(task.threads) as threads:
        fronts, parts = Fronts(task), EntryParts()
        if task.needs_pixels:
            parts = _from_pixels(fronts, on_page, write, threads)
        write_from_fronts(fronts, write, threads)
    return MakeResult(files, parts, on_page)


@dataclass(frozen=True, slots=True)
class _PrintedPicture:
    """What is kept of a picture once its print files are written.

    ``small`` is the picture as its mock-up and its page show it, ``lightness`` its L* at the size
    of the mock-up; None if nothing needs them. ``part`` is what is shown at life size, None if it
    is kept. ``base`` is the full picture if one print shows all pictures of the entry, else None.
    """

    sha256: str
    small: SmallPictures | None
    lightness: NDArray[np.float32] | None
    part: LifeSizePixels | None
    base: ProfiledImage | None
    metadata: Metadata | None
    findings: tuple[Finding, ...]
    printed: dict[str, PrintFacts]


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What is wanted of the pictures besides prints.

    ``small`` is whether each at the size of a mock-up is; ``on_page`` how large the page of the
    entry shows each, in pixels, None if its pictures are kept.
    """

    small: bool
    on_page: tuple[PixelSize, ...] | None


def _from_pixels(
    fronts: Fronts,
    on_page: tuple[PixelSize, ...] | None,
    write: Write,
    threads: ThreadPoolExecutor,
) -> EntryParts:
    """Make and measure what needs the pixels of the pictures; ``on_page`` is as in ``_Wanted``."""
    task = fronts.task
    plan, options = task.plan, task.options
    writer = PrintWriter(
        plan, task.job.lab, task.stem, options.variants, write, kept=task.kept.files
    )
    # Drawn while the first picture is decoded, which uses one core only.
    mount = threads.submit(empty_mount, plan) if steps_to_draw(task) else None
    wanted = _Wanted(
        small=mount is not None or task.wants_tones or task.wants_page_pictures,
        on_page=on_page,
    )
    pictures = [_print_one(task, writer, n, wanted, threads) for n in range(len(plan.parts))]
    printed = _printed(writer, pictures, threads)
    part = next((picture.part for picture in pictures if picture.part), None)
    smalls = [picture.small for picture in pictures if picture.small]
    _write_pictures(fronts, mount, smalls, part, write, threads)
    return EntryParts(
        printed=printed,
        tones=_tones(task, pictures) if task.wants_tones else {},
        findings=tuple(finding for picture in pictures for finding in picture.findings),
        life_size=part.part if part else None,
        digests=tuple(picture.sha256 for picture in pictures),
    )


def _print_one(
    task: MakeTask, writer: PrintWriter, n: int, wanted: _Wanted, threads: ThreadPoolExecutor
) -> _PrintedPicture:
    """Make the print files of one picture; usually only small copies of it are kept."""
    plan = task.plan
    photograph = _photograph(task, n)
    file_base, notes = _base(task, photograph, n), photograph.facts.notes
    kept, sha256 = finished_metadata(photograph.metadata, task.metadata), photograph.sha256
    del photograph  # the largest thing in memory
    base = image_base(file_base, plan.parts[n]) if task.is_printed else file_base
    on_page = wanted.on_page[n] if wanted.on_page else None
    if not task.is_printed:
        small = small_pictures(plan, n, base, on_page) if wanted.small else None
        lightness = lightness_map(small.on_mockup, task.job.lab) if small else None
        return _PrintedPicture(sha256, small, lightness, None, None, None, notes, {})
    # A printed surround has one file for all pictures, which is made later.
    is_shared = plan.mount.window == WindowKind.SURROUND
    # Both run while this thread converts the colours.
    borders = threads.submit(
        lambda: uniform_edge_findings(edge_lines(base), plan, n, task.job.lab.ppi)
    )
    reducing = threads.submit(small_pictures, plan, n, base, on_page) if wanted.small else None
    printed = {} if is_shared else print_picture(writer, n, file_base, kept=kept, threads=threads)
    found = (*notes, *borders.result())
    small = reducing.result() if reducing else None
    lightness = lightness_map(small.on_mockup, task.job.lab) if small else None
    part = None
    if on_page and lightness is not None and n == largest_picture(plan):
        part = life_size_pixels(task, n, base, lightness)
    return _PrintedPicture(
        sha256,
        small,
        lightness,
        part,
        base if is_shared else None,
        kept,
        found,
        printed,
    )


def _write_pictures(
    fronts: Fronts,
    mount: Future[EmptyMount] | None,
    smalls: Sequence[SmallPictures],
    part: LifeSizePixels | None,
    write: Write,
    threads: ThreadPoolExecutor,
) -> None:
    """Write mock-ups from the front and the pictures of the page, all converted together."""
    task = fronts.task
    on_mockups = [small.on_mockup for small in smalls] if mount else []
    on_page = [small.on_page for small in smalls if small.on_page]
    parts = [part.base] if part else []
    steps = task.plan.variants if on_page else steps_to_draw(task)
    bases = (*on_mockups, *on_page, *parts)
    sets = iter(screen_sets(bases, [step.density for step in steps]))
    by_step = zip(*(next(sets) for _ in on_mockups), strict=True)
    if mount:
        write_fronts(fronts, mount, dict(zip(steps, by_step, strict=True)), write, threads)
    shown = [next(sets) for _ in on_page]
    write_page_pictures(task, shown, next(sets, None), write)


def _photograph(task: MakeTask, n: int) -> Photograph:
    """A picture of the entry; one that is not what the kept files were made of is refused."""
    path = task.sources[n]
    photograph = decode(path, expected=task.plan.parts[n].facts)
    if task.kept.digests and task.kept.digests[n] != photograph.sha256:
        raise photograph_errors.changed(path)
    return photograph


def _base(task: MakeTask, photograph: Photograph, n: int) -> ProfiledImage:
    """The base of a picture; if nothing is printed, it has only the size of the mock-up."""
    part = task.plan.parts[n]
    if task.is_printed:
        return print_base(task.job, part, photograph, sharpen=task.options.sharpen)
    return picture_base(task.job, part, photograph, picture_pixels(task.plan, n))


def _printed(
    writer: PrintWriter, pictures: Sequence[_PrintedPicture], threads: ThreadPoolExecutor
) -> dict[str, PrintFacts]:
    """The facts of all print files; a printed surround is made here, from all pictures."""
    printed = {name: facts for picture in pictures for name, facts in picture.printed.items()}
    bases = [picture.base for picture in pictures if picture.base]
    if bases:
        kept, wanted = pictures[0].metadata, writer.wanted(writer.stem)
        printed |= threads.map(
            lambda variant: print_with_surround(writer, bases, variant, kept=kept), wanted
        )
    return printed


def _tones(task: MakeTask, pictures: Sequence[_PrintedPicture]) -> dict[str, Tones]:
    """The tones of each step."""
    smalls = [picture.small.on_mockup for picture in pictures if picture.small]
    lightness = [picture.lightness for picture in pictures if picture.lightness is not None]
    densities = [variant.density for variant in task.plan.variants]
    tones = step_tones(smalls, task.job, lightness, densities)
    return {v.step: found for v, found in zip(task.plan.variants, tones, strict=True)}
