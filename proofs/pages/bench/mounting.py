"""The mounting plan: how each print is held, in groups, with the steps in words."""

from collections.abc import Iterator, Sequence

from proofs.findings import Severity
from proofs.lengths import ZERO, millimetres
from proofs.pages.bench.mounting_words import (
    CAUTION_TRIM,
    CAUTION_WHOLE,
    HEAD,
    STEPS,
    TITLES,
    WINDOW_STEPS,
    WINDOW_TITLE,
)
from proofs.pages.drawing import Block, Page, stacked
from proofs.pages.flow import (
    CLOSE,
    READ,
    READ_ALARM,
    READ_ASIDE,
    READ_STRONG,
    Columns,
    FlowPart,
    OnPaper,
    counted,
    listed,
    opening_block,
    table_parts,
)
from proofs.pages.typography import TITLE, Setter, sentence
from proofs.plan.bench.mounting import TRIM, Hold, HoldMethod, Mounting
from proofs.plan.bench.weights import in_weights

_HELD = {
    HoldMethod.HINGES: "paper held",
    HoldMethod.CORNERS: "longest leg",
    HoldMethod.STRIPS: "widest strip",
    HoldMethod.WHOLE: "",
}
_COLUMNS = (1.3, 3.7, 3.2, 2.9, 1.7)


def mounting_pages(mountings: Sequence[Mounting], on: OnPaper) -> tuple[Page, ...]:
    """Return the mounting plan, one row an entry, grouped by the way its print is held."""
    return on.pages(_parts(mountings, on.setter), "Mounting plan")


def _parts(mountings: Sequence[Mounting], setter: Setter) -> Iterator[FlowPart]:
    lines = ((counted(len(mountings), "mount", "mounts"), READ), (_thickest(mountings), READ_ASIDE))
    yield FlowPart(opening_block("Mounting plan", lines, (HEAD, READ), setter))
    remedies = _remedies(mountings)
    if remedies:
        yield FlowPart(setter.paragraph(remedies, READ_ALARM, setter.span(3)))
    if any(one.plan.mount.has_window for one in mountings):
        title = setter.paragraph(WINDOW_TITLE, TITLE, setter.width)
        steps = listed(WINDOW_STEPS, setter, width=setter.span(3))
        yield FlowPart(stacked([title, steps], CLOSE), 22)
    for method in TITLES:
        rows = [row for one in mountings for row in _rows_of(one, method)]
        if rows:
            yield from _group(method, rows, setter)


def _thickest(mountings: Sequence[Mounting]) -> str:
    thickest = max(mountings, key=lambda one: one.plan.thickness).plan
    return f"thickest, with print, tape and spacers: {thickest.thickness}"


def _remedies(mountings: Sequence[Mounting]) -> str:
    """What would mend the thickness of each kind of mount that breaks the rules, told once."""
    wrong = dict.fromkeys(
        sentence(f"{finding.message}; {finding.remedy.text} would do.")
        for one in mountings
        for finding in one.thickness_findings
        if finding.severity > Severity.MET and finding.remedy
    )
    return " ".join(wrong)


_Row = tuple[Mounting, Hold, str]


def _rows_of(one: Mounting, method: HoldMethod) -> Iterator[_Row]:
    """An entry's rows in a group: one for all of its prints that are told alike."""
    told = [(hold.method, hold.held, hold.covered.least, hold.tells) for hold in one.holds]
    for first in dict.fromkeys(told):
        hold = one.holds[told.index(first)]
        if hold.method == method:
            places = [str(n) for n, other in enumerate(told, 1) if other == first]
            noun = "picture" if len(places) == 1 else "pictures"
            which = "" if len(places) == len(told) else f" ({noun} {', '.join(places)})"
            yield one, hold, f"{one.plan.entry.number}{which}"


def _group(method: HoldMethod, rows: Sequence[_Row], setter: Setter) -> Iterator[FlowPart]:
    title = setter.paragraph(TITLES[method], TITLE, setter.width)
    steps = listed(STEPS[method], setter, width=setter.span(3))
    head = [title, steps]
    trims = any(TRIM in tell for _, hold, _ in rows for tell in hold.tells)
    for care in (
        CAUTION_WHOLE if method == HoldMethod.WHOLE else "",
        CAUTION_TRIM if trims else "",
    ):
        if care:
            head.append(setter.paragraph(care, READ_STRONG, setter.span(3)))
    yield FlowPart(stacked(head, 6), 22)
    columns = Columns(setter, _COLUMNS)
    heads = ("entry", "title", _HELD[method], "thickness", "weight")
    yield from table_parts(columns.head(heads), [_row(row, columns) for row in rows], gap=10)


def _row(row: _Row, columns: Columns) -> Block:
    one, hold, number = row
    setter, places = columns.setter, columns.places()
    return columns.row(
        [
            (number, READ_STRONG),
            (one.plan.entry.title, READ),
            _held(hold, setter, places[2][1]),
            _thickness(one, setter, places[3][1]),
            (in_weights(one.grams), READ),
        ]
    )


def _held(hold: Hold, setter: Setter, width: float) -> Block:
    lines = [(f"{hold.held}", READ)] if hold.held else []
    if hold.covered.least > ZERO and hold.held:
        lines.append((f"covered {hold.covered.least}", READ_ASIDE))
    lines += [(tell, READ_ASIDE) for tell in hold.tells]
    return stacked(setter.paragraph(*line, width) for line in lines or [("–", READ_ASIDE)])


def _thickness(one: Mounting, setter: Setter, width: float) -> Block:
    """The thickness, and the limit where it breaks a rule."""
    lines = [(f"{one.plan.thickness}", READ)]
    for finding in one.thickness_findings:
        if finding.severity > Severity.MET:
            bound = "at most" if finding.code == "thickness-most" else "at least"
            limit = millimetres(f"{finding.limit:g}")
            lines.append((f"rules: {bound} {limit}", READ_ALARM))
    return stacked(setter.paragraph(*line, width) for line in lines)
