"""How each print is held in its mount: by its size, and by the paper that the mat covers.

The sizes that small and large mean here are common practice, no source; so are the shortest
leg of a corner and the narrowest strip that hold a print.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from proofs.findings import Finding
from proofs.lengths import ZERO, Borders, Length, Place, Size, inches
from proofs.plan.layout import Layout, Opening, Picture
from proofs.plan.planning import Plan, tolerances
from proofs.plan.rules_checked import mount_findings
from proofs.plan.weights import mount_grams
from proofs.records.job import Job

HINGES, CORNERS, STRIPS, WHOLE = "hinges", "corners", "edge strips", "stuck down whole"
TRIM = "trim"
HINGE_LEAST, HINGE_MOST = inches("1/4"), inches("3/8")
"""How much of the paper's top edge a hinge holds."""

_HINGED_UP_TO = inches(14)  # the longer side of the paper, trimmed
_LOOSE_UP_TO = inches(20)  # larger prints cockle unless stuck down whole
_LEG_LEAST, _LEG_MOST = inches("1/2"), inches("3/2")
_STRIP_LEAST, _STRIP_MOST = inches("1/8"), inches("3/8")
_STEP = inches("1/8")


@dataclass(frozen=True, slots=True)
class Hold:
    """How one print is held. ``held`` is the paper in a hinge, the leg of a corner or the width
    of a strip, and nothing where the print is stuck down whole.

    ``covered`` is the paper behind the mat on each side; ``tells`` is what else to know.
    """

    method: str
    held: Length
    covered: Borders
    tells: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Mounting:
    """One entry at the bench: a hold a picture, and what the finished mount comes to.

    ``thickness_findings`` are those of the rules, none where they are silent.
    """

    plan: Plan
    holds: tuple[Hold, ...]
    grams: float
    thickness_findings: tuple[Finding, ...] = ()


def mounting(job: Job, plan: Plan, *, sheet: Size | None = None) -> Mounting:
    """Return how an entry is mounted.

    ``sheet`` is the delivered paper where it was measured; else it is the stock sheet planned.
    """
    paper = sheet or plan.layout.sheet or plan.layout.paper_needed
    slack = tolerances(job, plan).cover
    found = mount_findings(job.rules, plan) if job.rules else ()
    return Mounting(
        plan=plan,
        holds=tuple(
            hold(plan.layout, picture, paper, slack) if plan.mount.has_window else _on_board()
            for picture in plan.layout.pictures
        ),
        grams=mount_grams(plan, job.paper.thickness, _within(paper, plan.layout.board)),
        thickness_findings=tuple(f for f in found if f.code.startswith("thickness")),
    )


def hold(layout: Layout, picture: Picture, sheet: Size, slack: Length) -> Hold:
    """Return how a print behind a window is held.

    ``slack`` is by how much the mat may cover less than planned on one side.
    """
    covered, is_trimmed = covered_paper(layout, picture, sheet)
    tells = (f"{TRIM} the sheet to lie within the board",) if is_trimmed else ()
    longest = _within(sheet, layout.board).longest
    if longest > _LOOSE_UP_TO:
        return Hold(WHOLE, ZERO, covered, tells)
    if longest <= _HINGED_UP_TO and covered.top - slack >= HINGE_LEAST:
        held = min(HINGE_MOST, _down_to_step(covered.top - slack))
        return Hold(HINGES, held, covered, tells)
    leg = min(_LEG_MOST, _down_to_step(corner_leg(covered, slack)))
    if leg >= _LEG_LEAST:
        return Hold(CORNERS, leg, covered, tells)
    strip = min(_STRIP_MOST, _down_to_step(covered.least - slack))
    if strip >= _STRIP_LEAST:
        return Hold(STRIPS, strip, covered, tells)
    too_little = f"the mat covers only {covered.least} of paper: more white round the image"
    return Hold(WHOLE, ZERO, covered, (*tells, f"{too_little} would let it hang free"))


def corner_leg(covered: Borders, slack: Length = ZERO) -> Length:
    """Return the longest leg of a corner that stays hidden at all four corners.

    A corner's outer edge runs slantwise from one leg's end to the other's, and the corner of the
    opening lies this far in from both edges of the paper: a leg may be as long as the two are
    together, twice the covered paper where that is the same all round.

    >>> from proofs.lengths import inches
    >>> corner_leg(Borders(*[inches("1/2")] * 4)) == inches(1)
    True
    """
    upright, level = min(covered.top, covered.bottom), min(covered.left, covered.right)
    return upright + level - 2 * slack


def covered_paper(layout: Layout, picture: Picture, sheet: Size) -> tuple[Borders, bool]:
    """Return the paper behind the mat on each side, and whether the sheet outgrows the board.

    The image is taken to lie in the middle of its sheet; no paper counts beyond the board.
    """
    image, opening = picture.image, picture.limiting
    if opening is None:
        return Borders(ZERO, ZERO, ZERO, ZERO), False
    place = Place(
        image.place.x - Length((sheet.width - image.size.width).nm // 2),
        image.place.y - Length((sheet.height - image.size.height).nm // 2),
    )
    lying = Opening(sheet, place)
    pairs = list(zip(_reaches(opening, lying), _reaches(opening, _whole(layout)), strict=True))
    sides = [max(ZERO, min(paper, board)) for paper, board in pairs]
    return Borders(*sides), any(paper > board for paper, board in pairs)


def _on_board() -> Hold:
    nothing = Borders(ZERO, ZERO, ZERO, ZERO)
    return Hold(WHOLE, ZERO, nothing, (f"{TRIM} the paper to the image",))


def _within(paper: Size, board: Size) -> Size:
    return Size(min(paper.width, board.width), min(paper.height, board.height))


def _whole(layout: Layout) -> Opening:
    return Opening(layout.board, Place(ZERO, ZERO))


def _reaches(inner: Opening, outer: Opening) -> Iterator[Length]:
    """How far one rectangle reaches beyond another, clockwise from the top."""
    yield inner.place.y - outer.place.y
    yield outer.place.x + outer.size.width - inner.place.x - inner.size.width
    yield outer.place.y + outer.size.height - inner.place.y - inner.size.height
    yield inner.place.x - outer.place.x


def _down_to_step(length: Length) -> Length:
    return Length(length.nm // _STEP.nm * _STEP.nm)
