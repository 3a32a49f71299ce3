"""The opening that suits a delivered print, which was measured with a ruler.

The planned opening is kept if all checks still pass and the mat still covers the print as the
mount wants. Otherwise it is the opening that suits the print best, of all on the cutter's marks.
"""

import enum
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from proofs.findings import Finding, Severity
from proofs.lengths import ZERO, Length, Size
from proofs.plan.checks.size_checks import badness, cut_findings
from proofs.plan.cutting.marks import marks_of
from proofs.plan.cutting.opening_search import nearest_openings
from proofs.plan.cutting.openings import given_windows, innermost, with_openings
from proofs.plan.cutting.rounding import on_marks
from proofs.plan.entry.board import Opening, Picture
from proofs.plan.entry.layout import on_board
from proofs.plan.entry.planning import Plan
from proofs.plan.entry.trims import Trim, trims
from proofs.records.job import Job
from proofs.records.mounts import WindowKind
from proofs.records.ruler_readings import RulerReading

TRIM_FIRST = "trim first"
"""How the note on a sheet begins that is larger than its print may be."""

_ODD = 0.03  # a side that is this far off may have been measured on another print
_UNLIKE = Fraction(1, 200)  # of scales: side by side more can be seen; common practice, no source


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


def arrive(job: Job, exact: Plan, readings: Sequence[RulerReading]) -> Arrival:
    """Return what to do with an entry whose prints have these sizes.

    ``exact`` is the plan before it is brought onto the marks; there is a reading for each picture,
    in the pictures' order.
    """
    plan, job = on_marks(job, exact), as_measured(job)
    planned = [picture.image.size for picture in plan.layout.pictures]
    sizes = [_as_hung(r.image, size) for r, size in zip(readings, planned, strict=True)]
    pictures = plan.layout.pictures
    notes = [n for r, picture in zip(sizes, pictures, strict=True) for n in _doubts(r, picture)]
    notes += _unlike_scales(job, sizes, pictures)
    if not plan.layout.windows:
        bare = _on_sheets(job, _bare(plan, sizes), readings)
        findings = cut_findings(job, bare)
        notes += _trim_notes(bare, readings)
        return Arrival(bare, _verdict(bare, bare, findings), findings, tuple(notes))
    kept = _on_sheets(job, with_openings(plan, innermost(plan), sizes), readings)
    notes += _trim_notes(kept, readings)
    found = nearest_openings(job, kept, plan, exact)
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
    least = min(picture.hidden.least for picture in plan.layout.pictures)
    if least + step * Fraction(1, 2) >= wanted:
        return []
    why = "no more is possible within the rules"
    if all(given_windows(plan)):
        why = "the opening is given"
    return [
        f"the mat overlaps the print by only {least}, not by {wanted}: {why}, so place the print"
        " with care"
    ]


def _trim_notes(plan: Plan, readings: Sequence[RulerReading]) -> list[str]:
    """What to trim before anything else, of the sheets that were measured, and what is judged."""
    return [
        f"{TRIM_FIRST}: the sheet measures {trim.sheet}; borders are judged for paper trimmed to"
        f" {trim.edge.size}{_untrimmed(plan, trim)}"
        for trim, reading in zip(trims(plan), readings, strict=False)
        if reading.sheet and trim.is_to_do
    ]


def _untrimmed(plan: Plan, trim: Trim) -> str:
    """What border a sheet would leave if it stayed as it is, where that is the mount's border."""
    if plan.layout.windows or trim.sheet is None or plan.mount.window == WindowKind.SURROUND:
        return ""
    left = trim.edge.centred(trim.sheet).borders_in(Opening(plan.layout.board)).least
    if left <= ZERO:
        return "; untrimmed it does not fit the board"
    return f"; untrimmed it would leave a border of only {left}"


