"""The material list: which boards to buy, and how the pieces are cut from them."""

from collections import Counter
from collections.abc import Iterator, Sequence

from proofs.lengths import ZERO, Size
from proofs.pages.drawing import Block, Mark, Page, Text, frame, rectangle, side_by_side, stacked
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
    opening_block,
    table_parts,
)
from proofs.pages.setting import shortened
from proofs.pages.typography import (
    CAPTION,
    HAIR,
    HAIRLINE,
    QUIET,
    REGULAR,
    TITLE,
    Setter,
    Style,
    baseline,
)
from proofs.plan.bench.board_kinds import BoardKind
from proofs.plan.bench.materials import Material
from proofs.plan.bench.nesting import Nesting
from proofs.plan.bench.shelves import Nested
from proofs.plan.entry.mockup import Colour

_HOW = (
    "Cut the pieces to their outer size first; the numbers are those of the entries. One mat, or"
    " one of each where they are double, and one backing are spare. Every cut runs from edge to"
    " edge of what is left of the sheet."
)
_CARE = (
    "Care: a fresh blade, a heavy straightedge that cannot slip, fingers behind its guard and"
    " out of the blade's way; cut away from your body, in several light strokes, on a mat on a"
    " steady table. Cover the blade between cuts, and put used ones in a hard box that closes."
    " Carry large sheets in two. The toolmaker's sheet and your local rules come first."
)
_CLEAN = "only if the sheet is clean and square"
_PIECE: Colour = (244, 242, 238)
_A_ROW, _PITCH_GAP = 5, 12.0
_LABEL = Style(REGULAR, 7.2)


def material_pages(materials: Sequence[Material], on: OnPaper) -> tuple[Page, ...]:
    """Return the material list."""
    return on.pages(_parts(materials, on.setter), "Material list")


def _parts(materials: Sequence[Material], setter: Setter) -> Iterator[FlowPart]:
    stock = materials[0].nesting.stock
    lines = (
        (stock.title, READ),
        (f"{stock.sheet}", READ_ASIDE),
        (_edges(materials[0].nesting), READ_ASIDE),
    )
    yield FlowPart(opening_block("Material list", lines, (_HOW, READ), setter))
    columns = Columns(setter, (5, 3, 4))
    rows = [_bought(material, columns) for material in materials]
    yield from table_parts(columns.head(("board", "buy", "")), rows)
    yield FlowPart(setter.paragraph(_CARE, READ_STRONG, setter.span(3)))
    for material in materials:
        yield from _cut(material, setter)


def _edges(nesting: Nesting) -> str:
    if nesting.edge == ZERO:
        return f"counted to the factory edge: {_CLEAN}"
    return f"{nesting.edge} comes off each factory edge"


def _bought(material: Material, columns: Columns) -> Block:
    nesting = material.nesting
    buy = counted(len(nesting.sheets), "sheet", "sheets") if nesting.sheets else "none"
    cells = [(_in_words(material.kind), READ), (buy, READ_STRONG), _note(material)]
    return columns.row(cells, most=6)


def _note(material: Material) -> tuple[str, Style]:
    nesting, uncut = material.nesting, material.uncut
    if uncut.too_large:
        return _too_large(uncut, "larger than this stock, find larger sheets"), READ_ALARM
    if nesting.too_large:
        return _too_large(nesting, f"cut to the factory edge, {_CLEAN}"), READ_ALARM
    if len(uncut.sheets) < len(nesting.sheets) or nesting.edge == ZERO:
        count = len(uncut.sheets)
        return f"{count} would do, {_CLEAN}" if nesting.edge else _CLEAN, READ_ASIDE
    return "", READ_ASIDE


def _too_large(nesting: Nesting, what: str) -> str:
    """What is to be said of the pieces that the stock is too small for, and which they are."""
    labels = [piece.label for piece in nesting.too_large]
    return f"{counted(len(labels), 'piece is', 'pieces are')} {what}: entry {', '.join(labels)}"


def _in_words(kind: BoardKind) -> str:
    core = f", {kind.core} core" if kind.core else ""
    return f"{kind.use.capitalize()}: {kind.colour}{core}, {kind.thickness}"


def _cut(material: Material, setter: Setter) -> Iterator[FlowPart]:
    """The pieces of one kind, and every sheet with its pieces, a row of sheets at a time."""
    sheets = material.nesting.sheets
    if not sheets:
        return
    title = setter.paragraph(_in_words(material.kind), TITLE, setter.width, most=2)
    sizes = setter.paragraph(_sizes(sheets), READ, setter.width, most=6)
    head = stacked([title, sizes], CLOSE)
    width = (setter.width - (_A_ROW - 1) * _PITCH_GAP) / _A_ROW
    drawn = [
        _sheet(material.nesting, number, width, setter) for number in range(1, len(sheets) + 1)
    ]
    rows = [
        side_by_side(drawn[start : start + _A_ROW], width + _PITCH_GAP)
        for start in range(0, len(drawn), _A_ROW)
    ]
    yield FlowPart(stacked([head, rows[0]], 8), 22)
    for row in rows[1:]:
        yield FlowPart(row, 10)


def _sizes(sheets: Sequence[Sequence[Nested]]) -> str:
    """How many pieces of each size, whichever way up."""
    sizes = Counter(
        Size(nested.piece.size.shortest, nested.piece.size.longest)
        for sheet in sheets
        for nested in sheet
    )
    return "; ".join(f"{count} of {size}" for size, count in sizes.items())


def _sheet(nesting: Nesting, number: int, width: float, setter: Setter) -> Block:
    """One stock sheet to scale, as wide as a column, with the pieces cut from it."""
    scale = width / nesting.stock.sheet.width.points
    height = nesting.stock.sheet.height.points * scale
    marks: list[Mark] = [*frame(0, 0, width, height, line=HAIRLINE, colour=HAIR)]
    for nested in nesting.sheets[number - 1]:
        marks += _piece(nested, scale, setter)
    caption = setter.paragraph(f"sheet {number}", CAPTION, width)
    return Block(height + 3 + caption.height, (*marks, *caption.at(0, height + 3)))


def _piece(nested: Nested, scale: float, setter: Setter) -> Iterator[Mark]:
    area = nested.area
    left, top = area.place.x.points * scale, area.place.y.points * scale
    width, height = area.size.width.points * scale, area.size.height.points * scale
    yield rectangle(left, top, width, height, _PIECE)
    yield from frame(left, top, width, height, line=HAIRLINE, colour=QUIET)
    words = shortened(nested.piece.label, width - 4, lambda t: setter.wide(t, _LABEL))
    x = left + (width - setter.wide(words, _LABEL)) / 2
    y = top + (height - _LABEL.size) / 2 + baseline(_LABEL) * 0.9
    if height > _LABEL.size:
        yield Text(x, y, words, _LABEL.weight, _LABEL.size, _LABEL.colour)
