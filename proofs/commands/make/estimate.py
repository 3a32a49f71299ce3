"""How many bytes the files of a run will take: at most, and about.

The header of a picture does not tell: as a lab's JPEG of the same size and quality, one photograph
takes six times the bytes of another (measured). Where it matters, patches of each print and mock-up
are made and encoded as the files will be.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from proofs.commands.make.order import MakeTask, hung_name
from proofs.commands.make.page_pictures import pixels_on_page
from proofs.lengths import PixelSize
from proofs.outside.earlier_runs import has_room
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import screen_pictures, variant_image
from proofs.outside.pixels.prints.encoding import encoded, page_file
from proofs.outside.pixels.resize.samples import sampled_for_print
from proofs.outside.pixels.source.decode import Photograph, decode
from proofs.outside.pixels.vips import prepare
from proofs.outside.png import rgb_png
from proofs.outside.sheet_pictures import SHEET_PPI, small_jpeg
from proofs.plan.entry.hanging import quarter_turns
from proofs.plan.entry.mockup import PX_PER_INCH, mockup_pixels, picture_pixels
from proofs.plan.entry.planning import PlannedPicture
from proofs.plan.sheets.printed_pieces import surround_areas
from proofs.records.labs import Lab
from proofs.records.mounts import WindowKind
from proofs.records.papers import Sharpening
from proofs.run.print_files import print_bytes, print_stems
from proofs.run.workers import Trouble, Workers

_SPARE = 1.25  # measured: of 420 files none takes more, and each takes two thirds of it or more
_BOARD_BYTES = 0.03  # per pixel of a mock-up beside its pictures: bevels and words, measured
_PAGE_BYTES = 20_000  # of the proof sheet and the report, for each mock-up, measured
_LIFE_SIZE_PX = 472 * 354  # of a part of 40 x 30 mm at 300 ppi
_FLAT_PX = 256
_MOST_ON_A_PAGE = 400_000  # bytes of a small picture, once as a file and once on the proof sheet
_MOST_PER_PIXEL = 2  # of a mock-up; measured: 1.5 for the most detailed picture


def needed_bytes(tasks: Sequence[MakeTask], out: Path, workers: Workers) -> int:
    """Return how many bytes the disk of ``out`` must have room for.

    That is the most that the files may take. Only where there is less room are the pictures
    looked at, because most take far less.
    """
    most = most_bytes(tasks)
    return most if has_room(out, most) else about_bytes(tasks, workers)


def most_bytes(tasks: Iterable[MakeTask]) -> int:
    """Return an upper estimate of the bytes of all files that are still to be made."""
    size = 0
    for task in tasks:
        left = set(task.file_names) - task.kept.files
        shown, printed = left.intersection(task.page_pictures), left.intersection(task.print_names)
        hung = left.intersection([hung_name(task.stem)])
        mockups = len(left) - len(shown) - len(printed) - len(hung)
        size += (len(shown) + len(hung)) * _MOST_ON_A_PAGE
        size += mockups * _MOST_PER_PIXEL * _count(mockup_pixels(task.plan))
        prints = sum(print_bytes(part.file_pixels, task.job.lab) for part in task.plan.parts)
        size += len(printed) * prints // len(print_stems(task.plan, task.stem))
    return size


def about_bytes(tasks: Sequence[MakeTask], workers: Workers) -> int:
    """Return about how many bytes the files of these tasks take, rather too many than too few.

    A picture that cannot be read counts as nothing, because it gets no files.
    """
    unheard = replace(workers, after_each=lambda _: None)  # these are not the run's own tasks
    results = unheard.results(about_entry, [task for task in tasks if not task.is_done])
    return sum(0 if isinstance(about, Trouble) else about for _, about in results)


def about_entry(task: MakeTask) -> int:
    """Return about how many bytes the files of one entry take; the work of one worker."""
    prepare(task.threads)
    plan, job, steps = task.plan, task.job, len(task.plan.variants)
    board = _BOARD_BYTES * _count(mockup_pixels(plan))
    prints, mockup = _surround_bytes(task), board
    sharpen = job.sharpening(task.options.sharpen)
    on_page = 0.0
    sizes = pixels_on_page(task)
    for n, (part, source) in enumerate(zip(plan.parts, task.sources, strict=True)):
        photograph = decode(source, expected=part.facts)
        mockup += about_mockup_bytes(photograph, part, picture_pixels(plan, n))
        on_page += about_page_bytes(photograph, part, sizes[n], with_part=task.has_life_size)
        if task.is_printed:
            prints += about_print_bytes(photograph, part, job.lab, sharpen)
    copies = (1 + steps * task.options.variants) if task.is_printed else 0
    each_step = mockup + 2 * on_page + _PAGE_BYTES  # on the page too
    return int(copies * prints + steps * each_step + board + _PAGE_BYTES)


def about_print_bytes(
    photograph: Photograph, part: PlannedPicture, lab: Lab, sharpen: Sharpening
) -> float:
    """Return about how many bytes the print file of a picture takes."""
    sample = _sample(photograph, part, part.file_pixels, lab.ppi, sharpen)
    return _whole_file(
        sample, part.file_pixels, lambda patches: encoded(variant_image(patches, lab, 0.0), lab)
    )


def about_mockup_bytes(photograph: Photograph, part: PlannedPicture, size: PixelSize) -> float:
    """Return about how many bytes of a mock-up are those of a picture shown at this size."""
    return _whole_file(_sample(photograph, part, size, PX_PER_INCH), size, _mockup_file)


def about_page_bytes(
    photograph: Photograph, part: PlannedPicture, size: PixelSize, *, with_part: bool
) -> float:
    """Return about how many bytes the small pictures of one step take, of one picture."""
    whole = _whole_file(_sample(photograph, part, size, SHEET_PPI), size, _page_picture)
    return whole * (1 + _LIFE_SIZE_PX / _count(size)) if with_part else whole


def _sample(
    photograph: Photograph,
    part: PlannedPicture,
    size: PixelSize,
    ppi: int,
    sharpen: Sharpening = Sharpening.OFF,
) -> ProfiledImage:
    turn = quarter_turns(part.top_edge)
    return sampled_for_print(
        photograph, turn=turn, crop=part.file_crop, size=size, ppi=ppi, sharpen=sharpen
    )


def _whole_file(
    sample: ProfiledImage, whole: PixelSize, file_of: Callable[[ProfiledImage], bytes]
) -> float:
    """About the bytes of a whole file, from those of its patches, with some to spare.

    What a file holds besides its pixels, such as a profile, counts once.
    """
    corner = ProfiledImage(sample.image.crop(0, 0, 1, 1), sample.profile, sample.black)
    besides = len(file_of(corner))
    share: float = sample.image.width * sample.image.height / _count(whole)
    return _SPARE * (besides + (len(file_of(sample)) - besides) / share)


def _page_picture(sample: ProfiledImage) -> bytes:
    return small_jpeg(screen_pictures(sample, [0.0])[0])


def _mockup_file(sample: ProfiledImage) -> bytes:
    return rgb_png(screen_pictures(sample, [0.0])[0], PX_PER_INCH)


def _surround_bytes(task: MakeTask) -> float:
    """The bytes of the even surround that is printed round pictures; 0 without one."""
    if task.plan.mount.window != WindowKind.SURROUND:
        return 0.0
    lab = task.job.lab
    pixels = _count(surround_areas(task.plan, lab.ppi).size)
    pixels -= sum(_count(part.pixels) for part in task.plan.parts)
    flat, dot = (
        len(page_file(np.full((side, side, 3), 255, np.uint8), lab)) for side in (_FLAT_PX, 1)
    )
    return pixels * (flat - dot) / _FLAT_PX**2


def _count(size: PixelSize) -> int:
    return size.width * size.height
