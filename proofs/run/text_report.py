"""Text for a terminal: aligned lines, with lengths in inches and centimetres."""

import textwrap
from collections import Counter
from collections.abc import Iterable, Sequence

from proofs.both_units import first_in
from proofs.densities import signed
from proofs.findings import Finding, Severity, Status
from proofs.lengths import Borders, Edge, Unit
from proofs.pages.wording import counted
from proofs.plan.checks.checking import CHEAPER_SHEET
from proofs.plan.checks.outcomes import Outcome
from proofs.plan.checks.room import Room, least_room
from proofs.plan.entry.hanging import turn_in_words
from proofs.plan.entry.planning import Plan
from proofs.records.job import Job
from proofs.records.tables import Profile

_FINDING_INDENT = 17  # where the words of a finding begin


def job_lines(job: Job) -> list[str]:
    """Return the profiles of a run: the rules, what is made by hand, and what the lab makes."""
    rules = "none: no rules are checked"
    if job.rules:
        edition = f", {job.rules.edition}" if job.rules.edition else ""
        read = f", read on {job.rules.read_on}" if job.rules.read_on else ""
        rules = f"{job.rules.name} - {job.rules.title}{edition}{read}"
    return [
        f"rules   {rules}",
        f"mount   {_named(job.mounts[0])}; cutter {_named(job.cutter)}",
        f"lab     {_named(job.lab)}; paper {_named(job.paper)}",
        *(f"        {name} is {_named(paper)}" for name, paper in job.lab_papers),
    ]


def _named(profile: Profile) -> str:
    return f"{profile.name} - {profile.title}"


def not_understood_first(outcomes: Sequence[Outcome]) -> list[Outcome]:
    """Return the outcomes, those whose rows cannot be understood first."""
    return sorted(outcomes, key=lambda o: o.status != Status.NOT_UNDERSTOOD)


def outcome_lines(outcome: Outcome, unit: Unit = Unit.IN) -> list[str]:
    """Return one entry: its verdict, its sizes, and each finding with its remedy.

    Lengths are in both units, first in ``unit``.
    """
    entry, verdict = outcome.entry, outcome.status.words.upper()
    lines = [f"{entry.number:>4}  {verdict:<10} {entry.title}"]
    if outcome.plan and outcome.status.is_judged:
        sizes = _sizes(outcome.plan)
        lines += [f"      {words:<10} {first_in(unit, value)}" for words, value in sizes]
    for finding in outcome.findings:
        lines += finding_lines(finding, unit)
    return lines


def decisions(outcome: Outcome, unit: Unit, width: int | None = None) -> list[str]:
    """Return what of an entry needs a decision: each warning, risk, fault and cheaper sheet.

    Lengths are in both units, first in ``unit``. If ``width`` is given, lines are wrapped there.
    """
    shown = (
        f for f in outcome.findings if f.severity >= Severity.WARNING or f.code == CHEAPER_SHEET
    )
    return wrapped((line for f in shown for line in finding_lines(f, unit)), width)


def wrapped(lines: Iterable[str], width: int | None) -> list[str]:
    """Return the lines below an entry, wrapped at ``width`` if it is given."""
    return [part for line in lines for part in (_wrapped(line, width) if width else [line])]


def _wrapped(line: str, width: int) -> list[str]:
    return textwrap.wrap(
        line,
        width,
        subsequent_indent=" " * _FINDING_INDENT,
        break_long_words=False,
        break_on_hyphens=False,
    )


def new_warnings(
    before: Sequence[Outcome], after: Sequence[Outcome], unit: Unit = Unit.IN
) -> list[str]:
    """Return the warnings that a run added to those of the preflight."""
    known = {outcome.entry.number: outcome.findings for outcome in before}
    lines: list[str] = []
    for outcome in after:
        number = outcome.entry.number
        new = [f for f in outcome.findings if f not in known[number]]
        new = [f for f in new if f.severity is Severity.WARNING]
        lines += [f"{number:>4}  {outcome.entry.title}"] if new else []
        lines += [line for finding in new for line in finding_lines(finding, unit)]
    return lines


def summary_lines(outcomes: Sequence[Outcome]) -> list[str]:
    """Return the count of each status, and how many entries have no step chosen yet."""
    counts = Counter(outcome.status for outcome in outcomes)
    statuses = ", ".join(f"{n} {status.words}" for status, n in counts.items())
    undecided = [o.entry.number for o in outcomes if o.plan and o.plan.chosen is None]
    lines = [f"{counted(len(outcomes), 'entry', 'entries')}: {statuses}"]
    close = [o.entry.number for o in outcomes if _has_just_enough(o)]
    if close:
        words = "just enough is left after tolerances"
        lines.append(f"{words}: {len(close)} ({first_few(close)}); --verbose states how much")
    if undecided:
        lines.append(f"step not chosen yet: {len(undecided)} ({first_few(undecided)})")
    return lines


