"""The checks of the size of an image and of its opening, by the rules, the mount and the sheet.

Visible sizes are judged at the limiting edge, borders at the face.
"""

from collections.abc import Iterable
from dataclasses import replace

from proofs.findings import Finding, Severity
from proofs.lengths import ZERO, Length, Size, distinct_texts
from proofs.plan.checks.limits import (
    COVER_LIMITS,
    SHEET_LIMIT,
    Seen,
    cover_finding,
    length_finding,
    visible_findings,
)
from proofs.plan.entry.board import Opening, Picture
from proofs.plan.entry.planning import Plan
from proofs.plan.entry.sizing import fits_either_way
from proofs.plan.entry.tolerances import covers, tolerances
from proofs.records.job import Job
from proofs.records.mounts import WindowKind
from proofs.records.rules import Rules, VisibleRule


def size_findings(job: Job, plan: Plan) -> tuple[Finding, ...]:
    """Return a finding, without a remedy, for each limit that the image's size decides."""
    return (*_cover(job, plan), *_limits(job, plan))


def cut_findings(job: Job, plan: Plan) -> tuple[Finding, ...]:
    """Return the findings on a plan as it is to be cut: those on its sheets too."""
    return (*_limits(job, plan), *_cover(job, plan), *_sheet(job, plan))


def badness(findings: Iterable[Finding]) -> tuple[int, int]:
    """Return how bad findings are: the worst severity, then the sum of all.

    >>> badness([Finding("a", Severity.MET, ""), Finding("b", Severity.AT_RISK, "")])
    (3, 3)
    """
    found = [int(f.severity) for f in findings if f.severity > Severity.NOTE]
    return max(found, default=0), sum(found)


def _limits(job: Job, plan: Plan) -> list[Finding]:
    found = _own_border(plan)
    if job.rules:
        found += visible_findings(job.rules.visible, seen_pictures(job, plan, job.rules.visible))
        found += _borders(job, job.rules, plan)
    return found


def seen_pictures(job: Job, plan: Plan, rule: VisibleRule) -> list[Seen]:
    """Return what is seen of each picture as the rules count it: the image, or the whole print."""
    errors, seen = tolerances(job), []
    for picture in plan.layout.pictures:
        shown = picture.print_seen if rule.counts_paper else picture.sight
        slack = errors.of_sight(picture, shown)
        has_paper, untrimmed = shown != picture.sight, _untrimmed(picture)
        seen.append(Seen(shown.size, slack, picture.is_oval, has_paper, untrimmed))
    return seen


def _untrimmed(picture: Picture) -> Length:
    """What a print to the edge may show beyond its image, where no mat ends the view."""
    return ZERO if picture.is_cut_off else picture.untrimmed


def _borders(job: Job, rules: Rules, plan: Plan) -> list[Finding]:
    if not rules.borders:
        return []
    errors, border = tolerances(job), plan.layout.borders_face.least
    sights = seen_pictures(job, plan, VisibleRule())
    least = max(_least_border(rules, seen.size) for seen in sights)
    # Rules may ask more of larger pictures: one that comes out larger meets another limit.
    more = max(_least_border(rules, seen.largest.size) for seen in sights)
    worst, words = errors.narrowest_border(plan.mount, plan.layout), "narrowest border at the face"
    if worst >= least and border >= least and worst < more:
        return [_at_edge_of_tier(words, (border, worst), (least, more))]
    return [length_finding("border", words, border, least, is_least=True, slack=border - worst)]


def _at_edge_of_tier(
    words: str, border_and_worst: tuple[Length, Length], least_and_more: tuple[Length, Length]
) -> Finding:
    (border, worst), (least, more) = border_and_worst, least_and_more
    message = (
        f"{words} {border}, at least {least}; but if the visible size comes out larger, the minimum"
        f" is {more}, and the border {worst} when every tolerance goes against it"
    )
    return Finding("border", Severity.AT_RISK, message, border.mm, more.mm, "mm")


def _least_border(rules: Rules, sight: Size) -> Length:
    fitting = (b for b in rules.borders if b.up_to is None or fits_either_way(sight, b.up_to))
    return min((b.least for b in fitting), default=ZERO)


def _own_border(plan: Plan) -> list[Finding]:
    border, least = plan.layout.borders_face.least, plan.mount.least_border
    if border >= least:
        return []
    measured, limit = distinct_texts(border, least)
    message = f"narrowest border {measured} is less than this mount keeps, {limit}"
    if border <= ZERO:
        what = "opening" if plan.mount.has_window else "image"
        message = f"the {what} does not fit the board: narrowest border {measured}"
        return [Finding("mount-border", Severity.BROKEN, message, border.mm, least.mm, "mm")]
    return [Finding("mount-border", Severity.WARNING, message, border.mm, least.mm, "mm")]


def _cover(job: Job, plan: Plan) -> list[Finding]:
    """Whether the mat covers enough, where it covers least."""
    found = covers(job, plan.mount, plan.layout)
    if not found:
        return []
    least = min(found, key=lambda cover: (min(cover.planned, cover.left), cover.planned))
    return [cover_finding(COVER_LIMITS[plan.mount.window], least.planned, least.slack)]


def _sheet(job: Job, plan: Plan) -> list[Finding]:
    """Whether each sheet reaches behind the mat where its paper is seen."""
    if plan.mount.window != WindowKind.REVEAL:
        return []
    behind, slack = min(_behind(plan)), job.cutter.placing + job.cutter.cut
    found = cover_finding(SHEET_LIMIT, behind, slack)
    return [replace(found, measured=(behind - slack).mm)]


def _behind(plan: Plan) -> list[Length]:
    """How far each sheet reaches behind the mat, on the side where it reaches least far.

    What it shows is taken to be in its middle, whatever paper the window shows round that.
    """
    reaches, pictures = [], plan.layout.pictures
    for part, picture in zip(plan.parts, pictures, strict=True):
        shown = Opening.around(other.image for other in pictures if other.cuts == picture.cuts)
        sheet = shown.centred(part.sheet or picture.paper_needed)
        reaches.append(picture.cuts[-1].back.borders_in(sheet).least)
    return reaches
