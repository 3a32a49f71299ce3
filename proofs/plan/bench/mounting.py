"""How each print is attached in its mount, by its size and the paper behind the mat.

All sizes here are common practice, no source: those of small and large prints, the shortest leg of
a corner, and the narrowest strip that holds a print.
"""

import enum
from dataclasses import dataclass

from proofs.findings import Finding
from proofs.lengths import NO_BORDERS, ZERO, Borders, Length, Size, inches
from proofs.plan.bench.covered_paper import (
    MountedPrint,
    corner_leg,
    covered_paper,
    prints_of,
)
from proofs.plan.bench.weights import mount_grams
from proofs.plan.checks.mount_checks import mount_findings
from proofs.plan.entry.board import Layout
from proofs.plan.entry.planning import Plan, tolerances
from proofs.records.job import Job
from proofs.records.mounts import Mount, WindowKind

_HINGED_UP_TO = inches(14)  # the longer side of the paper, trimmed
_LOOSE_UP_TO = inches(20)  # larger prints cockle unless they are dry-mounted
_HINGE_LEAST, _HINGE_MOST = inches("1/4"), inches("3/8")  # of the paper's top edge
_LEG_LEAST, _LEG_MOST = inches("1/2"), inches("3/2")
_STRIP_LEAST, _STRIP_MOST = inches("1/8"), inches("3/8")
_STEP = inches("1/8")


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
    a dry-mounted print. ``covered`` is the paper behind the mat on each side.
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
    slack = tolerances(job, plan).cover
    found = mount_findings(job.rules, plan) if job.rules else ()
    trimmed = [_within(one.sheet, plan.layout.board) for one in prints]
    return Mounting(
        plan=plan,
        attachments=tuple(
            attachment(plan.layout, one, slack) if one.opening else _uncovered(plan.mount)
            for one in prints
        ),
        grams=mount_grams(plan, job.paper.thickness, trimmed),
        thickness_findings=tuple(f for f in found if f.code.startswith("thickness")),
    )


def attachment(layout: Layout, one: MountedPrint, slack: Length) -> Attachment:
    """Return how a print behind a window is attached.

    ``slack`` is by how much less the mat may cover than planned, on one side.
    """
    covered, is_trimmed = covered_paper(layout, one)
    longest = _within(one.sheet, layout.board).longest
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
    strip = min(_STRIP_MOST, _down_to_step(covered.least - slack))
    return (AttachmentMethod.STRIPS, strip) if strip >= _STRIP_LEAST else None


def _beyond(layout: Layout) -> str:
    return "the board" if len(layout.pictures) == 1 else "the board or behind the next picture"


def _uncovered(mount: Mount) -> Attachment:
    """A print whose edge no mat covers."""
    edges = {
        WindowKind.FLOAT: "cleanly: its edge is visible",
        WindowKind.SURROUND: "flush with the board",
    }
    note = f"trim the paper {edges.get(mount.window, 'to the image')}"
    return Attachment(AttachmentMethod.DRY_MOUNT, ZERO, NO_BORDERS, (note,), is_trimmed=True)


def _within(paper: Size, board: Size) -> Size:
    return Size(min(paper.width, board.width), min(paper.height, board.height))


def _down_to_step(length: Length) -> Length:
    return _STEP * (length.nm // _STEP.nm)
