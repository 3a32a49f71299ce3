"""What an inspection means for an entry, as findings: marks, edges, tones, sharpness, way up."""

from collections.abc import Iterable, Sequence

from proofs.findings import Finding, Severity
from proofs.inspection.frames_and_rules import frame_findings
from proofs.inspection.inspected import FLAWS, TONES, InspectedPicture
from proofs.inspection.mark_words import counts, on_paper, where
from proofs.inspection.marks import Mark, MarkKind
from proofs.lengths import Edge, inches
from proofs.plan.checks.checking import by_severity
from proofs.plan.entry.mockup import board_colour
from proofs.records.inspections import SharpnessLimits
from proofs.records.job import Job
from proofs.records.mounts import WindowKind

_SEARCHED = "searched"  # the code that every picture looked at has
_MINUTE_OF_ARC = 3438  # distances at which two points one apart are 1 minute of arc apart
_AT_HAND = inches(20)  # from where a print in the hand is judged; common practice, no source
_POOR_JPEG, _WEAK_JPEG = 40, 75  # below 40 blocks are seen (measured), below 75 in smooth skies
_ENLARGED_EDGE_MM, _MANY_PPI = 0.35, 240  # measured: sharp pictures stay below the first
_DARK_BOARD = 110  # codes of sRGB
_LEAST_SHARE = 0.0005  # of a picture: less rounds to nothing
_TINT = 12  # codes of sRGB between the channels of a tinted white


def look_findings(
    job: Job, sharpness: SharpnessLimits, pictures: Sequence[InspectedPicture]
) -> tuple[Finding, ...]:
    """Return all findings of an inspection on one entry, the most serious first.

    ``pictures`` are those of the entry, in order.
    """
    found = [*frame_findings(job, pictures)]
    for picture in pictures:
        found += [
            *_flaws(picture),
            *_way_up(picture),
            *_lost_edges(picture),
            *_tones(picture),
            *_sharpness(picture, sharpness),
            *_own_pixels(picture),
            *_jpeg(picture),
            *_hidden(picture),
            _searched(picture),
        ]
    return by_severity((*found, *_mats(pictures[0])))


def is_inspected(findings: Iterable[Finding]) -> bool:
    """Return whether these findings include those of an inspection."""
    return any(finding.code == _SEARCHED for finding in findings)


def _of(picture: InspectedPicture) -> str:
    """The words that name one of several pictures."""
    return f"picture {picture.n + 1}: " if len(picture.plan.parts) > 1 else ""


def _flaws(picture: InspectedPicture) -> list[Finding]:
    marks = [seen.mark for seen in picture.of(FLAWS)]
    if not marks:
        return []
    surest = f"; the surest is {where(marks[0].area.centre)}"
    message = f"{_of(picture)}look at these: {counts(marks)}{surest}"
    remedy = "retouch what is dirt in the file; tick off the rest in spotted.csv"
    return [Finding("marks", Severity.WARNING, message, len(marks), None, "marks", remedy)]


def _way_up(picture: InspectedPicture) -> list[Finding]:
    """Turns that may have been made twice, and a board turned against its picture."""
    part, entry = picture.part, picture.plan.entry
    turn = part.facts.exif_turn
    if turn and part.top_edge != Edge.TOP:
        message = (
            f"{_of(picture)}which way is up? EXIF turns it by {turn}°, and top_edge"
            f" ({part.top_edge}) turns it once more"
        )
        remedy = "look at it; if it lies, clear top_edge; if it hangs right, save it upright"
        return [Finding("which-way-up", Severity.WARNING, message, turn, None, "°", remedy)]
    size = part.image.size
    hangs = "portrait" if size.is_portrait else "landscape"
    if entry.board is None or len(picture.plan.parts) > 1 or size.width == size.height:
        return []
    if hangs == entry.board or part.top_edge != Edge.TOP:  # the check asks about the latter
        return []
    message = f"which way is up? the picture hangs {hangs}, but its board is to be {entry.board}"
    remedy = f"board: {hangs}, or top_edge: left or right"
    return [Finding("which-way-up", Severity.WARNING, message, hangs, entry.board, None, remedy)]


def _lost_edges(picture: InspectedPicture) -> list[Finding]:
    marks = [seen.mark for seen in picture.of([MarkKind.LOST_EDGE])]
    if not marks:
        return []
    kind = picture.plan.mount.window
    beside = "the paper" if kind in (WindowKind.REVEAL, WindowKind.FLOAT) else "the mat"
    sides = ", ".join(f"{mark.side} over {on_paper(_length(mark))}" for mark in marks)
    longest = max(_length(mark) for mark in marks)
    message = f"{_of(picture)}no edge between picture and {beside}: {sides}"
    remedy = "another mat or a reveal shows where it ends"
    keyline = "; so does a thin keyline, where the rules allow one"
    return [Finding("lost-edge", Severity.WARNING, message, longest, None, "mm", remedy + keyline)]


def _length(mark: Mark) -> float:
    return mark.length_mm or max(mark.area.width, mark.area.height)


def tone_shares(picture: InspectedPicture) -> dict[MarkKind, dict[str, float]]:
    """Return the share of the image in areas without tone, by kind and by the letter of the step.

    A blank letter is for what the picture itself lacks.
    """
    width, height = picture.size_mm
    shares: dict[MarkKind, dict[str, float]] = {}
    for seen in picture.of(TONES):
        mark = seen.mark
        by_step = shares.setdefault(mark.kind, {})
        share = (mark.area_mm2 or 0.0) / (width * height)
        by_step[mark.step or ""] = by_step.get(mark.step or "", 0.0) + share
    return {kind: dict(sorted(steps.items())) for kind, steps in sorted(shares.items())}


