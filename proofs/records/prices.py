"""Prices as profiles list them: what is sold, a colon, and its price."""

import re
from decimal import Decimal

_PRICE = re.compile(r"(.+?)\s*[:=]\s*(\d{1,6}(?:[.,]\d{1,2})?)")


def read_price(text: str) -> tuple[str, Decimal] | None:
    """Return what is sold and its price; None for a text that is not a price.

    >>> read_price("8x10 in: 4,50")
    ('8x10 in', Decimal('4.50'))
    """
    found = _PRICE.fullmatch(text.strip())
    return (found[1], Decimal(found[2].replace(",", "."))) if found else None
