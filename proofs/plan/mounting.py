"""How each print is held in its mount: by its size, and by the paper that the mat covers.

The sizes that small and large mean here are common practice, no source; so are the shortest
leg of a corner and the narrowest strip that hold a print.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from proofs.findings import Finding
from proofs.lengths import ZERO, Borders, Length, Place, Size, inches
from proofs.plan.board import Layout, Opening
from proofs.plan.planning import Plan, tolerances
from proofs.plan.rules_checked import mount_findings
from proofs.plan.weights import mount_grams
from proofs.records.job import Job
from proofs.records.mounts import Mount

HINGES, CORNERS, STRIPS, WHOLE = "hinges", "corners", "edge strips", "stuck down whole"
TRIM = "trim"
HINGE_LEAST, HINGE_MOST = inches("1/4"), inches("3/8")
"""How much of the paper's top edge a hinge holds."""

_HINGED_UP_TO = inches(14)  # the longer side of the paper, trimmed
_LOOSE_UP_TO = inches(20)  # larger prints cockle unless stuck down whole
_LEG_LEAST, _LEG_MOST = inches("1/2"), inches("3/2")
_STRIP_LEAST, _STRIP_MOST = inches("1/8"), inches("3/8")
_STEP = inches("1/8")
_NOTHING = Borders(ZERO, ZERO, ZERO, ZERO)


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


@dataclass(frozen=True, slots=True)
class Print:
    """One sheet of paper behind the mat: its image on the board, and the window's limiting edge.

    The images of a common window are one, out to the outermost edges. ``opening`` is None where
    no mat covers the paper's edge.
    """

    image: Opening
    opening: Opening | None
    sheet: Size


def mounting(job: Job, plan: Plan, *, sheets: Sequence[Size] = ()) -> Mounting:
    """Return how an entry is mounted.

    ``sheets`` are the delivered papers, one a print, where they were measured; else each is the
    stock sheet planned.
    """
    prints = prints_of(plan, sheets)
    slack = tolerances(job, plan).cover
    found = mount_findings(job.rules, plan) if job.rules else ()
    trimmed = [_within(one.sheet, plan.layout.board) for one in prints]
    return Mounting(
        plan=plan,
        holds=tuple(
            hold(plan.layout, one, slack) if one.opening else _uncovered(plan.mount)
            for one in prints
        ),
        grams=mount_grams(plan, job.paper.thickness, trimmed),
        thickness_findings=tuple(f for f in found if f.code.startswith("thickness")),
    )


def prints_of(plan: Plan, sheets: Sequence[Size] = ()) -> tuple[Print, ...]:
    """Return the prints of an entry: one a picture, or one for all in a common window."""
    pictures = plan.layout.pictures
    planned = [
        part.sheet or picture.paper_needed
        for part, picture in zip(plan.parts, pictures, strict=True)
    ]
    images = [picture.image for picture in pictures]
    if plan.layout.has_common_window:
        images, planned = [_around(images)], planned[:1]
    covers = plan.mount.window in ("overlap", "reveal")
    openings = [picture.limiting if covers else None for picture in pictures[: len(images)]]
    lying = zip(images, openings, sheets or planned, strict=True)
    return tuple(Print(*one) for one in lying)


def hold(layout: Layout, one: Print, slack: Length) -> Hold:
    """Return how a print behind a window is held.

    ``slack`` is by how much the mat may cover less than planned on one side.
    """
    covered, is_trimmed = covered_paper(layout, one)
    tells = (f"{TRIM} the sheet: it reaches beyond {_beyond(layout)}",) if is_trimmed else ()
    longest = _within(one.sheet, layout.board).longest
    if longest > _LOOSE_UP_TO:
        return Hold(WHOLE, ZERO, covered, tells)
    if longest <= _HINGED_UP_TO and covered.top - slack >= HINGE_LEAST:
        held = min(HINGE_MOST, _down_to_step(covered.top - slack))
        return Hold(HINGES, held, covered, tells)
    leg = min(_LEG_MOST, _down_to_step(corner_leg(covered, slack)))
    if leg >= _LEG_LEAST and covered.least > slack:
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


def covered_paper(layout: Layout, one: Print) -> tuple[Borders, bool]:
    """Return the paper behind the mat on each side, and whether the sheet has to be trimmed.

    The image is taken to lie in the middle of its sheet. No paper counts beyond the board, or
    beyond the middle of the mat between two openings.
    """
    if one.opening is None:
        return _NOTHING, False
    image = one.image
    place = Place(
        image.place.x - Length((one.sheet.width - image.size.width).nm // 2),
        image.place.y - Length((one.sheet.height - image.size.height).nm // 2),
    )
    paper = _reaches(one.opening, Opening(one.sheet, place))
    room = _room(layout, one.opening)
    sides = [max(ZERO, min(pair)) for pair in zip(paper, room, strict=True)]
    return Borders(*sides), any(wide > most for wide, most in zip(paper, room, strict=True))


def _room(layout: Layout, opening: Opening) -> list[Length]:
    """How far paper may reach beyond an opening, clockwise from the top."""
    room = _reaches(opening, Opening(layout.board, Place(ZERO, ZERO)))
    for other in (p.limiting for p in layout.pictures if p.limiting is not None):
        gaps = _gaps(opening, other)
        side = gaps.index(max(gaps))
        if gaps[side] > ZERO:
            room[side] = min(room[side], Length(gaps[side].nm // 2))
    return room


def _beyond(layout: Layout) -> str:
    return "the board" if len(layout.pictures) == 1 else "the board or behind the next picture"


def _uncovered(mount: Mount) -> Hold:
    """A print whose edge no mat covers."""
    to = {"float": "cleanly: its edge is seen", "surround": "flush with the board"}
    return Hold(
        WHOLE, ZERO, _NOTHING, (f"{TRIM} the paper {to.get(mount.window, 'to the image')}",)
    )


def _around(images: Sequence[Opening]) -> Opening:
    """The rectangle round several images."""
    left, top = min(i.place.x for i in images), min(i.place.y for i in images)
    right, bottom = max(i.right for i in images), max(i.bottom for i in images)
    return Opening(Size(right - left, bottom - top), Place(left, top))


def _within(paper: Size, board: Size) -> Size:
    return Size(min(paper.width, board.width), min(paper.height, board.height))


def _reaches(inner: Opening, outer: Opening) -> list[Length]:
    """How far one rectangle reaches beyond another, clockwise from the top."""
    (top, right, bottom, left), around = _edges(inner), _edges(outer)
    return [top - around[0], around[1] - right, around[2] - bottom, left - around[3]]


def _gaps(one: Opening, other: Opening) -> list[Length]:
    """The mat between two openings, by the side that the other lies on, clockwise from the top."""
    (top, right, bottom, left), beyond = _edges(one), _edges(other)
    return [top - beyond[2], beyond[3] - right, beyond[0] - bottom, left - beyond[1]]


def _edges(opening: Opening) -> tuple[Length, Length, Length, Length]:
    return opening.place.y, opening.right, opening.bottom, opening.place.x


def _down_to_step(length: Length) -> Length:
    return Length(length.nm // _STEP.nm * _STEP.nm)
