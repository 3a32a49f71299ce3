"""The material list: which boards to buy, and how the pieces are cut from them."""

from collections import Counter
from collections.abc import Iterator, Sequence

from proofs.lengths import ZERO, Size
from proofs.pages.drawing import Block, Mark, across, frame, in_rows, rectangle, stacked
from proofs.pages.flow import FlowPart, PageLayout
from proofs.pages.headings import opening_block
from proofs.pages.setting import shortened
from proofs.pages.table import CLOSE, Columns
from proofs.pages.typography import (
    ALARM,
    ASIDE,
    BODY,
    CAPTION,
    FIGURE,
    FIGURE_STRONG,
    HAIR,
    HAIRLINE,
    QUIET,
    STRONG,
    TITLE,
    Setter,
    Words,
    baseline,
)
from proofs.pages.wording import board_thickness, counted
from proofs.plan.bench.materials import BoardKind, Material
from proofs.plan.bench.nesting import NestedPiece, Nesting
from proofs.plan.cutting.marks import Marks
from proofs.plan.entry.mockup import Colour

_HOW = (
    "Cut the pieces to their outer size first. The numbers are those of the entries; a mat that"
    " lies below the top mat is marked as lower. Each kind of board has spares, so that any of its"
    " pieces can be cut again from one. Every cut runs from edge to edge of what is left of the"
    " sheet."
)
_CARE = (
    "Care: use a fresh blade and a heavy straightedge that cannot slip. Keep your fingers behind"
    " its guard and out of the blade's path, and cut away from your body, in several light strokes,"
    " on a cutting mat on a steady table. Cover the blade between cuts, and put used blades in a"
    " hard box that closes. Carry large sheets with a helper. The toolmaker's instructions and your"
    " local rules come first."
)
_CLEAN = "if the sheets are clean and square"
_PIECE: Colour = (244, 242, 238)
_PITCH_GAP = 12.0


def material_parts(
    materials: Sequence[Material], marks: Marks, layout: PageLayout, *, in_a_row: int = 5
) -> Iterator[FlowPart]:
    """Yield the material list, with sizes in the unit of these marks and in the other.

    The fewer ``in_a_row``, the larger each sheet of board is drawn.
    """
    stock, setter = materials[0].nesting.stock, layout.setter
    lines = (
        (stock.title, BODY),
        (f"{stock.sheet}", ASIDE),
        (_edges(materials[0].nesting), ASIDE),
    )
    yield FlowPart(opening_block("Material list", lines, [(_HOW, BODY)], setter))
    if layout.left_out:
        yield FlowPart(setter.paragraph(f"{layout.left_out}.", ALARM, setter.width))
    columns = Columns(setter, (5, 3, 4))
    rows = [_bought(material, columns) for material in materials]
    yield FlowPart(stacked([columns.head(("board", "buy", "")), *rows]))
    yield FlowPart(setter.paragraph(_CARE, STRONG, setter.width))
    yield from _cut(materials, marks, setter, in_a_row)


def _edges(nesting: Nesting) -> str:
    if nesting.edge == ZERO:
        return f"used up to the factory edges, {_CLEAN}"
    return f"{nesting.edge} is trimmed off each factory edge"


def _bought(material: Material, columns: Columns) -> Block:
    nesting = material.nesting
    buy = counted(len(nesting.sheets), "sheet") if nesting.sheets else "none"
    cells = [(_in_words(material.kind), BODY), (buy, FIGURE_STRONG), _note(material)]
    return columns.row(cells, most=6)


def _note(material: Material) -> Words:
    nesting, uncut = material.nesting, material.uncut
    if uncut.too_large:
        return _too_large(uncut, "too large for this stock; find larger sheets"), ALARM
    if nesting.too_large:
        return _too_large(nesting, f"cut up to the factory edge, {_CLEAN}"), ALARM
    if len(uncut.sheets) < len(nesting.sheets) or nesting.edge == ZERO:
        count = len(uncut.sheets)
        return f"{count} would do {_CLEAN}" if nesting.edge else _CLEAN, ASIDE
    return "", ASIDE


def _too_large(nesting: Nesting, what: str) -> str:
    """How many pieces do not fit within trimmed sheets, what that means, and which they are."""
    labels = [piece.label for piece in nesting.too_large]
    return f"{counted(len(labels), 'piece is', 'pieces are')} {what}: entry {', '.join(labels)}"


def _in_words(kind: BoardKind) -> str:
    core = f", {kind.core} core" if kind.core else ""
    return f"{kind.use.capitalize()}: {kind.colour}{core}, {board_thickness(kind.thickness)}"


