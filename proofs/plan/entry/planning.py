"""The plan of an entry: everything decided from its row and the headers of its photographs."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial

from proofs.lengths import NM_PER_INCH, Edge, Length, PixelSize, Size
from proofs.pixel_areas import Area, pixels_at_least
from proofs.plan.entry.arranging import group_aspect, image_sizes, refuse_ragged
from proofs.plan.entry.board import Layout, Picture
from proofs.plan.entry.edge_prints import EdgePrint, edge_print, refuse_white
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
from proofs.records.size_and_crop import LARGEST, CropWish, SizeKind, SizeWish

_SMALLEST_MM = 5


@dataclass(frozen=True, slots=True)
class PlannedPicture:
    """One picture of an entry as planned: how it is turned and cropped, its image and its sheet.

    ``crop`` and ``pixels`` are those of the image. ``sheet`` is the sheet that the entry names, or
    the smallest paper sheet that is large enough, or None. ``edge`` is None unless the picture is
    printed to the edge of its sheet; then its file holds more than the image.
    """

    wish: PictureWish
    facts: PhotoFacts
    crop: Area
    image: ImageSize
    pixels: PixelSize
    sheet: Size | None
    edge: EdgePrint | None = None

    @property
    def file_crop(self) -> Area:
        """The part of the picture that is in its print file."""
        return self.edge.crop if self.edge else self.crop

    @property
    def file_pixels(self) -> PixelSize:
        """The size of its print file."""
        return self.edge.pixels if self.edge else self.pixels

    @property
    def image_area(self) -> Area:
        """Where the image lies in its print file; the lab may trim the rest."""
        return self.edge.image_area(self.pixels) if self.edge else Area.of(self.pixels)

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
    each = wishes if len(wishes) > 1 else wishes * len(facts)
    asked = zip(each, entry.pictures, facts, strict=True)
    crops = [_cropped(job.lab, *one) for one in asked]
    shapes = [crop.shape for crop in crops]
    refuse_white(mount, (crop.edge for crop in crops))
    refuse_ragged(arrangement, shapes, rows)
    lying = entry.board or way_up(wishes, shapes)
    board = board_for(group_aspect(shapes, rows), lying, mount, job.rules)
    images = image_sizes(wishes, shapes, _bounds(job, mount, board), rows)
    openings = [image.opening for image in images]
    layout = lay_out(mount, board, *(image.size for image in images), rows=rows, openings=openings)
    refuse_off_board(layout, openings)
    refuse_idle_places(shapes, openings, mount)
    layout = replace(layout, pictures=_with_untrimmed(layout.pictures, crops, job.lab))
    return tuple(map(partial(_part, job.lab), crops, images, layout.pictures)), layout


def papers_of(plans: Iterable[Plan]) -> tuple[str, ...]:
    """Return the papers of these plans in words, each once, in the order of the plans."""
    return tuple(dict.fromkeys(plan.paper_words for plan in plans))


@dataclass(frozen=True, slots=True)
class _Cropped:
    """A picture before its size is known: what was asked, what is cropped, and to what shape."""

    wish: PictureWish
    size: SizeWish
    facts: PhotoFacts
    crop: Area
    shape: PrintShape
    edge: EdgePrint | None = None


def _cropped(lab: Lab, size: SizeWish, wish: PictureWish, facts: PhotoFacts) -> _Cropped:
    hung = as_hung(facts.pixels, wish.top_edge)
    if size.kind == SizeKind.PRINT and size.box is not None:
        edge = edge_print(lab, size.box, hung, wish.crop)
        left = edge.sheet.grown(-lab.edge_loss)
        aspect = Fraction(left.width.nm, left.height.nm)
        shape = PrintShape(aspect, CropWish(aspect, edge.place))
        return _Cropped(wish, size, facts, edge.crop, shape, edge)
    if size.kind == SizeKind.SHEET and size.box is not None and lab.sheets:
        _refuse_other_sheet(lab, size.box)
    aspect = wish.crop.aspect if wish.crop and wish.crop.aspect else hung.aspect
    shape = PrintShape(aspect, wish.crop)
    return _Cropped(wish, size, facts, crop_box(hung, wish.crop), shape)


def _refuse_other_sheet(lab: Lab, sheet: Size) -> None:
    if sheet not in lab.sheets and sheet.turned not in lab.sheets:
        sold = ", ".join(map(str, lab.sheets))
        raise ValueError(f"size: {lab.name!r} does not sell {sheet}; write one of {sold}")


def _with_untrimmed(
    pictures: Sequence[Picture], crops: Sequence[_Cropped], lab: Lab
) -> tuple[Picture, ...]:
    """The pictures with what the lab may leave of prints to the edge beyond their images."""
    return tuple(
        replace(picture, untrimmed=lab.edge_loss) if crop.edge else picture
        for picture, crop in zip(pictures, crops, strict=True)
    )


def _part(lab: Lab, cropped: _Cropped, image: ImageSize, picture: Picture) -> PlannedPicture:
    edge, pixels = cropped.edge, pixel_size(image, lab.ppi)
    crop = edge.image_crop(pixels) if edge else cropped.crop
    sheets = (edge.sheet,) if edge else fitting_sheets(lab, picture, cropped.size)
    sheet = next(iter(sheets), None)
    return PlannedPicture(cropped.wish, cropped.facts, crop, image, pixels, sheet, edge)


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


def fitting_sheets(lab: Lab, picture: Picture, wish: SizeWish = LARGEST) -> tuple[Size, ...]:
    """Return the paper sheets that are large enough for a picture, the smallest first.

    The lab's white margin (at least what the lab trims off) stays free all round the image. If
    paper is visible in the window, the sheet reaches behind the mat. A ``wish`` for a sheet leaves
    only that one.
    """
    needed = picture.image.size.grown(lab.white).united(picture.paper_needed)
    sheets = tuple(sheet for sheet in lab.sheets_like(needed) if sheet.holds(needed))
    if wish.kind == SizeKind.SHEET and wish.box is not None:
        return tuple(sheet for sheet in sheets if sheet in (wish.box, wish.box.turned))
    return sheets


def _bounds(job: Job, mount: Mount, board: Size) -> SizeBounds:
    borders, lab = job.rules.borders if job.rules else (), job.lab
    # The white of a file is whole pixels: without rounding up, an image could miss it by one.
    white = Length(-(-pixels_at_least(lab.white, lab.ppi) * NM_PER_INCH // lab.ppi))
    errors = tolerances(job)
    return SizeBounds(mount, board, borders, errors, white=white, edge_loss=lab.edge_loss)
