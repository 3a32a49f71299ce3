"""The rules that the size of the image can meet or break, each with its verdict.

met = holds in the worst case; at risk = holds nominally only; broken = fails nominally.
Sight sizes are judged at the limiting edge, borders at the face.
"""

from proofs.findings import Finding, Severity
from proofs.lengths import ZERO, Length, Size, in_areas, told_apart
from proofs.plan.planning import Plan, Tolerances, tolerances
from proofs.plan.sizing import fits_either_way
from proofs.records.job import Job
from proofs.records.rules import Rules

LEAST_SIZES = ("longest-side", "shortest-side", "visible-area")  # a larger image mends them


def size_findings(job: Job, plan: Plan) -> tuple[Finding, ...]:
    """Return a finding, without remedies, for every rule that the image's size decides."""
    slack = tolerances(job, plan)
    found = [*_cover(plan, slack), *_own_border(plan)]
    if job.rules:
        found += _visible(job.rules, plan, slack)
        found += _borders(job.rules, plan, slack)
    return tuple(found)


def _visible(rules: Rules, plan: Plan, slack: Tolerances) -> list[Finding]:
    rule, sight = rules.visible, plan.layout.pictures[0].sight.size
    found = []
    for code, side, least, most in (
        ("longest-side", sight.longest, rule.longest_least, rule.longest_most),
        ("shortest-side", sight.shortest, rule.shortest_least, rule.shortest_most),
    ):
        words = code.replace("-", " visible ")
        if least is not None:
            found.append(at_least(code, words, side, least, slack.sight))
        if most is not None:
            found.append(at_most(f"{code}-most", words, side, most, slack.sight))
    if rule.least_square_nm is not None:
        found.append(_area(sight, rule.least_square_nm, slack.sight))
    return found


def _area(sight: Size, least: int, slack: Length) -> Finding:
    worst = Size(sight.width - slack, sight.height - slack).square_nm
    severity = _verdict(sight.square_nm >= least, worst >= least)
    measured, limit = in_areas(sight.square_nm), in_areas(least)
    message = {
        Severity.MET: f"visible area {measured}, at least {limit}",
        Severity.AT_RISK: f"visible area {measured} is too close to the least {limit}:"
        f" {in_areas(worst)} when every tolerance goes against it",
        Severity.BROKEN: f"visible area {measured} is below the least {limit}",
    }[severity]
    return Finding("visible-area", severity, message, sight.square_nm / 1e12, least / 1e12, "mm2")


def _borders(rules: Rules, plan: Plan, slack: Tolerances) -> list[Finding]:
    if not rules.borders:
        return []
    sight, border = plan.layout.pictures[0].sight.size, plan.layout.borders_face.least
    least = _least_border(rules, sight)
    largest = Size(sight.width + slack.sight, sight.height + slack.sight)
    # Rules may ask more of larger pictures: an opening cut too large then meets another limit.
    more = _least_border(rules, largest) - least
    return [at_least("border", "narrowest border at the face", border, least, slack.border + more)]


def _least_border(rules: Rules, sight: Size) -> Length:
    fitting = (b for b in rules.borders if b.up_to is None or fits_either_way(sight, b.up_to))
    return min((b.least for b in fitting), default=ZERO)


def _own_border(plan: Plan) -> list[Finding]:
    border, least = plan.layout.borders_face.least, plan.mount.least_border
    if border >= least:
        return []
    measured, limit = told_apart(border, least)
    message = f"narrowest border {measured} is less than this mount keeps, {limit}"
    if border <= ZERO:
        what = "opening" if plan.mount.has_window else "image"
        message = f"the {what} does not fit the board: narrowest border {measured}"
        return [Finding("mount-border", Severity.BROKEN, message, border.mm, least.mm, "mm")]
    return [Finding("mount-border", Severity.WARNING, message, border.mm, least.mm, "mm")]


def _cover(plan: Plan, slack: Tolerances) -> list[Finding]:
    """What is left of the overlap, or of the paper seen, when tolerances go against it."""
    if not plan.mount.has_window:
        return []
    picture = plan.layout.pictures[0]
    if not picture.is_cut_off:
        paper = picture.seen_paper.least
        return [_left("reveal-left", "paper round the image", "the mat may hide", paper, slack)]
    overlap = picture.hidden
    return [_left("overlap-left", "overlap", "the paper's edge may show beside", overlap, slack)]


def _left(code: str, words: str, risk: str, planned: Length, slack: Tolerances) -> Finding:
    left = planned - slack.cover
    if left > ZERO:
        message = f"{words} {planned}; {left} is left after tolerances"
        return Finding(code, Severity.MET, message, left.mm, 0.0, "mm")
    message = f"{words} {planned} is used up by tolerances of {slack.cover}: {risk} the image"
    return Finding(code, Severity.AT_RISK, message, left.mm, 0.0, "mm")


def at_least(code: str, words: str, measured: Length, least: Length, slack: Length) -> Finding:
    """Return the verdict on a length that must not be below ``least``."""
    severity = _verdict(measured >= least, measured - slack >= least)
    found, limit = told_apart(measured, least)
    message = {
        Severity.MET: f"{words} {found}, at least {limit}",
        Severity.AT_RISK: f"{words} {found} is too close to the least {limit}:"
        f" {measured - slack} when every tolerance goes against it",
        Severity.BROKEN: f"{words} {found} is below the least {limit}",
    }[severity]
    return Finding(code, severity, message, measured.mm, least.mm, "mm")


def at_most(code: str, words: str, measured: Length, most: Length, slack: Length) -> Finding:
    """Return the verdict on a length that must not be above ``most``."""
    severity = _verdict(measured <= most, measured + slack <= most)
    found, limit = told_apart(measured, most)
    message = {
        Severity.MET: f"{words} {found}, at most {limit}",
        Severity.AT_RISK: f"{words} {found} is too close to the most {limit}:"
        f" {measured + slack} when every tolerance goes against it",
        Severity.BROKEN: f"{words} {found} is above the most {limit}",
    }[severity]
    return Finding(code, severity, message, measured.mm, most.mm, "mm")


def _verdict(nominal: bool, worst: bool) -> Severity:
    if not nominal:
        return Severity.BROKEN
    return Severity.MET if worst else Severity.AT_RISK
