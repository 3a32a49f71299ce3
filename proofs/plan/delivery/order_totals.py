"""The sums of an order: prints by sheet, paper and finish, then postage and tax.

Prices are exact. Tax is worked out once, on the sum, and rounded half up to a hundredth: common
practice, no source. A lab that rounds each line may differ by a hundredth for each.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from proofs.lengths import Size
from proofs.plan.delivery.deliveries import DeliveredFile, Delivery
from proofs.records.lab_charges import Charges

_CENT = Decimal("0.01")
_NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class OrderLine:
    """All prints on one sheet, paper and finish; ``price`` and ``cost`` are None if not known.

    ``price`` is that of one print.
    """

    sheet: Size
    is_to_edge: bool
    made_of: tuple[str, ...]
    prints: int
    price: Decimal | None

    @property
    def cost(self) -> Decimal | None:
        """What these prints cost together."""
        return None if self.price is None else self.price * self.prints


@dataclass(frozen=True, slots=True)
class OrderTotals:
    """The sums of an order; None for what is not known.

    ``prints`` is the cost of all prints with a known price. ``tax`` is added to it and to the
    ``postage`` unless it is contained in them already.
    """

    lines: tuple[OrderLine, ...]
    prints: Decimal | None
    postage: Decimal | None
    tax: Decimal | None
    tax_percent: Decimal | None
    is_tax_contained: bool

    @property
    def is_more_than_prints(self) -> bool:
        """Whether there is anything to pay, or to state, besides the prints."""
        return self.postage is not None or self.tax is not None

    @property
    def to_pay(self) -> Decimal | None:
        """The sum of all that is known; None if no price is."""
        if self.prints is None:
            return None
        added = _NOTHING if self.is_tax_contained else self.tax or _NOTHING
        return self.prints + (self.postage or _NOTHING) + added


def order_totals(delivery: Delivery) -> OrderTotals:
    """Return the sums of a delivery."""
    charges, prints = delivery.lab.charges, delivery.cost
    postage = tax = None
    if prints is not None:
        postage = _postage(charges, prints)
        tax = _tax(charges, prints + (postage or _NOTHING))
    return OrderTotals(
        order_lines(delivery.files),
        prints,
        postage,
        tax,
        charges.tax_percent,
        charges.prices_include_tax,
    )


def order_lines(files: Sequence[DeliveredFile]) -> tuple[OrderLine, ...]:
    """Return one line for each sheet, paper, finish and price, the smallest sheets first.

    A sheet counts either way round.
    """
    counts: dict[tuple[Size, bool, tuple[str, ...], Decimal | None], int] = {}
    for file in files:
        sheet = file.sheet if file.sheet.is_portrait else file.sheet.turned
        kind = sheet, file.is_to_edge, file.made_of, file.price
        counts[kind] = counts.get(kind, 0) + file.copies
    lines = (
        OrderLine(sheet, is_to_edge, made_of, count, price)
        for (sheet, is_to_edge, made_of, price), count in counts.items()
    )
    return tuple(sorted(lines, key=lambda one: (one.sheet.square_nm, one.made_of, one.is_to_edge)))


def _postage(charges: Charges, prints: Decimal) -> Decimal | None:
    free_from = charges.postage_free_from
    is_free = free_from is not None and prints >= free_from
    return _NOTHING if is_free and charges.postage is not None else charges.postage


def _tax(charges: Charges, taxed: Decimal) -> Decimal | None:
    percent = charges.tax_percent
    if percent is None:
        return None
    whole = 100 + percent if charges.prices_include_tax else Decimal(100)
    return (taxed * percent / whole).quantize(_CENT, ROUND_HALF_UP)
