"""The rules that the size of the image can meet or break, each with its verdict.

met = holds in the worst case; at risk = holds nominally only; broken = fails nominally.
Sight sizes are judged at the limiting edge, borders at the face.
"""

from collections.abc import Callable

from proofs.findings import Finding, Severity
from proofs.lengths import ZERO, Length, Size, in_areas, told_apart, total
from proofs.plan.entry.board import Picture
from proofs.plan.entry.planning import Plan, Tolerances, tolerances
from proofs.plan.entry.sizing import fits_either_way
from proofs.records.job import Job
from proofs.records.mounts import WindowKind
from proofs.records.rules import Rules, VisibleRule

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
    rule, found = rules.visible, []
    for code, least, most in (
        ("longest-side", rule.longest_least, rule.longest_most),
        ("shortest-side", rule.shortest_least, rule.shortest_most),
    ):
        if least is not None:
            words, side, slip = _judged(rule, plan, code, slack.sight, pick=min)
            found.append(at_least(code, words, side, least, slip))
        if most is not None:
            words, side, slip = _judged(rule, plan, code, slack.sight, pick=max)
            found.append(at_most(f"{code}-most", words, side, most, slip))
    if rule.least_square_nm is not None:
        found.append(_area(rule, plan, slack.sight))
    return found


def _judged(
    rule: VisibleRule, plan: Plan, code: str, slack: Length, *, pick: Callable[..., Length]
) -> tuple[str, Length, Length]:
    """The length that a rule speaks of, in words that name the rule in force, and its slack."""
    words = code.replace("-", " visible ")
    name = code.removesuffix("-side")
    sides = [getattr(_seen(rule, picture), name) for picture in plan.layout.pictures]
    count = len(sides)
    if count > 1 and rule.sums and code == "longest-side":
        words = f"{words}s of {count} pictures together, without what lies between them,"
        return words, total(sides), count * slack
    side = pick(sides)
    return f"{words}{_whose(rule, plan, sides.index(side))}", side, slack


def _whose(rule: VisibleRule, plan: Plan, n: int) -> str:
    """Which picture is meant where there are several, and whether its paper counts."""
    count, words = len(plan.parts), ""
    if count > 1:
        words = f" of picture {n + 1}, each of {count} counting by itself,"
    if rule.counts_paper and plan.layout.pictures[n].print_seen != plan.layout.pictures[n].sight:
        words = f" with the paper seen{words}"
    return words


def _seen(rule: VisibleRule, picture: Picture) -> Size:
    return picture.print_seen.size if rule.counts_paper else picture.sight.size


def _area(rule: VisibleRule, plan: Plan, slack: Length) -> Finding:
    least = rule.least_square_nm or 0
    areas = [_square_nm(rule, picture, ZERO) for picture in plan.layout.pictures]
    area = min(areas)
    n = areas.index(area)
    worst = _square_nm(rule, plan.layout.pictures[n], slack)
    return area_at_least(f"visible area{_whose(rule, plan, n)}", area, worst, least)


def area_at_least(words: str, area: int, worst: int, least: int) -> Finding:
    """Return the verdict on a visible area in square nanometres, and on it at its worst."""
    severity = _verdict(area >= least, worst >= least)
    measured, limit = in_areas(area), in_areas(least)
    message = {
        Severity.MET: f"{words} {measured}, at least {limit}",
        Severity.AT_RISK: f"{words} {measured} is too close to the least {limit}:"
        f" {in_areas(worst)} when every tolerance goes against it",
        Severity.BROKEN: f"{words} {measured} is below the least {limit}",
    }[severity]
    return Finding("visible-area", severity, message, area / 1e12, least / 1e12, "mm2")


def _square_nm(rule: VisibleRule, picture: Picture, slack: Length) -> int:
    """The area that counts, each side of it ``slack`` shorter."""
    whole = _seen(rule, picture)
    area = Size(whole.width - slack, whole.height - slack).square_nm
    return area * picture.sight_square_nm // picture.sight.size.square_nm


def _borders(rules: Rules, plan: Plan, slack: Tolerances) -> list[Finding]:
    if not rules.borders:
        return []
    border = plan.layout.borders_face.least
    sights = [picture.sight.size for picture in plan.layout.pictures]
    least = max(_least_border(rules, sight) for sight in sights)
    # Rules may ask more of larger pictures: an opening cut too large then meets another limit.
    grown = [Size(s.width + slack.sight, s.height + slack.sight) for s in sights]
    more = max(_least_border(rules, sight) for sight in grown) - least
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
    picture = plan.layout.pictures[0]  # the window is the same for all of them
    if plan.mount.window == WindowKind.FLOAT:
        gap = plan.mount.gap
        return [left_finding("gap-left", "gap round the print", "the mat may touch", gap, slack)]
    if not picture.is_cut_off:
        paper = picture.seen_paper.least
        return [
            left_finding("reveal-left", "paper round the image", "the mat may hide", paper, slack)
        ]
    overlap = picture.hidden
    return [
        left_finding("overlap-left", "overlap", "the paper's edge may show beside", overlap, slack)
    ]


def left_finding(code: str, words: str, risk: str, planned: Length, slack: Tolerances) -> Finding:
    """Return whether anything is left of an overlap, or of what is seen, after tolerances."""
    left = planned - slack.cover
    if left > ZERO:
        message = f"{words} {planned}; {left} is left after tolerances"
        return Finding(code, Severity.MET, message, left.mm, 0.0, "mm")
    thing = "print" if code == "gap-left" else "image"
    message = f"{words} {planned} is used up by tolerances of {slack.cover}: {risk} the {thing}"
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
