"""What the rules say about board, thickness, colours and title: all but the size of the image."""

import unicodedata
from dataclasses import replace
from fractions import Fraction

from proofs.findings import Finding, Remedy, Severity
from proofs.lengths import ZERO, Size, Unit, millimetres, shown
from proofs.plan.checks.limits import at_least, at_most
from proofs.plan.entry.arranging import PrintShape, group_aspect
from proofs.plan.entry.planning import Plan
from proofs.plan.entry.sizing import fits_either_way
from proofs.records.rules import BoardRule, Rules

_TENTH = millimetres("0.1")  # boards are sold by the tenth of a millimetre


def mount_findings(rules: Rules, plan: Plan) -> tuple[Finding, ...]:
    """Return a finding for each rule on board, thickness, colours, keyline and title."""
    found = [*_board(rules.board, plan), *_thickness(rules, plan), *_keyline(rules, plan)]
    return (*found, *_colours(rules, plan), *_titles(rules, plan))


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


def folded(text: str) -> str:
    """Return a text for comparison, where case, blanks and the encoding of accents do not count."""
    return " ".join(unicodedata.normalize("NFC", text).casefold().split())


def _board(rule: BoardRule | None, plan: Plan) -> list[Finding]:
    if rule is None:
        return []
    board = plan.layout.board
    allowed = [rule.size]
    shape = _shape(plan)
    if rule.panorama and shape >= rule.panorama_aspect:
        allowed.append(rule.panorama)
    fits = [_board_fits(rule, size, plan) for size in allowed]
    limit = f"{'exactly' if rule.exact else 'at most'} {allowed[-1]}"
    if any(fits):
        return [met("board", f"board {board}, {limit}", str(board), limit)]
    message = f"board {board}, but the rules require {limit}"
    if not rule.either_way:
        message += ", that way up"
    remedy = Remedy(f"cut boards of {allowed[-1]}: set board in the mount's profile, or drop it")
    return [Finding("board", Severity.BROKEN, message, str(board), limit, None, remedy)]


def _shape(plan: Plan) -> Fraction:
    """The longer side over the shorter, of the picture or of all pictures together."""
    rows = (plan.entry.arrangement or plan.mount.arrangement).rows(len(plan.parts))
    aspect = group_aspect([PrintShape(part.image.aspect) for part in plan.parts], rows)
    return max(aspect, 1 / aspect)


def _board_fits(rule: BoardRule, size: Size, plan: Plan) -> bool:
    board = plan.layout.board
    allowed = rule.size if size == rule.size else rule.panorama or rule.size
    ways = (allowed, allowed.turned) if rule.either_way else (allowed,)
    if rule.exact:
        return board in ways
    return fits_either_way(board, allowed) if rule.either_way else allowed.holds(board)


def _thickness(rules: Rules, plan: Plan) -> list[Finding]:
    """The thickness counts without a tolerance: makers state none that rules would accept."""
    found, words = [], "thickness of mat, print and backing"
    if rules.thickness_least is not None:
        found.append(at_least("thickness-least", words, plan.thickness, rules.thickness_least))
    if (most := rules.thickness_most) is not None:
        found.append(at_most("thickness-most", words, plan.thickness, most))
    return [_with_backing(f, rules, plan) for f in found]


def _with_backing(finding: Finding, rules: Rules, plan: Plan) -> Finding:
    """The same finding with the backing that would meet the limit, if there is one."""
    if finding.severity is Severity.MET:
        return finding
    is_cap = finding.code == "thickness-most"
    limit = rules.thickness_most if is_cap else rules.thickness_least
    left = (limit or ZERO) - (plan.thickness - plan.mount.backing)
    # Rounded to the safe side: the nearest tenth might still break the rule.
    tenths = left.nm // _TENTH.nm if is_cap else -(-left.nm // _TENTH.nm)
    if tenths <= 0:
        return finding
    words = "at most" if is_cap else "at least"
    return replace(
        finding, remedy=Remedy(f"a backing of {words} {shown(tenths * _TENTH, Unit.MM)}")
    )


def _keyline(rules: Rules, plan: Plan) -> list[Finding]:
    """A line printed round the image; it does not count as part of the image."""
    most, keyline = rules.keyline_most, plan.mount.keyline
    if most is None or not keyline:
        return []
    finding = at_most("keyline", "keyline round the image", keyline, most)
    if finding.severity is not Severity.MET:
        finding = replace(finding, remedy=Remedy(f"a keyline of at most {most} in the mount"))
    return [finding]


def _colours(rules: Rules, plan: Plan) -> list[Finding]:
    mount, found = plan.mount, []
    if not mount.has_window:
        return []
    colours = [
        ("mat-colour", "mat", mount.mat_colour, rules.mat_colours),
        ("core-colour", "core of the mat", mount.core_colour, rules.core_colours),
    ]
    for mat in mount.inner:
        colours += [
            ("mat-colour", "bottom mat", mat.colour, rules.mat_colours),
            ("core-colour", "core of the bottom mat", mat.core_colour, rules.core_colours),
        ]
    for code, words, colour, allowed in colours:
        if not allowed:
            continue
        limit = " or ".join(allowed)
        if colour in allowed:
            found.append(met(code, f"{words} {colour}, allowed: {limit}", colour, limit))
            continue
        message = f"{words} {colour}, but the rules allow only {limit}"
        remedy = Remedy(f"a mount whose {words} is {limit}")
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
            remedy = Remedy(f"shorten it by {length - most} characters")
            unit, broken = "characters", Severity.BROKEN
            found.append(Finding("title-length", broken, message, length, most, unit, remedy))
    if folded(entry.category) in {folded(c) for c in rules.monochrome_categories}:
        found.append(_monochrome(plan))
    return found


def _monochrome(plan: Plan) -> Finding:
    if all(part.facts.channels == 1 for part in plan.parts):
        return met("monochrome", "a grey picture in a monochrome category", "grey", "monochrome")
    message = "stored in colour: only its pixels show whether it is monochrome; look at it"
    return Finding("monochrome", Severity.NOTE, message, "colour", "monochrome")
