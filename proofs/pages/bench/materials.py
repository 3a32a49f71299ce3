"""The material list: which boards to buy, and how the pieces are cut from them."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from proofs.lengths import ZERO, Length, Size
from proofs.pages.bench.shelf import (
    board_words,
    bought_lines,
    left_parts,
    price_words,
    taken_lines,
)
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
from proofs.pages.wording import counted
from proofs.plan.bench.buying import Purchase, Sheet
from proofs.plan.bench.materials import Material, MaterialList
from proofs.plan.bench.nesting import NestedPiece, Nesting
from proofs.plan.cutting.marks import Marks
from proofs.plan.entry.mockup import Colour
from proofs.records.stock import Stock

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

_DrawSheet = Callable[["_DrawnSheet", float, float, Setter], Block]
"""Returns a sheet that is cut up, at this scale, in a room of this width."""


def material_parts(
    boards: MaterialList,
    marks: Marks,
    layout: PageLayout,
    *,
    in_a_row: int = 5,
    is_drawn: bool = True,
) -> Iterator[FlowPart]:
    """Yield the material list, with sizes in the unit of these marks and in the other.

    The fewer ``in_a_row``, the larger each sheet of board is drawn. Unless ``is_drawn``, the sheets
    take their room and stay blank, for a trial of how much room all of it takes.
    """
    setter, materials, stock = layout.setter, boards.materials, boards.stock
    sizes = " or ".join(map(str, stock.sheets))
    lines = ((stock.title, BODY), (sizes, ASIDE), (_edges(stock.edge), ASIDE))
    yield FlowPart(opening_block("Material list", lines, [(_HOW, BODY)], setter))
    if layout.left_out:
        yield FlowPart(setter.paragraph(f"{layout.left_out}.", ALARM, setter.width))
    yield FlowPart(_to_buy(boards, marks, setter))
    if boards.left:
        yield from left_parts(boards.left, marks, setter)
    yield FlowPart(setter.paragraph(_CARE, STRONG, setter.width))
    draw = _sheet if is_drawn else _sheet_room
    yield from _cut(materials, marks, setter, in_a_row, draw)


def _edges(edge: Length) -> str:
    if edge == ZERO:
        return f"used up to the factory edges, {_CLEAN}"
    return f"{edge} is trimmed off each factory edge"


def _to_buy(boards: MaterialList, marks: Marks, setter: Setter) -> Block:
    """A row for each kind of board; the shelf has a column of its own if there is one."""
    has_shelf = bool(boards.left)
    columns = Columns(setter, (4, 5, 3, 3) if has_shelf else (5, 3, 4))
    heads = ("board", *(("from the shelf",) if has_shelf else ()), "buy", "")
    rows = [_row(material, boards, marks, columns) for material in boards.materials]
    blocks = [columns.head(heads), *rows]
    if price := price_words(boards):
        blocks.append(setter.paragraph(price, STRONG, setter.width))
    return stacked(blocks)


def _row(material: Material, boards: MaterialList, marks: Marks, columns: Columns) -> Block:
    setter, widths = columns.setter, columns.widths
    lines = bought_lines(material.bought, boards.stock, marks)
    bought = setter.stack([(line, FIGURE_STRONG) for line in lines], widths[-2])
    cells: list[Words | Block] = [(board_words(material.kind), BODY)]
    if boards.left:
        taken = [(line, BODY) for line in taken_lines(material, marks)]
        cells.append(setter.stack(taken, widths[1], gap=2))
    return columns.row([*cells, bought, _note(material, boards.stock)], most=6)


def _note(material: Material, stock: Stock) -> Words:
    bought, uncut = material.bought, material.uncut
    if uncut.too_large:
        return _too_large(uncut, "too large for this stock; find larger sheets"), ALARM
    if bought.too_large:
        return _too_large(bought, f"cut up to the factory edge, {_CLEAN}"), ALARM
    if bought.count and stock.edge == ZERO:
        return _CLEAN, ASIDE
    if uncut.count < bought.count:
        return f"{uncut.count} would do {_CLEAN}", ASIDE
    return ("for the spare alone" if material.is_for_spares_alone else ""), ASIDE


def _too_large(bought: Purchase, what: str) -> str:
    """How many pieces do not fit within trimmed sheets, what that means, and which they are."""
    labels = [piece.label for piece in bought.too_large]
    return f"{counted(len(labels), 'piece is', 'pieces are')} {what}: entry {', '.join(labels)}"


def _cut(
    materials: Sequence[Material],
    marks: Marks,
    setter: Setter,
    in_a_row: int,
    draw: _DrawSheet,
) -> Iterator[FlowPart]:
    """The pieces of each kind, and every sheet with its pieces; few sheets share a row."""
    width = (setter.width - (in_a_row - 1) * _PITCH_GAP) / in_a_row
    pitch = width + _PITCH_GAP
    widest = max(
        (s.nesting.stock.sheet.width for m in materials for s in _sheets_of(m)), default=ZERO
    )
    for kinds in _sharing(materials, in_a_row):
        drawn = [
            in_rows(
                [draw(one, width / widest.points, width, setter) for one in _sheets_of(m)],
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


@dataclass(frozen=True, slots=True)
class _DrawnSheet:
    """One board that is cut up, and what is written below it."""

    nesting: Nesting
    pieces: Sheet
    caption: str


def _sheets_of(material: Material) -> list[_DrawnSheet]:
    """The boards of a kind that are cut up: those from the shelf, then those to buy."""
    shelved = [
        _DrawnSheet(cut.nesting, sheet, f"from the shelf: {cut.board.kind}")
        for cut in material.from_shelf
        for sheet in cut.nesting.sheets
    ]
    bought = [(n, sheet) for n in material.bought.nestings for sheet in n.sheets]
    return shelved + [
        _DrawnSheet(nesting, sheet, f"sheet {number}")
        for number, (nesting, sheet) in enumerate(bought, 1)
    ]


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
        count = len(_sheets_of(material))
        taken = sum(len(_sheets_of(other)) for other in row)
        if row and (taken + count > in_a_row or not count):
            yield row
            row = []
        row += [material] if count else []
    if row:
        yield row


def _cut_head(material: Material, marks: Marks, setter: Setter, width: float) -> Block:
    title = setter.paragraph(board_words(material.kind), TITLE, width, most=3)
    sheets = [drawn.pieces for drawn in _sheets_of(material)]
    sizes = setter.paragraph(_sizes(sheets, marks), FIGURE, width, most=8)
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


def _sheet(drawn: _DrawnSheet, scale: float, width: float, setter: Setter) -> Block:
    """One sheet with the pieces cut from it, all sheets at one scale."""
    sheet = drawn.nesting.stock.sheet
    across, height = sheet.width.points * scale, sheet.height.points * scale
    marks: list[Mark] = [*frame(0, 0, across, height, line=HAIRLINE, colour=HAIR)]
    for nested in drawn.pieces:
        marks += _piece(nested, scale, setter)
    room = _sheet_room(drawn, scale, width, setter)
    return Block(room.height, (*marks, *room.marks))


def _sheet_room(drawn: _DrawnSheet, scale: float, width: float, setter: Setter) -> Block:
    """The room that a sheet takes, with nothing in it but the caption."""
    height = drawn.nesting.stock.sheet.height.points * scale
    return setter.paragraph(drawn.caption, CAPTION, width).lowered(height + 3)


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
