"""The facts below the mounts of an entry, or beside them, each under a small caption."""

from collections.abc import Iterable, Sequence

from proofs.findings import Finding, Severity
from proofs.lengths import ZERO, Borders, Size, millimetres
from proofs.pages.facts import Fact, Lines, both_units
from proofs.pages.typography import ASIDE, BODY, CAPTION, SMALL_ALARM, Style
from proofs.pages.wording import mat_name
from proofs.plan.checks.limits import VISIBLE_LIMITS
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.mounts import WindowKind
from proofs.records.rules import VisibleRule

# Least sizes first, and lengths before areas.
_VISIBLE = sorted(
    VISIBLE_LIMITS, key=lambda limit: (limit.measure.quantity.unit, not limit.is_least)
)
_WORDS = {Severity.AT_RISK: "at risk", Severity.BROKEN: "broken"}


def facts_columns(job: Job, outcome: Outcome, plan: Plan, *, columns: int) -> list[list[Fact]]:
    """Return the facts of an entry in two or four columns, the most important first."""
    seen_, cover, image = _visible(job, outcome, plan), _cover(outcome, plan), _image(plan)
    sheet, board = _sheet(plan), _board(outcome, plan)
    borders, thick = _borders(outcome, plan), _thickness(job, outcome, plan)
    if columns == 2:
        return [[seen_, cover, board], [image, sheet, borders, thick]]
    return [[seen_], [cover, image], [sheet, board], [borders, thick]]


def _visible(job: Job, outcome: Outcome, plan: Plan) -> Fact:
    """The visible size: measured in the finished file, or as planned if there is none."""
    files = next((s.print_files for s in outcome.steps if s.print_files), ())
    caption = "Visible size, measured in the print file" if files else "Visible size, as planned"
    sizes = [file.measured_sight for file in files]
    sizes = sizes or [picture.sight.size for picture in plan.layout.pictures]
    rule = job.rules.visible if job.rules else VisibleRule()
    limits = {limit.code: words for limit in _VISIBLE if (words := limit.in_words(rule))}
    lines = _sizes(sizes)
    lines += _judged(outcome, limits)
    return Fact(caption, lines, is_to_fill_in=True)


def _cover(outcome: Outcome, plan: Plan) -> Fact:
    """The overlap, or the paper showing, and what the tolerances leave of it."""
    picture = plan.layout.pictures[0]  # the window is the same for all of them
    if plan.mount.window == WindowKind.SURROUND:
        return Fact("Window", (("none: the surround is printed", BODY),))
    if not plan.mount.has_window:
        return Fact("Window", (("none: the print lies on the board", BODY),))
    if plan.mount.window == WindowKind.FLOAT:
        return _left_of(
            outcome, "gap-left", "Gap around the print", [f"{plan.mount.gap} on each side"]
        )
    code = "overlap-left" if picture.is_cut_off else "reveal-left"
    if picture.is_cut_off:
        return _left_of(outcome, code, "Overlap", [f"{picture.hidden} on each side"])
    paper = picture.seen_paper
    if paper.bottom == paper.top:
        return _left_of(outcome, code, "Paper showing", [f"{paper.top} on each side"])
    words = [f"{paper.top} at top and sides", f"{paper.bottom} at the bottom"]
    return _left_of(outcome, code, "Paper showing", words)


def _left_of(outcome: Outcome, code: str, caption: str, words: Sequence[str]) -> Fact:
    """The planned amount, and what the tolerances leave of it."""
    lines = [(text, BODY) for text in words]
    found = _found(outcome, code)
    if found and isinstance(found.measured, float):
        left = millimetres(repr(found.measured))
        words = f"tolerances leave {left}"
        if left <= ZERO:
            words = f"tolerances need {-left} more"
        lines.append(_toned(words, found))
    return Fact(caption, tuple(lines))


def _board(outcome: Outcome, plan: Plan) -> Fact:
    mount = plan.mount
    lines = both_units(plan.layout.board)
    colours = f"{mount.backing_colour} board"
    if mount.has_window:
        colours = f"{mount.mat_colour} mat, {mount.core_colour} core"
    lines = (*lines, (colours, ASIDE))
    for place, mat in enumerate(mount.inner, 1):
        name = mat_name(place, len(mount.inner) + 1)
        lines += ((f"{name}: {mat.colour}, {mat.core_colour} core,", ASIDE),)
        lines += ((f"{mat.shows} showing", ASIDE),)
    wrong = {"board": "board", "mat-colour": "mat", "core-colour": "core"}
    return Fact("Board", lines + _judged_wrong(outcome, wrong))


