"""The small pictures of one entry for its page on the proof sheet."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from proofs.commands.make.order import MakeTask, life_size_name, small_picture_name
from proofs.lengths import NM_PER_INCH, Length, PixelSize, Place, half_up
from proofs.outside.bevels import Codes
from proofs.outside.fonts import measure_of
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.resize.print_size import reduced
from proofs.outside.pixels.resize.screen_size import reduced_for_screen
from proofs.outside.sheet_pictures import SHEET_PPI, small_jpeg
from proofs.pages.flow import PageLayout
from proofs.pages.proof_sheet.entry_frame import entry_frame
from proofs.pages.proof_sheet.life_size import part_size
from proofs.pixel_areas import size_in_pixels
from proofs.plan.checks.outcomes import LifeSizePart, size_on_paper
from proofs.plan.entry.board import Opening
from proofs.plan.entry.mockup import picture_pixels, seen, seen_area
from proofs.plan.entry.planning import Plan
from proofs.plan.sheets.strip_sheet import step_crop
from proofs.run.print_files import Write
from proofs.run.representative_part import part_to_compare


@dataclass(frozen=True, slots=True)
class LifeSizePixels:
    """A part of a print, pixel for pixel, and where it lies."""

    part: LifeSizePart
    base: ProfiledImage


@dataclass(frozen=True, slots=True)
class SmallPictures:
    """A picture as large as its mock-up shows it, and what is seen of it, as its page does.

    The second is None if its page's pictures are kept.
    """

    on_mockup: ProfiledImage
    on_page: ProfiledImage | None


def pixels_on_page(task: MakeTask) -> tuple[PixelSize, ...]:
    """Return how many pixels the page needs of each picture, for what is seen of it."""
    layout = PageLayout(task.options.paper_size, measure_of(task.options.font), unit=task.job.unit)
    frame = entry_frame(
        task.job,
        replace(task.outcome, is_printed=task.is_printed),
        task.plan,
        layout,
        compact=task.options.compact,
        with_part=task.has_life_size,
    )
    scale = Fraction(SHEET_PPI) / Fraction(frame.grid.scale)
    sights = (seen(task.plan.layout, n).size for n in range(len(task.plan.parts)))
    return tuple(
        PixelSize(*(max(1, half_up(Fraction(side.inches) * scale)) for side in (s.width, s.height)))
        for s in sights
    )


def small_pictures(
    plan: Plan, n: int, base: ProfiledImage, on_page: PixelSize | None
) -> SmallPictures:
    """Return a picture at the size of its mock-up, and what its page shows in ``on_page`` pixels.

    The second is made of the first if that has enough pixels, or else of ``base``.
    """
    on_mockup = reduced_for_screen(base, picture_pixels(plan, n))
    if on_page is None:
        return SmallPictures(on_mockup, None)
    seen_there = seen_area(plan, n, picture_pixels(plan, n))
    is_enough = seen_there.width >= on_page.width and seen_there.height >= on_page.height
    return SmallPictures(
        on_mockup, shown_on_page(plan, n, on_mockup if is_enough else base, on_page)
    )


def shown_on_page(plan: Plan, n: int, base: ProfiledImage, size: PixelSize) -> ProfiledImage:
    """Return what is seen of a picture, in about this many pixels, or fewer if it has no more."""
    area = seen_area(plan, n, PixelSize(base.image.width, base.image.height))
    cropped = replace(base, image=base.image.crop(area.left, area.top, area.width, area.height))
    return _at_most(cropped, size)


def _at_most(base: ProfiledImage, size: PixelSize) -> ProfiledImage:
    width, height = min(size.width, base.image.width), min(size.height, base.image.height)
    if (width, height) == (base.image.width, base.image.height):
        return base
    return reduced(base, PixelSize(width, height))


def life_size_pixels(
    task: MakeTask, n: int, base: ProfiledImage, lightness: NDArray[np.float32]
) -> LifeSizePixels | None:
    """Return the part of picture ``n`` that its page shows at life size, from the print's pixels.

    None if the page shows none.
    """
    plan, ppi, asked = task.plan, task.job.lab.ppi, part_size(task.plan, n)
    if asked is None or not task.has_life_size:
        return None
    pixels = plan.parts[n].pixels
    wanted = size_in_pixels(asked, ppi)
    size = PixelSize(min(wanted.width, pixels.width), min(wanted.height, pixels.height))
    crop = step_crop(pixels, size, part_to_compare(task.job, plan, n, lightness, size))
    image = plan.layout.pictures[n].image
    across, down = (
        Length(half_up(Fraction(px * NM_PER_INCH, ppi))) for px in (crop.left, crop.top)
    )
    place = Place(image.left + across, image.top + down)
    part = LifeSizePart(n, Opening(size_on_paper(size, ppi), place))
    cropped = base.image.crop(crop.left, crop.top, crop.width, crop.height)
    return LifeSizePixels(part, replace(base, image=cropped.copy_memory()))


def write_page_pictures(
    task: MakeTask,
    pictures: Sequence[Sequence[Codes]],
    part: Sequence[Codes] | None,
    write: Write,
) -> None:
    """Write the small pictures of all steps.

    ``pictures`` are what the page shows of each picture, at each step; ``part`` is that at life
    size.
    """
    for n, picture in enumerate(pictures):
        for step, codes in zip(task.plan.variants, picture, strict=True):
            write(small_picture_name(task.stem, step, n), small_jpeg(codes))
    if part is not None:
        for step, codes in zip(task.plan.variants, part, strict=True):
            write(life_size_name(task.stem, step), small_jpeg(codes))
