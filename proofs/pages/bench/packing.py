"""The last look at each mount, the packing list, the label for the way back, and the log."""

from collections.abc import Iterator, Sequence

from proofs.pages.drawing import Block, Line, Mark, Page, stacked
from proofs.pages.flow import (
    READ,
    READ_ASIDE,
    READ_STRONG,
    Columns,
    FlowPart,
    OnPaper,
    Words,
    blank,
    counted,
    listed,
    opening_block,
    table_parts,
    tick,
)
from proofs.pages.typography import CAPTION, HAIRLINE, QUIET, TITLE, Setter
from proofs.plan.bench.packing import LIFT_GRAMS, PackedPair, Parcel, ParcelPacking
from proofs.plan.bench.weights import in_weights
from proofs.records.job import Exhibitor

_LOOK = (
    "In slanting light, first from arm's length, then close. Mend what you find before packing;"
    " the spare mat is there for it."
)
_LOOKED = (
    ("edges", "no burrs on the outer edges, and no sharp corner bent"),
    ("corners", "the cuts of the opening meet, none runs past its corner"),
    ("bevel", "no fuzz under the bevel and no dust behind the window"),
    ("face", "no fingerprints, glue or pencil on mat and print"),
    ("label", "flat, the right one, its arrow pointing to the top of the picture"),
    ("ruler", "board, opening and thickness measured against the rules"),
)
_PACK = (
    "Lay two mounts of one size face to face with a clean, smooth interleaf between: faces in,"
    " backs out. A single one gets a clean blank board on its face.",
    "Stack the pairs, the largest at the bottom, with one stiff sheet below and one above. Fill"
    " the room beside smaller ones, so that nothing slides.",
    "Wrap the stack against damp so that no tape touches a mount, and slide it into a case that"
    " leaves no room to move: inside 1/4 to 1/2 in larger than the boards.",
    "Put the return label and a copy of the log inside, on top.",
    "The rules of the exhibition in hand always win: some ask for a case, a label or papers of"
    " their own.",
)
_LIFT = (
    "Care: lift close to your body from the knees, without twisting, and wear shoes that cover"
    " your toes. Wide packs are awkward long before they are heavy: carry them in two. Advice"
    " only; local rules come first."
)
_LOGGED = "Fill in the dates. One copy stays at home, one travels with the mounts."
_BLANK: Words = ("a blank board", READ_ASIDE)
_LOG = ("sent on", "received", "on show until", "back on")


def last_look_pages(mounts: Sequence[Parcel], on: OnPaper) -> tuple[Page, ...]:
    """Return the list of what to look at on each finished mount, with boxes to tick."""
    return on.pages(_looked(mounts, on.setter), "Last look")


def packing_pages(packing: ParcelPacking, on: OnPaper) -> tuple[Page, ...]:
    """Return the packing list with a label for the way back."""
    return on.pages(_packed(packing, on.name, on.setter), "Packing list")


def log_pages(mounts: Sequence[Parcel], on: OnPaper) -> tuple[Page, ...]:
    """Return the log of where each print is, to be filled in with dates."""
    return on.pages(_logged(mounts, on.setter), "Which print is where")


def _looked(mounts: Sequence[Parcel], setter: Setter) -> Iterator[FlowPart]:
    lines = ((counted(len(mounts), "mount", "mounts"), READ),)
    yield FlowPart(opening_block("Last look", lines, (_LOOK, READ), setter))
    yield FlowPart(_legend(setter))
    columns = Columns(setter, (1.2, 5, *(0.9 for _ in _LOOKED)))
    heads = ("entry", "title", *(word for word, _ in _LOOKED))
    rows = [columns.row([*_named(mount), *(tick() for _ in _LOOKED)], most=2) for mount in mounts]
    yield from table_parts(columns.head(heads), rows)


def _legend(setter: Setter) -> Block:
    rows = []
    for word, meaning in _LOOKED:
        words = setter.paragraph(meaning, READ, setter.span(3) - 46).indented(46)
        rows.append(
            Block(words.height, setter.paragraph(word, READ_STRONG, 46).marks + words.marks)
        )
    return stacked(rows, 2)


