"""The paper of each print behind the mat, and the longest mounting corners that the mat hides."""

from dataclasses import dataclass

from proofs.lengths import NO_BORDERS, ZERO, Borders, Length, Size
from proofs.plan.entry.board import Layout, Opening
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import WindowKind


@dataclass(frozen=True, slots=True)
class MountedPrint:
    """One sheet of paper in a mount: its image on the board, and the window's limiting edge.

    Several images on one print count as one, out to their outermost edges. ``opening`` is None if
    no mat covers the paper's edge: then ``sheet`` is the size of the trimmed paper.
    """

    image: Opening
    opening: Opening | None
    sheet: Size


def prints_of(plan: Plan) -> tuple[MountedPrint, ...]:
    """Return the prints of an entry: one for each picture, or one for all in a common window.

    All pictures with a printed surround are one print as well.
    """
    pictures, window = plan.layout.pictures, plan.mount.window
    covers = window in (WindowKind.OVERLAP, WindowKind.REVEAL)
    sheets = [
        (part.sheet if covers else None)
        or (picture.paper_edge or Opening(picture.paper_needed)).size
        for part, picture in zip(plan.parts, pictures, strict=True)
    ]
    images = [picture.image for picture in pictures]
    if plan.layout.has_common_window or window == WindowKind.SURROUND:
        images, sheets = [Opening.around(images)], sheets[:1]
    openings = [picture.limiting if covers else None for picture in pictures[: len(images)]]
    lying = zip(images, openings, sheets, strict=True)
    return tuple(MountedPrint(*one) for one in lying)


def corner_leg(covered: Borders, slack: Length = ZERO) -> Length:
    """Return the longest leg of a mounting corner that the mat hides at all four corners.

    The outer edge of a mounting corner runs diagonally from the end of one leg to that of the
    other. So a leg may be as long as the covered paper on its two sides together: twice the
    covered paper if it is the same all round.

    >>> from proofs.lengths import inches
    >>> corner_leg(Borders(*[inches("1/2")] * 4)) == inches(1)
    True
    """
    upright, level = min(covered.top, covered.bottom), min(covered.left, covered.right)
    return upright + level - 2 * slack


def covered_paper(layout: Layout, one: MountedPrint) -> tuple[Borders, bool]:
    """Return the paper behind the mat on each side, and whether the sheet must be trimmed.

    The image is assumed to be in the middle of its sheet. Paper does not count beyond the board,
    or beyond the middle of the mat between two openings.
    """
    if one.opening is None:
        return NO_BORDERS, False
    sheet = Opening(one.sheet)
    margins = sheet.centred(one.image.size).borders_in(sheet)
    paper = _sides(one.opening.borders_in(one.image.bordered(margins)))
    room = _room(layout, one.opening)
    sides = [max(ZERO, min(pair)) for pair in zip(paper, room, strict=True)]
    return Borders(*sides), any(wide > most for wide, most in zip(paper, room, strict=True))


def _room(layout: Layout, opening: Opening) -> list[Length]:
    """How far paper may reach beyond an opening, clockwise from the top."""
    room = _sides(opening.borders_in(Opening(layout.board)))
    for other in (p.limiting for p in layout.pictures if p.limiting is not None):
        gaps = _gaps(opening, other)
        side = gaps.index(max(gaps))
        if gaps[side] > ZERO:
            room[side] = min(room[side], gaps[side] // 2)
    return room


def _gaps(one: Opening, other: Opening) -> list[Length]:
    """The mat between two openings on each side of the first, clockwise from the top."""
    return [
        one.top - other.bottom,
        other.left - one.right,
        other.top - one.bottom,
        one.left - other.right,
    ]


def _sides(borders: Borders) -> list[Length]:
    """The four borders, clockwise from the top."""
    return [borders.top, borders.right, borders.bottom, borders.left]
