"""What the shelf gives and keeps, and what is bought besides, in the words of page and terminal."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from proofs.pages.flow import FlowPart
from proofs.pages.table import Columns, table_parts
from proofs.pages.typography import ASIDE, BODY, FIGURE, FIGURE_STRONG, TITLE, Setter
from proofs.pages.wording import board_thickness, counted
from proofs.plan.bench.buying import Purchase
from proofs.plan.bench.materials import BoardKind, Material, MaterialList
from proofs.plan.bench.nesting import SPARE
from proofs.plan.cutting.marks import Marks
from proofs.records.shelf import ShelfBoard, ShelfKind
from proofs.records.stock import Stock

_LEFT = "What will be left on the shelf"
_OFFCUTS = "Offcuts are not counted: what is left of a sheet that was begun is for you to measure."


def board_words(kind: BoardKind) -> str:
    """Return a kind of board in words: its use, colour, core and thickness."""
    core = f", {kind.core} core" if kind.core else ""
    return f"{kind.use.capitalize()}: {kind.colour}{core}, {board_thickness(kind.thickness)}"


def bought_lines(bought: Purchase, stock: Stock, marks: Marks) -> list[str]:
    """Return how many sheets are bought, a line for each size if the stock has several."""
    if not bought.count:
        return ["none"]
    if len(stock.sheets) == 1:
        return [counted(bought.count, "sheet")]
    return [
        f"{counted(len(n.sheets), 'sheet')} {marks.size(n.stock.sheet)}" for n in bought.nestings
    ]


def price_words(boards: MaterialList) -> str:
    """Return what all sheets to buy cost, and which have no price; blank without prices."""
    bought = [material for material in boards.materials if material.bought.count]
    prices = [m.bought.price for m in bought if m.bought.price is not None]
    if not prices:
        return ""
    without = dict.fromkeys(f"{m.kind.use}s" for m in bought if m.bought.price is None)
    more = f", besides {' and '.join(without)}, which have no price" if without else ""
    return f"Sheets to buy: {sum(prices)} {boards.stock.currency}".rstrip() + more


def shelf_lines(boards: MaterialList) -> Iterator[str]:
    """Yield what is taken from the shelf, and what is bought besides; nothing without a shelf."""
    taken = sum(board.count - count for board, count in boards.left)
    if not boards.left:
        return
    to_buy = sum(material.bought.count for material in boards.materials)
    bought = f"{counted(to_buy, 'sheet')} to buy" if to_buy else "nothing to buy"
    there = sum(count for _, count in boards.left)
    yield f"from the shelf: {counted(taken, 'board')}, {there} will be left; {bought}"
    yield from filter(None, [price_words(boards)])


def taken_lines(material: Material, marks: Marks) -> list[str]:
    """Return what is taken from the shelf for one kind of board, and for which entries."""
    labels: dict[ShelfBoard, list[str]] = defaultdict(list)
    for one in material.taken:
        labels[one.board].append(one.piece.label)
    lines = [
        f"{counted(len(held), str(board.kind))} {sizes_words(board, marks)}: {_for(held)}"
        for board, held in labels.items()
    ]
    lines += [
        f"{counted(len(cut.nesting.sheets), str(cut.board.kind))} {marks.size(cut.board.size)},"
        " to cut up"
        for cut in material.from_shelf
    ]
    return lines or ["none"]


def sizes_words(board: ShelfBoard, marks: Marks) -> str:
    """Return the size of a board, and the opening of a ready-cut mat."""
    opening = f", opening {marks.size(board.opening)}" if board.opening else ""
    return f"{marks.size(board.size)}{opening}"


def left_parts(
    left: Sequence[tuple[ShelfBoard, int]], marks: Marks, setter: Setter
) -> Iterator[FlowPart]:
    """Yield what will be left on the shelf: a row for each row of its file."""
    columns = Columns(setter, (3, 6, 5, 2, 2))
    head = columns.head(("on the shelf", "size", "board", "now", "then"))
    rows = [
        columns.row(
            [
                (board.kind.capitalize(), BODY),
                (sizes_words(board, marks), FIGURE),
                (_made_of(board), BODY),
                (str(board.count), FIGURE),
                (str(count), FIGURE_STRONG),
            ]
        )
        for board, count in left
    ]
    yield FlowPart(setter.paragraph(_LEFT, TITLE, setter.width), 22, keeps_next=True)
    yield from table_parts(head, rows, gap=4)
    yield FlowPart(setter.paragraph(_OFFCUTS, ASIDE, setter.width), 4)


def _made_of(board: ShelfBoard) -> str:
    core = "" if board.kind is ShelfKind.BACKING else f", {board.core} core"
    return f"{board.colour}{core}, {board_thickness(board.thickness)}"


def _for(labels: Sequence[str]) -> str:
    """The entries that boards are taken for, spares last."""
    numbers = [label for label in labels if label != SPARE]
    what = "entry" if len(numbers) == 1 else "entries"
    words = [f"{what} {', '.join(numbers)}"] if numbers else []
    return " and ".join(words + [SPARE] * (len(numbers) < len(labels)))
