"""Texts with lengths in both units, turned to the unit of the rules."""

import re

from proofs.lengths import Unit

_NUMBER = r"-?\d[\d.]*(?: \d+/\d+|/\d+)?"
_BOTH_UNITS = re.compile(
    rf"({_NUMBER}(?: × {_NUMBER})? (?:sq )?in) \(({_NUMBER}(?: × {_NUMBER})? (?:(?:sq )?cm|mm))\)"
)


def first_in(unit: Unit, text: str) -> str:
    """Return a text whose lengths are in both units with those of ``unit`` first.

    >>> first_in(Unit.MM, "board 19.69 × 15.75 in (50 × 40 cm), overlap 1/8 in (3.18 mm)")
    'board 50 × 40 cm (19.69 × 15.75 in), overlap 3.18 mm (1/8 in)'
    """
    return text if unit == Unit.IN else _BOTH_UNITS.sub(r"\2 (\1)", text)
