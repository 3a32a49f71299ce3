"""The mounting plan: how each print is held, in groups, with the steps in words."""

from collections.abc import Iterator, Sequence

from proofs.findings import Severity
from proofs.lengths import millimetres
from proofs.pages.drawing import Block, stacked
from proofs.pages.flow import FlowPart
from proofs.pages.headings import opening_block
from proofs.pages.table import CLOSE, Columns, listed, table_parts
from proofs.pages.typography import ALARM, ASIDE, BODY, FIGURE_STRONG, STRONG, TITLE, Setter
from proofs.pages.wording import counted, sentence
from proofs.plan.bench.mounting import (
    Attachment,
    AttachmentMethod,
    Mounting,
    covered_by_strips,
)
from proofs.plan.bench.weights import in_weights

_TITLES = {
    AttachmentMethod.HINGES: "Hinges at the top edge",
    AttachmentMethod.CORNERS: "Corners",
    AttachmentMethod.STRIPS: "Edge strips",
    AttachmentMethod.DRY_MOUNT: "Dry-mounted: with heat, or with cold adhesive film",
}

_PLACE = (
    "Lay the print in its place on the backing, check it through the window, and put a clean"
    " weight on it."
)
_STEPS = {
    AttachmentMethod.HINGES: (
        _PLACE,
        "Fix two hinges of acid-free tape or paper to the back of the top edge, near the ends;"
        " three if it is wide. Each may overlap the print by what the table says, no more.",
        "Fix the free part of each hinge to the backing with a second piece across it. Leave the"
        " other three edges free, or the paper will buckle as the humidity changes.",
    ),
    AttachmentMethod.CORNERS: (
        _PLACE,
        "Slip a paper or film corner over each corner of the sheet and fix it to the backing;"
        " nothing sticks to the print. Leave a little play.",
        "No leg may be longer than the table says. A corner's open edge runs slantwise from the end"
        " of one leg to that of the other: it stays hidden if the leg is no longer than what the"
        " mat covers on both sides of the corner, added up. The table allows for the cutter's and"
        " the placing's error. Edge strips work as well.",
    ),
    AttachmentMethod.STRIPS: (
        _PLACE,
        "Fold strips of thin, acid-free paper. Let them overlap the print by what the table says,"
        " no more, along the bottom and both sides, with a little play.",
        "Fix the strips to the backing, never to the print.",
    ),
    AttachmentMethod.DRY_MOUNT: (
        "First try film, or tissue and heat, on a waste print of the same paper: some coatings"
        " melt or turn glossy.",
        "Keep dust away. The adhesive must cover the back evenly from edge to edge. Never apply it"
        " in thick beads or spots behind the picture: they show as ripples in raking light.",
        "Cold film: peel back a narrow strip of the liner and stick down one edge in its place."
        " Then press outwards from the middle, under clean paper, as you pull the liner away.",
        "Heat: print, tissue and board must be dry. Press at the temperature and for the time that"
        " the tissue's maker states, with a release sheet on the face. Let it cool flat under"
        " weight.",
    ),
}

_CAUTION_WHOLE = (
    "Care: presses and irons burn; switch them off and let them cool before you reach in. Spray"
    " adhesive is very flammable and harmful to breathe: use it only outdoors or with extraction,"
    " far from flames and sparks, with the mask and gloves that its safety sheet asks for. That"
    " sheet and your local rules come first."
)
_CAUTION_TRIM = (
    "Care when you trim: use a fresh blade and a heavy straightedge, keep your fingers behind its"
    " guard, and cut away from your body. Cover the blade when you put it down. The toolmaker's"
    " instructions and your local rules come first."
)

_WINDOW_TITLE = "Hinge the mat to the backing"
_WINDOW_STEPS = (
    "Lay mat and backing side by side, the mat face down and the backing face up, with their long"
    " edges touching and their ends level.",
    "Join them with one strip of acid-free tape along that long edge. The other edges stay free"
    " unless the rules ask for a closed mount.",
    "Lay the print in its place as described below and close the mat. Look, correct the print's"
    " place, and only then attach it.",
    "A dry-mounted print goes on its backing before the mat is joined to it.",
)

_HEAD = (
    "Work with clean, dry hands or cotton gloves, on a clean table with no drinks on it. Hold"
    " prints by their edges. Use only acid-free tape, never masking or household tape."
    " The rules of the exhibition in hand always win: some forbid certain kinds of tape or glue."
)

_HELD = {
    AttachmentMethod.HINGES: "hinge overlap",
    AttachmentMethod.CORNERS: "longest leg",
    AttachmentMethod.STRIPS: "strip overlap",
    AttachmentMethod.DRY_MOUNT: "",
}
_COLUMNS = (1.5, 3.0, 4.4, 2.3, 1.8)