def _image(plan: Plan) -> Fact:
    images = _sizes([picture.image.size for picture in plan.layout.pictures])
    prints = [p.paper_edge.size for p in plan.layout.pictures if p.paper_edge is not None]
    if not prints:
        return Fact("Image", images)
    return Fact("Image", (*images, ("whole print", CAPTION), *_sizes(prints)))


def _sheet(plan: Plan) -> Fact:
    sheets = [part.sheet for part in plan.parts if part.sheet]
    lines = _sizes(sheets)
    if len(sheets) < len(plan.parts):
        lines += (("no sheet is large enough", BODY),)
    if plan.has_own_paper:
        lines += ((f"{plan.lab_paper}: {plan.paper.title}", ASIDE),)
    return Fact("Paper sheet", lines)


def _borders(outcome: Outcome, plan: Plan) -> Fact:
    caption = "Borders at the face" if plan.mount.has_window else "Board around the print"
    lines = tuple((text, BODY) for text in border_lines(plan.layout.borders_face))
    found = _found(outcome, "border") or _found(outcome, "mount-border")
    if found and isinstance(found.limit, float):
        lines += (_toned(f"at least {millimetres(repr(found.limit))}", found),)
    return Fact(caption, lines)


def border_lines(borders: Borders) -> tuple[str, ...]:
    """Return the four borders in words, equal ones together.

    >>> from proofs.lengths import inches
    >>> border_lines(Borders(inches(2), inches(3), inches(2), inches(3)))
    ('top, bottom 2 in (5.08 cm)', 'sides 3 in (7.62 cm)')
    """
    top, right, bottom, left = borders.top, borders.right, borders.bottom, borders.left
    # Centring may leave an odd nanometre, so borders that print alike count as equal.
    alike, level = str(left) == str(right), str(top) == str(bottom)
    if alike and level and str(top) == str(left):
        return (f"{top} all round",)
    upright = (f"top, bottom {top}",) if level else (f"top {top}", f"bottom {bottom}")
    sides = (f"sides {left}",) if alike else (f"left {left}", f"right {right}")
    return (upright[0], *sides, *upright[1:])


def _thickness(job: Job, outcome: Outcome, plan: Plan) -> Fact:
    limits: dict[str, str] = {}
    if job.rules and job.rules.thickness_least is not None:
        limits["thickness-least"] = f"at least {job.rules.thickness_least}"
    if job.rules and job.rules.thickness_most is not None:
        limits["thickness-most"] = f"at most {job.rules.thickness_most}"
    lines = ((f"{plan.thickness}", BODY), *_judged(outcome, limits))
    return Fact("Thickness: mat, print, backing", lines)


def _sizes(sizes: Sequence[Size]) -> Lines:
    """Sizes on lines of their own: one in both units, several in inches, equal ones together."""
    if len(sizes) == 1:
        return both_units(sizes[0])
    lines = []
    for text, places in _equal(str(size).partition(" (")[0] for size in sizes).items():
        numbers = ", ".join(str(n) for n in places)
        lines.append((f"{numbers}: {text}" if len(sizes) > len(places) else f"each {text}", BODY))
    return tuple(lines)


def _equal(texts: Iterable[str]) -> dict[str, list[int]]:
    """The numbers, from 1, of the places at which each text occurs."""
    found: dict[str, list[int]] = {}
    for n, text in enumerate(texts, 1):
        found.setdefault(text, []).append(n)
    return found


def _judged(outcome: Outcome, limits: dict[str, str]) -> Lines:
    """The limits by the codes of their findings: small if met, else with the verdict in words."""
    return tuple(_toned(words, _found(outcome, code)) for code, words in limits.items())


def _judged_wrong(outcome: Outcome, words: dict[str, str]) -> Lines:
    """A line for each of these findings that is not met."""
    found = [(_found(outcome, code), text) for code, text in words.items()]
    return tuple(_toned(f"{text}: {f.limit}", f) for f, text in found if f and f.severity in _WORDS)


def _toned(text: str, finding: Finding | None) -> tuple[str, Style]:
    if finding is None or finding.severity not in _WORDS:
        return text, CAPTION
    return f"{text}: {_WORDS[finding.severity]}", SMALL_ALARM


def _found(outcome: Outcome, code: str) -> Finding | None:
    return next((f for f in outcome.findings if f.code == code), None)
