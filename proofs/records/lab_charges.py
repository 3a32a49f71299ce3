"""What a lab charges besides its prints: postage and tax."""

import re
from dataclasses import dataclass
from decimal import Decimal

from proofs.records.tables import Table

_MONEY = re.compile(r"\d{1,6}(?:[.,]\d{1,2})?")
_TAX = re.compile(r"(\d{1,2}(?:[.,]\d{1,3})?)\s*%")


@dataclass(frozen=True, slots=True)
class Charges:
    """What an order costs besides its prints, in the currency of the prices; None if not known.

    From ``postage_free_from`` on, the cost of the prints, there is no ``postage``. ``tax_percent``
    is on prints and postage: with ``prices_include_tax`` it is contained in both, otherwise it is
    added.
    """

    postage: Decimal | None = None
    postage_free_from: Decimal | None = None
    tax_percent: Decimal | None = None
    prices_include_tax: bool = False


NO_CHARGES = Charges()


def read_charges(order: Table) -> Charges:
    """Return what the table ``[order]`` of a lab says of postage and tax."""
    amount = "an amount in quotes such as '6.50'"
    nothing: Decimal | None = None
    charges = Charges(
        postage=order.parsed("postage", _money, amount, default=nothing),
        postage_free_from=order.parsed("postage_free_from", _money, amount, default=nothing),
        tax_percent=order.parsed(
            "tax", _percent, "a rate in quotes such as '20 %'", default=nothing
        ),
        prices_include_tax=order.boolean("prices_include_tax", default=False),
    )
    if charges.postage is None and charges.postage_free_from is not None:
        order.refuse("postage_free_from", "a key postage beside it", rests_on=["order.postage"])
    if charges.tax_percent is None and charges.prices_include_tax:
        order.refuse("prices_include_tax", "a key tax beside it", rests_on=["order.tax"])
    return charges


def _money(text: str) -> Decimal:
    if not _MONEY.fullmatch(text.strip()):
        raise ValueError(text)
    return Decimal(text.strip().replace(",", "."))


def _percent(text: str) -> Decimal:
    found = _TAX.fullmatch(text.strip())
    if not found:
        raise ValueError(text)
    return Decimal(found[1].replace(",", "."))