def _cut(
    materials: Sequence[Material], marks: Marks, setter: Setter, in_a_row: int
) -> Iterator[FlowPart]:
    """The pieces of each kind, and every sheet with its pieces; few sheets share a row."""
    width = (setter.width - (in_a_row - 1) * _PITCH_GAP) / in_a_row
    pitch = width + _PITCH_GAP
    for kinds in _sharing(materials, in_a_row):
        drawn = [
            in_rows(
                [_sheet(m.nesting, number + 1, width, setter) for number in _sheets_of(m)],
                in_a_row,
                pitch,
            )
            for m in kinds
        ]
        lefts, wides = _columns([len(_sheets_of(m)) for m in kinds], in_a_row, pitch)
        heads = [_cut_head(m, marks, setter, wide) for m, wide in zip(kinds, wides, strict=True)]
        first = across([rows[0] for rows in drawn], lefts)
        yield FlowPart(stacked([across(heads, lefts), first], 8), 22)
        for row in drawn[0][1:]:  # only a kind alone has more rows
            yield FlowPart(row, 10)


def _sheets_of(material: Material) -> range:
    return range(len(material.nesting.sheets))


def _columns(counts: Sequence[int], in_a_row: int, pitch: float) -> tuple[list[float], list[float]]:
    """The left edges and widths of the kinds that share a row, equal if all have room so."""
    each = in_a_row / len(counts)
    spans = [each] * len(counts) if max(counts) <= each else list(map(float, counts))
    if len(counts) == 1:
        spans = [float(in_a_row)]
    lefts = [sum(spans[:n]) * pitch for n in range(len(spans))]
    return lefts, [span * pitch - _PITCH_GAP for span in spans]


def _sharing(materials: Sequence[Material], in_a_row: int) -> Iterator[list[Material]]:
    """The kinds of board that have sheets, by rows that they have room in together."""
    row: list[Material] = []
    for material in materials:
        count = len(material.nesting.sheets)
        taken = sum(len(other.nesting.sheets) for other in row)
        if row and (taken + count > in_a_row or not count):
            yield row
            row = []
        row += [material] if count else []
    if row:
        yield row


def _cut_head(material: Material, marks: Marks, setter: Setter, width: float) -> Block:
    title = setter.paragraph(_in_words(material.kind), TITLE, width, most=3)
    sizes = setter.paragraph(_sizes(material.nesting.sheets, marks), FIGURE, width, most=8)
    return stacked([title, sizes], CLOSE)


def _sizes(sheets: Sequence[Sequence[NestedPiece]], marks: Marks) -> str:
    """How many pieces of each size, whichever way up."""
    sizes = Counter(
        Size(nested.piece.size.shortest, nested.piece.size.longest)
        for sheet in sheets
        for nested in sheet
    )
    return "; ".join(
        f"{count} of {marks.size(size)} ({marks.other.size(size)})" for size, count in sizes.items()
    )


def _sheet(nesting: Nesting, number: int, width: float, setter: Setter) -> Block:
    """One stock sheet to scale, as wide as a column, with the pieces cut from it."""
    scale = width / nesting.stock.sheet.width.points
    height = nesting.stock.sheet.height.points * scale
    marks: list[Mark] = [*frame(0, 0, width, height, line=HAIRLINE, colour=HAIR)]
    for nested in nesting.sheets[number - 1]:
        marks += _piece(nested, scale, setter)
    caption = setter.paragraph(f"sheet {number}", CAPTION, width)
    return Block(height + 3 + caption.height, (*marks, *caption.at(0, height + 3)))


def _piece(nested: NestedPiece, scale: float, setter: Setter) -> Iterator[Mark]:
    area = nested.area
    left, top = area.place.x.points * scale, area.place.y.points * scale
    width, height = area.size.width.points * scale, area.size.height.points * scale
    yield rectangle(left, top, width, height, _PIECE)
    yield from frame(left, top, width, height, line=HAIRLINE, colour=QUIET)
    lines = [nested.piece.label]
    if setter.wide(nested.piece.label, BODY) > width - 4 and height > 2 * BODY.leading:
        lines = nested.piece.label.split(" ", 1)  # its number, and that it is a lower mat
    first = top + (height - len(lines) * BODY.leading) / 2 + baseline(BODY)
    for n, line in enumerate(lines if height > BODY.size else ()):
        words = shortened(line, width - 4, lambda t: setter.wide(t, BODY))
        yield setter.centred(words, BODY, left + width / 2, first + n * BODY.leading)
