"""What borders and strokes in a picture mean: for the visible size, for a keyline, for the eye."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from proofs.findings import Finding, Severity
from proofs.inspection.inspected import FRAMES, InspectedPicture, SeenMark, image_mm
from proofs.inspection.mark_words import is_quiet, on_paper, what
from proofs.inspection.marks import Mark, MarkKind
from proofs.lengths import ZERO, Edge, Length, Size
from proofs.plan.checks.limits import Seen, visible_findings
from proofs.plan.checks.size_checks import seen_pictures
from proofs.plan.entry.board import Picture
from proofs.records.job import Job
from proofs.records.spotted import TickWord

IN_FILE, KEYLINE, STROKE = "border-in-file", "keyline-in-file", "stroke-in-file"


def frame_findings(job: Job, pictures: Sequence[InspectedPicture]) -> tuple[Finding, ...]:
    """Return the findings on borders and strokes; ``pictures`` are those of one entry.

    A border does not count as visible image until it is ticked as meant: if a rule is met only
    with it, the entry is at risk.
    """
    found = [finding for picture in pictures for finding in _keylines(job, picture)]
    found += [finding for picture in pictures for finding in _advice(picture)]
    lost = {picture.n: _lost(picture) for picture in pictures}
    if not any(lost.values()):
        return tuple(found)
    return (_at_risk_or_look(job, pictures, lost), *found)


def _frames(picture: InspectedPicture) -> tuple[SeenMark, ...]:
    """The borders and strokes of a picture that the mat does not hide, ticked off or not."""
    return tuple(m for m in picture.marks if m.mark.kind in FRAMES and not m.is_hidden)


def _lost(picture: InspectedPicture) -> Mapping[Edge, Length]:
    """How far borders that are not meant reach into a picture from each side."""
    deepest: dict[Edge, Length] = {}
    for seen in _frames(picture):
        side = seen.mark.side
        if side is not None and seen.word is not TickWord.MEANT:
            depth = on_paper(depth_mm(seen.mark, image_mm(picture.plan, picture.n)))
            deepest[side] = max(depth, deepest.get(side, ZERO))
    return deepest


def depth_mm(mark: Mark, size_mm: tuple[float, float]) -> float:
    """Return how far a border or a stroke reaches into the image from its side."""
    area, (width, height) = mark.area, size_mm
    return {
        Edge.LEFT: area.left + area.width,
        Edge.TOP: area.top + area.height,
        Edge.RIGHT: width - area.left,
        Edge.BOTTOM: height - area.top,
    }[mark.side or Edge.LEFT]


def _at_risk_or_look(
    job: Job, pictures: Sequence[InspectedPicture], lost: Mapping[int, Mapping[Edge, Length]]
) -> Finding:
    plan = pictures[0].plan
    names = [
        f"{what(m.mark)}" for p in pictures for m in _frames(p) if m.word is not TickWord.MEANT
    ]
    listed, it = ", ".join(dict.fromkeys(names)), "it" if len(names) == 1 else "them"
    without = [
        visible_without(picture, lost.get(n, {})) for n, picture in enumerate(plan.layout.pictures)
    ]
    first = min(n for n, sides in lost.items() if sides)
    message = f"{listed}: without {it} {without[first]} is visible"
    remedy = f"crop {it} off in the file, or tick {it} as meant in spotted.csv"
    broken = _broken_without(job, pictures, without)
    if broken is None:
        finding = Finding(IN_FILE, Severity.WARNING, message, None, None, None, remedy)
        return replace(finding, measured=without[first].longest.mm, unit="mm")
    message = f"{message}, and then {broken.message}"
    severity, unit = Severity.AT_RISK, broken.unit
    return Finding(IN_FILE, severity, message, broken.measured, broken.limit, unit, remedy)


def _broken_without(
    job: Job, pictures: Sequence[InspectedPicture], without: Sequence[Size]
) -> Finding | None:
    """The gravest finding on the visible sizes that is only there without the borders."""
    if job.rules is None:
        return None
    rule = job.rules.visible
    seen = seen_pictures(job, pictures[0].plan, rule)
    less = [_smaller(one, size) for one, size in zip(seen, without, strict=True)]
    as_it_is = {f.code: f.severity for f in visible_findings(rule, seen)}
    worse = [f for f in visible_findings(rule, less) if f.severity > as_it_is[f.code]]
    return max(worse, key=lambda f: f.severity, default=None)


def _smaller(seen: Seen, size: Size) -> Seen:
    """What is seen without the borders; paper that counts with the image stays."""
    return seen if seen.has_paper else replace(seen, size=seen.size.shared(size))


def visible_without(picture: Picture, lost: Mapping[Edge, Length]) -> Size:
    """Return the visible size without borders; what the mat covers of them is no loss."""
    sight = picture.sight.counted_from(picture.image)
    image = picture.image.size
    covered = {
        Edge.LEFT: sight.left,
        Edge.TOP: sight.top,
        Edge.RIGHT: image.width - sight.right,
        Edge.BOTTOM: image.height - sight.bottom,
    }
    less = {edge: max(ZERO, lost.get(edge, ZERO) - covered[edge]) for edge in Edge}
    width = sight.size.width - less[Edge.LEFT] - less[Edge.RIGHT]
    height = sight.size.height - less[Edge.TOP] - less[Edge.BOTTOM]
    return Size(max(ZERO, width), max(ZERO, height))


def _keylines(job: Job, picture: InspectedPicture) -> list[Finding]:
    """A line round the picture that is wider than the rules allow, meant or not."""
    most = job.rules.keyline_most if job.rules else None
    lines = [m.mark for m in _frames(picture) if not is_quiet(m.mark.colour)]
    widest = max(lines, key=lambda mark: mark.width_mm or 0.0, default=None)
    if most is None or widest is None or on_paper(widest.width_mm or 0.0) <= most:
        return []
    width = on_paper(widest.width_mm or 0.0)
    message = f"{what(widest)} is {width} wide, but a keyline may be at most {most}"
    remedy = "take it out of the file, or make it narrower"
    return [Finding(KEYLINE, Severity.BROKEN, message, width.mm, most.mm, "mm", remedy)]


def _advice(picture: InspectedPicture) -> list[Finding]:
    """The trade's advice on lines that lead the eye away; common practice, no source."""
    loud = [m.mark for m in _frames(picture) if m.is_open and not is_quiet(m.mark.colour)]
    if not loud:
        return []
    kind = "line" if any(mark.kind is MarkKind.STROKE for mark in loud) else "border"
    names = ", ".join(dict.fromkeys(what(mark) for mark in loud))
    message = f"{names}: a dark or coloured {kind} draws the eye; let the picture speak"
    return [Finding(STROKE, Severity.NOTE, message)]
