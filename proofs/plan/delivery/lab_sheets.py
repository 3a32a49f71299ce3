"""The sheets of a delivery to a lab, one for each print, and the reasons of refused entries."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from proofs.errors import ExitCode
from proofs.lengths import PixelSize, Size
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.delivery.delivery_names import delivery_name, sheet_word
from proofs.plan.delivery.refusals import (
    DeliverySheetOptions,
    Refusal,
    RefusedError,
    density_of,
    ordered_on,
    usable_plan,
)
from proofs.plan.entry.naming import nameable_title
from proofs.plan.entry.planning import fitting_sheets
from proofs.plan.sheets.margin_line import MarginMarks, margin_marks
from proofs.plan.sheets.placing import Placing, place, place_to_edge
from proofs.plan.sheets.printed_pieces import PrintedPiece, pieces_of
from proofs.records.entries import Entry
from proofs.records.job import Job
from proofs.records.labs import Lab
from proofs.records.size_and_crop import SizeWish


@dataclass(frozen=True, slots=True)
class LabSheet:
    """One file of a delivery, as planned.

    ``number`` is the entry's, with the number of the print if its board has several prints.
    ``is_chosen`` states whether ``density`` is that of the entry's chosen step. ``paper`` and
    ``finish`` are the lab's names, blank if it lists none.
    """

    entry: Entry
    piece: PrintedPiece
    number: str
    name: str
    density: float
    is_chosen: bool
    placing: Placing
    margin_marks: MarginMarks
    paper: str
    finish: str
    price: Decimal | None


def lab_sheets(
    job: Job, outcomes: Sequence[Outcome], options: DeliverySheetOptions
) -> tuple[tuple[LabSheet, ...], tuple[Refusal, ...]]:
    """Return the sheets of a delivery in the order of its entries, and the refused entries.

    An entry with 0 copies is in neither.
    """
    sheets: list[LabSheet] = []
    refused: list[Refusal] = []
    taken: set[str] = set()
    for outcome in outcomes:
        entry = outcome.entry
        if not entry.copies and not entry.faults:
            continue
        try:
            made = _sheets(job, outcome, options, taken)
        except RefusedError as error:
            refused.append(Refusal(entry.number, entry.title, str(error), error.exit_code))
        else:
            sheets += made
    return tuple(sheets), tuple(refused)


def _sheets(
    job: Job, outcome: Outcome, options: DeliverySheetOptions, taken: set[str]
) -> tuple[LabSheet, ...]:
    plan = usable_plan(outcome, options)
    density = density_of(plan, options)
    paper, finish = ordered_on(plan, job.lab)
    made = []
    pieces = pieces_of(plan, job.lab.ppi)
    for n, piece in enumerate(pieces, 1):
        wish = outcome.entry.size_of(piece.pictures[0])
        fitting = _fitting(job.lab, piece, wish)
        placing = _placing(job.lab, fitting, paper, options)
        number = outcome.entry.number + (f"-{n}" if len(pieces) > 1 else "")
        words = _words(outcome.entry, placing.sheet, paper, finish) | {"number": number}
        name = delivery_name(job.lab, words, taken)
        taken.add(name)
        extras = margin_marks(
            plan.layout,
            piece.lying,
            placing,
            margin_line=options.margin_line,
            cut_marks=options.cut_marks,
        )
        sheet = LabSheet(
            entry=outcome.entry,
            piece=piece,
            number=number,
            name=name,
            density=density,
            is_chosen=plan.chosen is not None,
            placing=placing,
            margin_marks=extras,
            paper=paper,
            finish=finish,
            price=job.lab.price(placing.sheet, paper),
        )
        made.append(sheet)
    return tuple(made)


def _fitting(lab: Lab, piece: PrintedPiece, wish: SizeWish) -> list[Placing]:
    """The image on each sheet that is large enough, or on the one that the entry names."""
    if piece.edge:
        return [place_to_edge(lab, piece.edge.sheet, piece.pixels)]
    sheets = fitting_sheets(lab, piece.lying, wish)
    if fitting := [placed for sheet in sheets if (placed := _placed(lab, sheet, piece.pixels))]:
        return fitting
    raise RefusedError(
        f"no sheet of {lab.name!r} is large enough for an image of {piece.lying.image.size} and"
        " its margin; write a smaller size, or name another lab",
        ExitCode.BROKEN,
    )


def _placing(
    lab: Lab, fitting: Sequence[Placing], paper: str, options: DeliverySheetOptions
) -> Placing:
    """The image on the sheet to use: the smallest or the cheapest that is large enough."""
    if options.cheapest:
        prices = ((lab.price(p.sheet, paper), p) for p in fitting)
        priced = [(price, p) for price, p in prices if price is not None]
        if not priced:
            raise RefusedError(
                f"the lab profile {lab.name!r} lists no price for a large enough sheet; add one to"
                " prices, or leave out --cheapest",
                ExitCode.NOT_UNDERSTOOD,
            )
        placing = min(priced, key=lambda pair: pair[0])[1]
    else:
        placing = fitting[0]
    longest = max(placing.file.width, placing.file.height)
    if lab.most_px is not None and longest > lab.most_px:
        raise RefusedError(
            f"a sheet of {placing.sheet} is {longest} pixels long, and {lab.name!r} accepts at most"
            f" {lab.most_px}; write a smaller size",
            ExitCode.BROKEN,
        )
    return placing


def _placed(lab: Lab, sheet: Size, image: PixelSize) -> Placing | None:
    try:
        return place(lab, sheet, image)
    except ValueError:
        return None


def _words(entry: Entry, sheet: Size, paper: str, finish: str) -> dict[str, str]:
    """The words for the placeholders of a lab's pattern."""
    return {
        "title": nameable_title(entry),
        "category": entry.category,
        "sheet": sheet_word(sheet),
        "copies": f"{entry.copies}x",
        "paper": paper,
        "finish": finish,
    }
