"""The opening that suits a delivered print, which was measured with a ruler.

The planned opening is kept if all checks still pass. Otherwise it is the nearest one on the
cutter's marks with which they do.
"""

import enum
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import product

from proofs.findings import Finding, Severity
from proofs.lengths import Place, Size, inches
from proofs.plan.checks.size_checks import badness, cut_findings
from proofs.plan.cutting.marks import Marks, marks_of
from proofs.plan.cutting.openings import innermost, with_opening, with_openings
from proofs.plan.entry.board import Opening
from proofs.plan.entry.layout import on_board
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.ruler_readings import RulerReading

_FARTHEST = inches("3/4")  # if a larger change is needed, it is the print of another entry
_MOST_STEPS = 24
_ODD = 10  # a side that is a tenth off was probably measured on another print


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


def without_lab_error(job: Job) -> Job:
    """Return the job for measured prints, in which the lab's error no longer counts."""
    return replace(job, lab=replace(job.lab, scale_error=0.0))


def arrive(job: Job, plan: Plan, readings: Sequence[RulerReading]) -> Arrival:
    """Return what to do with an entry whose prints have these sizes.

    ``plan`` is on the marks; there is a reading for each picture, in the pictures' order.
    """
    exact = without_lab_error(job)
    planned = [picture.image.size for picture in plan.layout.pictures]
    sizes = [_as_hung(r.image, size) for r, size in zip(readings, planned, strict=True)]
    notes = tuple(n for r, size in zip(sizes, planned, strict=True) for n in _doubts(r, size))
    if not plan.layout.windows:
        bare = _on_sheets(_bare(plan, sizes), readings)
        findings = cut_findings(exact, bare)
        return Arrival(bare, _verdict(bare, bare, findings), findings, notes)
    kept = _on_sheets(with_openings(plan, innermost(plan), sizes), readings)
    found = _searched(exact, kept)
    findings = cut_findings(exact, found)
    return Arrival(found, _verdict(kept, found, findings), findings, notes)


def _verdict(kept: Plan, found: Plan, findings: Iterable[Finding]) -> ArrivalVerdict:
    worst, _ = badness(findings)
    if worst >= Severity.BROKEN:
        return ArrivalVerdict.AGAIN
    if worst >= Severity.AT_RISK:
        return ArrivalVerdict.AT_RISK
    return ArrivalVerdict.AS_PLANNED if found == kept else ArrivalVerdict.OTHER


def _searched(job: Job, kept: Plan) -> Plan:
    """The plan with the nearest openings that pass the checks best, one after the other."""
    if badness(cut_findings(job, kept))[0] < Severity.AT_RISK:
        return kept
    marks, plan = marks_of(job), kept
    for number in range(len(kept.layout.windows)):
        plan = _nearest(job, plan, number, marks)
    return plan


def _nearest(job: Job, plan: Plan, number: int, marks: Marks) -> Plan:
    most = min(_MOST_STEPS, _FARTHEST.nm // marks.step.nm)
    steps = range(-most, most + 1)
    changes = sorted(product(steps, steps), key=lambda change: (sum(map(abs, change)), change))
    best, least = plan, badness(cut_findings(job, plan))
    for change in changes:
        tried = with_opening(plan, number, _changed(plan, number, change, marks))
        found = badness(cut_findings(job, tried))
        if found < least:
            best, least = tried, found
        if found[0] < Severity.AT_RISK:
            return tried
    return best


def _changed(plan: Plan, number: int, change: tuple[int, int], marks: Marks) -> Opening:
    """The opening this many steps wider and higher, its borders on the marks as before."""
    old = innermost(plan)[number]
    wider, higher = (marks.step * steps for steps in change)
    size = Size(old.size.width + wider, old.size.height + higher)
    x = marks.nearest(old.left - wider // 2)
    y = marks.nearest(old.top - higher // 2)
    return Opening(size, Place(x, y))


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
    if off < 1 / _ODD:
        return []
    return [f"measured {size}, planned {planned}: is it this entry's print?"]
