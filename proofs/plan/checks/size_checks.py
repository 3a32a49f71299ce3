"""The checks of the size of an image and of its opening, by the rules, the mount and the sheet.

Visible sizes are judged at the limiting edge, borders at the face.
"""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

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
from proofs.plan.entry.board import Picture
from proofs.plan.entry.planning import Plan, Tolerances, tolerances
from proofs.plan.entry.sizing import fits_either_way
from proofs.records.job import Job
from proofs.records.mounts import WindowKind
from proofs.records.rules import Rules, VisibleRule

_HALF = Fraction(1, 2)


def size_findings(job: Job, plan: Plan) -> tuple[Finding, ...]:
    """Return a finding, without a remedy, for each limit that the image's size decides."""
    slack = tolerances(job, plan)
    return (*_cover(plan, slack), *_limits(job, plan, slack))


def cut_findings(job: Job, plan: Plan) -> tuple[Finding, ...]:
    """Return the findings on a plan as it is to be cut: those on its sheets too."""
    slack = tolerances(job, plan)
    return (*_limits(job, plan, slack), *_cover(plan, slack), *_sheet(job, plan))


def badness(findings: Iterable[Finding]) -> tuple[int, int]:
    """Return how bad findings are: the worst severity, then the sum of all.

    >>> badness([Finding("a", Severity.MET, ""), Finding("b", Severity.AT_RISK, "")])
    (3, 3)
    """
    found = [int(f.severity) for f in findings if f.severity > Severity.NOTE]
    return max(found, default=0), sum(found)


def _limits(job: Job, plan: Plan, slack: Tolerances) -> list[Finding]:
    found = _own_border(plan)
    if job.rules:
        rule = job.rules.visible
        seen = [_seen(rule, picture) for picture in plan.layout.pictures]
        found += visible_findings(rule, seen, slack.sight)
        found += _borders(job.rules, plan, slack)
    return found


def _seen(rule: VisibleRule, picture: Picture) -> Seen:
    """What is seen of a picture as the rules count it: the image, or the whole print."""
    shown = picture.print_seen if rule.counts_paper else picture.sight
    return Seen(shown.size, picture.is_oval, has_paper=shown != picture.sight)


def _borders(rules: Rules, plan: Plan, slack: Tolerances) -> list[Finding]:
    if not rules.borders:
        return []
    border = plan.layout.borders_face.least
    sights = [picture.sight.size for picture in plan.layout.pictures]
    least = max(_least_border(rules, sight) for sight in sights)
    # Rules may require wider borders of larger pictures: an opening cut too large may need one.
    grown = [Size(s.width + slack.sight, s.height + slack.sight) for s in sights]
    more = max(_least_border(rules, sight) for sight in grown) - least
    words = "narrowest border at the face"
    slack_of_border = slack.border + more
    return [length_finding("border", words, border, least, is_least=True, slack=slack_of_border)]


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


def _cover(plan: Plan, slack: Tolerances) -> list[Finding]:
    """Whether the mat covers enough, where it covers least."""
    if not plan.layout.windows:
        return []
    window = plan.mount.window
    planned = min(_covered(window, picture) for picture in plan.layout.pictures)
    return [cover_finding(COVER_LIMITS[window], planned, slack.cover)]


def _covered(window: WindowKind, picture: Picture) -> Length:
    if window == WindowKind.OVERLAP:
        return picture.hidden
    if picture.paper_edge:
        return picture.paper_edge.borders_in(picture.cuts[-1].limiting).least
    return picture.seen_paper.least


def _sheet(job: Job, plan: Plan) -> list[Finding]:
    """Whether each sheet reaches behind the mat where its paper is seen."""
    if plan.mount.window != WindowKind.REVEAL:
        return []
    behind, slack = min(_behind(plan)), job.cutter.placing + job.cutter.cut
    found = cover_finding(SHEET_LIMIT, behind, slack)
    return [replace(found, measured=(behind - slack).mm)]


def _behind(plan: Plan) -> list[Length]:
    """How far each sheet reaches behind the mat, on the sides where it reaches least far."""
    reaches = []
    for part, picture in zip(plan.parts, plan.layout.pictures, strict=True):
        sheet, back = part.sheet or picture.paper_needed, picture.cuts[-1].back.size
        reaches.append(min(sheet.width - back.width, sheet.height - back.height) * _HALF)
    return reaches
