"""The sheets that mount board is sold in, and what they cost."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from proofs.lengths import Length, Size, inches
from proofs.measures import read_size
from proofs.records.prices import read_price
from proofs.records.tables import Profile, Table

_EDGE = inches("1/8")  # common practice, no source
_PRICES = 'a list of prices such as ["32x40 in: 9.80"]'

Prices = tuple[tuple[Size, Decimal], ...]
"""The price of each size of sheet."""


@dataclass(frozen=True, slots=True)
class Stock(Profile):
    """Stock sheets of board.

    ``edge`` is the width to cut off each factory edge before the sheet counts as clean and
    square. ``may_turn`` is False if grain or pattern must run one way: then pieces are cut with
    their width along the width of the sheet. ``further`` are other sizes that the same board is
    sold in. Prices of a use are those of all sizes, or none; they are in ``currency``.
    """

    sheet: Size
    edge: Length
    may_turn: bool = True
    further: tuple[Size, ...] = ()
    mat_prices: Prices = ()
    backing_prices: Prices = ()
    currency: str = ""

    @property
    def sheets(self) -> tuple[Size, ...]:
        """All sizes of its sheets."""
        return (self.sheet, *self.further)

    def of_size(self, sheet: Size) -> "Stock":
        """Return the same board in sheets of this size alone."""
        return replace(self, sheet=sheet, further=())


def read_stock(table: Table, name: str) -> Stock:
    """Return the stock sheets that a profile describes."""
    sheet, further = table.size("sheet"), table.sizes("further_sheets")
    sizes = (sheet, *further)
    stock = Stock(
        *table.heading(name),
        sheet=sheet,
        edge=table.length("edge", default=_EDGE),
        may_turn=table.boolean("may_turn", default=True),
        further=further,
        mat_prices=_prices(table, "mat_prices", sizes),
        backing_prices=_prices(table, "backing_prices", sizes),
        currency=table.text("currency", default=""),
    )
    for size in sizes:
        if 2 * stock.edge >= size.shortest:
            half = f"less than half of {size.shortest}, the sheet's shorter side"
            table.refuse("edge", half, rests_on=["sheet", "further_sheets"])
    table.refuse_unknown()
    return stock


def _prices(table: Table, key: str, sizes: Sequence[Size]) -> Prices:
    """The price of each size, in the order of the sizes; none if the key is missing."""
    prices: dict[Size, Decimal] = {}
    for text in table.texts(key):
        found = read_price(text)
        try:
            size = read_size(found[0]) if found else None
        except ValueError:
            size = None
        if found is None or size is None:
            table.refuse(key, _PRICES)
            continue
        of = next((one for one in sizes if size in (one, one.turned)), None)
        if of is None:
            expected = f"sizes from sheet and further_sheets, which do not have {found[0]}"
            table.refuse(key, expected, rests_on=["sheet", "further_sheets"])
        elif of in prices:
            table.refuse(key, f"one price for each sheet, but {found[0]} has two")
        else:
            prices[of] = found[1]
    if prices and len(prices) < len(set(sizes)):
        missing = next(size for size in sizes if size not in prices)
        expected = f"a price for every sheet, but {missing} has none"
        table.refuse(key, expected, rests_on=["sheet", "further_sheets"])
    return tuple((size, prices[size]) for size in dict.fromkeys(sizes) if size in prices)
