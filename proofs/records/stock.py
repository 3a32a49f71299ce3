"""The sheets that board is sold in."""

from dataclasses import dataclass

from proofs.lengths import Length, Size, inches
from proofs.records.tables import Table

_EDGE = inches("1/8")  # common practice, no source


@dataclass(frozen=True, slots=True)
class Stock:
    """A stock sheet of board.

    ``edge`` is what is cut off each factory edge before the sheet counts as clean and square.
    ``may_turn`` is False where grain or pattern has to run one way: then width and height of
    a piece lie along width and height of the sheet.
    """

    name: str
    title: str
    source: str
    sheet: Size
    edge: Length
    may_turn: bool = True


def read_stock(table: Table, name: str) -> Stock:
    """Return the stock sheet that a profile describes.

    Raises ``ProfileError`` with the key, what was found and what is expected.
    """
    sheet = table.size_or_none("sheet")
    if sheet is None:
        raise table.wrong("sheet", "a size such as '32x40 in' or '815x1120 mm'")
    stock = Stock(
        name=name,
        title=table.text("title"),
        source=table.text("source"),
        sheet=sheet,
        edge=table.length("edge", default=_EDGE),
        may_turn=table.truth("may_turn", default=True),
    )
    if 2 * stock.edge >= sheet.shortest:
        raise table.wrong("edge", f"less than half of {sheet.shortest}, the sheet's shorter side")
    table.done()
    return stock
