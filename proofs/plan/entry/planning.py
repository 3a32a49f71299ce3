"""The plan of an entry: everything decided from its row and the headers of its photographs."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from proofs.lengths import Edge, Length, PixelSize, Size
from proofs.pixel_areas import Area
from proofs.plan.entry.arranging import group_aspect, image_sizes, refuse_ragged
from proofs.plan.entry.board import Layout, Picture
from proofs.plan.entry.facts import PhotoFacts
from proofs.plan.entry.hanging import as_hung, board_for
from proofs.plan.entry.in_openings import (
    refuse_idle_places,
    refuse_off_board,
    way_up,
    wishes_for,
)
from proofs.plan.entry.layout import lay_out
from proofs.plan.entry.sizing import ImageSize, PrintShape, SizeBounds, crop_box, pixel_size
from proofs.plan.entry.tolerances import tolerances
from proofs.plan.tones.tone import DEFAULT_BRACKET, Variant, bracket
from proofs.records.cells import FROM_LIGHT
from proofs.records.entries import Entry, PictureWish
from proofs.records.job import Job
from proofs.records.labs import Lab
from proofs.records.mounts import Mount
from proofs.records.papers import Paper
from proofs.records.size_and_crop import SizeKind, SizeWish

_SMALLEST_MM = 5


@dataclass(frozen=True, slots=True)
class PlannedPicture:
    """One picture of an entry as planned: how it is turned and cropped, its image and its sheet.

    ``sheet`` is the smallest paper sheet that is large enough, or None.
    """

    wish: PictureWish
    facts: PhotoFacts
    crop: Area
    image: ImageSize
    pixels: PixelSize
    sheet: Size | None

    @property
    def file(self) -> str:
        """The file of the picture, as the entry names it."""
        return self.wish.file

    @property
    def top_edge(self) -> Edge:
        """The edge of the picture that is at the top."""
        return self.wish.top_edge

    @property
    def own_ppi(self) -> float:
        """The pixels of the photograph per inch of the print."""
        return self.crop.width / self.image.size.width.inches


@dataclass(frozen=True, slots=True)
class Plan:
    """One entry as planned: its pictures, its mount, its layout, and the steps to compare.

    ``parts`` and ``layout.pictures`` are the same pictures in the same order. ``lab_paper`` is the
    lab's name of the paper, blank if the lab lists none and the entry names none. With
    ``has_own_paper``, ``paper`` is not that of the run.
    """

    entry: Entry
    parts: tuple[PlannedPicture, ...]
    mount: Mount
    layout: Layout
    variants: tuple[Variant, ...]
    thickness: Length
    paper: Paper
    lab_paper: str = ""
    has_own_paper: bool = False

    @property
    def is_ready_cut(self) -> bool:
        """Whether its mats exist already: the mount gives their opening, and the entry takes it."""
        takes = all(wish.kind == SizeKind.LARGEST for wish in self.entry.sizes)
        return self.mount.opening is not None and takes

    @property
    def paper_words(self) -> str:
        """The paper in the lab's words, or else in those of its profile."""
        return self.lab_paper or self.paper.title

    @property
    def chosen(self) -> Variant | None:
        """The chosen step of the entry, or None if no step is chosen yet."""
        wish = self.entry.chosen
        return next((v for v in self.variants if wish in (v.step, v.density)), None)

    @property
    def printed(self) -> Variant:
        """The step to print: the chosen one, otherwise the plain picture."""
        return self.chosen or next(v for v in self.variants if v.is_plain)


def plan_entry(job: Job, entry: Entry, *facts: PhotoFacts) -> Plan:
    """Return the plan of an entry; ``facts`` are those of its pictures, in their order.

    Raises ``ValueError`` if the size or the arrangement is impossible, if the lab does not have the
    paper, or if the chosen letter is not a step, or a step that changes with the judges' light.
    """
    mount, lab_paper = job.mount_named(entry.mount), job.lab.paper_named(entry.paper)
    paper = job.paper_named(lab_paper)
    parts, layout = _arranged(job, entry, mount, facts)
    _refuse_unseen(layout)
    plan = Plan(
        entry=entry,
        parts=parts,
        mount=mount,
        layout=layout,
        variants=steps_of(entry, job.light_bracket),
        thickness=mount.thickness(paper.thickness),
        paper=paper,
        lab_paper=lab_paper,
        has_own_paper=paper != job.paper,
    )
    _refuse_unclear_choice(plan, job)
    return plan