def share_words(shares: dict[str, float]) -> str:
    """Return shares by step in words, such as ``A 0.4 %, B 1.2 %``."""
    return ", ".join(_share(step, share) for step, share in shares.items())


def share_range(shares: dict[str, float]) -> str:
    """Return the shares of the first and the last step, such as ``A 0.4 % to D 1.2 %``.

    From step to step they only rise, or only fall.
    """
    if len(shares) < 3:
        return share_words(shares)
    (first, *_, last) = (_share(step, share) for step, share in shares.items())
    return f"{first} to {last}"


def _share(step: str, share: float) -> str:
    words = "below 0.1 %" if share < _LEAST_SHARE else f"{share * 100:.1f} %"
    return f"{step} {words}".strip()


def _tones(picture: InspectedPicture) -> list[Finding]:
    found = []
    for kind, shares in tone_shares(picture).items():
        words = "bare paper" if kind is MarkKind.CLIPPED else "blocked shadows"
        largest = max(
            (seen.mark for seen in picture.of([kind])), key=lambda mark: mark.area_mm2 or 0.0
        )
        message = (
            f"{_of(picture)}{words} in areas: {share_words(shares)}; the largest is"
            f" {where(largest.area.centre)}"
        )
        share = max(shares.values())
        code = "bare-areas" if kind is MarkKind.CLIPPED else "blocked-areas"
        found.append(Finding(code, Severity.NOTE, message, round(share, 6)))
    return found


def _sharpness(picture: InspectedPicture, limits: SharpnessLimits) -> list[Finding]:
    width = picture.look.inspection.edge_width_mm
    if width is None:
        message = f"{_of(picture)}sharpness not measured: it has too few clear edges"
        return [Finding("sharpness", Severity.NOTE, message)]
    words, severity, limit = "sharp", Severity.MET, limits.sharp_edge_mm
    if width > limits.soft_edge_mm:
        words, severity, limit = "soft at its print's size", Severity.WARNING, limits.soft_edge_mm
    elif width > limits.sharp_edge_mm:
        words, severity = "a little soft, seen close up", Severity.NOTE
    message = f"{_of(picture)}{words}: its sharpest edges are {on_paper(width)} wide"
    remedy = "look at it: mist and movement are soft on purpose" if severity > 1 else ""
    found = [Finding("sharpness", severity, message, round(width, 3), limit, "mm", remedy)]
    if width > _ENLARGED_EDGE_MM and picture.part.own_ppi >= _MANY_PPI:
        hint = (
            f"{_of(picture)}it may have been enlarged before it came here: it has"
            f" {picture.part.own_ppi:.0f} pixels per inch, but soft edges; this is only a hint"
        )
        found.append(Finding("looks-enlarged", Severity.NOTE, hint))
    return found


def _own_pixels(picture: InspectedPicture) -> list[Finding]:
    """From where on an eye of 1 minute of arc, common practice, can no longer see the pixels."""
    ppi = picture.part.own_ppi
    distance = on_paper(_MINUTE_OF_ARC / ppi * 25.4)
    severity = Severity.MET if distance <= _AT_HAND else Severity.NOTE
    message = (
        f"{_of(picture)}{ppi:.0f} of its own pixels per inch: no eye sees them from {distance} on"
    )
    return [Finding("own-pixels", severity, message, round(distance.mm, 1), _AT_HAND.mm, "mm")]


def _jpeg(picture: InspectedPicture) -> list[Finding]:
    quality = picture.part.facts.jpeg_quality
    if quality is None or quality >= _WEAK_JPEG:
        return []
    message = f"{_of(picture)}saved as JPEG of quality {quality}"
    remedy = "look for blocks in skies, and print from the original if there are any"
    severity = Severity.WARNING if quality < _POOR_JPEG else Severity.NOTE
    limit = _POOR_JPEG if severity is Severity.WARNING else _WEAK_JPEG
    return [Finding("jpeg-quality", severity, message, quality, limit, None, remedy)]


def _hidden(picture: InspectedPicture) -> list[Finding]:
    marks = [s.mark for s in picture.marks if s.is_hidden and s.mark.kind not in TONES]
    if not marks:
        return []
    message = f"{_of(picture)}hidden by the mat, if the print lies in its place: {counts(marks)}"
    return [Finding("hidden-marks", Severity.NOTE, message, len(marks), None, "marks")]


def _searched(picture: InspectedPicture) -> Finding:
    share = picture.look.inspection.searched_share
    message = f"{_of(picture)}{share * 100:.0f} % of it is calm enough to be searched for specks"
    return Finding(_SEARCHED, Severity.NOTE, message, round(share, 6))


def _mats(picture: InspectedPicture) -> list[Finding]:
    """The trade's caution about mats that are not white; common practice, no source."""
    mats = picture.plan.mount.mats
    dark = [mat.colour for mat in mats if max(board_colour(mat.colour)) < _DARK_BOARD]
    tinted = [mat.colour for mat in mats if _is_tinted(mat.colour)]
    advice = [f"{name}: a dark mat makes pictures look lighter than they are" for name in dark]
    advice += [f"{name}: a coloured mat tints what lies beside it" for name in tinted]
    return [
        Finding("mat-colour-advice", Severity.NOTE, f"the mat is {words}; most judges expect white")
        for words in dict.fromkeys(advice)
    ]


def _is_tinted(name: str) -> bool:
    codes = board_colour(name)
    is_known = board_colour("") != codes
    return not is_known or max(codes) - min(codes) > 2 * _TINT
