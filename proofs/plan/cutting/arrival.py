"""The opening that suits a delivered print, which was measured with a ruler.

The planned opening is kept if all checks still pass and the mat still covers the print as the
mount wants. Otherwise it is the opening that suits the print best, of all on the cutter's marks.
"""

import enum
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from proofs.findings import Finding, Severity
from proofs.lengths import Size
from proofs.plan.checks.size_checks import badness, cut_findings
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.opening_search import nearest_openings
from proofs.plan.cutting.openings import innermost, with_openings
from proofs.plan.entry.layout import on_board
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.mounts import WindowKind
from proofs.records.ruler_readings import RulerReading

_ODD = 0.03  # a side that is this far off may have been measured on another print


class ArrivalVerdict(enum.StrEnum):
    """What to do with a measured entry; ``AT_RISK`` means that even the best opening is at risk."""

    AS_PLANNED = "as planned"
    OTHER = "other opening"
    AT_RISK = "at risk"
    AGAIN = "print again"


@dataclass(frozen=True, slots=True)
class Arrival:
    """A measured entry: the plan with the openings to cut, on the marks, and its findings."""

    plan: Plan
    verdict: ArrivalVerdict
    findings: tuple[Finding, ...]
    notes: tuple[str, ...] = ()


def as_measured(job: Job) -> Job:
    """Return the job for measured prints: the lab's error is known, the ruler's is not."""
    return replace(job, is_measured=True)


def arrive(job: Job, plan: Plan, readings: Sequence[RulerReading]) -> Arrival:
    """Return what to do with an entry whose prints have these sizes.

    ``plan`` is on the marks; there is a reading for each picture, in the pictures' order.
    """
    job = as_measured(job)
    planned = [picture.image.size for picture in plan.layout.pictures]
    sizes = [_as_hung(r.image, size) for r, size in zip(readings, planned, strict=True)]
    notes = [n for r, size in zip(sizes, planned, strict=True) for n in _doubts(r, size)]
    if not plan.layout.windows:
        bare = _on_sheets(_bare(plan, sizes), readings)
        findings = cut_findings(job, bare)
        return Arrival(bare, _verdict(bare, bare, findings), findings, tuple(notes))
    kept = _on_sheets(with_openings(plan, innermost(plan), sizes), readings)
    found = nearest_openings(job, kept, plan)
    findings = cut_findings(job, found)
    verdict = _verdict(kept, found, findings)
    if verdict != ArrivalVerdict.AGAIN:
        notes += _little_overlap(job, found)
    return Arrival(found, verdict, findings, tuple(notes))


def _verdict(kept: Plan, found: Plan, findings: Iterable[Finding]) -> ArrivalVerdict:
    worst, _ = badness(findings)
    if worst >= Severity.BROKEN:
        return ArrivalVerdict.AGAIN
    if worst >= Severity.AT_RISK:
        return ArrivalVerdict.AT_RISK
    return ArrivalVerdict.AS_PLANNED if found == kept else ArrivalVerdict.OTHER


def _little_overlap(job: Job, plan: Plan) -> list[str]:
    """What to say where the mat overlaps a print by much less than the mount wants."""
    wanted, step = plan.mount.overlap, marks_of(job).step
    if plan.mount.window != WindowKind.OVERLAP:
        return []
    least = min(picture.hidden for picture in plan.layout.pictures)
    if least + step * Fraction(1, 2) >= wanted:
        return []
    return [
        f"the mat overlaps the print by only {least}, not by {wanted}: no more is possible within"
        " the rules, so place the print with care"
    ]


def _on_sheets(plan: Plan, readings: Sequence[RulerReading]) -> Plan:
    """The plan with the measured sheets, and their edges if the mount shows them."""
    parts, pictures = [], []
    for part, picture, reading in zip(plan.parts, plan.layout.pictures, readings, strict=True):
        if reading.sheet is None:
            parts.append(part)
            pictures.append(picture)
            continue
        sheet = _as_hung(reading.sheet, picture.image.size)
        parts.append(replace(part, sheet=sheet))
        edge = picture.image.centred(sheet) if picture.paper_edge else None
        pictures.append(replace(picture, paper_edge=edge))
    layout = replace(plan.layout, pictures=tuple(pictures))
    return replace(plan, parts=tuple(parts), layout=layout)


def _bare(plan: Plan, sizes: Sequence[Size]) -> Plan:
    """The plan of prints without a window in their measured sizes, with the same centres."""
    pictures = []
    for picture, size in zip(plan.layout.pictures, sizes, strict=True):
        lying, edge = picture.image.centred(size), picture.paper_edge
        edge = lying.bordered(picture.image.borders_in(edge)) if edge else None
        pictures.append(replace(picture, image=lying, sight=lying, paper_edge=edge))
    return replace(plan, layout=on_board(plan.layout.board, tuple(pictures)))


def _as_hung(size: Size, planned: Size) -> Size:
    """A measured size with its width first as the print hangs, whichever way it was measured."""
    return min(size, size.turned, key=lambda s: _apart(s, planned))


def _apart(one: Size, other: Size) -> int:
    return abs(one.width.nm - other.width.nm) + abs(one.height.nm - other.height.nm)


def _doubts(size: Size, planned: Size) -> list[str]:
    off = max(
        abs(size.width.nm / planned.width.nm - 1), abs(size.height.nm / planned.height.nm - 1)
    )
    if off < _ODD:
        return []
    return [f"measured {size}, planned {planned}: is it this entry's print?"]
