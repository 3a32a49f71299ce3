"""The work of one worker process: one picture, looked at in the pixels of its print."""

from dataclasses import replace

from proofs.commands.inspect.order import InspectResult, InspectTask
from proofs.commands.inspect.view import print_view
from proofs.inspection.inspected import PictureLook
from proofs.inspection.look_crops import (
    Codes,
    crop_area,
    crop_names,
    cropped_marks,
    overview_name,
    overview_pixels,
    with_raised_contrast,
)
from proofs.inspection.marks import Inspection, surest_first
from proofs.outside.files import sha256_of_bytes, write_whole
from proofs.outside.pixels import photograph_errors
from proofs.outside.pixels.colour.profiled_image import ProfiledImage
from proofs.outside.pixels.conversion.convert import screen_pictures
from proofs.outside.pixels.measure.print_inspection import inspect_print
from proofs.outside.pixels.measure.print_sides import lost_edge_marks
from proofs.outside.pixels.resize.print_size import reduced
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.outside.sheet_pictures import small_jpeg
from proofs.pixel_areas import Area
from proofs.plan.entry.mockup import seen_area
from proofs.run.print_files import picture_base


def inspect_picture(task: InspectTask) -> InspectResult:
    """Look at one picture, write the files for its page, and return the result."""
    prepare(threads=1)
    photograph = decode(task.source, expected=task.part.facts)
    if task.known and task.known.sha256 != photograph.sha256:
        raise photograph_errors.changed(task.source)
    base = picture_base(task.job, task.part, photograph, task.part.pixels)
    sha256 = photograph.sha256
    del photograph  # the largest thing in memory
    look = task.known
    if look is None:
        look = PictureLook(_found(task, base), sha256)
    return InspectResult(_written(task, look, base), look)


def _found(task: InspectTask, base: ProfiledImage) -> Inspection:
    """What there is in a picture; its edges are judged where the mat begins, not under it."""
    view, whole = print_view(task.job, task.plan, task.n), task.part.pixels
    found = inspect_print(base, replace(view, mats={}), task.profile)
    seen = seen_area(task.plan, task.n, whole)
    edges = lost_edge_marks(_cropped(base, seen), view, task.profile.lost_edges)
    left, top = seen.left / view.px_per_mm, seen.top / view.px_per_mm
    moved = (replace(mark, area=mark.area.moved(left, top)) for mark in edges)
    return replace(found, marks=surest_first((*found.marks, *moved)))


def _written(task: InspectTask, look: PictureLook, base: ProfiledImage) -> dict[str, str]:
    """Write what is not kept of the files that the page shows; return their digests."""
    files: dict[str, str] = {}
    left = set(task.file_names(look)) - task.kept

    def write(name: str, codes: Codes) -> None:
        if name in left:
            content = small_jpeg(codes)
            write_whole(task.folder / name, content)
            files[name] = sha256_of_bytes(content)

    whole, ppi = task.part.pixels, task.job.lab.ppi
    overview = overview_name(task.file_stem)
    if overview in left:
        write(overview, _screen(reduced(base, overview_pixels(whole))))
    for place, seen in cropped_marks(task.seen(look)):
        plain, raised = crop_names(task.file_stem, place)
        if {plain, raised} & left:
            codes = _screen(_cropped(base, crop_area(seen.mark, whole, ppi)))
            write(plain, codes)
            write(raised, with_raised_contrast(codes))
    return files


def _cropped(base: ProfiledImage, area: Area) -> ProfiledImage:
    return replace(base, image=base.image.crop(area.left, area.top, area.width, area.height))


def _screen(base: ProfiledImage) -> Codes:
    """The picture as 8-bit sRGB, at the plain step."""
    (codes,) = screen_pictures(base, [0.0])
    return codes
