"""The material list: which boards to buy, and how the pieces are cut from them."""

from collections import Counter
from collections.abc import Iterator, Sequence

from proofs.lengths import ZERO, Size
from proofs.pages.drawing import Block, Mark, Page, frame, in_rows, rectangle, stacked
from proofs.pages.flow import FlowPart, PageLayout
from proofs.pages.headings import opening_block
from proofs.pages.setting import shortened
from proofs.pages.table import CLOSE, Columns, table_parts
from proofs.pages.typography import (
    CAPTION,
    HAIR,
    HAIRLINE,
    QUIET,
    READ,
    READ_ALARM,
    READ_ASIDE,
    READ_STRONG,
    REGULAR,
    TITLE,
    Setter,
    Style,
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
_A_ROW, _PITCH_GAP = 5, 12.0
_LABEL = Style(REGULAR, 7.2)


def material_pages(
    materials: Sequence[Material], marks: Marks, layout: PageLayout
) -> tuple[Page, ...]:
    """Return the material list, with sizes in the unit of these marks and in the other."""
    return layout.pages(_parts(materials, marks, layout), "Material list")


def _parts(materials: Sequence[Material], marks: Marks, layout: PageLayout) -> Iterator[FlowPart]:
    stock, setter = materials[0].nesting.stock, layout.setter
    lines = (
        (stock.title, READ),
        (f"{stock.sheet}", READ_ASIDE),
        (_edges(materials[0].nesting), READ_ASIDE),
    )
    yield FlowPart(opening_block("Material list", lines, [(_HOW, READ)], setter))
    if layout.left_out:
        yield FlowPart(setter.paragraph(f"{layout.left_out}.", READ_ALARM, setter.span(3)))
    columns = Columns(setter, (5, 3, 4))
    rows = [_bought(material, columns) for material in materials]
    yield from table_parts(columns.head(("board", "buy", "")), rows)
    yield FlowPart(setter.paragraph(_CARE, READ_STRONG, setter.span(3)))
    for material in materials:
        yield from _cut(material, marks, setter)


def _edges(nesting: Nesting) -> str:
    if nesting.edge == ZERO:
        return f"used up to the factory edges, {_CLEAN}"
    return f"{nesting.edge} is trimmed off each factory edge"


def _bought(material: Material, columns: Columns) -> Block:
    nesting = material.nesting
    buy = counted(len(nesting.sheets), "sheet") if nesting.sheets else "none"
    cells = [(_in_words(material.kind), READ), (buy, READ_STRONG), _note(material)]
    return columns.row(cells, most=6)


def _note(material: Material) -> Words:
    nesting, uncut = material.nesting, material.uncut
    if uncut.too_large:
        return _too_large(uncut, "too large for this stock; find larger sheets"), READ_ALARM
    if nesting.too_large:
        return _too_large(nesting, f"cut up to the factory edge, {_CLEAN}"), READ_ALARM
    if len(uncut.sheets) < len(nesting.sheets) or nesting.edge == ZERO:
        count = len(uncut.sheets)
        return f"{count} would do {_CLEAN}" if nesting.edge else _CLEAN, READ_ASIDE
    return "", READ_ASIDE


def _too_large(nesting: Nesting, what: str) -> str:
    """How many pieces do not fit within trimmed sheets, what that means, and which they are."""
    labels = [piece.label for piece in nesting.too_large]
    return f"{counted(len(labels), 'piece is', 'pieces are')} {what}: entry {', '.join(labels)}"


def _in_words(kind: BoardKind) -> str:
    core = f", {kind.core} core" if kind.core else ""
    return f"{kind.use.capitalize()}: {kind.colour}{core}, {board_thickness(kind.thickness)}"


def _cut(material: Material, marks: Marks, setter: Setter) -> Iterator[FlowPart]:
    """The pieces of one kind, and every sheet with its pieces, a row of sheets at a time."""
    sheets = material.nesting.sheets
    if not sheets:
        return
    title = setter.paragraph(_in_words(material.kind), TITLE, setter.width, most=2)
    sizes = setter.paragraph(_sizes(sheets, marks), READ, setter.width, most=6)
    head = stacked([title, sizes], CLOSE)
    width = (setter.width - (_A_ROW - 1) * _PITCH_GAP) / _A_ROW
    drawn = [
        _sheet(material.nesting, number, width, setter) for number in range(1, len(sheets) + 1)
    ]
    rows = in_rows(drawn, _A_ROW, width + _PITCH_GAP)
    yield FlowPart(stacked([head, rows[0]], 8), 22)
    for row in rows[1:]:
        yield FlowPart(row, 10)


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
    words = shortened(nested.piece.label, width - 4, lambda t: setter.wide(t, _LABEL))
    y = top + (height - _LABEL.size) / 2 + baseline(_LABEL) * 0.9
    if height > _LABEL.size:
        yield setter.centred(words, _LABEL, left + width / 2, y)
