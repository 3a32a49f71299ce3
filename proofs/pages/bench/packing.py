"""The last look at each mount, the packing list with its return label, and the print log."""

from collections.abc import Iterator, Sequence

from proofs.pages.drawing import Block, Line, across, side_by_side, sides, stacked
from proofs.pages.flow import FlowPart
from proofs.pages.headings import opening_block
from proofs.pages.table import Columns, blank, listed, table_parts, tick_box
from proofs.pages.typography import (
    ASIDE,
    BODY,
    CAPTION,
    FIGURE,
    HAIRLINE,
    QUIET,
    STRONG,
    TITLE,
    Setter,
    Words,
)
from proofs.pages.wording import counted
from proofs.plan.bench.packing import LIFT_GRAMS, PackedMount, PackedPair, Parcel
from proofs.plan.bench.weights import in_weights
from proofs.records.job import Exhibitor

_LOOK = (
    "Look in raking light, first from arm's length, then close up. Fix what you find before you"
    " pack; the spare mat is there for that."
)
_LOOKED = (
    ("edges", "no burrs on the outer edges, no bent corners"),
    ("corners", "the cuts of the opening meet, with no overcut showing"),
    ("bevel", "no fuzz on the bevel, no dust behind the window"),
    ("face", "no fingerprints, glue or pencil on mat or print"),
    ("label", "flat, the right one, its arrow pointing to the top of the picture"),
    ("ruler", "board, opening and thickness measured against the rules"),
)
_PACK = (
    "Lay two mounts of the same size face to face with a clean, smooth interleaf between them. A"
    " single mount gets a clean blank board on its face.",
    "Stack the pairs, the largest at the bottom, with one stiff sheet below and one on top. Fill"
    " the space around smaller mounts, so that nothing slides.",
    "Wrap the stack against damp, with no tape touching a mount, and slide it into a case that"
    " leaves no room to move: 1/4 to 1/2 in larger inside than the boards.",
    "Put the return label and a copy of the print log inside, on top.",
    "The rules of the exhibition in hand always win: some ask for a case, a label or papers of"
    " their own.",
)
_LIFT = (
    "Care: lift close to your body and from the knees, without twisting, and wear shoes that cover"
    " your toes. Wide packs are awkward long before they are heavy: carry them with a helper. This"
    " is advice only; local rules come first."
)
_LOGGED = "Fill in the dates. Keep one copy at home, and send the other with the mounts."
_BLANK: Words = ("a blank board", ASIDE)
_LOG = ("sent", "received", "on show until", "back")


def last_look_parts(mounts: Sequence[PackedMount], setter: Setter) -> Iterator[FlowPart]:
    """Yield the list of what to look at on each finished mount, with boxes to tick."""
    lines = ((counted(len(mounts), "mount"), BODY),)
    yield FlowPart(opening_block("Last look", lines, [(_LOOK, BODY)], setter))
    yield FlowPart(_legend(setter))
    columns = Columns(setter, (1.2, 5, *(0.9 for _ in _LOOKED)))
    heads = ("entry", "title", *(word for word, _ in _LOOKED))
    rows = [
        columns.row([*_named(mount), *(tick_box() for _ in _LOOKED)], most=2) for mount in mounts
    ]
    yield from table_parts(columns.head(heads), rows)


def _legend(setter: Setter) -> Block:
    """What each word of the table's head stands for, in two columns."""
    width, wide = setter.span(2), 50.0
    rows = [
        across(
            [
                setter.paragraph(word, STRONG, wide),
                setter.paragraph(meaning, BODY, width - wide),
            ],
            (0, wide),
        )
        for word, meaning in _LOOKED
    ]
    half = len(rows) // 2
    return side_by_side([stacked(rows[:half], 2), stacked(rows[half:], 2)], 2 * setter.pitch)


def _named(mount: PackedMount) -> tuple[Words, Words]:
    return (mount.number, STRONG), (mount.title, BODY)