def _named(mount: Parcel) -> tuple[Words, Words]:
    return (mount.number, READ_STRONG), (mount.title, READ)


def _packed(packing: ParcelPacking, name: str, setter: Setter) -> Iterator[FlowPart]:
    mounts = [m for pair in packing.pairs for m in (pair.first, pair.second) if m is not None]
    what = f"{counted(len(mounts), 'mount', 'mounts')}, face to face"
    lines = ((what, READ), ("weights and heights are estimates", READ_ASIDE))
    yield FlowPart(opening_block("Packing list", lines, (_case(packing), READ), setter))
    yield FlowPart(listed(_PACK, setter, width=setter.span(3)))
    yield FlowPart(setter.paragraph(_lift(packing), READ_STRONG, setter.span(3)))
    columns = Columns(setter, (0.4, 1, 1.2, 5, 1.2, 5))
    heads = ("", "pair", "entry", "title", "entry", "title")
    rows = [_pair(n, pair, columns) for n, pair in enumerate(packing.pairs, 1)]
    yield from table_parts(columns.head(heads), rows)
    yield FlowPart(_return_label(name, packing.home, setter), 28)


def _case(packing: ParcelPacking) -> str:
    least, most = packing.case_least, packing.case_most
    return (
        f"Case, inside: {least} to {most}. Stack with outer sheets: {packing.stack} high,"
        f" {in_weights(packing.grams)}."
    )


def _lift(packing: ParcelPacking) -> str:
    if not packing.is_for_two:
        return _LIFT
    limit = in_weights(LIFT_GRAMS)
    return f"Too heavy for one: two people, or two cases. Above {limit} nobody lifts alone. {_LIFT}"


def _pair(number: int, pair: PackedPair, columns: Columns) -> Block:
    second = _named(pair.second) if pair.second else (("–", READ_ASIDE), _BLANK)
    return columns.row([tick(), (str(number), READ), *_named(pair.first), *second], most=2)


def _return_label(name: str, home: Exhibitor, setter: Setter) -> Block:
    """A label to cut out, with a dashed line round it; what is not known is to be filled in."""
    inset, width = 12.0, setter.span(3)
    wide = width - 2 * inset
    head = [setter.paragraph("Way back", TITLE, wide)]
    if name:
        head.append(setter.paragraph(name, READ_ASIDE, wide, most=2))
    rows = [_to_fill(word, known, wide, setter) for word, known in _way_back(home)]
    inner = stacked([stacked(head), *rows], 7)
    height = inner.height + 2 * inset
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    edge = [
        Line(start, end, HAIRLINE, QUIET, (3, 3))
        for start, end in zip(corners, (*corners[1:], corners[0]), strict=True)
    ]
    return Block(height, (*inner.at(inset, inset), *edge))


def _way_back(home: Exhibitor) -> Iterator[tuple[str, str]]:
    """The lines of the label, each with what is known."""
    yield "Return to", home.name
    yield "Address", home.address
    if not home.address:
        yield "", ""
        yield "Country", ""
    yield "Telephone", ""
    yield "Mounts inside", ""


def _to_fill(word: str, known: str, width: float, setter: Setter) -> Block:
    caption: tuple[Mark, ...] = setter.paragraph(word, CAPTION, 70).at(0, 4)
    if not known:
        return Block(13, caption + blank(width - 70).at(70, 0))
    words = setter.paragraph(known, READ, width - 70, most=4)
    return Block(max(13, words.height), caption + words.at(70, 0))


def _logged(mounts: Sequence[Parcel], setter: Setter) -> Iterator[FlowPart]:
    lines = ((counted(len(mounts), "mount", "mounts"), READ),)
    yield FlowPart(opening_block("Which print is where", lines, (_LOGGED, READ), setter))
    columns = Columns(setter, (1.2, 5, *(1.7 for _ in _LOG)))
    rows = [
        columns.row([*_named(mount), *(Block(12, ()) for _ in _LOG)], most=2) for mount in mounts
    ]
    yield from table_parts(columns.head(("entry", "title", *_LOG)), rows)