def _arranged(
    job: Job, entry: Entry, mount: Mount, facts: Sequence[PhotoFacts]
) -> tuple[tuple[PlannedPicture, ...], Layout]:
    """The pictures of an entry at their sizes, and where they are on the board."""
    arrangement, wishes = entry.arrangement or mount.arrangement, wishes_for(mount, entry.sizes)
    rows = arrangement.rows(len(entry.pictures))
    crops = [_crop(wish, fact) for wish, fact in zip(entry.pictures, facts, strict=True)]
    shapes = [shape for _, shape in crops]
    refuse_ragged(arrangement, shapes, rows)
    asked = entry.board or way_up(wishes, shapes)
    board = board_for(group_aspect(shapes, rows), asked, mount, job.rules)
    images = image_sizes(wishes, shapes, _bounds(job, mount, board), rows)
    openings = [image.opening for image in images]
    layout = lay_out(mount, board, *(image.size for image in images), rows=rows, openings=openings)
    refuse_off_board(layout, openings)
    refuse_idle_places(shapes, openings, mount)
    sheets = (next(iter(fitting_sheets(job.lab, p)), None) for p in layout.pictures)
    parts = tuple(
        PlannedPicture(wish, fact, crop, image, pixel_size(image, job.lab.ppi), sheet)
        for wish, fact, (crop, _), image, sheet in zip(
            entry.pictures, facts, crops, images, sheets, strict=True
        )
    )
    return parts, layout


def papers_of(plans: Iterable[Plan]) -> tuple[str, ...]:
    """Return the papers of these plans in words, each once, in the order of the plans."""
    return tuple(dict.fromkeys(plan.paper_words for plan in plans))


def _crop(wish: PictureWish, facts: PhotoFacts) -> tuple[Area, PrintShape]:
    hung = as_hung(facts.pixels, wish.top_edge)
    aspect = wish.crop.aspect if wish.crop and wish.crop.aspect else hung.aspect
    return crop_box(hung, wish.crop), PrintShape(aspect, wish.crop)


def _refuse_unseen(layout: Layout) -> None:
    for picture in layout.pictures:
        if picture.sight.size.shortest.mm < _SMALLEST_MM:
            raise ValueError(
                f"an image of {picture.image.size} leaves nothing visible in the window;"
                " write a larger size"
            )


def _refuse_unclear_choice(plan: Plan, job: Job) -> None:
    wish = plan.entry.chosen
    if isinstance(wish, str) and follows_light(plan.entry, job.light_bracket):
        raise ValueError(
            f"chosen: {wish} is the letter of a step that follows the judges' light, and another"
            " light changes its density; choose again with 'proofs choose', which records the"
            " density"
        )
    if wish is not None and plan.chosen is None:
        steps = ", ".join(v.words for v in plan.variants)
        raise ValueError(f"chosen: there is no step {wish}; the steps are {steps}")


def resized(job: Job, plan: Plan, *wishes: SizeWish) -> Plan:
    """Return the same entry at another size, or with another size for each of its pictures.

    Raises ``ValueError`` if that size is impossible.
    """
    facts = (part.facts for part in plan.parts)
    return plan_entry(job, replace(plan.entry, sizes=wishes), *facts)


def follows_light(entry: Entry, light_bracket: tuple[float, ...] | None) -> bool:
    """Return whether the judges' light sets an entry's bracket: its letters change with it."""
    is_blank = entry.bracket is None
    return entry.bracket == FROM_LIGHT or (is_blank and light_bracket is not None)


def steps_of(entry: Entry, light_bracket: tuple[float, ...] | None = None) -> tuple[Variant, ...]:
    """Return the steps of an entry's bracket; a chosen density is always one of them.

    ``light_bracket`` is suggested by the judges' light: it is used for a blank cell, and for
    ``from light``. Raises ``ValueError`` for ``from light`` if no light was named.
    """
    asked: Sequence[float] | None = None if isinstance(entry.bracket, str) else entry.bracket
    if entry.bracket == FROM_LIGHT and light_bracket is None:
        raise ValueError(
            "bracket: 'from light', but no light is named; name the judges' light with --light,"
            " or in job.toml"
        )
    if asked is None:
        asked = light_bracket or DEFAULT_BRACKET
    chosen = (entry.chosen,) if isinstance(entry.chosen, float) else ()
    return bracket((*asked, *chosen))


def fitting_sheets(lab: Lab, picture: Picture) -> tuple[Size, ...]:
    """Return the paper sheets that are large enough for a picture, the smallest first.

    The lab's white margin (at least what the lab trims off) stays free all round the image. If
    paper is visible in the window, the sheet reaches behind the mat.
    """
    printed = picture.image.size.grown(max(lab.margin, lab.edge_loss))
    needed = printed.united(picture.paper_needed)
    return tuple(sheet for sheet in lab.sheets_like(needed) if sheet.holds(needed))


def _bounds(job: Job, mount: Mount, board: Size) -> SizeBounds:
    borders = job.rules.borders if job.rules else ()
    return SizeBounds(mount, board, borders, tolerances(job))
