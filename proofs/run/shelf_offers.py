"""The ready-cut mats that suit the entries of a run, in words and as a record."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import cast

from proofs.both_units import first_in
from proofs.findings import Status
from proofs.plan.bench.offers import Change, MatOffer, mat_offers
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan
from proofs.records.cells import Orientation
from proofs.records.job import Job
from proofs.records.shelf import ShelfBoard
from proofs.run.json_report import JsonValue, report, shelf_record, size_record
from proofs.run.text_report import first_few

_SPOILT = Fraction(1, 8)  # of the picture; common practice, no source
_MOST_SHOWN = 5

Offers = Mapping[str, tuple[MatOffer, ...]]
"""The mats that suit each entry, by its number, the best first."""


def offers_of(job: Job, outcomes: Sequence[Outcome], boards: Sequence[ShelfBoard]) -> Offers:
    """Return the ready-cut mats that suit each entry that has a plan."""
    planned = {outcome.entry.number: outcome.plan for outcome in outcomes if outcome.plan}
    return {
        number: mat_offers(job.with_paper(plan.paper), plan, boards)
        for number, plan in planned.items()
    }


def best_offer_lines(offers: Offers, outcome: Outcome, job: Job) -> list[str]:
    """Return the best mat for an entry, and what to write to use it.

    There are no lines for a mat that is not planned and would hide too much of the picture.
    """
    return _lines(_best(offers.get(outcome.entry.number, ())), offers, outcome, job)


def offer_lines(offers: Offers, outcome: Outcome, job: Job) -> list[str]:
    """Return the mats that suit an entry, the best first, and what to write to use each."""
    return _lines(offers.get(outcome.entry.number, ())[:_MOST_SHOWN], offers, outcome, job)


def _lines(found: Sequence[MatOffer], offers: Offers, outcome: Outcome, job: Job) -> list[str]:
    lines = []
    for offer in found:
        there = _there(offers, outcome.entry.number, offer)
        lines.append(f"      {'shelf':<10} {_mat(offer)}: {_why(offer)}; {there}")
        if remedy := _remedy(outcome, offer):
            lines.append(f"      {'':<10} -> {remedy}")
    return [first_in(job.unit, line) for line in lines]


def check_record(job: Job, outcomes: Sequence[Outcome], offers: Offers) -> dict[str, JsonValue]:
    """Return the report of a check, with the mats that suit each entry."""
    record = report(job, outcomes, with_variants=False)
    entries = cast("list[dict[str, JsonValue]]", record["entries"])
    shelf = [offers_record(offers.get(outcome.entry.number, ())) for outcome in outcomes]
    return record | {
        "entries": [entry | {"shelf": found} for entry, found in zip(entries, shelf, strict=True)]
    }


def offers_record(offers: Sequence[MatOffer]) -> list[JsonValue]:
    """Return the mats that suit an entry, the best first."""
    return [
        shelf_record(offer.board)
        | {
            "status": offer.status,
            "changes": offer.change,
            "image_mm": size_record(offer.plan.layout.pictures[0].image.size),
            "sight_size_mm": size_record(offer.sight),
            "hidden_share": round(float(offer.hidden_share), 6),
            "size": offer.size,
        }
        for offer in offers
    ]


def _best(found: Sequence[MatOffer]) -> list[MatOffer]:
    """The first mat, unless it is not planned and would hide too much of the picture."""
    return [o for o in found[:1] if o.change is Change.NOTHING or o.hidden_share <= _SPOILT]


def _mat(offer: MatOffer) -> str:
    return f"ready-cut mat {offer.board.size}, opening {offer.board.opening}"


def _why(offer: MatOffer) -> str:
    """What the mat changes of the entry, and how much of the picture it hides."""
    image, hidden = offer.plan.layout.pictures[0].image.size, f"{float(offer.hidden_share):.0%}"
    seen = f"{hidden.replace('%', ' %')} of it hidden"
    if offer.change is Change.NOTHING:
        words = "its opening is the one planned"
    elif offer.change is Change.OPENING:
        words = f"the image stays as planned, {seen}"
    else:
        words = f"image {image}, {seen}"
    return f"{words}; at risk" if offer.status is Status.AT_RISK else words


def _there(offers: Offers, number: str, offer: MatOffer) -> str:
    """How many of the mat there are, and which other entries it suits best if those are too few."""
    others = [
        other
        for other, found in offers.items()
        if other != number and any(best.board == offer.board for best in _best(found))
    ]
    count = f"{offer.board.count} on the shelf"
    if len(others) < offer.board.count:
        return count
    what = "entry" if len(others) == 1 else "entries"
    return f"{count}, and suits {what} {first_few(others)} best too"


def _remedy(outcome: Outcome, offer: MatOffer) -> str:
    """What to write into which cells; blank if nothing."""
    plan = outcome.plan
    if plan is None or offer.change is Change.NOTHING:
        return ""
    return "; ".join([f"size: {offer.size}", *_more_cells(plan, offer)])


def _more_cells(plan: Plan, offer: MatOffer) -> Iterator[str]:
    """What else to write: another way up, and another mount for another board or mat."""
    board, mount, mat = offer.plan.layout.board, plan.mount, offer.board
    if board.is_portrait != plan.layout.board.is_portrait:
        yield f"board: {Orientation.PORTRAIT if board.is_portrait else Orientation.LANDSCAPE}"
    needs = []
    if board not in (plan.layout.board, plan.layout.board.turned):
        needs.append(f"a board of {mat.size}")
    own = mount.mat_colour.casefold(), mount.core_colour.casefold()
    if (mat.colour, mat.core) != own or not mat.is_as_thick(mount.mat):
        needs.append(f"a mat of {mat.colour} board, {mat.core} core, {mat.thickness}")
    if needs:
        yield f"mount: a profile with {' and '.join(needs)}"
