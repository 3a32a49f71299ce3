"""How each print is held in its mount: by its size, and by the paper that the mat covers.

The sizes that small and large mean here are common practice, no source; so are the shortest
leg of a corner and the narrowest strip that hold a print.
"""

import enum
from dataclasses import dataclass

from proofs.findings import Finding
from proofs.lengths import ZERO, Borders, Length, Size, inches
from proofs.plan.bench.covered import UNCOVERED, Print, corner_leg, covered_paper, prints_of
from proofs.plan.bench.weights import mount_grams
from proofs.plan.checks.mount_checks import mount_findings
from proofs.plan.entry.board import Layout
from proofs.plan.entry.planning import Plan, tolerances
from proofs.records.job import Job
from proofs.records.mounts import Mount, WindowKind

TRIM = "trim"
HINGE_LEAST, HINGE_MOST = inches("1/4"), inches("3/8")
"""How much of the paper's top edge a hinge holds."""

_HINGED_UP_TO = inches(14)  # the longer side of the paper, trimmed
_LOOSE_UP_TO = inches(20)  # larger prints cockle unless stuck down whole
_LEG_LEAST, _LEG_MOST = inches("1/2"), inches("3/2")
_STRIP_LEAST, _STRIP_MOST = inches("1/8"), inches("3/8")
_STEP = inches("1/8")


class HoldMethod(enum.StrEnum):
    """A way to hold a print in its mount."""

    HINGES = "hinges"
    CORNERS = "corners"
    STRIPS = "edge strips"
    WHOLE = "stuck down whole"


@dataclass(frozen=True, slots=True)
class Hold:
    """How one print is held. ``held`` is the paper in a hinge, the leg of a corner or the width
    of a strip, and nothing where the print is stuck down whole.

    ``covered`` is the paper behind the mat on each side; ``tells`` is what else to know.
    """

    method: HoldMethod
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


def mounting(job: Job, plan: Plan) -> Mounting:
    """Return how an entry is mounted."""
    prints = prints_of(plan)
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


def hold(layout: Layout, one: Print, slack: Length) -> Hold:
    """Return how a print behind a window is held.

    ``slack`` is by how much the mat may cover less than planned on one side.
    """
    covered, is_trimmed = covered_paper(layout, one)
    tells = (f"{TRIM} the sheet: it reaches beyond {_beyond(layout)}",) if is_trimmed else ()
    longest = _within(one.sheet, layout.board).longest
    if longest > _LOOSE_UP_TO:
        return Hold(HoldMethod.WHOLE, ZERO, covered, tells)
    if longest <= _HINGED_UP_TO and covered.top - slack >= HINGE_LEAST:
        held = min(HINGE_MOST, _down_to_step(covered.top - slack))
        return Hold(HoldMethod.HINGES, held, covered, tells)
    leg = min(_LEG_MOST, _down_to_step(corner_leg(covered, slack)))
    if leg >= _LEG_LEAST and covered.least > slack:
        return Hold(HoldMethod.CORNERS, leg, covered, tells)
    strip = min(_STRIP_MOST, _down_to_step(covered.least - slack))
    if strip >= _STRIP_LEAST:
        return Hold(HoldMethod.STRIPS, strip, covered, tells)
    too_little = f"the mat covers only {covered.least} of paper: more white round the image"
    return Hold(HoldMethod.WHOLE, ZERO, covered, (*tells, f"{too_little} would let it hang free"))


def _beyond(layout: Layout) -> str:
    return "the board" if len(layout.pictures) == 1 else "the board or behind the next picture"


def _uncovered(mount: Mount) -> Hold:
    """A print whose edge no mat covers."""
    edges = {
        WindowKind.FLOAT: "cleanly: its edge is seen",
        WindowKind.SURROUND: "flush with the board",
    }
    how = edges.get(mount.window, "to the image")
    return Hold(HoldMethod.WHOLE, ZERO, UNCOVERED, (f"{TRIM} the paper {how}",))


def _within(paper: Size, board: Size) -> Size:
    return Size(min(paper.width, board.width), min(paper.height, board.height))


def _down_to_step(length: Length) -> Length:
    return Length(length.nm // _STEP.nm * _STEP.nm)
