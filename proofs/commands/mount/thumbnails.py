"""The pictures of entries as small as the pages of labels show them, from both sides."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from proofs.commands.make.page_pictures import shown_on_page
from proofs.outside.back_drawing import ghost_jpeg
from proofs.outside.pixels.conversion.convert import screen_pictures
from proofs.outside.pixels.source.decode import decode
from proofs.outside.pixels.vips import prepare
from proofs.outside.sheet_pictures import small_jpeg
from proofs.pixel_areas import size_in_pixels
from proofs.plan.bench.labels import BothSides
from proofs.plan.entry.mockup import seen
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.run.inputs import Inputs
from proofs.run.print_files import picture_base
from proofs.run.workers import Trouble, Workers

_PPI = 36  # of the picture as printed: 300 on a page that shows it at 1:8


@dataclass(frozen=True, slots=True)
class ThumbnailTask:
    """All that a worker needs for one entry; ``sources`` are the files of its pictures."""

    job: Job
    plan: Plan
    sources: tuple[Path, ...]

    @property
    def public_names(self) -> tuple[tuple[Path, str], ...]:
        """The pictures as the entries file names them."""
        files = (part.file for part in self.plan.parts)
        return tuple(zip(self.sources, files, strict=True))


Thumbnails = Mapping[str, tuple[BothSides[bytes], ...]]
"""The small pictures of each entry by its number, as JPEG, in the order of its pictures."""


def thumbnail_tasks(job: Job, plans: Sequence[Plan], inputs: Inputs) -> tuple[ThumbnailTask, ...]:
    """Return one task for each planned entry."""
    return tuple(
        ThumbnailTask(job.with_paper(plan.paper), plan, inputs.pictures_of(plan.entry))
        for plan in plans
    )


def thumbnails_of(tasks: Sequence[ThumbnailTask], workers: Workers) -> Thumbnails:
    """Return the small pictures of all entries, without those that cannot be read.

    Raises ``KeyboardInterrupt`` if the run is stopped: nothing is written yet.
    """
    found = {}
    for task, made in workers.results(both_sides, tasks):
        if not isinstance(made, Trouble):
            found[task.plan.entry.number] = made
    if workers.is_stopped():
        raise KeyboardInterrupt
    return found


def both_sides(task: ThumbnailTask) -> tuple[BothSides[bytes], ...]:
    """Return the pictures of one entry at their printed step; the work of one worker."""
    prepare(threads=1)
    plan, shown = task.plan, []
    for n, (part, source) in enumerate(zip(plan.parts, task.sources, strict=True)):
        lying = plan.layout.pictures[n]
        photograph = decode(source, expected=part.facts)
        whole = size_in_pixels(lying.image.size, _PPI)
        base = picture_base(task.job, part, photograph, whole)
        small = shown_on_page(plan, n, base, size_in_pixels(seen(plan.layout, n).size, _PPI))
        (codes,) = screen_pictures(small, [plan.printed.density])
        shown.append(BothSides(small_jpeg(codes), ghost_jpeg(codes, is_oval=lying.is_oval)))
    return tuple(shown)
