"""Lengths as a ruler reads them: at its nearest mark, but never on or beyond a limit."""

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction

from proofs.lengths import (
    NM_PER_INCH,
    NM_PER_MM,
    Length,
    Size,
    Unit,
    half_up,
    inch_fraction,
    inches,
    millimetres,
)

_NUMBER = r"-?\d[\d.]*(?: \d+/\d+|/\d+)?"
_BOTH_UNITS = re.compile(
    rf"({_NUMBER}(?: × {_NUMBER})? (?:sq )?in) \(({_NUMBER}(?: × {_NUMBER})? (?:(?:sq )?cm|mm))\)"
)
_MARKS = {Unit.IN: inches("1/16"), Unit.MM: millimetres("1/2")}
_FINEST_FRACTION = 16
_LEAST_DIGITS = {Unit.IN: 3, Unit.MM: 2}  # of an inch, and of a centimetre
_NM = {Unit.IN: NM_PER_INCH, Unit.MM: 10 * NM_PER_MM}


def ruler_text(length: Length, unit: Unit, limits: Iterable[Length] = ()) -> str:
    """Return a length without its unit: inches for ``IN``, centimetres for ``MM``.

    It is rounded to 1/16 in or 0.5 mm. Where that would reach or pass one of the limits, it has
    decimals instead, as many as it takes to be on the right side.

    >>> ruler_text(millimetres("403.6"), Unit.IN), ruler_text(millimetres("403.6"), Unit.MM)
    ('15 7/8', '40.35')
    >>> ruler_text(inches("9.99"), Unit.IN, [inches(10)])
    '9.990'
    """
    bounds = tuple(limits)
    mark = _MARKS[unit]
    on_mark = half_up(Fraction(length.nm, mark.nm)) * mark
    if _is_as_far(on_mark, length, bounds):
        if unit == Unit.IN:
            return inch_fraction(on_mark, _FINEST_FRACTION)
        return _decimals(on_mark, Unit.MM, 2).rstrip("0").rstrip(".")
    return _with_decimals(length, unit, bounds)


def ruler_size(size: Size, unit: Unit, limits: Sequence[Length] = ()) -> str:
    """Return a size with its unit, each side as ``ruler_text`` writes it.

    >>> ruler_size(Size(inches(12), inches("7.99")), Unit.IN, [inches(8)])
    '12 × 7.990 in'
    """
    sides = " × ".join(ruler_text(side, unit, limits) for side in (size.width, size.height))
    return f"{sides} {'in' if unit == Unit.IN else 'cm'}"


def first_in(unit: Unit, text: str) -> str:
    """Return a text whose lengths are in both units with those of ``unit`` first.

    >>> first_in(Unit.MM, "board 19.69 × 15.75 in (50 × 40 cm), overlap 1/8 in (3.18 mm)")
    'board 50 × 40 cm (19.69 × 15.75 in), overlap 3.18 mm (1/8 in)'
    """
    return text if unit == Unit.IN else _BOTH_UNITS.sub(r"\2 (\1)", text)


def _is_as_far(rounded: Length, length: Length, bounds: Sequence[Length]) -> bool:
    return all(_side(rounded, bound) == _side(length, bound) for bound in bounds)


def _side(length: Length, bound: Length) -> int:
    return (length > bound) - (length < bound)


def _with_decimals(length: Length, unit: Unit, bounds: Sequence[Length]) -> str:
    # A length on a limit reads like the limit. Nine digits show a nanometre: no two are nearer.
    bounds = [bound for bound in bounds if bound != length]
    for digits in range(_LEAST_DIGITS[unit], 9):
        step = Fraction(_NM[unit], 10**digits)
        rounded = Length(half_up(half_up(Fraction(length.nm) / step) * step))
        if _is_as_far(rounded, length, bounds):
            return _decimals(rounded, unit, digits)
    return _decimals(length, unit, 9)


def _decimals(length: Length, unit: Unit, digits: int) -> str:
    scaled = half_up(Fraction(abs(length.nm), _NM[unit]) * 10**digits)
    whole, part = divmod(scaled, 10**digits)
    return f"{'-' if length.nm < 0 else ''}{whole}.{part:0{digits}d}"
