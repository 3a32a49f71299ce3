"""What else is to be known of an entry, a line for each fact, behind a small caption."""

from collections.abc import Iterable, Sequence

from proofs.findings import Finding, Severity
from proofs.lengths import ZERO, Borders, Edge, Size, millimetres
from proofs.pages.drawing import Block, across
from proofs.pages.typography import ALARM, BODY, CAPTION, Setter, Style, baseline
from proofs.pages.wording import mat_name
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan
from proofs.records.mounts import WindowKind

_CAPTION_WIDTH = 56.0
_MOST_LINES = 4  # of one fact
_LEVEL = baseline(BODY) - baseline(CAPTION)  # brings captions onto the line of their facts
_GRAVE = (Severity.AT_RISK, Severity.BROKEN)


def fact_blocks(outcome: Outcome, plan: Plan, setter: Setter, width: float) -> list[Block]:
    """Return the facts of an entry, a block for each, the most important first."""
    facts = [("Image", _image(plan), None), _cover(outcome, plan), ("Sheet", _sheet(plan), None)]
    if plan.has_own_paper:
        facts.insert(0, ("Paper", f"{plan.lab_paper}: {plan.paper.title}", None))
    thickness = _found(outcome, "thickness-least", "thickness-most")
    facts += [("Board", _board(plan), _found(outcome, "board", "mat-colour", "core-colour"))]
    facts += [("Thickness", f"{plan.thickness}, mat, print and backing", thickness)]
    return [_fact(caption, text, found, setter, width) for caption, text, found in facts]


def _fact(caption: str, text: str, found: Finding | None, setter: Setter, width: float) -> Block:
    style: Style = ALARM if found and found.severity in _GRAVE else BODY
    head = setter.paragraph(caption, CAPTION, _CAPTION_WIDTH).lowered(_LEVEL)
    body = setter.paragraph(text, style, width - _CAPTION_WIDTH, most=_MOST_LINES)
    return across([head, body], (0, _CAPTION_WIDTH))


def _image(plan: Plan) -> str:
    words = _sizes([picture.image.size for picture in plan.layout.pictures])
    prints = [p.paper_edge.size for p in plan.layout.pictures if p.paper_edge is not None]
    return f"{words}; whole print {_sizes(prints)}" if prints else words


def _cover(outcome: Outcome, plan: Plan) -> tuple[str, str, Finding | None]:
    """The overlap, or the paper showing, and what the tolerances leave of it."""
    picture = plan.layout.pictures[0]  # the window is the same for all of them
    if plan.mount.window == WindowKind.SURROUND:
        return "Window", "none: the surround is printed", None
    if not plan.mount.has_window:
        return "Window", "none: the print lies on the board", None
    if plan.mount.window == WindowKind.FLOAT:
        caption, words, code = "Gap", f"{plan.mount.gap} on each side of the print", "gap-left"
    elif picture.is_cut_off:
        caption, words, code = "Overlap", f"{plan.mount.overlap} on each side", "overlap-left"
    else:
        caption, words, code = "Paper seen", _paper(picture.seen_paper), "reveal-left"
    found = _found(outcome, code)
    return caption, f"{words}{_left_of(found)}", found


def _paper(paper: Borders) -> str:
    """The paper seen round an image, in as few words as its sides allow."""
    # Centring can leave a difference of a nanometre: widths that read alike count as equal.
    top, right, bottom, left = (str(getattr(paper, edge)) for edge in Edge)
    if left == right and top == bottom == left:
        return f"{top} on each side"
    if left == right and top == left:
        return f"{top} at top and sides, {bottom} at the bottom"
    if left == right and top == bottom:
        return f"{top} at top and bottom, {left} at the sides"
    return f"{top} at the top, {right} at the right, {bottom} at the bottom, {left} at the left"


def _left_of(found: Finding | None) -> str:
    """What the tolerances leave of a planned amount."""
    if found is None or not isinstance(found.measured, float):
        return ""
    left = millimetres(repr(found.measured))
    return f"; tolerances leave {left}" if left > ZERO else f"; tolerances need {-left} more"


def _sheet(plan: Plan) -> str:
    sheets = [part.sheet for part in plan.parts if part.sheet]
    words = [_sizes(sheets)] if sheets else []
    if len(sheets) < len(plan.parts):
        words.append("no sheet is large enough")
    return "; ".join(words)


def _board(plan: Plan) -> str:
    mount = plan.mount
    words = [f"{plan.layout.board}", f"{mount.backing_colour} board"]
    if mount.has_window:
        words[1:] = [f"{mount.mat_colour} mat, {mount.core_colour} core"]
    for place, mat in enumerate(mount.inner, 1):
        name = mat_name(place, len(mount.inner) + 1)
        words.append(f"{name} {mat.colour}, {mat.core_colour} core, {mat.shows} showing")
    return "; ".join(words)


def _sizes(sizes: Sequence[Size]) -> str:
    """One size in both units, several in inches, equal ones together."""
    if len(sizes) == 1:
        return str(sizes[0])
    groups = _equal(str(size).partition(" (")[0] for size in sizes)
    if len(groups) == 1:
        return f"each {next(iter(groups))}"
    return ", ".join(f"{' and '.join(map(str, n))}: {text}" for text, n in groups.items())


def _equal(texts: Iterable[str]) -> dict[str, list[int]]:
    """The numbers, from 1, of the places at which each text occurs."""
    found: dict[str, list[int]] = {}
    for n, text in enumerate(texts, 1):
        found.setdefault(text, []).append(n)
    return found


def _found(outcome: Outcome, *codes: str) -> Finding | None:
    """The worst finding with one of these codes."""
    found = [f for f in outcome.findings if f.code in codes]
    return max(found, key=lambda f: f.severity, default=None)
