"""How each print is attached in its mount, by its size and the paper behind the mat.

All sizes here are common practice, no source: those of small and large prints, the shortest leg of
a corner, and the narrowest strip that holds a print.
"""

import enum
from dataclasses import dataclass

from proofs.findings import Finding
from proofs.lengths import NO_BORDERS, ZERO, Borders, Length, Size, inches
from proofs.plan.bench.weights import mount_grams
from proofs.plan.checks.mount_checks import mount_findings
from proofs.plan.entry.board import Layout, Opening, Picture
from proofs.plan.entry.planning import Plan, PlannedPicture
from proofs.plan.entry.tolerances import covers
from proofs.plan.entry.trims import Trim, trims
from proofs.records.job import Job
from proofs.records.mounts import Mount, WindowKind

_HINGED_UP_TO = inches(14)  # the longer side of the paper, trimmed
_LOOSE_UP_TO = inches(20)  # larger prints cockle unless they are dry-mounted
_HINGE_LEAST, _HINGE_MOST = inches("1/4"), inches("3/8")  # of the paper's top edge
_LEG_LEAST, _LEG_MOST = inches("1/2"), inches("3/2")
_STRIP_LEAST, _STRIP_MOST = inches("1/8"), inches("3/8")
_STEP = inches("1/8")


@dataclass(frozen=True, slots=True)
class MountedPrint:
    """One sheet of paper in a mount: its image on the board, and the window's limiting edge.

    Several images on one print count as one, out to their outermost edges. ``opening`` is None if
    no mat covers the paper's edge: then ``sheet`` is the size of the trimmed paper.
    """

    image: Opening
    opening: Opening | None
    sheet: Size


class AttachmentMethod(enum.StrEnum):
    """A way to attach a print in its mount."""

    HINGES = "hinges"
    CORNERS = "corners"
    STRIPS = "edge strips"
    DRY_MOUNT = "dry-mounted"


@dataclass(frozen=True, slots=True)
class Attachment:
    """How one print is attached.

    ``size`` is the paper in a hinge, the leg of a corner or the width of a strip; it is zero for
    a dry-mounted print. ``covered`` is the paper behind the mat on each side. Hinges sit at the
    top edge, strips at the other three.
    """

    method: AttachmentMethod
    size: Length
    covered: Borders
    notes: tuple[str, ...] = ()
    is_trimmed: bool = False


@dataclass(frozen=True, slots=True)
class Mounting:
    """How an entry is mounted: an attachment for each print, and the weight of the mount.

    ``thickness_findings`` are those of the rules; there are none if the rules state no limit.
    """

    plan: Plan
    attachments: tuple[Attachment, ...]
    grams: float
    thickness_findings: tuple[Finding, ...] = ()


def mounting(job: Job, plan: Plan) -> Mounting:
    """Return how an entry is mounted."""
    prints = prints_of(plan)
    slack = max((c.slack for c in covers(job, plan.mount, plan.layout)), default=ZERO)
    found = mount_findings(job.rules, plan) if job.rules else ()
    trimmed = [one.sheet.shared(plan.layout.board) for one in prints]
    cuts = trims(plan)
    return Mounting(
        plan=plan,
        attachments=tuple(_uncovered(plan.mount, trim) for trim in cuts)
        or tuple(attachment(plan.layout, one, slack) for one in prints),
        grams=mount_grams(plan, plan.paper.thickness, trimmed),
        thickness_findings=tuple(f for f in found if f.code.startswith("thickness")),
    )


def attachment(layout: Layout, one: MountedPrint, slack: Length) -> Attachment:
    """Return how a print behind a window is attached.

    ``slack`` is by how much less the mat may cover than planned, on one side.
    """
    covered, is_trimmed = covered_paper(layout, one)
    longest = one.sheet.shared(layout.board).longest
    loose = _loose(covered, slack, longest) if longest <= _LOOSE_UP_TO else None
    notes = [f"trim the sheet: it reaches beyond {_beyond(layout)}"] if is_trimmed else []
    if loose is None and longest <= _LOOSE_UP_TO:
        too_little = f"the mat covers only {covered.least} of paper: more white round the image"
        notes.append(f"{too_little} would let it hang free")
    method, size = loose or (AttachmentMethod.DRY_MOUNT, ZERO)
    return Attachment(method, size, covered, tuple(notes), is_trimmed)


def _loose(
    covered: Borders, slack: Length, longest: Length
) -> tuple[AttachmentMethod, Length] | None:
    """The way to attach a print so that it hangs free, and its size; None if there is none."""
    if longest <= _HINGED_UP_TO and covered.top - slack >= _HINGE_LEAST:
        return AttachmentMethod.HINGES, min(_HINGE_MOST, _down_to_step(covered.top - slack))
    leg = min(_LEG_MOST, _down_to_step(corner_leg(covered, slack)))
    if leg >= _LEG_LEAST and covered.least > slack:
        return AttachmentMethod.CORNERS, leg
    strip = min(_STRIP_MOST, _down_to_step(covered_by_strips(covered) - slack))
    is_held = strip >= _STRIP_LEAST and covered.least > slack
    return (AttachmentMethod.STRIPS, strip) if is_held else None


def _beyond(layout: Layout) -> str:
    return "the board" if len(layout.pictures) == 1 else "the board or behind the next picture"


def _uncovered(mount: Mount, trim: Trim) -> Attachment:
    """A print whose edge no mat covers."""
    edges = {
        WindowKind.FLOAT: "cut cleanly: the edge of the paper is visible",
        WindowKind.SURROUND: "the paper ends with the board",
    }
    notes = [f"{'trimmed' if trim.is_done else 'trim'} to {trim.words}"]
    notes += [edges[mount.window]] if mount.window in edges else []
    return Attachment(
        AttachmentMethod.DRY_MOUNT, ZERO, NO_BORDERS, tuple(notes), is_trimmed=not trim.is_done
    )


def _down_to_step(length: Length) -> Length:
    return _STEP * (length.nm // _STEP.nm)


def prints_of(plan: Plan) -> tuple[MountedPrint, ...]:
    """Return the prints of an entry: one for each picture, or one for all in a common window.

    All pictures with a printed surround are one print as well.
    """
    pictures, window = plan.layout.pictures, plan.mount.window
    covers = window in (WindowKind.OVERLAP, WindowKind.REVEAL)
    sheets = [
        (_paper(part, picture) if covers else None)
        or (picture.paper_edge or Opening(picture.paper_needed)).size
        for part, picture in zip(plan.parts, pictures, strict=True)
    ]
    images = [picture.image for picture in pictures]
    if plan.layout.has_common_window or window == WindowKind.SURROUND:
        images, sheets = [Opening.around(images)], sheets[:1]
    openings = [picture.limiting if covers else None for picture in pictures[: len(images)]]
    lying = zip(images, openings, sheets, strict=True)
    return tuple(MountedPrint(*one) for one in lying)


def _paper(part: PlannedPicture, picture: Picture) -> Size | None:
    """The paper of a print; of one to the edge, unless it was measured, what the lab leaves."""
    if part.edge and part.sheet == part.edge.sheet:
        return picture.image.size
    return part.sheet


def covered_by_strips(covered: Borders) -> Length:
    """Return the least covered paper on the sides where edge strips hold: bottom, left, right."""
    return min(covered.bottom, covered.left, covered.right)


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