def _has_just_enough(outcome: Outcome) -> bool:
    return outcome.status == Status.MET and least_room(outcome.findings) is Room.JUST


def closing_line(outcomes: Sequence[Outcome], code: int, *, what: str = "entry") -> str:
    """Return why the program ends with this code, or nothing if all went well."""
    if code == 0:
        return ""
    reasons = []
    for status, one, several in (
        (Status.BROKEN, "breaks a rule", "break rules"),
        (Status.NOT_UNDERSTOOD, "cannot be understood", "cannot be understood"),
        (Status.UNREADABLE, "cannot be read", "cannot be read"),
        (Status.FAILED, "failed", "failed"),
        (Status.NOT_DONE, "was not done", "were not done"),
    ):
        numbers = dict.fromkeys(o.entry.number for o in outcomes if o.status == status)
        if numbers:
            verb = one if len(numbers) == 1 else several
            reasons.append(f"{numbered(numbers, what=what)} {verb}")
    return f"exit code {code}: {'; '.join(reasons)}"


def numbered(numbers: Iterable[str], *, what: str = "entry") -> str:
    """Return entries, or other things, by their numbers, each number once.

    >>> numbered(["3"]), numbered(["3", "8", "3"])
    ('entry 3', 'entries 3, 8')
    """
    once = dict.fromkeys(numbers)
    several = "entries" if what == "entry" else f"{what}s"
    return f"{what if len(once) == 1 else several} {', '.join(once)}"


def first_few(numbers: Iterable[str]) -> str:
    """Return numbers as a list, each once; of more than twelve only the first."""
    once = list(dict.fromkeys(numbers))
    return ", ".join(once[:12]) + (", ..." if len(once) > 12 else "")


def _sizes(plan: Plan) -> list[tuple[str, str]]:
    layout = plan.layout
    bracket = "  ".join(f"{v.step} {signed(v.density)}" for v in plan.variants)
    step = plan.chosen
    chosen = f"  (chosen: {step.step} {signed(step.density)})" if step else "  (none chosen yet)"
    return [
        *(line for n in range(len(plan.parts)) for line in _picture(plan, n)),
        *_paper(plan),
        ("board", f"{layout.board}, {plan.thickness} thick"),
        ("borders", f"{_borders(layout.borders_face)}, at the face"),
        ("steps", bracket + chosen),
    ]


def _paper(plan: Plan) -> list[tuple[str, str]]:
    """The line of an entry's paper, if it is not that of the run."""
    if not plan.has_own_paper:
        return []
    return [("paper", f"{plan.lab_paper}: {plan.paper.name} - {plan.paper.title}")]


def _picture(plan: Plan, n: int) -> list[tuple[str, str]]:
    """The lines of one picture; if there are several, the first line names its file."""
    part, picture = plan.parts[n], plan.layout.pictures[n]
    turned = f", {turn_in_words(part.top_edge)}" if part.top_edge != Edge.TOP else ""
    lines = [(f"picture {n + 1}", part.file)] if len(plan.parts) > 1 else []
    lines += [
        ("image", f"{picture.image.size}{turned}"),
        ("visible", str(picture.sight.size)),
    ]
    if part.image.opening is not None:
        lines.append(("opening", f"{part.image.opening.size}, given"))
    if picture.paper_edge is not None:
        lines.append(("print", f"{picture.paper_edge.size}, its edges show"))
    sheet = str(part.sheet) if part.sheet else "none in stock is large enough"
    return [
        *lines,
        ("sheet", f"{sheet}, printed to the edge" if part.edge else sheet),
        ("file", f"{part.file_pixels}; the picture has {part.own_ppi:.0f} ppi at this size"),
    ]


def _borders(borders: Borders) -> str:
    """The four borders; opposite ones that are equal are given once."""
    # Centring can leave a difference of a nanometre: borders that read alike count as equal.
    if str(borders.top) == str(borders.bottom) and str(borders.left) == str(borders.right):
        return f"top and bottom {borders.top}, left and right {borders.left}"
    return ", ".join(f"{side} {getattr(borders, side)}" for side in Edge)


def finding_lines(finding: Finding, unit: Unit = Unit.IN) -> list[str]:
    """Return one finding with its remedy, indented below the line of its entry.

    Lengths are in both units, first in ``unit``.
    """
    word = "" if finding.severity is Severity.UNREADABLE else finding.severity.word
    mark = "ok" if finding.severity is Severity.MET else word
    lines = [f"      {mark:<10} {finding.message}"]
    if finding.remedy:
        lines.append(f"      {'':<10} -> {finding.remedy}")
    return [first_in(unit, line) for line in lines]