def _on_sheets(job: Job, plan: Plan, readings: Sequence[RulerReading]) -> Plan:
    """The plan with the measured sheets, and the edges of the paper where the mount shows them.

    A side of the sheet that is longer than planned is trimmed; a shorter one stays as it is.
    """
    parts, pictures = [], []
    for part, picture, reading in zip(plan.parts, plan.layout.pictures, readings, strict=True):
        if reading.sheet is None:
            parts.append(part)
            pictures.append(picture)
            continue
        sheet = _as_hung(reading.sheet, picture.image.size)
        parts.append(replace(part, sheet=sheet))
        pictures.append(_edged(picture, sheet, job.reading_error))
    layout = on_board(plan.layout.board, tuple(pictures))
    return replace(plan, parts=tuple(parts), layout=layout)


def _edged(picture: Picture, sheet: Size, error: Length) -> Picture:
    """A picture with the edge of its paper, if that is seen, once its sheet is trimmed.

    A sheet that is longer than planned by no more than a reading's error has been trimmed already.
    """
    planned = picture.paper_edge
    if planned is None:
        return picture
    sides = (sheet.width, planned.size.width), (sheet.height, planned.size.height)
    width, height = (wanted if side > wanted + error else side for side, wanted in sides)
    edge = picture.image.centred(Size(width, height))
    return replace(picture, paper_edge=edge, seen_paper=picture.image.borders_in(edge))


def _unlike_scales(job: Job, sizes: Sequence[Size], pictures: Sequence[Picture]) -> list[str]:
    """What to say where the pictures of one board came at scales that differ too much.

    The size of a print to the edge is that of its paper, and says nothing of its scale.
    """
    pairs = enumerate(zip(sizes, pictures, strict=True), 1)
    found = [(n, size, one.image.size) for n, (size, one) in pairs if not one.untrimmed]
    if not found:
        return []
    scales = {n: _scale(size, planned) for n, size, planned in found}
    apart = max(scales.values()) / min(scales.values()) - 1
    if apart <= _UNLIKE:
        return []
    listed = ", ".join(f"picture {n} at {_percent(scale)}" for n, scale in scales.items())
    differ = f"the pictures came at scales that differ by {_percent(apart)}"
    words = f"{differ}: {listed} of the planned size"
    least = min(planned.longest.nm for _, _, planned in found)
    by_ruler = Fraction(2 * job.reading_error.nm, least)
    if apart <= by_ruler:
        ruler = f"the ruler alone may make {_percent(by_ruler)} of that, so measure again"
        return [f"{words}; {ruler}"]
    return [f"{words}; side by side that shows, so have the odd one printed again"]


def _scale(size: Size, planned: Size) -> Fraction:
    if planned.width >= planned.height:
        return Fraction(size.width.nm, planned.width.nm)
    return Fraction(size.height.nm, planned.height.nm)


def _percent(share: Fraction) -> str:
    return f"{100 * float(share):.1f} %"


def _bare(plan: Plan, sizes: Sequence[Size]) -> Plan:
    """The plan of prints without a window in their measured sizes, with the same centres."""
    pictures = []
    for picture, size in zip(plan.layout.pictures, sizes, strict=True):
        lying, edge = picture.image.centred(size), picture.paper_edge
        edge = lying.bordered(picture.image.borders_in(edge)) if edge else None
        found = replace(picture, image=lying, sight=lying, paper_edge=edge, untrimmed=ZERO)
        pictures.append(found)
    return replace(plan, layout=on_board(plan.layout.board, tuple(pictures)))


def _as_hung(size: Size, planned: Size) -> Size:
    """A measured size with its width first as the print hangs, whichever way it was measured."""
    return min(size, size.turned, key=planned.apart_nm)


def _doubts(size: Size, picture: Picture) -> list[str]:
    planned = picture.image.size
    untrimmed = planned.grown(picture.untrimmed)  # a print to the edge may be as large as its sheet
    off = max(
        _beyond(size.width, planned.width, untrimmed.width),
        _beyond(size.height, planned.height, untrimmed.height),
    )
    if off < _ODD:
        return []
    return [f"measured {size}, planned {planned}: is it this entry's print?"]


def _beyond(side: Length, least: Length, most: Length) -> float:
    """By what share a side is shorter than the least, or longer than the most, it may be."""
    return max(1 - side.nm / least.nm, side.nm / most.nm - 1)
