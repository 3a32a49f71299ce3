"""The rules on board, thickness, colours, keyline, title and category: all but image sizes."""

import difflib
import unicodedata
from dataclasses import replace
from fractions import Fraction

from proofs.findings import Finding, Severity
from proofs.lengths import NM_PER_INCH, NM_PER_MM, Length, Size, Unit, millimetres, shown
from proofs.plan.checks.limits import length_finding
from proofs.plan.entry.arranging import group_aspect
from proofs.plan.entry.planning import Plan
from proofs.plan.entry.sizing import PrintShape
from proofs.records.cells import folded
from proofs.records.rules import BoardRule, Rules

_TENTH = millimetres("0.1")  # boards are sold by the tenth of a millimetre


def mount_findings(rules: Rules, plan: Plan) -> tuple[Finding, ...]:
    """Return a finding for each rule on anything but the size of the image."""
    found = [*_board(rules.board, plan), *_thickness(rules, plan), *_keyline(rules, plan)]
    return (*found, *_colours(rules, plan), *_titles(rules, plan), *_category(rules, plan))


def met(
    code: str,
    message: str,
    measured: float | str,
    limit: float | str,
    *,
    unit: str | None = None,
) -> Finding:
    """Return the finding that a rule is met."""
    return Finding(code, Severity.MET, message, measured, limit, unit)


def _board(rule: BoardRule | None, plan: Plan) -> list[Finding]:
    if rule is None:
        return []
    board, allowed = plan.layout.board, [rule.size]
    if rule.panorama and _shape(plan) >= rule.panorama_aspect:
        allowed.append(rule.panorama)
    limit = f"{'exactly' if rule.exact else 'at most'} {allowed[-1]}"
    if any(_board_fits(rule, size, board) for size in allowed):
        return [met("board", f"board {board}, {limit}", str(board), limit)]
    message = f"board {board}, but the rules require {limit}"
    if not rule.either_way:
        message += ", that way up"
    remedy = f"cut boards of {allowed[-1]}: set board in the mount's profile, or drop it"
    return [Finding("board", Severity.BROKEN, message, str(board), limit, None, remedy)]


def _shape(plan: Plan) -> Fraction:
    """The longer side over the shorter, of the picture or of all pictures together."""
    rows = (plan.entry.arrangement or plan.mount.arrangement).rows(len(plan.parts))
    aspect = group_aspect([PrintShape(part.image.aspect) for part in plan.parts], rows)
    return max(aspect, 1 / aspect)


def _board_fits(rule: BoardRule, allowed: Size, board: Size) -> bool:
    ways = (allowed, allowed.turned) if rule.either_way else (allowed,)
    return board in ways if rule.exact else any(way.holds(board) for way in ways)


def _thickness(rules: Rules, plan: Plan) -> list[Finding]:
    """The thickness has no tolerance: makers of board state none."""
    found, words = [], "thickness of mat, print and backing"
    backing, tenth = plan.mount.backing - plan.thickness, _TENTH.nm  # less all but the backing
    # A remedy is rounded to the safe side: the nearest tenth might still break the rule.
    if (least := rules.thickness_least) is not None:
        finding = length_finding("thickness-least", words, plan.thickness, least, is_least=True)
        found.append(_with_backing(finding, "at least", -(-(least + backing).nm // tenth)))
    if (most := rules.thickness_most) is not None:
        finding = length_finding("thickness-most", words, plan.thickness, most, is_least=False)
        found.append(_with_backing(finding, "at most", (most + backing).nm // tenth))
    return found


def _with_backing(finding: Finding, bound: str, tenths: int) -> Finding:
    """The same finding with the backing that would meet the limit, if there is one."""
    if finding.severity is Severity.MET or tenths <= 0:
        return finding
    return replace(finding, remedy=f"a backing of {bound} {shown(tenths * _TENTH, Unit.MM)}")


def _keyline(rules: Rules, plan: Plan) -> list[Finding]:
    """A line printed round the image; it does not count as part of the image."""
    most, keyline = rules.keyline_most, plan.mount.keyline
    if most is None or not keyline:
        return []
    finding = length_finding("keyline", "keyline round the image", keyline, most, is_least=False)
    if finding.severity is not Severity.MET:
        finding = replace(finding, remedy=f"a keyline of at most {_at_most(most)} in the mount")
    return [finding]


def _at_most(length: Length) -> str:
    """A length in both units, neither of them rounded up."""
    thousandths, hundredths = length.nm * 1000 // NM_PER_INCH, length.nm * 100 // NM_PER_MM
    return f"{thousandths / 1000:g} in ({hundredths / 100:g} mm)"


def _colours(rules: Rules, plan: Plan) -> list[Finding]:
    mount, found = plan.mount, []
    colours = []
    for number, mat in enumerate(mount.mats):
        name = "bottom mat" if number else "mat"
        colours += [
            ("mat-colour", name, mat.colour, rules.mat_colours),
            ("core-colour", f"core of the {name}", mat.core_colour, rules.core_colours),
        ]
    for code, words, colour, allowed in colours:
        if not allowed:
            continue
        limit = " or ".join(allowed)
        if colour in allowed:
            found.append(met(code, f"{words} {colour}, allowed: {limit}", colour, limit))
            continue
        message = f"{words} {colour}, but the rules allow only {limit}"
        remedy = f"a mount whose {words} is {limit}"
        found.append(Finding(code, Severity.BROKEN, message, colour, limit, None, remedy))
    return found


def _titles(rules: Rules, plan: Plan) -> list[Finding]:
    entry, found = plan.entry, []
    if (most := rules.title_most) is not None:
        length = len(unicodedata.normalize("NFC", entry.title))
        if length <= most:
            found.append(met("title-length", f"title of {length} characters", length, most))
        else:
            message = f"title of {length} characters, but at most {most} are allowed"
            remedy = f"shorten it by {length - most} characters"
            broken = Finding("title-length", Severity.BROKEN, message, length, most, "characters")
            found.append(replace(broken, remedy=remedy))
    return found


def _category(rules: Rules, plan: Plan) -> list[Finding]:
    category, found = plan.entry.category, []
    known = {folded(one): one for one in rules.categories}
    limit = ", ".join(rules.categories)
    if known and not category:
        message = f"no category is named; the exhibition has {limit}"
        found.append(Finding("category", Severity.NOTE, message, None, limit))
    elif known and folded(category) in known:
        found.append(met("category", f"category {category!r}, among {limit}", category, limit))
    elif known:
        near = difflib.get_close_matches(folded(category), known, n=1)
        remedy = f"category: {known[near[0]] if near else 'one of them'}"
        message = f"category {category!r}, but the exhibition has only {limit}"
        found.append(Finding("category", Severity.BROKEN, message, category, limit, None, remedy))
    if folded(category) in {folded(c) for c in rules.monochrome_categories}:
        found.append(_monochrome(plan))
    return found


def _monochrome(plan: Plan) -> Finding:
    if all(part.facts.channels == 1 for part in plan.parts):
        return met("monochrome", "a grey picture in a monochrome category", "grey", "monochrome")
    message = "stored in colour: only its pixels show whether it is monochrome; look at it"
    return Finding("monochrome", Severity.NOTE, message, "colour", "monochrome")