def packing_parts(packing: Parcel, name: str, setter: Setter) -> Iterator[FlowPart]:
    """Yield the packing list, and a return label that names the exhibition."""
    mounts = [m for pair in packing.pairs for m in (pair.first, pair.second) if m is not None]
    what = f"{counted(len(mounts), 'mount', 'mounts')}, face to face"
    lines = ((what, BODY), ("weights and heights are estimates", ASIDE))
    yield FlowPart(opening_block("Packing list", lines, [(_case(packing), FIGURE)], setter))
    yield FlowPart(listed(_PACK, setter))
    yield FlowPart(setter.paragraph(_lift(packing), STRONG, setter.width))
    columns = Columns(setter, (0.4, 1, 1.2, 5, 1.2, 5))
    heads = ("", "pair", "entry", "title", "entry", "title")
    rows = [_pair(n, pair, columns) for n, pair in enumerate(packing.pairs, 1)]
    yield from table_parts(columns.head(heads), rows)
    yield FlowPart(_return_label(name, packing.home, setter), 28)


def _case(packing: Parcel) -> str:
    least, most = packing.case_least, packing.case_most
    return (
        f"Inside of the case: {least} to {most}. Stack with its outer sheets: {packing.stack} high,"
        f" {in_weights(packing.grams)}."
    )


def _lift(packing: Parcel) -> str:
    if not packing.is_for_two:
        return _LIFT
    limit = in_weights(LIFT_GRAMS)
    return (
        "Too heavy for one person: it takes two people, or two cases. Nobody should lift more than"
        f" {limit} alone. {_LIFT}"
    )


def _pair(number: int, pair: PackedPair, columns: Columns) -> Block:
    second = _named(pair.second) if pair.second else (("–", ASIDE), _BLANK)
    return columns.row([tick_box(), (str(number), BODY), *_named(pair.first), *second], most=2)


def _return_label(name: str, home: Exhibitor, setter: Setter) -> Block:
    """A label to cut out along a dashed line, with blanks for what is not known."""
    inset, width = 12.0, setter.span(3)
    wide = width - 2 * inset
    head = [setter.paragraph("Return label", TITLE, wide)]
    if name:
        head.append(setter.paragraph(name, ASIDE, wide, most=2))
    rows = [_to_fill(word, known, wide, setter) for word, known in _return_lines(home)]
    inner = stacked([stacked(head), *rows], 7)
    height = inner.height + 2 * inset
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    edge = (Line(start, end, HAIRLINE, QUIET, (3, 3)) for start, end in sides(corners))
    return Block(height, (*inner.at(inset, inset), *edge))


def _return_lines(home: Exhibitor) -> Iterator[tuple[str, str]]:
    """The lines of the label, each with what is known."""
    yield "Return to", home.name
    yield "Address", home.address
    if not home.address:
        yield "", ""
        yield "Country", ""
    yield "Telephone", ""
    yield "Mounts inside", ""


def _to_fill(word: str, known: str, width: float, setter: Setter) -> Block:
    caption = setter.paragraph(word, CAPTION, 70).lowered(4)
    line = setter.paragraph(known, BODY, width - 70, most=4) if known else blank(width - 70)
    return across([caption, line], (0, 70))


def log_parts(mounts: Sequence[PackedMount], setter: Setter) -> Iterator[FlowPart]:
    """Yield the log of where each print is, with blanks for the dates."""
    lines = ((counted(len(mounts), "mount"), BODY),)
    yield FlowPart(opening_block("Print log", lines, [(_LOGGED, BODY)], setter))
    columns = Columns(setter, (1.2, 5, *(1.7 for _ in _LOG)))
    rows = [
        columns.row([*_named(mount), *(Block(12, ()) for _ in _LOG)], most=2) for mount in mounts
    ]
    yield from table_parts(columns.head(("entry", "title", *_LOG)), rows)
