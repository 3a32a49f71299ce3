"""Lengths as a ruler reads them, never rounded onto or across a limit.

A ruler reads to 1/16 in or 0.5 mm. Where that would hide on which side of a limit a length lies,
decimals are shown instead, as many as it takes: 3 of an inch or 0.1 mm nearly always suffice.
"""

from collections.abc import Iterable
from fractions import Fraction

from proofs.lengths import NM_PER_INCH, NM_PER_MM, Length, Size, Unit, half_up, inch_fraction
from proofs.records.rules import VisibleRule

_IN_STEPS = (Fraction(1, 16), *(Fraction(1, 10**n) for n in range(3, 9)))
_MM_STEPS = (Fraction(1, 2), *(Fraction(1, 10**n) for n in range(1, 7)))


def read_in_inches(length: Length, limits: Iterable[Length] = ()) -> str:
    """Return the inches that a ruler reads, without the unit.

    >>> from proofs.lengths import inches
    >>> read_in_inches(inches("9.9999")), read_in_inches(inches("9.9999"), [inches(10)])
    ('10', '9.9999')
    >>> read_in_inches(inches("9.998"), [inches(10)]), read_in_inches(inches("7.95"))
    ('9.998', '7 15/16')
    """
    value, step = _read(length, limits, NM_PER_INCH, _IN_STEPS)
    if step == _IN_STEPS[0]:
        return inch_fraction(Length(half_up(value * NM_PER_INCH)), step.denominator)
    return _decimal(value)


def read_in_centimetres(length: Length, limits: Iterable[Length] = ()) -> str:
    """Return the centimetres that a ruler reads, without the unit.

    >>> from proofs.lengths import millimetres
    >>> near = millimetres("253.9")
    >>> read_in_centimetres(near), read_in_centimetres(near, [millimetres(254)])
    ('25.4', '25.39')
    """
    value, _ = _read(length, limits, NM_PER_MM, _MM_STEPS)
    return _decimal(value / 10)


def read_in(length: Length, unit: Unit, limits: Iterable[Length] = ()) -> str:
    """Return a length as a ruler reads it, in inches or in centimetres, with the unit."""
    if unit == Unit.IN:
        return f"{read_in_inches(length, limits)} in"
    return f"{read_in_centimetres(length, limits)} cm"


def read_size(size: Size, rule: VisibleRule, unit: Unit) -> str:
    """Return a visible size as a ruler reads it; no side is rounded onto or across its limit.

    With a rule that adds up longest sides, no side has a limit of its own.

    >>> from proofs.lengths import inches
    >>> short = Size(inches("9.995"), inches("6.42"))
    >>> read_size(short, VisibleRule(longest_least=inches(10)), Unit.IN)
    '9.995 × 6 7/16 in'
    """
    read = read_in_inches if unit == Unit.IN else read_in_centimetres
    sides = " × ".join(read(side, _limits(size, side, rule)) for side in (size.width, size.height))
    return f"{sides} {'in' if unit == Unit.IN else 'cm'}"


def _limits(size: Size, side: Length, rule: VisibleRule) -> list[Length]:
    """The limits on one side of a visible size."""
    bounds: list[Length | None] = []
    if side == size.longest and not rule.sums:
        bounds += [rule.longest_least, rule.longest_most]
    if side == size.shortest:
        bounds += [rule.shortest_least, rule.shortest_most]
    return [bound for bound in bounds if bound is not None]


def _read(
    length: Length, limits: Iterable[Length], per_unit: int, steps: tuple[Fraction, ...]
) -> tuple[Fraction, Fraction]:
    """The length in a unit, rounded to the first step that keeps it on its side of all limits.

    A length that is exactly its limit is shown to the second step at least, unless the first
    is exact.
    """
    value = Fraction(length.nm, per_unit)
    bounds = [Fraction(limit.nm, per_unit) for limit in limits]
    for number, step in enumerate(steps):
        rounded = half_up(value / step) * step
        if all(_keeps(value, rounded, bound, is_coarse=not number) for bound in bounds):
            return rounded, step
    return value, steps[-1]


def _keeps(value: Fraction, rounded: Fraction, bound: Fraction, *, is_coarse: bool) -> bool:
    if value == bound:
        return rounded == bound or not is_coarse
    return (value < bound) == (rounded < bound) and rounded != bound


def _decimal(value: Fraction) -> str:
    """A number with up to eight decimals, without zeros at its end."""
    scaled = half_up(abs(value) * 10**8)
    whole, part = divmod(scaled, 10**8)
    text = f"{whole}.{part:08d}".rstrip("0").rstrip(".")
    return f"-{text}" if value < 0 and scaled else text
