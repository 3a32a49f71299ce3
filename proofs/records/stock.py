"""The sheets that mount board is sold in."""

from dataclasses import dataclass

from proofs.lengths import Length, Size, inches
from proofs.records.tables import Table

_EDGE = inches("1/8")  # common practice, no source


@dataclass(frozen=True, slots=True)
class Stock:
    """A stock sheet of board.

    ``edge`` is the width to cut off each factory edge before the sheet counts as clean and
    square. ``may_turn`` is False if grain or pattern must run one way: then pieces are cut with
    their width along the width of the sheet.
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
    sheet = table.size("sheet")
    stock = Stock(
        name=name,
        title=table.text("title"),
        source=table.text("source"),
        sheet=sheet,
        edge=table.length("edge", default=_EDGE),
        may_turn=table.boolean("may_turn", default=True),
    )
    if 2 * stock.edge >= sheet.shortest:
        raise table.wrong("edge", f"less than half of {sheet.shortest}, the sheet's shorter side")
    table.refuse_unknown()
    return stock
