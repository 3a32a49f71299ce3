"""The sheets that mount board is sold in."""

from dataclasses import dataclass

from proofs.lengths import Length, Size, inches
from proofs.records.tables import Profile, Table

_EDGE = inches("1/8")  # common practice, no source


@dataclass(frozen=True, slots=True)
class Stock(Profile):
    """A stock sheet of board.

    ``edge`` is the width to cut off each factory edge before the sheet counts as clean and
    square. ``may_turn`` is False if grain or pattern must run one way: then pieces are cut with
    their width along the width of the sheet.
    """

    sheet: Size
    edge: Length
    may_turn: bool = True


def read_stock(table: Table, name: str) -> Stock:
    """Return the stock sheet that a profile describes."""
    sheet = table.size("sheet")
    stock = Stock(
        *table.heading(name),
        sheet=sheet,
        edge=table.length("edge", default=_EDGE),
        may_turn=table.boolean("may_turn", default=True),
    )
    if 2 * stock.edge >= sheet.shortest:
        half = f"less than half of {sheet.shortest}, the sheet's shorter side"
        table.refuse("edge", half, rests_on=["sheet"])
    table.refuse_unknown()
    return stock