def mounting_parts(mountings: Sequence[Mounting], setter: Setter) -> Iterator[FlowPart]:
    """Yield the mounting plan: the entries grouped by the way their prints are held."""
    lines = ((counted(len(mountings), "mount"), BODY), (_thickest(mountings), ASIDE))
    yield FlowPart(opening_block("Mounting plan", lines, [(_HEAD, BODY)], setter))
    remedies = _remedies(mountings)
    if remedies:
        yield FlowPart(setter.paragraph(remedies, ALARM, setter.width))
    if any(one.plan.mount.has_window for one in mountings):
        title = setter.paragraph(_WINDOW_TITLE, TITLE, setter.width)
        steps = listed(_WINDOW_STEPS, setter)
        yield FlowPart(stacked([title, steps], CLOSE), 22)
    for method in _TITLES:
        rows = [row for one in mountings for row in _rows_of(one, method)]
        if rows:
            yield from _group(method, rows, setter)


def _thickest(mountings: Sequence[Mounting]) -> str:
    thickest = max(mountings, key=lambda one: one.plan.thickness).plan
    return f"thickest mount, with print, tape and spacers: {thickest.thickness}"


def _remedies(mountings: Sequence[Mounting]) -> str:
    """What fixes the thickness of mounts that break the rules, each remedy once."""
    wrong = dict.fromkeys(
        sentence(f"{finding.message}; {finding.remedy} would do.")
        for one in mountings
        for finding in one.thickness_findings
        if finding.severity > Severity.MET and finding.remedy
    )
    return " ".join(wrong)


_Row = tuple[Mounting, Attachment, str]


def _rows_of(one: Mounting, method: AttachmentMethod) -> Iterator[_Row]:
    """An entry's rows in a group: one for all of its prints that are held alike."""
    alike = [(hold.method, hold.size, _held_words(hold)) for hold in one.attachments]
    for first in dict.fromkeys(alike):
        hold = one.attachments[alike.index(first)]
        if hold.method == method:
            places = [str(n) for n, other in enumerate(alike, 1) if other == first]
            noun = "picture" if len(places) == 1 else "pictures"
            which = "" if len(places) == len(alike) else f" ({noun} {', '.join(places)})"
            yield one, hold, f"{one.plan.entry.number}{which}"


def _group(method: AttachmentMethod, rows: Sequence[_Row], setter: Setter) -> Iterator[FlowPart]:
    title = setter.paragraph(_TITLES[method], TITLE, setter.width)
    steps = listed(_STEPS[method], setter)
    head = [title, steps]
    trims = any(hold.is_trimmed for _, hold, _ in rows)
    cautions = [_CAUTION_WHOLE] if method == AttachmentMethod.DRY_MOUNT else []
    cautions += [_CAUTION_TRIM] if trims else []
    head += [setter.paragraph(caution, STRONG, setter.width) for caution in cautions]
    yield FlowPart(stacked(head, 6), 22, keeps_next=True)
    columns = Columns(setter, _COLUMNS)
    heads = ("entry", "title", _HELD[method], "thickness", "weight")
    yield from table_parts(columns.head(heads), [_row(row, columns) for row in rows], gap=10)


def _row(row: _Row, columns: Columns) -> Block:
    one, hold, number = row
    setter, widths = columns.setter, columns.widths
    return columns.row(
        [
            (number, STRONG),
            (one.plan.entry.title, BODY),
            _held(hold, setter, widths[2]),
            _thickness(one, setter, widths[3]),
            (in_weights(one.grams), BODY),
        ]
    )


def _held(hold: Attachment, setter: Setter, width: float) -> Block:
    lines = [(f"{hold.size}", FIGURE_STRONG)] if hold.size else []
    lines += [(words, ASIDE) for words in _held_words(hold)]
    return setter.stack(lines or [("–", ASIDE)], width)


def _held_words(hold: Attachment) -> tuple[str, ...]:
    """What is said of a hold besides its size."""
    return (_covered(hold), *hold.notes) if hold.size else hold.notes


def _covered(hold: Attachment) -> str:
    """The paper that the mat covers where this hold sits."""
    covered = hold.covered
    if hold.method == AttachmentMethod.HINGES:
        return f"covered {covered.top} at the top"
    if hold.method == AttachmentMethod.STRIPS:
        return f"covered {covered_by_strips(covered)} at the strips"
    level, upright = min(covered.top, covered.bottom), min(covered.left, covered.right)
    if level == upright:
        return f"covered {level} on each side"
    return f"covered {level} at top and bottom, {upright} at the sides"


def _thickness(one: Mounting, setter: Setter, width: float) -> Block:
    """The thickness, and the limit if it breaks a rule."""
    lines = [(f"{one.plan.thickness}", BODY)]
    for finding in one.thickness_findings:
        if finding.severity > Severity.MET:
            bound = "at most" if finding.code == "thickness-most" else "at least"
            limit = millimetres(f"{finding.limit:g}")
            lines.append((f"rules: {bound} {limit}", ALARM))
    return setter.stack(lines, width)
