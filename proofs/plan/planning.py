"""From an entry and the header of its photograph to everything that will be made of it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from proofs.lengths import Length, PixelSize, Size
from proofs.plan.facts import PhotoFacts
from proofs.plan.hanging import as_hung, board_for
from proofs.plan.layout import Layout, lay_out
from proofs.plan.sizing import Crop, Frame, ImageSize, crop_box, image_size, pixel_size
from proofs.plan.tone import DEFAULT_BRACKET, Variant, bracket
from proofs.records.cells import SizeWish
from proofs.records.cutters import Cutter
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.labs import Lab
from proofs.records.mounts import Mount
from proofs.records.words import FROM_LIGHT

_SMALLEST_MM = 5


@dataclass(frozen=True, slots=True)
class Plan:
    """One entry, decided: how the picture is turned and cropped, its image and its mount."""

    entry: Entry
    facts: PhotoFacts
    mount: Mount
    crop: Crop
    image: ImageSize
    layout: Layout
    pixels: PixelSize
    variants: tuple[Variant, ...]
    thickness: Length

    @property
    def own_ppi(self) -> float:
        """How many pixels of the source fall on an inch of the print."""
        return self.crop.width / self.image.size.width.inches

    @property
    def chosen(self) -> Variant | None:
        """The step that the entry chose, or None while that is undecided."""
        wish = self.entry.chosen
        return next((v for v in self.variants if wish in (v.step, v.density)), None)

    @property
    def printed(self) -> Variant:
        """The step that becomes the print: the chosen one, else the plain picture."""
        return self.chosen or next(v for v in self.variants if v.is_plain)


def plan_entry(job: Job, entry: Entry, facts: PhotoFacts) -> Plan:
    """Return what will be made of an entry.

    Raises ``ValueError`` where the size asked for cannot be, or a chosen letter is no step.
    """
    mount = job.mount_named(entry.mount)
    hung = as_hung(facts.pixels, entry.top_edge)
    crop = crop_box(hung, entry.crop)
    aspect = entry.crop.aspect if entry.crop else hung.aspect
    shape = PixelSize(crop.width, crop.height)
    board = board_for(shape, entry.board, mount, job.rules)
    image = image_size(entry.size, aspect, _frame(job, mount, board), cropped=bool(entry.crop))
    layout = lay_out(mount, board, image.size)
    if layout.pictures[0].sight.size.shortest.mm < _SMALLEST_MM:
        raise ValueError(
            f"an image of {image.size} leaves nothing to see inside the window; write a larger size"
        )
    plan = Plan(
        entry=entry,
        facts=facts,
        mount=mount,
        crop=crop,
        image=image,
        layout=replace(layout, sheet=smallest_sheet(job.lab, layout)),
        pixels=pixel_size(image, job.lab.ppi),
        variants=steps_of(entry, job.light_bracket),
        thickness=mount.thickness(job.paper.thickness),
    )
    if entry.chosen is not None and plan.chosen is None:
        letters = ", ".join(v.step for v in plan.variants)
        raise ValueError(f"chosen: there is no step {entry.chosen}; the steps are {letters}")
    return plan


def resized(job: Job, plan: Plan, wish: SizeWish) -> Plan:
    """Return the same entry at another size.

    Raises ``ValueError`` where that size cannot be.
    """
    return plan_entry(job, replace(plan.entry, size=wish), plan.facts)


def steps_of(entry: Entry, light_bracket: tuple[float, ...] | None = None) -> tuple[Variant, ...]:
    """Return the steps of an entry's bracket; a density that it chose is always one of them.

    ``light_bracket`` is what the judges' light suggests: it serves a blank cell, and one that
    says ``from light``. Raises ``ValueError`` for the latter where no light was named.
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


def smallest_sheet(lab: Lab, layout: Layout) -> Size | None:
    """Return the smallest stock sheet that carries the image, lying the way the image does.

    The lab's white margin stays free all round the image (at least what it trims off), and
    where paper is seen in the window the sheet reaches behind the mat. None if none is large
    enough.
    """
    image, paper = layout.pictures[0].image.size, layout.paper_needed
    printed = image.grown(max(lab.margin, lab.edge_loss))
    needed = Size(max(printed.width, paper.width), max(printed.height, paper.height))
    lying = [s if s.is_portrait == needed.is_portrait else s.turned for s in lab.sheets]
    return min((s for s in lying if s.holds(needed)), key=lambda s: s.square_nm, default=None)


def _frame(job: Job, mount: Mount, board: Size) -> Frame:
    borders = job.rules.borders if job.rules else ()
    if mount.has_window:
        return Frame(mount, board, borders, job.cutter.cut)
    # An image that fits the board grows at each end by half the lab's error on it, or less.
    growth = board.longest * Fraction(str(job.lab.scale_error)) * Fraction(1, 2)
    return Frame(mount, board, borders, job.cutter.placing + growth)


@dataclass(frozen=True, slots=True)
class Tolerances:
    """By how much each size may come out off, at the worst, for one plan.

    ``sight`` and ``border`` are for the size that is seen (both ends of it together) and for
    one border; ``cover`` is by how much the mat may hide less, or leave less paper, on one side.
    """

    sight: Length
    border: Length
    cover: Length


def tolerances(job: Job, plan: Plan) -> Tolerances:
    """Return what cutting, placing and the lab's scale can do to the sizes of a plan.

    A cut edge that limits the view lies off twice, once at each end; an image that is wholly
    seen changes with the lab's scale alone.
    """
    cutter: Cutter = job.cutter
    growth = plan.image.size.longest * Fraction(str(job.lab.scale_error))
    each_end = growth * Fraction(1, 2)
    cut_off = plan.layout.pictures[0].is_cut_off
    return Tolerances(
        sight=2 * cutter.cut if cut_off else growth,
        border=cutter.cut if plan.mount.has_window else cutter.placing + each_end,
        cover=each_end + cutter.placing + cutter.cut,
    )
