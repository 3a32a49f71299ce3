"""Cheaper sheets for a print: those that hold its image as it is, or one of nearly its size."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from proofs.lengths import NM_PER_INCH, Size, Unit
from proofs.plan.entry.planning import Plan, fitting_sheets, resized
from proofs.records.job import Job
from proofs.records.size_and_crop import SizeKind, SizeWish

_SLIGHTLY = Fraction(1, 20)  # by what share a side may differ; common practice, no source
_NAMED = (SizeKind.SHEET, SizeKind.PRINT)


@dataclass(frozen=True, slots=True)
class CheaperSheet:
    """A cheaper sheet, what it saves on one print, and the image and the plan on it.

    ``cell`` is what to write under ``size``; it is blank if the image stays as it is.
    """

    sheet: Size
    saving: Decimal
    image: Size
    plan: Plan
    cell: str = ""


def cheaper_sheets(job: Job, plan: Plan, ordered: Size) -> list[CheaperSheet]:
    """Return the cheaper sheets in place of the one ordered, the cheapest first.

    Of those with one price, the one whose image differs least comes first. An entry of several
    pictures has none, because their sizes depend on each other.
    """
    price = job.lab.price(ordered, plan.lab_paper)
    if price is None or len(plan.parts) > 1:
        return []
    found = [*_as_it_is(job, plan, price), *_resized(job, plan, price)]
    image = plan.parts[0].image.size
    return sorted(found, key=lambda one: (-one.saving, _change(one.image, image)))


def _as_it_is(job: Job, plan: Plan, price: Decimal) -> Iterator[CheaperSheet]:
    """The cheaper sheets that hold the image; none if the entry itself names its sheet."""
    if plan.entry.size_of(0).kind in _NAMED:
        return
    for sheet in fitting_sheets(job.lab, plan.layout.pictures[0]):
        saving = _saving(job, plan, sheet, price)
        if saving > 0:
            yield CheaperSheet(sheet, saving, plan.parts[0].image.size, plan)


def _resized(job: Job, plan: Plan, price: Decimal) -> Iterator[CheaperSheet]:
    """The cheaper sheets for an image of nearly the same size, with a margin or to the edge.

    None if the opening is given, because the image follows from that.
    """
    if plan.parts[0].image.opening is not None:
        return
    image = plan.parts[0].image.size
    for sheet in job.lab.sheets:
        saving = _saving(job, plan, sheet, price)
        for wish in _wishes(job, sheet) if saving > 0 else ():
            try:
                other = resized(job, plan, wish)
            except ValueError:  # another shape, or a mount that it does not suit
                continue
            part = other.parts[0]
            if part.sheet is not None and _change(part.image.size, image) <= _SLIGHTLY:
                yield CheaperSheet(part.sheet, saving, part.image.size, other, str(wish))


def _wishes(job: Job, sheet: Size) -> Iterator[SizeWish]:
    is_imperial = not any(side.nm * 8 % NM_PER_INCH for side in (sheet.width, sheet.height))
    unit, lab = Unit.IN if is_imperial else Unit.MM, job.lab
    yield SizeWish(SizeKind.SHEET, box=sheet, unit=unit)
    if sheet in lab.edge_to_edge or sheet.turned in lab.edge_to_edge:
        yield SizeWish(SizeKind.PRINT, box=sheet, unit=unit)


def _saving(job: Job, plan: Plan, sheet: Size, price: Decimal) -> Decimal:
    """What a sheet saves; 0 if its price is not known."""
    own = job.lab.price(sheet, plan.lab_paper)
    return Decimal(0) if own is None else price - own


def _change(image: Size, other: Size) -> Fraction:
    """The largest share by which a side of an image differs from that of another."""
    sides = (image.width.nm, other.width.nm), (image.height.nm, other.height.nm)
    return max(abs(Fraction(one, former) - 1) for one, former in sides)
